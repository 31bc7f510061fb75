"""A page of single numbers, each with its unit and what it is for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QWidget

from app.document.as_read import AsRead, ways_for
from app.document.keys import KEYS, is_measured_number, is_needed, kind_of
from app.document.model import Value
from app.document.plain_text import lower_first
from app.document.plausible import Question, told
from app.document.units import unit_of
from app.document.usual_within import CHOSEN
from app.entry.as_read import ReadingsDialog
from app.entry.draft_session import DraftSession
from app.entry.page import Line, Page
from app.entry.parts import part_of, purposes_of
from app.entry.pieces import label, relook, small_button
from app.entry.steps import lesson_of
from app.entry.within_fields import ALL
from app.entry.within_line import UsualButton, WithinLine
from app.qt.tips import tip


class NumbersPage(Page):
    """A form."""

    def __init__(self, sitting: DraftSession, paper: str, parent: QWidget | None = None) -> None:
        super().__init__(sitting, paper, parent)
        step = sitting.current
        self.add_title(step.title)
        self.column = self.add_column(spacing=8)
        self.column.addWidget(label(lesson_of(step.key), wrap=True))
        self.rows: dict[str, tuple[QLabel, QLabel]] = {}
        self.usual: dict[str, UsualButton] = {}
        self._add_grid(step.fields)
        self.column.addStretch(1)
        self.body.addLayout(self.questions)
        sitting.settled.connect(self._refresh)
        sitting.changed.connect(self._refresh)
        sitting.units_changed.connect(self._refresh)
        self._refresh()
        self.show_questions()

    def _add_grid(self, fields: tuple[str, ...]) -> None:
        grid = QGridLayout()
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(5)
        grid.setColumnStretch(6, 1)
        for row, name in enumerate(fields):
            line: QWidget
            if KEYS[name].is_number:
                line = self.add_line(name, KEYS[name].title)
            else:
                line = self.add_chosen(name)
            line.setFixedWidth(104)
            title = label(KEYS[name].title)
            title.setBuddy(line)
            unit, words = label(""), label("", "quiet", wrap=True)
            self.rows[name] = unit, words
            for column, widget in ((0, title), (1, line)):
                grid.addWidget(widget, row, column)
            if KEYS[name].is_number:
                grid.addWidget(unit, row, 2)
                grid.addWidget(words, row, 6)
            else:
                grid.addWidget(words, row, 2, 1, 5)
            if is_measured_number(KEYS[name]) and name not in CHOSEN:
                self._add_within(grid, row, name)
        self.column.addLayout(grid)
        self._add_ways(fields)

    def _add_within(self, grid: QGridLayout, row: int, name: str) -> None:
        """Ask how well a number is measured; what is usual is offered beside it."""
        line = self.add_within(name)
        self.usual[name] = button = UsualButton(line)
        for column, widget in enumerate((label("±"), line, button), 3):
            grid.addWidget(widget, row, column)

    def _add_ways(self, fields: tuple[str, ...]) -> None:
        """Offer to work values out of what a gauge reads, and to take every usual ±."""
        self.extra: list[QWidget] = []
        row = QHBoxLayout()
        if ways := ways_for(fields):
            button = small_button("As it was read …")
            button.setToolTip(tip(", ".join(lower_first(way.title) for way in ways)))
            button.clicked.connect(partial(self._ask_readings, ways))
            self.extra.append(button)
            row.addWidget(button)
        self.all_usual = small_button("Take every usual ±")
        self.all_usual.setToolTip(tip("Fills each ± that is empty with what is usual beside it."))
        self.all_usual.clicked.connect(self._take_usual)
        self.extra.append(self.all_usual)
        row.addWidget(self.all_usual)
        row.addStretch(1)
        self.column.addLayout(row)

    def _take_usual(self, *_: object) -> None:
        self.sitting.take_usual(*self.usual)
        for line in self.lines:
            line.reread()

    def _ask_readings(self, ways: tuple[AsRead, ...], *_: object) -> None:
        sitting = self.sitting
        ReadingsDialog(sitting.setup, sitting.units, ways, sitting.take_over, self).exec()
        for line in self.lines:
            line.reread()

    def enter_order(self) -> Sequence[Line]:
        """Return the values: Enter passes by how well they are measured, Tab doesn't."""
        return [line for line in self.lines if not isinstance(line, WithinLine)]

    def tab_widgets(self) -> list[QWidget]:
        """Return the fields, then the way to readings, then the questions."""
        return [*self.lines, *self.extra, *self.answers]

    def _refresh(self) -> None:
        values = self.sitting.setup.readings
        for name, (unit, words) in self.rows.items():
            unit.setText(self._unit(name, values))
            error = self.sitting.error(name) or self.sitting.error(f"{name}.{ALL}")
            words.setText(error or self._purpose(name))
            relook(words, "error" if error else "quiet")
        for button in self.usual.values():
            button.follow(self.sitting)
        self.all_usual.setEnabled(any(not each.isHidden() for each in self.usual.values()))

    def _unit(self, name: str, values: Mapping[str, Value]) -> str:
        if not KEYS[name].is_number:
            return ""
        unit = unit_of(kind_of(name, values), self.sitting.units)
        return unit or ("or %" if (KEYS[name].most or 0.0) == 1.0 else "")

    def _purpose(self, name: str) -> str:
        """Return what a value is, and for which results it is asked."""
        key = KEYS[name]
        words = key.purpose.partition(";")[0] if key.torsion else key.purpose
        if is_needed(key, self.sitting.setup.readings):
            return f"{words} · needed" if words else "needed"
        part = part_of(name)
        results = purposes_of(name) if part is None else part.purposes(name)
        return " · ".join(filter(None, (words, results and f"for {results}")))

    def question_text(self, question: Question) -> str:
        """Return the words, with the field they are about where they don't name it."""
        return told(question)
