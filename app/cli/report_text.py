"""The report as pages of text: changes, what they do, every result, limits, notes, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from app.cli.notes import applies, rest_notes, setup_notes, title_of
from app.cli.report_json import all_notes, cars
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal
from app.document.model import Change, Units
from app.document.naming import length_words
from app.limit_readings import SIDES, LimitReading, limit_readings
from app.plain_words import cautions, sentences
from app.result_words import is_zero, result_number, result_unit
from app.study import Study, value_at_rest, value_in
from geometry.catalogue import JOINTS, RESULTS, Result
from geometry.front_sweeps import FrontStudy, Sweep

_MARKS: Final = {"wrong": "!! ", "watch": "!  ", "plain": "-  "}
_UNITS: Final = {"mm": "mm, N, degrees", "in": "in, lbf, degrees"}


def report_text(study: Study, path: Path, terminal: Terminal) -> str:
    """Return the report."""
    page = Page(terminal)
    _head(page, study, path)
    _changes(page, study)
    told = sentences(study)
    if told:
        page.heading("What it does" if study.changed else "To know about this car")
        for sentence in told:
            page.paragraph(sentence.text, _MARKS[sentence.severity])
    page.heading("Results at the measured height")
    page.table(_columns(study), list(_rows(study)))
    _settled(page, study)
    _notes(page, study)
    warnings = cautions(study)
    if warnings:
        page.heading("Before you start")
        for caution in warnings:
            page.paragraph(caution, "- ")
    return page.text()


def _head(page: Page, study: Study, path: Path) -> None:
    evidence = study.setup.evidence
    page.heading(study.setup.title)
    facts = [path.name, "front", _UNITS[study.setup.units]]
    for key, word in (("sheet.revision", "revision"), ("sheet.measured", "measured")):
        if evidence.get(key):
            facts.append(f"{word} {evidence[key]}")
    page.paragraph(" · ".join(facts), indent="")
    for line in study.setup.notes.strip().splitlines():
        page.paragraph(line.strip(), indent="")


def _changes(page: Page, study: Study) -> None:
    on = [change for change in study.setup.changes if change.on]
    off = len(study.setup.changes) - len(on)
    page.heading("Changes that are on")
    for number, change in enumerate(on, 1):
        page.paragraph(f"{change.name}: {_made(change)}", f"{number} ")
    if not on:
        page.paragraph("None: the car as measured.")
    if off:
        page.paragraph(f"{off} more {'is' if off == 1 else 'are'} off.")


def _made(change: Change) -> str:
    """Say how a change is made."""
    if not change.moves:
        return "new values"
    how = "same parts, moved holes" if change.parts == "kept" else "new parts, made to fit"
    return f"{how}; toe {'reset' if change.toe == 'reset' else 'left as it comes'}"


def _columns(study: Study) -> list[Column]:
    values = ["measured", "proposed", "moves by"] if study.changed else ["measured"]
    heads = [Column(head) for head in values]
    return [Column("", words=True), *heads, Column("unit", words=True), Column("limit", words=True)]


def _rows(study: Study) -> Iterator[Row]:
    limits = {reading.result.key: reading for reading in limit_readings(study)}
    group = ""
    for result in RESULTS:
        rows = list(_result_rows(study, result, limits.get(result.key)))
        if rows and result.group != group:
            yield from ("", result.group) if group else (result.group,)
            group = result.group
        yield from rows


def _result_rows(study: Study, result: Result, limit: LimitReading | None) -> Iterator[Row]:
    if not applies(result, study.setup):
        return
    alike = result.scope != "wheel" or _alike(study, result)
    swings = result.group == JOINTS
    for side, name in enumerate(SIDES[: 1 if alike else 2]):
        title = _title(study, result) if alike else f"{_title(study, result)}, {name}"
        before, after = (value_at_rest(car, result, side) for _, car in cars(study))
        said = "" if swings or side else _limit_cell(limit, study.setup.units)
        yield _cells(study, result, f"  {title}", before, after, said)
    if swings and limit is not None:
        both = (limit.measured, limit.proposed)
        before, after = (None if each is None else each.value for each in both)
        said = _limit_cell(limit, study.setup.units)
        yield _cells(study, result, "    the most in travel and steer", before, after, said)


def _title(study: Study, result: Result) -> str:
    """Return a title with what the result is stated over."""
    units = study.setup.units
    if result.key in ("toe_length", "bump_steer_length"):
        return f"{result.title} over {length_words(study.measured.front.car.toe_diameter, units)}"
    if result.key == "bump_steer_range":
        return f"{result.title} over ±{length_words(study.ranges.window, units)}"
    return result.title


def _cells(
    study: Study,
    result: Result,
    title: str,
    before: float | None,
    after: float | None,
    limit: str,
) -> Row:
    units = study.setup.units
    numbers = [result_number(before, result, units)]
    if study.changed:
        moves = None if before is None or after is None else after - before
        numbers += [
            result_number(after, result, units),
            result_number(moves, result, units, plus=True),
        ]
    return [title, *numbers, result_unit(result, units), limit]


def _limit_cell(reading: LimitReading | None, units: Units) -> str:
    """Return a limit in few characters, and whether it is passed."""
    if reading is None:
        return ""
    low, high = reading.limit.minimum, reading.limit.maximum
    ends = [
        None if end is None else result_number(end, reading.result, units) for end in (low, high)
    ]
    if low is not None and high is not None:
        said = f"±{ends[1]}" if low == -high else f"{ends[0]} to {ends[1]}"
    else:
        said = f"≥ {ends[0]}" if high is None else f"≤ {ends[1]}"
    return f"{said} PAST" if reading.held is False else said


def _alike(study: Study, result: Result) -> bool:
    units = study.setup.units
    for _, car in cars(study):
        left, right = (value_at_rest(car, result, side) for side in (0, 1))
        if (left is None) != (right is None):
            return False
        if left is not None and right is not None and not is_zero(left - right, result, units):
            return False
    return True


def _settled(page: Page, study: Study) -> None:
    """Add what else the proposal is like once the same load has settled it."""
    car = study.proposed
    if not study.changed or car.settled is None:
        return
    rows = [*_settled_rows(study, car, car.settled)]
    if not rows:
        return
    page.heading("Results of the proposal once it has settled, same load")
    columns = [Column("", words=True), Column("as drawn"), Column("settled")]
    page.table([*columns, Column("unit", words=True)], rows)


def _settled_rows(study: Study, car: FrontStudy, settled: Sweep) -> Iterator[Row]:
    units = study.setup.units
    for result in (each for each in RESULTS if each.scope != "car"):
        for side, name in enumerate(SIDES[: 2 if result.scope == "wheel" else 1]):
            drawn, sat = value_at_rest(car, result, side), value_in(settled, result, side)
            if drawn is None or sat is None or is_zero(sat - drawn, result, units):
                continue
            both = result.scope == "wheel" and not _alike(study, result)
            if side and not both:
                continue
            title = f"  {result.title}, {name}" if both else f"  {result.title}"
            numbers = [result_number(value, result, units) for value in (drawn, sat)]
            yield [title, *numbers, result_unit(result, units)]


def _notes(page: Page, study: Study) -> None:
    found = {name: list(rest_notes(study, car, title_of)) for name, car in cars(study)}
    notes = [*setup_notes(study, title_of), *all_notes(found)]
    if notes:
        page.heading("Notes")
        for note in notes:
            page.paragraph(note, "- ")
