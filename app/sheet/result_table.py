"""All results of both cars by groups, in two columns; limits; what is missing; notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.keys import KEYS
from app.document.model import Setup, Units
from app.document.point_names import point_title
from app.document.units import NO_VALUE
from app.paper.faces import (
    FINE,
    FINE_STRONG,
    LEAST,
    SMALL,
    SMALL_STRONG,
    TEXT,
    Face,
    width_of,
)
from app.paper.flow import Block, kept
from app.paper.ink import GREY, THIN, Ink
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.shop.results import ResultRow, missing_rows, result_rows
from app.systems.answers import Study
from app.systems.limits import Extreme, LimitCheck, limit_checks
from app.words.results import (
    is_zero,
    limit_words,
    result_number,
    result_text,
    result_unit,
    sign_words,
    value_places,
)
from geometry.catalogue.front import Result
from geometry.dataclass import dataclass

ROW: Final = 3.85
GROUP: Final = 5.0
GUTTER: Final = 6.0
FIGURES_ROOM: Final = 43.0  # for the figures beside a title [mm]


@dataclass(frozen=True)
class _Line:
    """A line of a column: a group's name, or a result."""

    words: str
    row: ResultRow | None = None

    @property
    def height(self) -> float:
        return ROW if self.row else GROUP


def result_blocks(study: Study[Any], paper: Paper, decimal: str) -> list[Block]:
    """Return the table of results, both columns side by side."""
    lines = list(_lines(study))
    height = sum(line.height for line in lines)
    cut = _cut(lines, height / 2)
    columns = (lines[:cut], lines[cut:])
    width = (paper.inner - GUTTER) / 2
    tall = max(sum(line.height for line in column) for column in columns) + 5.0

    def paint(ink: Ink, top: float) -> None:
        for index, column in enumerate(columns):
            x = paper.margin + index * (width + GUTTER)
            _Column(ink, study, x, width, decimal).paint(column, top)

    note = "each car on its wheels"
    note += ", left wheel" if any(row.result.scope == "wheel" for row in result_rows(study)) else ""
    return [heading("Results", paper.margin, note, paper.right), Block(tall, paint)]


def _lines(study: Study[Any]) -> Iterator[_Line]:
    group = ""
    for table_row in result_rows(study):
        if table_row.result.group != group:
            group = table_row.result.group
            yield _Line(group)
        yield _Line(table_row.result.title, table_row)


def _cut(lines: Sequence[_Line], half: float) -> int:
    """Return where the second column begins: near the middle, never after a lone group's name."""
    at, index = 0.0, 0
    while index < len(lines) and at < half:
        at += lines[index].height
        index += 1
    return index - 1 if index and lines[index - 1].row is None else index


@dataclass(frozen=True)
class _Column:
    ink: Ink
    study: Study[Any]
    x: float
    width: float
    decimal: str

    def paint(self, lines: Sequence[_Line], top: float) -> None:
        self._head(top)
        at = top + 5.0
        for line in lines:
            if line.row is None:
                self.ink.write(self.x, at + 3.9, line.words, SMALL_STRONG)
            else:
                self._result(line.row, at)
            at += line.height

    def _ends(self) -> tuple[float, float, float]:
        right = self.x + self.width
        return right - 28.0, right - 13.5, right

    def _head(self, top: float) -> None:
        names = ("as found", "as built", "change") if self.study.changed else ("", "", "as found")
        for end, name in zip(self._ends(), names, strict=True):
            self.ink.write(end, top + 3.4, name, FINE, "right", 14.0)
        self.ink.rule((self.x, top + 4.8), (self.x + self.width, top + 4.8), THIN)

    def _result(self, result_row: ResultRow, top: float) -> None:
        baseline, result = top + 2.9, result_row.result
        self.ink.write(
            self.x, baseline, self._title(result_row), FINE, width=self.width - FIGURES_ROOM
        )
        measured = self._number(result_row.measured, result)
        before, now, moves = self._ends()
        if not self.study.changed:
            self.ink.write(moves, baseline, measured, FINE_STRONG, "right", 14.0)
        else:
            proposed = self._number(result_row.proposed, result)
            self.ink.write(before, baseline, measured, FINE, "right", 14.0)
            self.ink.write(now, baseline, proposed, FINE_STRONG, "right", 14.0)
            self.ink.write(moves, baseline, self._move(result_row), FINE, "right", 13.0)
        self.ink.rule((self.x, top + ROW), (self.x + self.width, top + ROW), THIN / 2, GREY)

    def _title(self, result_row: ResultRow) -> str:
        """Return a result's title with its unit and its sign's meaning, where there is room."""
        result, units = result_row.result, self.study.setup.units
        unit = result_unit(result, units)
        title = f"{result.title}, {unit}" if unit else result.title
        value = result_row.measured if result_row.proposed is None else result_row.proposed
        meaning = sign_words(value, result, units) if result.plus and result.minus else ""
        words = [f"{title}: {meaning}", title] if meaning else [title]
        room = self.width - FIGURES_ROOM
        return next((each for each in words if width_of(each, Face(LEAST)) <= room), result.title)

    def _number(self, value: float | None, result: Result, plus: bool = False) -> str:
        units = self.study.setup.units
        return result_number(value, result, units, plus=plus, decimal=self.decimal)

    def _move(self, row: ResultRow) -> str:
        if is_zero(row.move, row.result, self.study.setup.units):
            return ""
        return self._number(row.move, row.result, plus=True)


