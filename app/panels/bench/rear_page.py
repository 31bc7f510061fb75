"""A page of the rear: two columns side by side, or one under the other where it is narrow."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.paint.palette import PALETTES, Inks
from app.panels.widgets import EDGE, FlatButton, head_label, text_font
from app.qt.border import fenced
from app.qt.spoken import spoken_as
from app.session.session import Session
from app.systems.answers import Study

if TYPE_CHECKING:
    from app.systems.rear.answers import RearAnswers

PACK: Final = "Leaf pack"
TWIST: Final = "Wind-up"
HOP: Final = "Hop and tramp"
LINKS: Final = "Links"
PAGES: Final = {"leaf axle": (PACK, TWIST, HOP), "five-link axle": (LINKS, HOP)}
"""The pages that a kind of suspension has beside its curves."""
WIDE: Final = 1020  # from here on two columns stand side by side [px]


def pages_of(study: Study[Any] | None) -> tuple[str, ...]:
    """Return the pages of what is fitted in the proposed car."""
    return () if study is None else PAGES.get(study.proposed.kind, ())


@fenced
class RearPage(QScrollArea):
    """One topic of the rear as a page; worked out only while it is visible."""

    board_wanted = Signal()  # something is drawn on the board: it should be seen

    def __init__(self, session: Session, name: str) -> None:
        super().__init__()
        self.session = session
        self.inks: Inks = PALETTES["light"]
        self.name = name
        self.shares = (1, 1)  # of the width, of the two columns
        self._stale = True
        self.setAccessibleName(name)
        spoken_as(self, QAccessible.Role.Grouping)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        holder = QWidget()
        holder.setBackgroundRole(self.palette().ColorRole.Base)
        holder.setAutoFillBackground(True)
        self.columns = QBoxLayout(QBoxLayout.Direction.TopToBottom, holder)
        self.columns.setContentsMargins(0, 4, 0, 8)
        self.columns.setSpacing(14)
        self.left, self.right = QVBoxLayout(), QVBoxLayout()
        for column in (self.left, self.right):
            column.setSpacing(4)
            self.columns.addLayout(column, 1)
        self.setWidget(holder)
        for signal in (
            session.study_completed,  # when the hand rests: a drag's frames are the board's
            session.units_changed,
            session.problem_changed,
            session.system_changed,
        ):
            signal.connect(self._follow)

    def fill(self, left: list[QWidget], right: list[QWidget]) -> None:
        """Put the parts into both columns."""
        for column, parts in ((self.left, left), (self.right, right)):
            for part in parts:
                column.addWidget(part)
            column.addStretch(1)

    def refresh(self, study: Study[RearAnswers]) -> None:
        """Show what the study says."""
        raise NotImplementedError

    def take_inks(self, inks: Inks) -> None:
        """Hand the inks to the parts that paint."""
        self.inks = inks
        for part in self.findChildren(QWidget):
            take: Callable[[Inks], Any] | None = getattr(part, "take_inks", None)
            if take is not None:
                take(inks)

    def _follow(self) -> None:
        study = self.session.whole_study() if self.isVisible() else None
        if study is None or study.short or self.name not in pages_of(study):
            self._stale = True
            return
        self._stale = False
        self.refresh(study)

    def showEvent(self, event: QShowEvent) -> None:
        """Work out what was put off while the page was hidden."""
        super().showEvent(event)
        if self._stale:
            self._follow()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the columns side by side where there is room."""
        super().resizeEvent(event)
        wide = self.width() >= WIDE
        ways = QBoxLayout.Direction
        self.columns.setDirection(ways.LeftToRight if wide else ways.TopToBottom)
        self.columns.setStretch(0, self.shares[0] if wide else 0)
        self.columns.setStretch(1, self.shares[1])
        for column, lines in enumerate((self.left, self.right)):
            last = lines.count() - 1  # what pushes the parts up; in between there is no gap
            lines.setStretch(last, 1 if wide or column else 0)


def said_label(bold: bool = False, size: float = 1.0) -> QLabel:
    """Return a wrapping label of words in the first ink."""
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setFont(text_font(size, bold))
    label.setContentsMargins(EDGE, 0, EDGE, 0)
    flags = Qt.TextInteractionFlag
    label.setTextInteractionFlags(flags.TextSelectableByMouse)
    return label


def section(title: str, *buttons: QWidget) -> QWidget:
    """Return a section's head with buttons at its right."""
    head = QWidget()
    line = QHBoxLayout(head)
    line.setContentsMargins(EDGE, 6, EDGE - 4, 0)
    line.setSpacing(2)
    line.addWidget(head_label(title), 1)
    for button in buttons:
        line.addWidget(button)
    return head


def row_of(*parts: QWidget) -> QWidget:
    """Return small parts in a row from the left."""
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(EDGE - 4, 0, EDGE - 4, 0)
    line.setSpacing(2)
    for part in parts:
        line.addWidget(part)
    line.addStretch(1)
    return row


def beside(first: QWidget, others: QWidget) -> QWidget:
    """Return a widget with others beside it that take the remaining width."""
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(0)
    line.addWidget(first)
    line.addWidget(others, 1)
    return row


def word_button(words: str, tip: str, done: Callable[[], object]) -> QToolButton:
    """Return a flat button of words that does something."""
    button = FlatButton(words, tip)
    button.clicked.connect(lambda *_: done())
    return button


def show_words(label: QLabel, words: str) -> None:
    """Show words, or hide the label where there are none."""
    if words != label.text():
        label.setText(words)
    label.setVisible(bool(words))
