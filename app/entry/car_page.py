"""The first page: the car's name and how its front and rear are built."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QRadioButton,
    QWidget,
)

from app.drawing.views import View
from app.entry.draft_session import DraftSession
from app.entry.page import Page
from app.entry.pane import Pane
from app.entry.parts import PARTS, given_parts
from app.entry.pieces import label, named
from app.entry.steps import lesson_of
from app.entry.typed import Draft
from app.qt.border import fenced

UNITS: Final = {"millimetres": "mm", "inches": "in"}
SIDES: Final = ("left only; the right is its mirror", "left and right")
Chosen = Callable[[str], None]


@fenced
class Choice(QRadioButton):
    """A choice of a few; Enter goes to the next question."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go on with Enter; arrows choose."""
        page = self.parent()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and isinstance(page, CarPage):
            page.after(self)
        else:
            super().keyPressEvent(event)


class CarPage(Page):
    """The page of the car's name and kind."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        self.groups: list[QButtonGroup] = []
        self.add_title(sitting.current.title)
        self.body.addWidget(label(lesson_of("car"), wrap=True))
        self._add_choices()
        self._add_picture(paper)
        sitting.changed.connect(self._show)
        sitting.units_changed.connect(self._show_units)

    def _add_choices(self) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(5)
        grid.setColumnStretch(1, 1)
        self.title = named(QLineEdit(), "title", "What the car is called")
        self.title.setText(self.sitting.draft.before.title)
        self.title.setPlaceholderText("make, model, year; or the owner's name")
        self.title.textEdited.connect(self.sitting.set_title)
        self.title.returnPressed.connect(partial(self._focus_group, 0))
        grid.addWidget(label("Name"), 0, 0)
        grid.addWidget(self.title, 0, 1)
        units = next(word for word, unit in UNITS.items() if unit == self.sitting.units)
        sides = SIDES[1] if self.sitting.draft.both_sides else SIDES[0]
        self._add(grid, "Measured in", tuple(UNITS), units, self._choose_units)
        draft = self.sitting.draft
        for choice in (each for part in PARTS for each in part.choices(draft)):
            chosen = partial(self._choose, choice.chosen)
            self._add(grid, choice.title, choice.answers, choice.now, chosen)
        self._add(grid, "Sides", SIDES, sides, self._choose_sides)
        self.body.addLayout(grid)

    def _add(
        self, grid: QGridLayout, title: str, choices: tuple[str, ...], now: str, chosen: Chosen
    ) -> None:
        row = grid.rowCount()
        grid.addWidget(label(title), row, 0)
        group, line = QButtonGroup(self), QHBoxLayout()
        line.setSpacing(2)
        for choice in choices:
            button = named(Choice(choice, self), "choice", f"{title}: {choice}")
            button.setChecked(choice == now)
            button.clicked.connect(partial(self._clicked, chosen, choice))
            group.addButton(button)
            line.addWidget(button)
        line.addStretch()
        self.groups.append(group)
        grid.addLayout(line, row, 1)

    def _clicked(self, chosen: Chosen, choice: str, _on: bool = False) -> None:
        chosen(choice)

    def _choose_units(self, word: str) -> None:
        self.sitting.set_units("in" if UNITS[word] == "in" else "mm")

    def _show_units(self) -> None:
        for button in self.groups[0].buttons():
            button.setChecked(UNITS[button.text()] == self.sitting.units)

    def _choose(self, chosen: Callable[[Draft, str], Draft], choice: str) -> None:
        self.sitting.choose(chosen(self.sitting.draft, choice))

    def _choose_sides(self, choice: str) -> None:
        draft: Draft = replace(self.sitting.draft, both_sides=choice == SIDES[1])
        self.sitting.choose(draft)

    def _add_picture(self, paper: str) -> None:
        row = QHBoxLayout()
        row.setSpacing(8)
        self.panes = {
            View.FRONT: Pane("An invented car built like it, from the front", plain=True),
            View.SIDE: Pane("From the left side; forward is right", plain=True),
        }
        for pane in self.panes.values():
            pane.set_palette_name(paper)
            pane.setMinimumHeight(120)
            row.addWidget(pane, 1)
        self.body.addLayout(row, 1)
        self._show()

    def _show(self) -> None:
        part = (given_parts(self.sitting.draft) or PARTS)[0]
        for view, pane in self.panes.items():
            pane.show_drawing(part.picture(view, self.sitting.setup))

    def after(self, button: Choice) -> None:
        """Give the keyboard to the next question, and after the last one go onward."""
        place = next(i for i, group in enumerate(self.groups) if button in group.buttons())
        if place + 1 < len(self.groups):
            self._focus_group(place + 1)
        else:
            self.onward.emit()

    def _focus_group(self, place: int) -> None:
        group = self.groups[place]
        chosen = group.checkedButton() or group.buttons()[0]
        chosen.setFocus(Qt.FocusReason.TabFocusReason)

    def tab_widgets(self) -> list[QWidget]:
        """Return the name and the choices."""
        return [self.title, *(button for group in self.groups for button in group.buttons())]

    def focus_first(self) -> None:
        """Give the keyboard to the name."""
        self.title.setFocus(Qt.FocusReason.TabFocusReason)
