"""The report as pages of text: changes, what they do, every result, limits, notes, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

from app.cli.balance import balance_table
from app.cli.clearance import clearance_table
from app.cli.questions import doubts_of
from app.cli.rear_tables import rear_tables
from app.cli.report_bands import band_words, figure, kept_cell
from app.cli.report_json import all_notes
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal
from app.document.address import SIDES
from app.document.ends import end_of
from app.document.keys import is_point
from app.document.model import Change, Setup, Units
from app.document.plain_text import upper_first
from app.judge.survey_words import adjusted_words
from app.judge.whole_car import all_sentences
from app.shop.stops import NO_FIGURES, is_stopped
from app.systems.answers import CARS, Study
from app.systems.banded import CarOf
from app.systems.cautions import cautions_of
from app.systems.clearance.clearances import clearances, driver_of
from app.systems.every import BY_KEY
from app.systems.height_words import height_words
from app.systems.limits import LimitCheck, limit_checks
from app.systems.naming import title_of
from app.systems.report import Report
from app.systems.sides import sides_are_alike, sides_told, value_told
from app.systems.study_results import value_of
from app.words.changes import BOLTED_ON, MADE, is_bolted_on
from app.words.results import (
    TWO_MODELS,
    beside_limit,
    is_zero,
    limit_number,
    result_number,
    result_unit,
    sign_words,
)
from geometry.catalogue.front import JOINTS, Result

OWN_TABLES: Final = {"rear": rear_tables}  # what only one system has, by its key
STEERED: Final = (  # exist on lock alone: curves tell them
    "ackermann_steer",
    "ackermann_track_steer",
)
_UNREAL: Final = "*"  # at a figure that is of no real part
_OVER: Final = {"steer": "steer", "roll": "lean"}
_MARKS: Final = {"wrong": "!! ", "watch": "!  ", "plain": "-  "}
_UNITS: Final = {"mm": "mm, N, degrees", "in": "in, lbf, degrees"}


def report_text(ends: Sequence[Report], path: Path, terminal: Terminal) -> str:
    """Return the report on one end of the car, or on both."""
    page = Page(terminal)
    setup = ends[0].study.setup
    _head(page, setup, ends, path)
    _questions(page, ends, path)
    _changes(page, setup)
    for end in ends:
        _end(page, end, ends, f"{end.study.system.key.capitalize()}: " if len(ends) > 1 else "")
    balance_table(page, ends)
    warnings = cautions_of([end.study for end in ends])
    if warnings:
        page.heading("Before you start")
        for caution in warnings:
            page.paragraph(caution, "- ")
    return page.text()


def _end(page: Page, end: Report, ends: Sequence[Report], which: str) -> None:
    stopped = is_stopped(end.study)
    lines = [
        line
        for line in all_sentences(end.study, [other.study for other in ends])
        if line.stops or not stopped
    ]
    if lines:
        what = "what it does" if end.study.changed else "to know about this car"
        page.heading(upper_first(f"{which}{what}"))
        for sentence in lines:
            page.paragraph(sentence.text, _MARKS[sentence.severity])
    page.heading(upper_first(f"{which}results, each car on its wheels"))
    page.paragraph(height_words(end.study), indent="")
    why = end.study.system.unreal(end.study, ".") or (NO_FIGURES if stopped else "")
    if why:
        page.paragraph(f"{why} They bear this mark.", f"{_UNREAL} ")
    if words := band_words(end.study):
        page.paragraph(words, indent="")
    mark = _UNREAL if why else ""
    page.table(_columns(end.study), list(_rows(end, mark)))
    own = OWN_TABLES.get(end.study.system.key)
    _at_measured_height(page, end, which, mark)
    if not stopped and clearances(end.study):
        ways = _OVER[driver_of(end.study)]
        page.heading(upper_first(f"{which}clearances, the least over travel and {ways}"))
        clearance_table(page, end.study)
    if not stopped and own is not None:
        own(page, end.study)
    _notes(page, end, which)


def _head(page: Page, setup: Setup, ends: Sequence[Report], path: Path) -> None:
    page.heading(setup.title)
    which = " and ".join(end.study.system.key for end in ends)
    facts = [path.name, which, _UNITS[setup.units]]
    for key, word in (("sheet.revision", "revision"), ("sheet.measured", "measured")):
        if setup.evidence.get(key):
            facts.append(f"{word} {setup.evidence[key]}")
    facts += filter(None, [adjusted_words(setup)])
    page.paragraph(" · ".join(facts), indent="")
    for line in setup.notes.strip().splitlines():
        page.paragraph(line.strip(), indent="")


def _questions(page: Page, ends: Sequence[Report], path: Path) -> None:
    doubts_of_file = doubts_of(ends[0].study.setup, path, [end.study.system.key for end in ends])
    if doubts_of_file:
        page.heading("Read once more")
        for doubt in doubts_of_file:
            page.paragraph(doubt.said(path.name), "?  ")


def _changes(page: Page, setup: Setup) -> None:
    on = [change for change in setup.changes if change.on]
    off = len(setup.changes) - len(on)
    page.heading("Changes that are on")
    for number, change in enumerate(on, 1):
        page.paragraph(f"{change.name}: {_made(change)}", f"{number} ")
    if not on:
        page.paragraph("None: the car as measured.")
    if off:
        page.paragraph(f"{off} more {'is' if off == 1 else 'are'} off.")


def _made(change: Change) -> str:
    """Say how a change is made."""
    moved = [*change.moves, *(key for key in change.sets if is_point(key))]
    if is_bolted_on(change):
        return BOLTED_ON
    if not moved:
        return "new values"
    how = MADE[change.parts]
    if not any("steer" in BY_KEY[end_of(key)].drivers for key in moved):
        return how
    return f"{how}; toe {'reset' if change.toe == 'reset' else 'left as it comes'}"


def _columns(study: Study[Any]) -> list[Column]:
    values = ["as found", "as built", "change"] if study.changed else ["as found"]
    heads = [Column(head) for head in values]
    if study.bands is not None:
        heads = [each for head in heads for each in (head, Column("±"))]
    return [
        Column("", words=True),
        *heads,
        Column("unit", words=True),
        Column("means; limit", words=True),
    ]


def _rows(end: Report, mark: str) -> Iterator[Row]:
    limits = {reading.result.key: reading for reading in limit_checks(end.study)}
    group = ""
    for result in end.results:
        rows = list(_result_rows(end, result, limits.get(result.key), mark))
        if rows and result.group != group:
            yield from ("", result.group) if group else (result.group,)
            group = result.group
        yield from rows


def _result_rows(end: Report, result: Result, limit: LimitCheck | None, mark: str) -> Iterator[Row]:
    if not end.applies(result) or result.key in STEERED:
        return
    study = end.study
    swings = result.group == JOINTS
    for side in sides_told(study, result):
        title = end.titled(result) if side is None else f"{end.titled(result)}, {side}"
        before, after = (value_told(study.cars[car], result, side) for car in CARS)
        place = 0 if side is None else SIDES.index(side)
        yield _cells(
            study, result, f"  {title}", (before, after), None if swings else limit, mark, place
        )
    if swings and limit is not None:
        both = (limit.measured, limit.proposed)
        before, after = (None if each is None else each.value for each in both)
        yield _cells(
            study, result, "    the most in travel and steer", (before, after), limit, mark
        )


def _cells(
    study: Study[Any],
    result: Result,
    title: str,
    values: tuple[float | None, float | None],
    limit: LimitCheck | None,
    mark: str,
    side: int | None = None,
) -> Row:
    """Return a row of both cars' values, before and after; the mark stands at what is of no car.

    `side` is where its figures stand in the bands, None for the most over travel and steer.
    """
    (before, after), units = values, study.setup.units
    two_models = study.system.is_by_two_models(study, result)
    told = [_figure(study, "found", result, before, side, _number(before, result, limit, units))]
    if study.changed:
        moves = None if before is None or after is None or two_models else after - before
        plain = _number(after, result, limit, units)
        built, within = _figure(study, "built", result, after, side, plain)
        plain = result_number(moves, result, units, plus=True)
        change, off = _figure(study, "moves", result, moves, side, plain)
        told += [(f"{built}{mark if after is not None else ''}", within)]
        told += [(f"{change}{mark if moves is not None else ''}", off)]
    numbers = [part for one in told for part in (one if study.bands is not None else one[:1])]
    meaning = sign_words(after, result, units) if result.plus and result.minus else ""
    models = TWO_MODELS if two_models else ""
    chance = "" if limit is None else kept_cell(study, result)
    said = (meaning, models, _limit_cell(limit, after, units), chance)
    return [title, *numbers, result_unit(result, units), "; ".join(filter(None, said))]


def _figure(
    study: Study[Any], car: CarOf, result: Result, value: float | None, side: int | None, plain: str
) -> tuple[str, str]:
    return figure(study, car, result, value, side, plain)


def _number(value: float | None, result: Result, reading: LimitCheck | None, units: Units) -> str:
    if value is None or reading is None:
        return result_number(value, result, units)
    return beside_limit(value, reading.limit, result, units)


def _limit_cell(reading: LimitCheck | None, value: float | None, units: Units) -> str:
    """Return a limit in few characters, and whether a row's value as built is past it."""
    if reading is None:
        return ""
    low, high = reading.limit.minimum, reading.limit.maximum
    ends = [
        None if end is None else limit_number(end, reading.result, units) for end in (low, high)
    ]
    if low is not None and high is not None:
        said = f"±{ends[1]}" if low == -high else f"{ends[0]} to {ends[1]}"
    else:
        said = f"≥ {ends[0]}" if high is None else f"≤ {ends[1]}"
    return said if value is None or reading.limit.allows(value) else f"{said} PAST"


