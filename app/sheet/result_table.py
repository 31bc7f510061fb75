"""All results of both cars by groups, in two columns; limits; what is missing; notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.model import Units
from app.document.units import NO_VALUE
from app.paper.faces import FINE, SMALL, SMALL_STRONG, wrapped
from app.paper.flow import Block, kept
from app.paper.ink import GREY, THIN, Ink
from app.paper.parts import heading
from app.paper.sizes import Paper
from app.shop.results import ResultRow, result_rows
from app.systems.answers import Study
from app.systems.banded import CARS_OF, ENDLESS, CarOf
from app.words.bands import banded_number, within_number
from app.words.results import (
    TWO_MODELS,
    is_zero,
    result_unit,
    sign_words,
)
from geometry.catalogue.front import Result
from geometry.dataclass import dataclass

ROW: Final = 4.5
MORE: Final = 3.9  # for a further line of a title
GROUP: Final = 5.8
GUTTER: Final = 6.0
BAND: Final = 90.0  # of lines that stand in two columns together, at least [mm]
HANG: Final = 3.0  # by which further lines of a title are set in
_ANYWHERE: Final = "may be anywhere, through infinity"
FIGURES_ROOM: Final = 44.0  # for the figures beside a title [mm]


@dataclass(frozen=True)
class _Line:
    """A line of a column: a group's name, or a result with its title in lines."""

    words: tuple[str, ...]
    row: ResultRow | None = None
    is_banded: bool = False  # how far its figures may be off stands under them

    @property
    def height(self) -> float:
        lines = max(len(self.words), 2 if self.is_banded else 1)
        return ROW + (lines - 1) * MORE if self.row else GROUP


def result_blocks(
    study: Study[Any], paper: Paper, decimal: str, is_stopped: bool = False
) -> list[Block]:
    """Return the table of results in bands of two columns, each band whole on its page.

    Of a proposal that `is_stopped` every figure is a dash.
    """
    rows = result_rows(study, is_stopped)
    width = (paper.inner - GUTTER) / 2
    columns = [
        _Column(study, paper.margin + index * (width + GUTTER), width, decimal) for index in (0, 1)
    ]
    head = _head(columns)
    note = "each car on its wheels"
    if study.system.unreal(study, decimal):
        note += "; as built of no real part: see the stop on page 1"
    note += "; ± holds in 95 of 100 cases" if study.bands is not None else ""
    note += (
        f"; {NO_VALUE} {_ANYWHERE}" if any(_is_endless(study, each.result) for each in rows) else ""
    )
    first, *more = [
        replace(_band(columns, lines), repeats=head)
        for lines in _bands(list(_groups(study, rows, width - FIGURES_ROOM)))
    ]
    return [*kept([heading("Results", paper.margin, note, paper.right), head, first]), *more]


def _is_endless(study: Study[Any], result: Result) -> bool:
    bands = study.bands
    return bands is not None and ENDLESS in (bands.within(car, result) for car in CARS_OF)


def _head(columns: Sequence[_Column]) -> Block:
    def paint(ink: Ink, top: float) -> None:
        for column in columns:
            column.head(ink, top)

    return Block(5.0, paint)


def _band(columns: Sequence[_Column], lines: Sequence[_Line]) -> Block:
    halves = _halves(lines)

    def paint(ink: Ink, top: float) -> None:
        for column, half in zip(columns, halves, strict=True):
            column.paint(ink, half, top)

    return Block(max(map(_height, halves)) + 0.8, paint)


def _height(lines: Sequence[_Line]) -> float:
    return sum(line.height for line in lines)


def _groups(study: Study[Any], rows: Sequence[ResultRow], room: float) -> Iterator[list[_Line]]:
    """Yield the lines group by group, each with its name first."""
    units = study.setup.units
    lines: list[_Line] = []
    group = ""
    for table_row in rows:
        if table_row.result.group != group:
            if lines:
                yield lines
            group = table_row.result.group
            lines = [_Line((group,))]
        is_banded = any(_bands_said(study, table_row.result, "."))
        lines.append(_Line(_title(table_row, units, room), table_row, is_banded))
    if lines:
        yield lines


def _bands(groups: Sequence[list[_Line]]) -> Iterator[list[_Line]]:
    """Yield groups together as long as a band is lower than it should be."""
    band: list[_Line] = []
    for group in groups:
        band += group
        if _height(band) >= BAND:
            yield band
            band = []
    if band:
        yield band


def _halves(lines: Sequence[_Line]) -> tuple[Sequence[_Line], Sequence[_Line]]:
    """Return both columns of a band; a group that goes on in the second one is named again."""
    cut = _cut(lines, _height(lines) / 2)
    if cut < len(lines) and lines[cut].row is not None:
        name = next(line for line in reversed(lines[:cut]) if line.row is None)
        return lines[:cut], (name, *lines[cut:])
    return lines[:cut], lines[cut:]


