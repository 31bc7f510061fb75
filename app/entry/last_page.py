"""The last page: open questions, and a few results before the car goes on the board."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QLabel, QWidget

from app.document.keys import KEYS
from app.document.leaf_parts import LEAVES
from app.document.plausible import told
from app.document.point_names import point_title
from app.entry.draft_session import DraftSession
from app.entry.page import Page
from app.entry.part import GuidePart
from app.entry.parts import given_parts
from app.entry.pieces import EnterButton, clear, label, named, small_button
from app.entry.sure_card import SureCard
from app.entry.sure_look import SureLook
from app.entry.verdict import Look, first_look
from app.judge.survey_words import look_again_words


class LastPage(Page):
    """The last page."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        self.add_title(sitting.current.title)
        self.column = self.add_column(spacing=8)
        self.open_buttons: list[EnterButton] = []
        self.looks: list[tuple[str, Look, QLabel]] = []
        self.sure: SureLook | None = None
        self.sure_card: SureCard | None = None
        self._fill()
        sitting.units_changed.connect(self._refill)

    def focus_first(self) -> None:
        """Give the keyboard to the first thing that is open."""
        for button in self.open_buttons[:1]:
            button.setFocus(Qt.FocusReason.TabFocusReason)

    def takes_keyboard(self) -> bool:
        """Tell whether something is open."""
        return bool(self.open_buttons)

    def tab_widgets(self) -> list[QWidget]:
        """Return the buttons that lead to what is open."""
        card = self.sure_card
        return [*self.open_buttons, *(card.buttons if card is not None else ())]

    def show_questions(self) -> None:
        """Show no question cards on this page: each open question is a line of its own."""

    def _refill(self) -> None:
        clear(self.column)
        self.open_buttons, self.looks, self.sure_card = [], [], None
        self._fill()

    def _fill(self) -> None:
        missing, wrong = self.sitting.missing(), self.sitting.resolved.errors
        doubts, evidence = self.sitting.open_questions(), self.sitting.setup.readings
        if not self.sitting.draft.before.title.strip():
            self._add_line("The car has no name yet.", "car")
        for name, error in wrong.items():
            key = name if name in KEYS else name.rpartition(".")[0]
            key = LEAVES if name.startswith(f"{LEAVES}.") else key
            self._add_line(f"{point_title(key, evidence)}: {error}", self.sitting.step_of(key))
        self._add_missing(missing)
        for key, change in self.sitting.held_by_changes():
            title = point_title(key, evidence)
            text = f"The change “{change}” moves {title.lower()}, which is gone. Reset it there."
            self._add_line(text, self.sitting.step_of(key))
        for question in doubts:
            self._add_line(told(question), self.sitting.step_of(question.key), "Look at it")
        if self.sitting.setup.tapes:
            words = " ".join(look_again_words(self.sitting.setup, self.sitting.decimal))
            if words:
                self._add_line(words, "tapes", "Look at it")
        if self.sitting.is_whole():
            self._add_first_look()
        self.column.addStretch(1)

    def _add_missing(self, missing: tuple[str, ...]) -> None:
        steps = dict.fromkeys(self.sitting.step_of(key) for key in missing)
        for step in steps:
            evidence = self.sitting.setup.readings
            names = [
                point_title(key, evidence) for key in missing if self.sitting.step_of(key) == step
            ]
            self._add_line(f"Still needed: {', '.join(names)}.", step)

    def _add_line(self, text: str, step: str, word: str = "Go there") -> None:
        card = named(QFrame(), "question")
        row = QHBoxLayout(card)
        row.setContentsMargins(10, 4, 6, 4)
        row.addWidget(label(text, wrap=True), 1)
        button = small_button(word)
        button.setAccessibleDescription(text)
        button.clicked.connect(partial(self._go, step))
        row.addWidget(button)
        self.open_buttons.append(button)
        self.column.addWidget(card)

    def _go(self, step: str) -> None:
        self.sitting.go(step)

    def _add_first_look(self) -> None:
        looks = [self._add_look(part) for part in given_parts(self.sitting.draft)]
        if not any(looks):
            return
        self.sure_card = SureCard(self._go_to_key)
        self.column.addWidget(self.sure_card)
        words = (
            "Does that agree with what you see on the car? If not, measure the points again that "
            "most hangs on: ball joints, eyes, centre bolt. What is measured stays as it is: every "
            "change you try later is kept beside it."
        )
        self.column.addWidget(label(words, wrap=True))
        if self.sure is None:
            self._ask_how_sure()
        self._show_sure()

    def _ask_how_sure(self) -> None:
        """Let it be worked out beside the guide; what comes is shown then."""
        ends = [part.system.key for part in given_parts(self.sitting.draft)]
        self.sure = SureLook(self.sitting.finished_setup, ends, parent=self)
        self.sure.came.connect(self._show_sure)
        self.sure.ended.connect(self._show_sure)
        QTimer.singleShot(0, self.sure, self.sure.begin)  # the page is there first

    def _show_sure(self, *_: object) -> None:
        sure, sitting = self.sure, self.sitting
        if sure is None or self.sure_card is None:
            return
        for key, look, value in self.looks:
            value.setText(look.words(sitting.units, sitting.decimal, sure.bands.get(key)))
        self.sure_card.show_known(sitting.setup, sure.bands, sure.is_busy)
        self.refilled.emit()

    def _go_to_key(self, key: str) -> None:
        self.sitting.go(self.sitting.step_of(key))

    def _add_look(self, part: GuidePart) -> bool:
        """Add a few results of one end, or why it can't be built; tell whether there are any."""
        looks, trouble = first_look(self.sitting.setup, part, self.sitting.decimal)
        if trouble:
            words = "These points can't be one car's, or one of them is misread:"
            self.column.addWidget(label(f"{words} {trouble}", "error", wrap=True))
            return False
        title = f"As measured, the {part.system.key} stands like this:"
        self.column.addWidget(label(title, "axis"))
        card = named(QFrame(), "card")
        grid = QGridLayout(card)
        grid.setHorizontalSpacing(24)
        grid.setColumnStretch(1, 1)
        for row, look in enumerate(looks):
            value = label(look.words(self.sitting.units, self.sitting.decimal), "axis", wrap=True)
            self.looks.append((part.system.key, look, value))
            grid.addWidget(label(look.result.title), row, 0)
            grid.addWidget(value, row, 1)
        self.column.addWidget(card)
        return True
