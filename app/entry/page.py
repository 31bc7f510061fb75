"""The base of the guide's pages: a title, words, and questions beside their fields."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app.document.plausible import Question
from app.entry.chosen_line import ChosenLine
from app.entry.draft_session import DraftSession
from app.entry.pieces import clear, label, named, small_button
from app.entry.value_line import ValueLine
from app.entry.within_fields import beside
from app.entry.within_line import WithinLine

Line = ValueLine | ChosenLine
AnyLine = TypeVar("AnyLine", bound=Line)


class Page(QWidget):
    """One step's page; Enter goes from field to field and then asks to go onward."""

    onward = Signal()
    reached = Signal(str)  # a field took the keyboard
    refilled = Signal()  # what Tab goes through is other than it was

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sitting = sitting
        self.paper = paper
        self.lines: list[Line] = []
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(22, 14, 22, 10)
        self.body.setSpacing(8)
        self.questions = QVBoxLayout()
        self.questions.setSpacing(6)
        self.answers: list[QPushButton] = []
        self._asked: tuple[Question, ...] = ()
        sitting.settled.connect(self.show_questions)
        sitting.units_changed.connect(self.show_questions)

    def add_title(self, title: str, mark: str = "") -> None:
        """Put the title at the top, with a quiet word at its right."""
        row = QHBoxLayout()
        row.addWidget(label(title, "pageTitle"))
        row.addStretch()
        row.addWidget(label(mark, "pageMark"))
        self.body.addLayout(row)

    def add_column(self, spacing: int) -> QVBoxLayout:
        """Put a column below that scrolls, which the keyboard passes, and return it.

        A field in it that takes the keyboard is scrolled to.
        """
        self.reached.connect(self._scroll_to)
        self.scrolled = scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        form = named(QWidget(), "form")
        column = QVBoxLayout(form)
        column.setContentsMargins(0, 0, 6, 0)
        column.setSpacing(spacing)
        scroll.setWidget(form)
        self.body.addWidget(scroll, 1)
        return column

    def _scroll_to(self, name: str) -> None:
        for line in self.lines:
            if line.name == name:
                self.scrolled.ensureWidgetVisible(line)

    def add_line(self, name: str, spoken: str) -> ValueLine:
        """Return a new field of this page, next in the order of Enter."""
        return self._added(ValueLine(self.sitting, name, spoken))

    def add_chosen(self, name: str) -> ChosenLine:
        """Return a new field for one of a few words, next in the order of Enter."""
        return self._added(ChosenLine(self.sitting, name))

    def add_within(self, key: str, title: str = "") -> WithinLine:
        """Return a new field for how well a number is measured."""
        return self._added(WithinLine(self.sitting, key, title))

    def _added(self, line: AnyLine) -> AnyLine:
        line.entered.connect(self._entered)
        line.reached.connect(self.reached)
        self.lines.append(line)
        return line

    def focus_first(self) -> None:
        """Give the keyboard to the first field that is empty, or else to the first."""
        order = self.enter_order()
        empty = [line for line in order if not line.text().strip()]
        for line in (empty or order)[:1]:
            line.setFocus(Qt.FocusReason.TabFocusReason)

    def takes_keyboard(self) -> bool:
        """Tell whether the keyboard stays here when the page comes, or goes on to the foot."""
        return True

    def enter_order(self) -> Sequence[Line]:
        """Return the fields that Enter goes through."""
        return self.lines

    def tab_widgets(self) -> list[QWidget]:
        """Return the widgets in the order of Tab."""
        return [*self.lines, *self.answers]

    def asked_keys(self) -> tuple[str, ...]:
        """Return the keys whose questions belong here."""
        return self.sitting.current.fields

    # Enter

    def _entered(self, name: str) -> None:
        if self.sitting.error(name):
            self._line(name).selectAll()
            return
        order = self.enter_order()
        names, asked = [line.name for line in order], beside(name)
        place = names.index(asked) if asked in names else len(order)
        if place + 1 < len(order):
            order[place + 1].setFocus(Qt.FocusReason.TabFocusReason)
        elif not self._focus_question():
            self.onward.emit()

    def _line(self, name: str) -> Line:
        return next(line for line in self.lines if line.name == name)

    def _focus_question(self) -> bool:
        """Give the keyboard to the first open question; it was not seen before Enter."""
        self.show_questions()
        for button in self.answers[:1]:
            button.setFocus(Qt.FocusReason.TabFocusReason)
        return bool(self.answers)

    # Questions

    def show_questions(self) -> None:
        """Show what is open about this page's keys."""
        page_keys = self.asked_keys()
        questions = tuple(
            q for q in self.sitting.open_questions() if q.key in page_keys and self._due(q)
        )
        if questions == self._asked:
            return
        self._asked = questions
        clear(self.questions)
        self.answers = []
        for question in questions:
            self.questions.addWidget(self._card(question))

    def _due(self, question: Question) -> bool:
        """Tell whether the question's field was left: no question appears during typing."""
        focused = [line for line in self.lines if line.hasFocus()]
        return not any(line.name == question.key for line in focused) or (
            question.key in self.sitting.left
        )

    def _card(self, question: Question) -> QFrame:
        card = named(QFrame(), "question")
        row = QHBoxLayout(card)
        row.setContentsMargins(10, 5, 6, 5)
        row.addWidget(label(self.question_text(question), wrap=True), 1)
        keep = small_button("Keep as typed")
        keep.setAccessibleDescription(question.text)
        keep.clicked.connect(partial(self._keep, question))
        row.addWidget(keep)
        self.answers.append(keep)
        return card

    def question_text(self, question: Question) -> str:
        """Return the words of a question."""
        return question.text

    def _keep(self, question: Question) -> None:
        self.sitting.keep(question)
        if not self._focus_question():
            self.onward.emit()
