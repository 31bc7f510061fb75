"""The page of the leaves: one row a leaf, the main leaf first."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QHBoxLayout, QWidget

from app.document.leaf_parts import LEAVES
from app.document.schema import HALVES
from app.document.units import unit_of
from app.entry.draft_session import DraftSession
from app.entry.leaf_rows import MOST_LEAVES, TICKED, WHOLE, YES, field_name, leaf_name, row_and_part
from app.entry.leaf_within import ASKED, EVERY, within_name
from app.entry.page import Line, Page
from app.entry.pieces import label, relook, small_button
from app.entry.steps import lesson_of
from app.entry.within_line import EXACT, WithinLine
from app.qt.tips import tip

HEADS: Final = {
    "thickness": "Thickness",
    "front": "Front half",
    "rear": "Rear half",
    "contact": "Helper at",
    "nip": "Nip",
    "note": "Note",
}
_NUMBERS: Final = ("thickness", *HALVES)
_MORE: Final = ("contact", "nip", "note")
_BELOW: Final = MOST_LEAVES + 2  # row of the grid under all leaves
_SPOKEN: Final = ("clipped to the main leaf", "tapered in thickness")
_AT_FIRST: Final = 5
_COLUMNS: Final = (1, 2, 3, 6, 7, 8)  # of the numbers and the note: clips and taper are between


def _grid() -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(8)
    grid.setVerticalSpacing(5)
    grid.setColumnStretch(8, 1)
    return grid


class LeavesPage(Page):
    """A row for each leaf, with what a caliper and a tape say of it."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        self.add_title(sitting.current.title)
        self.body.addWidget(label(lesson_of(sitting.current.key), wrap=True))
        self.column = self.add_column(spacing=8)
        self.grid = _grid()
        self.units = [label("") for _ in HEADS]
        self._add_heads()
        self.ticks: list[QCheckBox] = []
        self.count = 0
        for _ in range(min(max(_AT_FIRST, len(sitting.leaves()) + 1), MOST_LEAVES)):
            self._add_row()
        self.column.addLayout(self.grid)
        self.more = small_button("Another leaf")
        self.more.clicked.connect(self._another)
        self.grid.addWidget(self.more, _BELOW, 0, 1, 9, Qt.AlignmentFlag.AlignLeft)
        self._add_known()
        self.says = label("", "quiet", wrap=True)
        self.column.addWidget(self.says)
        self.column.addStretch(1)
        self.body.addLayout(self.questions)
        sitting.settled.connect(self._refresh)
        sitting.units_changed.connect(self._refresh)
        self._refresh()
        self.show_questions()

    def _add_heads(self) -> None:
        for column, title, unit in zip(_COLUMNS, HEADS.values(), self.units, strict=True):
            self.grid.addWidget(label(title), 0, column)
            self.grid.addWidget(unit, 1, column)
        self.grid.addWidget(label("Clipped"), 0, 4)
        self.grid.addWidget(label("Tapered"), 0, 5)

    def _add_known(self) -> None:
        """Ask how well the leaves are measured: all alike, or leaf by leaf where it is unlike."""
        self.known_rows: list[int] = []
        self._add_known_row(EVERY, "Every leaf ±")
        buttons = QHBoxLayout()
        self.usual = small_button("Take every usual ±")
        self.usual.setToolTip(tip("Fills each ± that is empty: caliper and tape as usual."))
        self.usual.clicked.connect(self._take_usual)
        self.by_leaf = small_button("± leaf by leaf")
        self.by_leaf.setToolTip(tip("Where one leaf is known better or worse than the others."))
        self.by_leaf.clicked.connect(self._show_each)
        for button in (self.usual, self.by_leaf):
            buttons.addWidget(button)
        buttons.addStretch(1)
        self.column.addLayout(buttons)
        places = range(len(self.sitting.leaves()))
        names = (within_name(row, part) for row in places for part in ASKED)
        if any(map(self.sitting.text, names)):
            self._add_each()

    def _add_known_row(self, row: int, title: str) -> None:
        self.known_rows.append(row)
        at = _BELOW + len(self.known_rows)
        self.grid.addWidget(label(title), at, 0)
        for column, part in zip(_COLUMNS, ASKED, strict=False):
            leaf = "Every leaf" if row == EVERY else leaf_name(row)
            key = field_name(LEAVES, row, part)
            line = self.add_within(key, f"{leaf}, {HEADS[part].lower()}")
            line.setFixedWidth(68)
            self.grid.addWidget(line, at, column)

    def _add_each(self) -> None:
        for row in range(len(self.sitting.leaves())):
            if row not in self.known_rows:
                self._add_known_row(row, f"{leaf_name(row)} ±")

    def _show_each(self, *_: object) -> None:
        """Ask leaf by leaf."""
        self._add_each()
        for line in self._known():
            line.show()
        self._refresh()
        self.refilled.emit()

    def _take_usual(self, *_: object) -> None:
        parts = [part for part in ASKED if self._is_there(part)]
        self.sitting.take_usual(*(field_name(LEAVES, EVERY, part) for part in parts))
        for line in self.lines:
            line.reread()

    def _is_there(self, part: str) -> bool:
        """Tell whether a number is given of any leaf."""
        return any(getattr(leaf, part) is not None for leaf in self.sitting.leaves())

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
            own = self._row(self.count - 1)
            for widget in (*own, *self.ticks[-2:]):
                widget.show()
            own[0].setFocus(Qt.FocusReason.TabFocusReason)
        self.more.setEnabled(self.count < MOST_LEAVES)

    def enter_order(self) -> Sequence[Line]:
        """Return what each leaf needs; an empty row ends the pack, so that Enter goes on there."""
        lines = [line for line in self._numbers() if row_and_part(line.name)[1] in _NUMBERS]
        rows = len(self.sitting.leaves()) + 1
        return [line for line in lines if row_and_part(line.name)[0] < rows]

    def tab_widgets(self) -> list[QWidget]:
        """Return all fields of a leaf, then those of the next."""
        widgets: list[QWidget] = []
        for row in range(self.count):
            lines = self._row(row)
            widgets += [*lines[:3], *self.ticks[2 * row : 2 * row + 2], *lines[3:]]
        return [*widgets, self.more, *self._known(), self.usual, self.by_leaf, *self.answers]

    def _numbers(self) -> list[Line]:
        """Return the fields of leaves, without those that say how well they are measured."""
        return [line for line in self.lines if not isinstance(line, WithinLine)]

    def _known(self) -> list[WithinLine]:
        return [line for line in self.lines if isinstance(line, WithinLine)]

    def _row(self, row: int) -> list[Line]:
        return [line for line in self._numbers() if row_and_part(line.name)[0] == row]

    def _rows_left(self) -> list[str]:
        """Return the rows that the keyboard has left, by the name of what is wrong with a row."""
        focused = [row_and_part(line.name)[0] for line in self._numbers() if line.hasFocus()]
        return [field_name(LEAVES, n, WHOLE) for n in range(self.count) if n not in focused]

    def _follow_known(self) -> None:
        """Say of each leaf's empty ± what is said of every leaf; offer what is usual."""
        for line in self._known():
            row, part = row_and_part(line.key)
            every = self.sitting.text(within_name(EVERY, part)).strip()
            line.setPlaceholderText(EXACT if row == EVERY else every or EXACT)
            usual = f"{self.sitting.usual(line.key)} {self.units[0].text()}"
            offer = f"How well it is measured. Arrow down: the usual {usual}."
            line.setToolTip(tip(self.sitting.error(line.name) or offer))
        is_shown = [row for row in self.known_rows if row != EVERY]
        self.by_leaf.setEnabled(len(is_shown) < len(self.sitting.leaves()))

    def _refresh(self) -> None:
        unit = unit_of("length", self.sitting.units)
        for head, words in zip(HEADS, self.units, strict=True):
            words.setText("" if head == "note" else unit)
        names = [*(line.name for line in self.lines), *self._rows_left()]
        errors = dict.fromkeys(filter(None, map(self.sitting.resolved.errors.get, names)))
        count = len(self.sitting.leaves())
        told = f"{count} leaves" if count != 1 else "one leaf"
        self._follow_known()
        self.says.setText(" ".join(errors) or f"{told} as far as they can be read.")
        relook(self.says, "error" if errors else "quiet")
