"""All results of both cars by groups, in two columns; limits; what is missing; notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from app.document.address import SIDES
from app.document.keys import KEYS
from app.document.model import Setup, Units
from app.document.point_names import point_title
from app.document.units import NO_VALUE
from app.paper.faces import FINE, SMALL, SMALL_STRONG, TEXT, Face, width_of, wrapped
from app.paper.flow import Block, kept
from app.paper.ink import GREY, THIN, Ink
from app.paper.parts import Column, heading, paragraph, row
from app.paper.sizes import Paper
from app.shop.results import ResultRow, missing_rows, result_rows
from app.systems.answers import Study
from app.systems.banded import CARS_OF, ENDLESS, CarOf
from app.systems.limits import Extreme, LimitCheck, limit_checks, readings, worst
from app.words.bands import band_places, banded_number, banded_text, is_open, percent, within_number
from app.words.results import (
    TWO_MODELS,
    is_zero,
    limit_words,
    result_text,
    result_unit,
    sign_words,
    value_places,
)
from geometry.catalogue.front import JOINTS, Result
from geometry.dataclass import dataclass

ROW: Final = 4.5
MORE: Final = 3.9  # for a further line of a title
GROUP: Final = 5.8
GUTTER: Final = 6.0
BAND: Final = 90.0  # of lines that stand in two columns together, at least [mm]
HANG: Final = 3.0  # by which further lines of a title are set in
_FOUND_ROOM: Final = 27.0  # of a limit's figures [mm]
_BUILT_ROOM: Final = 25.0
_ANYWHERE: Final = "may be anywhere, through infinity"
_OPEN: Final = (
    "“kept?” with a percentage: by how well the car was measured, the limit may or may not be "
    "kept; so probably it is."
)
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


# Limits


def limit_blocks(
    study: Study[Any], paper: Paper, decimal: str, is_stopped: bool = False
) -> list[Block]:
    """Return every limit with the reading nearest to it, and whether it is kept."""
    limits = limit_checks(study)
    if is_stopped:
        limits = tuple(replace(limit, proposed=None) for limit in limits)
    if not limits:
        return []
    left = paper.margin
    columns = [
        Column(left, 62.0, "left"),
        Column(left + 90.0, _FOUND_ROOM),
        Column(left + 116.0, _BUILT_ROOM),
        Column(left + 120.0, paper.inner - 144.0, "left"),
        Column(paper.right, 24.0),
    ]
    heads = ("", "as found", "as built", "limit", "")
    if not study.changed:
        heads = ("", "", "as found", "limit", "")
    rows = [row(columns, [(head, FINE) for head in heads], 4.4)]
    rows += [row(columns, _limit_cells(reading, study, decimal), 4.6) for reading in limits]
    rows = [rows[0], *(replace(table_row, repeats=rows[0]) for table_row in rows[1:])]
    bands = study.bands
    if bands is not None and any(is_open(bands.kept.get(one.result.key)) for one in limits):
        rows += paragraph(_OPEN, paper.margin, paper.inner, FINE, 0.8)
    return kept([heading("Limits", paper.margin), *rows, *_who_says(limits, paper)])


def _limit_cells(reading: LimitCheck, study: Study[Any], decimal: str) -> list[tuple[str, Face]]:
    units, result = study.setup.units, reading.result
    before = _beside(reading, reading.measured, study, "found", decimal)
    after = _beside(reading, reading.proposed, study, "built", decimal)
    was, now = reading.measured, reading.proposed
    if study.changed and was and now and was.side != now.side and _wheel(reading, study):
        before = f"{before}, {was.side}"
    verdict = {True: "kept", False: "NOT KEPT", None: "can't be told"}[reading.held]
    chance = None if study.bands is None else study.bands.kept.get(result.key)
    if chance is not None and is_open(chance):
        verdict = f"kept? {percent(chance)}"
    face = SMALL_STRONG if reading.held is False else SMALL
    return [
        (f"{result.title}{_where(reading.proposed)}{_wheel(reading, study)}", SMALL),
        (before if study.changed else "", SMALL),
        (after, face),
        (limit_words(reading.limit, result, units, decimal=decimal), SMALL),
        (verdict, face),
    ]


def _beside(
    reading: LimitCheck, extreme: Extreme | None, study: Study[Any], car: CarOf, decimal: str
) -> str:
    """Return a figure seen on its side of a limit, or with how far it may be off."""
    if extreme is None:
        return NO_VALUE
    result, units = reading.result, study.setup.units
    side = SIDES.index(extreme.side) if extreme.side in SIDES else 0
    within, bands = None, study.bands
    if bands is not None and result.group == JOINTS:
        within = bands.within_most(car, result)
    elif bands is not None:
        within = bands.within(car, result, side)
    if within == ENDLESS:
        return NO_VALUE
    if within is not None and within_number(within, result, units):
        text = banded_text(extreme.value, within, result, units, decimal=decimal)
        room = _FOUND_ROOM if car == "found" else _BUILT_ROOM
        places = max(band_places(within, result, units) or 0, 0)
        if width_of(text, SMALL_STRONG) <= room:
            return text
        return result_text(extreme.value, result, units, decimal=decimal, places=places)
    places = value_places(extreme.value, reading.limit, result, units)
    return result_text(extreme.value, result, units, decimal=decimal, places=places)


def _wheel(reading: LimitCheck, study: Study[Any]) -> str:
    """Name the wheel that is nearer to the limit, where the other one reads otherwise."""
    result = reading.result
    extremes = list(readings(study.proposed, result))
    left, right = (
        worst(reading.limit, (each for each in extremes if each.side == side)) for side in SIDES
    )
    if reading.proposed is None or left is None or right is None:
        return ""
    is_alike = is_zero(left.value - right.value, result, study.setup.units)
    return "" if is_alike else f", {reading.proposed.side}"


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