def _at_measured_height(page: Page, end: Report, which: str, mark: str) -> None:
    """Add what the proposal would be at the measured height, where it stands elsewhere."""
    rows = [*_height_rows(end, mark)]
    if not rows:
        return
    page.heading(upper_first(f"{which}the proposal at the measured height, beside where it stands"))
    columns = [Column("", words=True), Column("as built"), Column("at that height")]
    page.table([*columns, Column("unit", words=True)], rows)


def _height_rows(end: Report, mark: str) -> Iterator[Row]:
    study, units = end.study, end.study.setup.units
    if study.proposed.stand.is_as_measured:
        return
    for result in (each for each in end.results if each.scope != "car"):
        for side, name in enumerate(SIDES[: 2 if result.scope == "wheel" else 1]):
            built, there = (
                value_of(car, result, side) for car in (study.proposed, study.unsettled)
            )
            if built is None or there is None or is_zero(there - built, result, units):
                continue
            both = not sides_are_alike(study, result)
            if side and not both:
                continue
            title = f"  {result.title}, {name}" if both else f"  {result.title}"
            numbers = [f"{result_number(value, result, units)}{mark}" for value in (built, there)]
            yield [title, *numbers, result_unit(result, units)]


def _notes(page: Page, end: Report, which: str) -> None:
    notes_by_car = {car: list(end.rest_notes(car, title_of)) for car in CARS}
    notes = [*end.setup_notes(title_of), *all_notes(notes_by_car)]
    if notes:
        page.heading(upper_first(f"{which}notes"))
        for note in notes:
            page.paragraph(note, "- ")
