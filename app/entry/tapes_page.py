"""The page of tapes: distances between points, beside their coordinates."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from app.document.edits import put_tape
from app.document.units import format_value
from app.entry.draft_session import DraftSession
from app.entry.page import Page
from app.entry.pieces import EnterButton, clear, label, named, small_button
from app.judge.survey import TapeRow, survey_of
from app.judge.survey_words import hidden_words, survey_sentences, tape_title
from app.panels.lists.tape_dialog import TapeDialog

LESSON: Final = (
    "A tape or trammel between two points needs no floor, level or centreline, so it finds what "
    "they hide. Take the arms' own lengths, the same points across the car, and the diagonals. "
    "None has to be taken; but only what is measured twice can show a reading that is wrong."
)


class TapesPage(Page):
    """What was taped, what the readings say together, and the way to one more."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        self.add_title(sitting.current.title, "may be left out")
        self.body.addWidget(label(LESSON, wrap=True))
        self.add = EnterButton("Enter a tape…")
        self.add.clicked.connect(lambda *_: self._ask())
        self.body.addWidget(self.add, 0, Qt.AlignmentFlag.AlignLeft)
        self.column = self.add_column(spacing=6)
        self._fill()
        sitting.changed.connect(self._fill)
        sitting.units_changed.connect(self._fill)

    def focus_first(self) -> None:
        """Leave the keyboard to the button that goes on: no tape has to be taken."""

    def takes_keyboard(self) -> bool:
        """Tell that it doesn't."""
        return False

    def tab_widgets(self) -> list[QWidget]:
        """Return the buttons of this page."""
        return [self.add, *(each for each in self.findChildren(EnterButton) if each != self.add)]

    def show_questions(self) -> None:
        """Show no question cards: what is doubtful is said above the tapes."""

    def _fill(self) -> None:
        clear(self.column)
        setup, decimal = self.sitting.setup, self.sitting.decimal
        survey = survey_of(setup)
        for words in survey_sentences(setup, survey, decimal):
            is_doubt = words.startswith("Look again")
            self.column.addWidget(label(words, "error" if is_doubt else "", wrap=True))
        for row in survey.tapes:
            self.column.addWidget(self._tape_card(row))
        self.column.addStretch(1)

    def _tape_card(self, row: TapeRow) -> QFrame:
        setup, decimal, tape = self.sitting.setup, self.sitting.decimal, row.tape
        read, within = (
            format_value(value, "length", setup.units, decimal=decimal)
            for value in (tape.length, tape.within)
        )
        title = f"{row.number}  {tape_title(setup, tape)}: {read} ± {within}"
        card = named(QFrame(), "question" if row.is_doubtful else "card")
        line = QHBoxLayout(card)
        line.setContentsMargins(10, 4, 6, 4)
        words = ", ".join(filter(None, [title, tape.note, hidden_words(setup, row, decimal)]))
        line.addWidget(label(words, wrap=True), 1)
        for text, act in (("Change…", self._ask), ("Leave out", self._leave_out)):
            button = small_button(text)
            button.setAccessibleDescription(title)
            button.clicked.connect(partial(_do, act, row.number - 1))
            line.addWidget(button)
        return card

    def _ask(self, number: int | None = None) -> None:
        sitting = self.sitting
        dialog = TapeDialog(
            sitting.finished_setup, sitting.units, sitting.take_tapes, (), number, self
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def _leave_out(self, number: int) -> None:
        setup = self.sitting.finished_setup
        self.sitting.take_tapes(put_tape(setup, None, number))


def _do(act: Callable[[int], None], number: int, _on: bool = False) -> None:
    act(number)