def _title(result_row: ResultRow, units: Units, room: float) -> tuple[str, ...]:
    """Return a result's title with its unit and its sign's meaning, in as many lines as needed.

    The right wheel's row stands under the left one's, which tells the rest.
    """
    result = result_row.result
    if result_row.side == "right":
        first, *more = wrapped(f"{result.short}, right", SMALL, room)
        return (first, *(wrapped(" ".join(more), SMALL, room - HANG) if more else ()))
    unit = result_unit(result, units)
    models = TWO_MODELS if result_row.is_by_two_models else ""
    title = ", ".join(filter(None, (result.title, result_row.side, unit, models)))
    value = result_row.measured if result_row.proposed is None else result_row.proposed
    meaning = sign_words(value, result, units) if result.plus and result.minus else ""
    first, *more = wrapped(f"{title}: {meaning}" if meaning else title, SMALL, room)
    return (first, *(wrapped(" ".join(more), SMALL, room - HANG) if more else ()))


def _bands_said(study: Study[Any], result: Result, decimal: str) -> tuple[str, str, str]:
    """Return how far a result may be off as found, as built, and how far its move."""
    if study.bands is None:
        return "", "", ""
    found, built, moves = (
        within_number(study.bands.within(car, result), result, study.setup.units, decimal=decimal)
        for car in CARS_OF
    )
    return found, built, moves


def _cut(lines: Sequence[_Line], half: float) -> int:
    """Return where the second column begins: near the middle, never after a lone group's name."""
    at, index = 0.0, 0
    while index < len(lines) and at < half:
        at += lines[index].height
        index += 1
    row = lines[index].row if index < len(lines) else None
    if row is not None and row.side == "right":  # under the left wheel's
        index -= 1
    return index - 1 if index and lines[index - 1].row is None else index


@dataclass(frozen=True)
class _Column:
    study: Study[Any]
    x: float
    width: float
    decimal: str

    def paint(self, ink: Ink, lines: Sequence[_Line], top: float) -> None:
        at = top
        for line in lines:
            if line.row is None:
                ink.write(self.x, at + 4.4, line.words[0], SMALL_STRONG)
            else:
                self._result(ink, line, line.row, at)
            at += line.height

    def _ends(self) -> tuple[float, float, float]:
        right = self.x + self.width
        return right - 28.5, right - 13.5, right

    def head(self, ink: Ink, top: float) -> None:
        """Name the columns of figures."""
        names = ("as found", "as built", "change") if self.study.changed else ("", "", "as found")
        for end, name in zip(self._ends(), names, strict=True):
            ink.write(end, top + 3.4, name, FINE, "right", 14.0)
        ink.rule((self.x, top + 4.8), (self.x + self.width, top + 4.8), THIN)

    def _result(self, ink: Ink, line: _Line, result_row: ResultRow, top: float) -> None:
        baseline, result = top + 3.3, result_row.result
        for index, words in enumerate(line.words):
            ink.write(self.x + (HANG if index else 0.0), baseline + index * MORE, words, SMALL)
        measured = self._number(result_row.measured, result, "found")
        before, now, moves = self._ends()
        if not self.study.changed:
            ink.write(moves, baseline, measured, SMALL_STRONG, "right", 14.0)
        else:
            proposed = self._number(result_row.proposed, result, "built")
            ink.write(before, baseline, measured, SMALL, "right", 14.5)
            ink.write(now, baseline, proposed, SMALL_STRONG, "right", 14.5)
            ink.write(moves, baseline, self._move(result_row), SMALL, "right", 13.0)
        if line.is_banded:
            self._bands(ink, result_row, baseline + MORE - 0.6)
        under = top + line.height
        ink.rule((self.x, under), (self.x + self.width, under), THIN / 2, GREY)

    def _bands(self, ink: Ink, result_row: ResultRow, baseline: float) -> None:
        """Write how far each figure may be off under it."""
        found, built, moves = _bands_said(self.study, result_row.result, self.decimal)
        texts = (found, built, moves if self._move(result_row) else "")
        if not self.study.changed:
            texts = ("", "", found)
        for end, text in zip(self._ends(), texts, strict=True):
            ink.write(end, baseline, text, FINE, "right", 14.0)

    def _number(self, value: float | None, result: Result, car: CarOf, plus: bool = False) -> str:
        units, bands = self.study.setup.units, self.study.bands
        within = None if bands is None else bands.within(car, result)
        return banded_number(value, within, result, units, plus=plus, decimal=self.decimal)

    def _move(self, row: ResultRow) -> str:
        if row.is_by_two_models:
            return NO_VALUE
        if is_zero(row.move, row.result, self.study.setup.units):
            return ""
        return self._number(row.move, row.result, "moves", plus=True)
