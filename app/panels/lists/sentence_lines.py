"""Sentences one under the other, each a line of its own for the mouse, the keyboard and a reader.

Tab comes to the sentences and leaves them again; the arrows walk from one to the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QLabel, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.panels.widgets import EDGE, text_font
from app.qt.border import fenced
from geometry.dataclass import dataclass

STEPS: Final = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}
ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space)


@dataclass(frozen=True)
class Line:
    """A sentence: painted as rich text, spoken as plain words; `key` is of the result it is on."""

    rich: str
    spoken: str
    key: str = ""


@fenced
class SentenceLine(QLabel):
    """One sentence; a click, Enter or Space opens its result."""

    def __init__(self, lines: SentenceLines) -> None:
        super().__init__()
        self.lines = lines
        self.line = Line("", "")
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.RichText)
        self.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.setContentsMargins(EDGE, 2, EDGE, 3)
        self.setFont(text_font())
        self.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)

    def show_line(self, line: Line) -> None:
        """Say another sentence."""
        if line != self.line:
            self.line = line
            self.setText(line.rich)
            self.setAccessibleName(line.spoken)
            hand = Qt.CursorShape.PointingHandCursor if line.key else Qt.CursorShape.ArrowCursor
            self.setCursor(hand)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the result, or walk on."""
        key = Qt.Key(event.key())
        if key in ENTER and self.line.key:
            self.lines.chosen.emit(self.line.key)
        elif key in STEPS:
            self.lines.walk(self, STEPS[key])
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Open the result."""
        inside = self.rect().contains(event.position().toPoint())
        if event.button() == Qt.MouseButton.LeftButton and inside and self.line.key:
            self.lines.chosen.emit(self.line.key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Come into view, and be the one that Tab comes back to."""
        super().focusInEvent(event)
        self.lines.attend(self)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a ring where the keyboard is."""
        super().paintEvent(event)
        if self.hasFocus():
            with QPainter(self) as painter:
                painter.setPen(QPen(self.palette().color(self.foregroundRole()), 1.5))
                painter.drawRect(self.rect().adjusted(3, 0, -4, -2))


@fenced
class SentenceLines(QScrollArea):
    """The lines in a scrolling column."""

    chosen = Signal(str)  # the key of a sentence's result

    def __init__(self) -> None:
        super().__init__()
        self._labels: list[SentenceLine] = []
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setMinimumWidth(200)
        self.holder = QWidget()
        self._rows = QVBoxLayout(self.holder)
        self._rows.setContentsMargins(0, 0, 0, 4)
        self._rows.setSpacing(0)
        self._rows.addStretch(1)
        self.setWidget(self.holder)
        self._add_label()  # at once, for its place in the round of Tab

    def show_lines(self, lines: Sequence[Line]) -> None:
        """Say other sentences; lines that were there stay, and with them the keyboard."""
        while len(self._labels) < len(lines):
            self._add_label()
        for label, line in zip(self._labels, lines, strict=False):
            label.show_line(line)
            label.setVisible(True)
        for label in self._labels[len(lines) :]:
            if label.hasFocus() and lines:
                self._labels[len(lines) - 1].setFocus()
            label.setVisible(False)
        if not any(label.focusPolicy() for label in self.shown()):
            self.attend(self._labels[0])

    def _add_label(self) -> None:
        label = SentenceLine(self)
        self._rows.insertWidget(len(self._labels), label)
        if self._labels:
            before = self._labels[-1]
            policy = before.focusPolicy()
            for each in (before, label):  # Qt orders only what Tab can come to
                each.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            QWidget.setTabOrder(before, label)
            before.setFocusPolicy(policy)
            label.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._labels.append(label)

    def shown(self) -> list[SentenceLine]:
        """Return the lines that say something."""
        return [label for label in self._labels if not label.isHidden()]

    def text(self) -> str:
        """Return all that is said."""
        return "".join(label.text() for label in self.shown())

    def walk(self, start: SentenceLine, step: int) -> None:
        """Take the keyboard to the next line or the one before."""
        lines = self.shown()
        place = min(max(lines.index(start) + step, 0), len(lines) - 1)
        lines[place].setFocus(Qt.FocusReason.OtherFocusReason)

    def attend(self, line: SentenceLine) -> None:
        """Let Tab come to one line, and bring it into view if it has the keyboard."""
        for label in self._labels:
            policy = Qt.FocusPolicy.TabFocus if label is line else Qt.FocusPolicy.NoFocus
            label.setFocusPolicy(policy)
        if line.hasFocus():
            self.ensureWidgetVisible(line, 0, 8)

    def height_for(self, width: int) -> int:
        """Return the height at which no line is out of view [px]."""
        return sum(label.heightForWidth(width) for label in self.shown()) + 4
