"""Values that look mistyped in the opened file: a strip under the head, and their list."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.document.doubts import Doubt, doubts
from app.document.history import Step
from app.document.keys import is_point
from app.document.model import Setup
from app.document.plausible import Question, all_questions
from app.panels.widgets import make_viewport
from app.qt.border import fenced
from app.session.session import Session
from app.systems.every import system_of

MOST_ROWS: Final = 5  # in view at once


class DoubtsBar(QWidget):
    """The questions about an opened file, until they are answered or put away."""

    correction_asked = Signal(str)  # the key of a measured value that the guide asks for

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.doubts: list[Doubt] = []
        self._first_doubts: list[Doubt] = []  # when the file was opened
        self._begun: Step[Setup] | None = None
        self.setObjectName("doubts")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self.words = QLabel()
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.look = _button("Look at them")
        self.look.setCheckable(True)
        self.close_ = _button("Put away")
        self.list = DoubtList()
        self.list.hide()
        self._lay_out()
        self.look.toggled.connect(self.list.setVisible)
        self.close_.clicked.connect(self.dismiss)
        self.list.itemClicked.connect(lambda item: self.go(self.list.row(item)))
        self.list.entered_row.connect(self.go)
        session.setup_changed.connect(self._follow)
        self._follow()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self.words, 1)
        row.addWidget(self.look)
        row.addWidget(self.close_)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 4, 8, 4)
        layout.addLayout(row)
        layout.addWidget(self.list)

    def dismiss(self) -> None:
        """Hide until another file is opened."""
        self._first_doubts = []
        self._show([])

    def go(self, row: int) -> None:
        """Go to the field in which a value can be corrected."""
        from app.entry.parts import part_of

        doubt = self.doubts[row]
        key, change = doubt.question.key, doubt.question.change
        session, system = self.session, system_of(key)
        part = part_of(key)
        if change is None and (part is None or part.system.gives(session.setup)):
            self.correction_asked.emit(key)
            return
        if system is not None:
            session.show(system)
        if is_point(key):
            session.select((key,))
        if change is None:
            where = "" if doubt.line is None else f", line {doubt.line}"
            words = f"This measurement is corrected in the file itself{where}: {doubt.text}"
        else:
            session.set_active(change)
            words = f"Change {change + 1} is chosen for it: {doubt.text}"
        session.said.emit(words)

    def _follow(self) -> None:
        """Show the questions about an opened setup, without those that were corrected since."""
        session = self.session
        first = session.history.steps[0]
        if len(session.history.steps) == 1 and first is not self._begun:
            self._begun = first
            # a car without a file comes from the guide, which has asked already
            self._first_doubts = list(doubts(first.value, session.loaded)) if session.loaded else []
            self._show(self._first_doubts)
        elif self._first_doubts and session.preview_setup is None:
            now = {_anywhere(question): question for question in all_questions(session.setup)}
            still = [(now.get(_anywhere(doubt.question)), doubt) for doubt in self._first_doubts]
            self._show([replace(doubt, question=question) for question, doubt in still if question])

    def _show(self, remaining_doubts: list[Doubt]) -> None:
        if remaining_doubts != self.doubts:
            self.doubts = remaining_doubts
            count = len(remaining_doubts)
            self.words.setText(
                "One value in this file looks mistyped or misread. Nothing was changed."
                if count == 1
                else f"{count} values in this file look mistyped or misread. Nothing was changed."
            )
            self.look.setText("Look at it" if count == 1 else "Look at them")
            self.list.fill([doubt.words for doubt in remaining_doubts])
        self.look.setChecked(self.look.isChecked() and bool(remaining_doubts))
        self.setVisible(bool(remaining_doubts))


def _anywhere(question: Question) -> tuple[str, str, bool]:
    """Return an identity of a question that doesn't depend on the numbering of changes."""
    return question.key, question.text, question.change is None


@fenced
class DoubtList(QListWidget):
    """The questions, a line each; a click or Enter leads on."""

    entered_row = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        make_viewport(self)
        self.setAccessibleName("Values that look mistyped")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor)
        self.setToolTip("Click, or Enter: go to where it is corrected")
        self.setWordWrap(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def fill(self, lines: list[str]) -> None:
        """Show other lines."""
        self.clear()
        self.addItems(lines)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Return the room for a few rows."""
        row = self.sizeHintForRow(0) if self.count() else 0
        return QSize(200, min(self.count(), MOST_ROWS) * row + 4)

    def minimumSizeHint(self) -> QSize:
        """Return a fixed height: the board shrinks instead."""
        return QSize(80, self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go to the question's field with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.currentRow() >= 0:
            self.entered_row.emit(self.currentRow())
        else:
            super().keyPressEvent(event)


def _button(text: str) -> QToolButton:
    button = QToolButton()
    button.setText(text)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    return button