# Limits


def limit_blocks(study: Study[Any], paper: Paper, decimal: str) -> list[Block]:
    """Return every limit with the reading nearest to it, and whether it is kept."""
    limits = limit_checks(study)
    if not limits:
        return []
    left = paper.margin
    columns = [
        Column(left, 62.0, "left"),
        Column(left + 90.0, 24.0),
        Column(left + 114.0, 24.0),
        Column(left + 120.0, paper.inner - 144.0, "left"),
        Column(paper.right, 24.0),
    ]
    heads = ("", "as found", "as built", "limit", "")
    if not study.changed:
        heads = ("", "", "as found", "limit", "")
    rows = [row(columns, [(head, FINE) for head in heads], 4.4)]
    rows += [row(columns, _limit_cells(reading, study, decimal), 4.6) for reading in limits]
    rows = [rows[0], *(replace(table_row, repeats=rows[0]) for table_row in rows[1:])]
    return kept([heading("Limits", paper.margin), *rows, *_who_says(limits, paper)])


def _limit_cells(reading: LimitCheck, study: Study[Any], decimal: str) -> list[tuple[str, Face]]:
    units, result = study.setup.units, reading.result
    before, after = (
        _beside(reading, r, units, decimal) for r in (reading.measured, reading.proposed)
    )
    verdict = {True: "kept", False: "NOT KEPT", None: "can't be told"}[reading.held]
    face = SMALL_STRONG if reading.held is False else SMALL
    return [
        (f"{result.title}{_where(reading.proposed)}", SMALL),
        (before if study.changed else "", SMALL),
        (after, face),
        (limit_words(reading.limit, result, units, decimal=decimal), SMALL),
        (verdict, face),
    ]


def _beside(reading: LimitCheck, extreme: Extreme | None, units: Units, decimal: str) -> str:
    if extreme is None:
        return NO_VALUE
    places = value_places(extreme.value, reading.limit, reading.result, units)
    return result_text(extreme.value, reading.result, units, decimal=decimal, places=places)


def _where(reading: Extreme | None) -> str:
    if reading is None:
        return ""
    words = {"steer": ", on lock"}
    if reading.driver == "travel":
        return ", in bump" if reading.at > 0 else ", in rebound"
    return words.get(reading.driver, "")


def _who_says(limits: Sequence[LimitCheck], paper: Paper) -> list[Block]:
    """Return who or what set the limits, all in one paragraph."""
    authors = [f"{r.result.title}: {r.limit.by}" for r in limits if r.limit.by]
    words = f"Set by: {'; '.join(authors)}." if authors else ""
    return paragraph(words, paper.margin, paper.inner, FINE, 0.8) if authors else []


# Notes and what is missing


def note_blocks(setup: Setup, paper: Paper, end: str = "", text: bool = True) -> list[Block]:
    """Return the user's notes, line by line, and those of the points of an end, or of all."""
    notes = unbroken(setup.notes.strip()) if text else ""
    blocks = paragraph(notes, paper.margin, paper.inner, TEXT) if notes else []
    for key, note in setup.point_notes.items():
        if key.startswith(end):
            words = f"{point_title(key, setup.evidence) if key in KEYS else key}: {note}"
            blocks += paragraph(words, paper.margin, paper.inner, SMALL, 0.6)
    return [heading("Notes", paper.margin), *blocks] if blocks else []


def unbroken(text: str) -> str:
    """Join the lines of a paragraph; empty lines, lists and indented lines stay as they are."""
    lines: list[str] = []
    for line in text.split("\n"):
        is_own_line = not line.strip() or line[0] in "-*•·+ \t" or line[0].isdigit()
        if lines and lines[-1] and not is_own_line:
            lines[-1] = f"{lines[-1]} {line}"
        else:
            lines.append(line)
    return "\n".join(lines)


def missing_blocks(study: Study[Any], paper: Paper) -> list[Block]:
    """Return what isn't known, and which measurement would tell."""
    blocks: list[Block] = []
    for missing in missing_rows(study):
        titles = ", ".join(result.title for result in missing.results)
        names = " and ".join(_needed(key) for key in missing.needs)
        words = f"{titles}: needs {names}."
        blocks += paragraph(words, paper.margin, paper.inner, SMALL, 0.6, "·")
    return [heading("What is missing", paper.margin), *blocks] if blocks else []


def _needed(key: str) -> str:
    return KEYS[key].in_sentence if key in KEYS else key
