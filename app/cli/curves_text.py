"""Curves as tables: a few results beside each other, as many as the width takes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from pathlib import Path
from typing import Any, Final

from app.cli.curves import Curves
from app.cli.report_json import all_notes
from app.cli.tables import GAP, NO_BREAK, Column, Over, Page, Row
from app.cli.terminal import Terminal
from app.document.model import Units
from app.document.units import format_value, number_of, unit_of
from app.shop.stops import OF_NO_CAR
from app.systems.answers import Study, value_in
from app.systems.height_words import height_words
from app.systems.naming import title_of
from app.systems.sentences import stop_texts
from app.words.results import result_number, result_unit
from geometry.catalogue.front import Result

_WIDTH: Final = 8  # characters of a figure
_ALONE: Final = 15  # where only one car is shown
_MOST: Final = 12  # steps of a sweep that are shown


def curves_text(curves: Curves, path: Path, terminal: Terminal) -> str:
    """Return the curves as tables."""
    page = Page(terminal)
    places = _places(curves)
    _head(page, curves, path, len(places))
    shown = [result for result in curves.end.results if _is_shown(curves, result)]
    for group, results in groupby(shown, key=lambda result: result.group):
        for part in _parts(curves, list(results), terminal.width):
            page.heading(group)
            rows = [*_rows(curves, part, places)]
            page.table(_columns(curves, part), rows, _over(curves, part))
    notes = [*curves.end.setup_notes(title_of), *all_notes(curves.notes)]
    if notes:
        page.heading("Notes")
        for note in notes:
            page.paragraph(note, "- ")
    return page.text()


def _head(page: Page, curves: Curves, path: Path, rows: int) -> None:
    setup, size = curves.study.setup, curves.measured.at.size
    page.heading(setup.title)
    facts = [path.name, f"{curves.end.study.system.key} over {curves.over}"]
    if curves.steer:
        facts.append(
            f"steer held at {format_value(curves.steer, 'length', setup.units, plus=True)}"
        )
    page.paragraph(" · ".join(facts), indent="")
    page.paragraph(_proposed(curves.study), indent="")
    for words in stop_texts(curves.study):
        page.paragraph(f"{words} {OF_NO_CAR}", "!! ")
    if curves.is_bare and setup.units == "in":
        page.paragraph("What was asked for is taken as mm: write 3.5in for inches.", indent="")
    page.paragraph(height_words(curves.study), indent="")
    thinned = f"{rows} of {size} poses; --json and -o give all. " if rows < size else ""
    sides = "Left wheel; the right one's are in --json and -o." if _sided(curves) else ""
    if thinned or sides:
        page.paragraph(f"{thinned}{sides}".strip(), indent="")


def _proposed(study: Study[Any]) -> str:
    """Say which changes that are on concern what is swept: of the other end only if none does."""
    on = [change for change in study.setup.changes if change.on]
    own = [
        change for change in on if any(map(study.system.concerns, (*change.moves, *change.sets)))
    ]
    if own:
        return f"Proposed: {'; '.join(change.name for change in own)}."
    if study.changed:
        names = "; ".join(change.name for change in on)
        return f"Proposed at the other end only, and the body lies as that leaves it: {names}."
    return "Nothing is proposed here."


def _sided(curves: Curves) -> bool:
    return any(result.scope == "wheel" for result in curves.end.results)


def _is_shown(curves: Curves, result: Result) -> bool:
    """Tell whether a result is there in some pose."""
    if result.scope == "car" or not curves.end.applies(result):
        return False
    return any(
        value_in(sweep, result, 0, place) is not None
        for _, sweep in curves.standing
        for place in range(sweep.at.size)
    )


def _places(curves: Curves) -> Sequence[int]:
    """Return which poses are shown: those asked for all, evenly some of a whole sweep."""
    last = curves.measured.at.size - 1
    if curves.asked or last < _MOST:
        return range(last + 1)
    step = next(step for step in range(1, last + 1) if last % step == 0 and last // step <= _MOST)
    return range(0, last + 1, step)


def _parts(curves: Curves, results: list[Result], width: int) -> Iterator[list[Result]]:
    """Split results so that each part's columns fit the width."""
    per_result = (2 if curves.study.changed else 1) * (_width(curves) + len(GAP))
    count = max((width - _WIDTH) // per_result, 1)
    for start in range(0, len(results), count):
        yield results[start : start + count]


def _columns(curves: Curves, results: Sequence[Result]) -> list[Column]:
    units = curves.study.setup.units
    cars = ("as found", "as built") if curves.study.changed else ("",)
    figures = [Column(car.rjust(_width(curves))) for _ in results for car in cars]
    return [Column(unit_of(_kind(curves), units).rjust(_WIDTH)), *figures]


def _over(curves: Curves, results: Sequence[Result]) -> list[Over]:
    """Return the results' titles, each over its columns."""
    heads = [
        Over(_titled(result, curves.study.setup.units), 2 if curves.study.changed else 1)
        for result in results
    ]
    return [Over(curves.over), *heads]


def _titled(result: Result, units: Units) -> str:
    unit = result_unit(result, units)
    unbroken_unit = unit.replace(" ", NO_BREAK)
    return f"{result.title}, {unbroken_unit}" if unit else result.title


def _width(curves: Curves) -> int:
    """Return the width of a column of figures; if it is the only one, its title fits in too."""
    return _WIDTH if curves.study.changed else _ALONE


def _rows(curves: Curves, results: Sequence[Result], places: Sequence[int]) -> Iterator[Row]:
    units = curves.study.setup.units
    cars = curves.standing if curves.study.changed else curves.standing[:1]
    for place in places:
        at = float(curves.measured.at[place])
        cells = [number_of(at, _kind(curves), units, plus=True)]
        for result in results:
            cells += [
                result_number(value_in(sweep, result, 0, place), result, units) for _, sweep in cars
            ]
        yield cells


def _kind(curves: Curves) -> str:
    return "angle" if curves.over == "roll" else "length"
