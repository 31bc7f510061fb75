"""The page of the leaves: one row a leaf, the main leaf first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from app.document.units import unit_of
from app.entry.draft_session import DraftSession
from app.entry.leaf_rows import MOST_LEAVES, TICKED, WHOLE, YES, field_name, leaf_name, row_and_part
from app.entry.page import Line, Page
from app.entry.pieces import label, relook, small_button
from app.entry.steps import lesson_of
from app.entry.typed import LEAVES

HEADS: Final = {
    "thickness": "Thickness",
    "front": "Front half",
    "rear": "Rear half",
    "contact": "Helper at",
    "nip": "Nip",
    "note": "Note",
}
_NUMBERS: Final = ("thickness", "front", "rear")
_MORE: Final = ("contact", "nip", "note")
_SPOKEN: Final = ("clipped to the main leaf", "tapered in thickness")
_AT_FIRST: Final = 5


class LeavesPage(Page):
    """A row for each leaf, with what a caliper and a tape say of it."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        self.add_title(sitting.current.title)
        self.body.addWidget(label(lesson_of(sitting.current.key), wrap=True))
        self.grid = QGridLayout()
        self.grid.setHorizontalSpacing(8)
        self.grid.setVerticalSpacing(5)
        self.grid.setColumnStretch(8, 1)
        self.units = [label("") for _ in HEADS]
        self._add_heads()
        self.ticks: list[QCheckBox] = []
        self.count = 0
        for _ in range(min(max(_AT_FIRST, len(sitting.leaves()) + 1), MOST_LEAVES)):
            self._add_row()
        self.body.addLayout(self.grid)
        self.more = small_button("Another leaf")
        self.more.clicked.connect(self._another)
        self.body.addWidget(self.more, 0, Qt.AlignmentFlag.AlignLeft)
        self.says = label("", "quiet", wrap=True)
        self.body.addWidget(self.says)
        self.body.addLayout(self.questions)
        self.body.addStretch(1)
        sitting.settled.connect(self._refresh)
        sitting.units_changed.connect(self._refresh)
        self._refresh()
        self.show_questions()

    def _add_heads(self) -> None:
        columns = (1, 2, 3, 6, 7, 8)
        for column, title, unit in zip(columns, HEADS.values(), self.units, strict=True):
            self.grid.addWidget(label(title), 0, column)
            self.grid.addWidget(unit, 1, column)
        self.grid.addWidget(label("Clipped"), 0, 4)
        self.grid.addWidget(label("Tapered"), 0, 5)

    def _add_row(self) -> None:
        row, at = self.count, self.count + 2
        self.count += 1
        leaf = leaf_name(row)
        self.grid.addWidget(label(leaf), at, 0)
        for column, part in zip((1, 2, 3), _NUMBERS, strict=True):
            self._add_field(row, at, column, part, f"{leaf}: {HEADS[part].lower()}")
        for column, (part, spoken) in enumerate(zip(TICKED, _SPOKEN, strict=True), start=4):
            self._add_tick(row, at, column, part, f"{leaf}: {spoken}")
        for column, part in zip((6, 7, 8), _MORE, strict=True):
            self._add_field(row, at, column, part, f"{leaf}: {HEADS[part].lower()}")

    def _add_tick(self, row: int, at: int, column: int, part: str, spoken: str) -> None:
        tick = QCheckBox()
        tick.setAccessibleName(spoken)
        name = field_name(LEAVES, row, part)
        tick.setChecked(bool(self.sitting.text(name)))
        tick.toggled.connect(partial(self._tick, name))
        self.ticks.append(tick)
        self.grid.addWidget(tick, at, column)

    def _add_field(self, row: int, at: int, column: int, part: str, spoken: str) -> None:
        line = self.add_line(field_name(LEAVES, row, part), spoken)
        if part != "note":
            line.setFixedWidth(68)
        self.grid.addWidget(line, at, column)

    def _tick(self, name: str, on: bool) -> None:
        self.sitting.type_text(name, YES if on else "")
        self.sitting.leave(name)

    def _another(self) -> None:
        if self.count < MOST_LEAVES:
            self._add_row()
            for widget in (*self.lines[-6:], *self.ticks[-2:]):
                widget.show()
            self.lines[-6].setFocus(Qt.FocusReason.TabFocusReason)
        self.more.setEnabled(self.count < MOST_LEAVES)

    def enter_order(self) -> Sequence[Line]:
        """Return what each leaf needs; an empty row ends the pack, so that Enter goes on there."""
        lines = [line for line in self.lines if row_and_part(line.name)[1] in _NUMBERS]
        rows = len(self.sitting.leaves()) + 1
        return [line for line in lines if row_and_part(line.name)[0] < rows]

    def tab_widgets(self) -> list[QWidget]:
        """Return all fields of a leaf, then those of the next."""
        rows = [
            [line for line in self.lines if row_and_part(line.name)[0] == row]
            for row in range(self.count)
        ]
        widgets: list[QWidget] = []
        for row, lines in enumerate(rows):
            widgets += [*lines[:3], *self.ticks[2 * row : 2 * row + 2], *lines[3:]]
        return [*widgets, self.more, *self.answers]

    def _rows_left(self) -> list[str]:
        """Return the rows that the keyboard has left, by the name of what is wrong with a row."""
        focused = [row_and_part(line.name)[0] for line in self.lines if line.hasFocus()]
        return [field_name(LEAVES, n, WHOLE) for n in range(self.count) if n not in focused]

    def _refresh(self) -> None:
        unit = unit_of("length", self.sitting.units)
        for head, words in zip(HEADS, self.units, strict=True):
            words.setText("" if head == "note" else unit)
        names = [*(line.name for line in self.lines), *self._rows_left()]
        errors = dict.fromkeys(filter(None, map(self.sitting.resolved.errors.get, names)))
        count = len(self.sitting.leaves())
        told = f"{count} leaves" if count != 1 else "one leaf"
        self.says.setText(" ".join(errors) or f"{told} as far as they can be read.")
        relook(self.says, "error" if errors else "quiet")
