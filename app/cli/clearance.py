"""`wishboard clearance`: how near parts come to each other, as a table or for machines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import degrees
from pathlib import Path
from typing import Any

from app.cli.machine import UNITS
from app.cli.tables import Column, Page, Row
from app.cli.terminal import Terminal
from app.systems.answers import Study
from app.systems.clearance.clearances import ClearanceCheck, Reading, clearances, driver_of
from app.systems.clearance.words import (
    ClearanceRow,
    clearance_rows,
    clearance_sentences,
    place_words,
)
from app.systems.height_words import height_words
from app.systems.report import Report

_NONE = (
    "No clearances: nothing in the file says which parts must stay apart. They stand in it as "
    "[[front.clearance]] or [[rear.clearance]], between envelopes of parts."
)
_LEGEND = (
    "The least over all travel between the stops, and over steer; at the rear over either wheel's "
    "travel. Poses are told from where the car stands. Envelopes that lie in each other touch, "
    "however deep."
)


def clearance_object(ends: Sequence[Report], path: Path) -> dict[str, object]:
    """Return every clearance of both cars and sides; mm and degrees."""
    setup = ends[0].study.setup
    return {
        "title": setup.title,
        "file": path.name,
        "units": UNITS,
        "clearances": [one for end in ends for one in clearance_objects(end.study)],
    }


def clearance_objects(study: Study[Any]) -> list[dict[str, object]]:
    """Return the clearances of one end of the car."""
    return [_object(check, study) for check in clearances(study)]


def _object(check: ClearanceCheck, study: Study[Any]) -> dict[str, object]:
    clearance = check.clearance
    return {
        "axle": clearance.end,
        "between": list(clearance.between),
        "at_least_mm": clearance.at_least,
        "by": clearance.by,
        "found": {reading.side: _reading(reading, study) for reading in check.measured or ()},
        "built": {reading.side: _reading(reading, study) for reading in check.proposed or ()},
        "held": check.held,
        "held_before": check.held_before,
    }


def _reading(reading: Reading, study: Study[Any]) -> dict[str, object]:
    driven: dict[str, object] = {"steer_mm": reading.driven}
    if driver_of(study) == "roll":
        driven = {"roll_deg": degrees(reading.driven)}
    return {
        "gap_mm": reading.gap,
        "touches": reading.touches,
        "travel_mm": reading.travel,
        **driven,
        "on_first_mm": list(reading.on_first),
        "on_second_mm": list(reading.on_second),
    }


def clearance_text(ends: Sequence[Report], path: Path, terminal: Terminal) -> str:
    """Return every clearance as a table, and where each is nearest."""
    page, setup = Page(terminal), ends[0].study.setup
    page.heading(setup.title)
    told = [end for end in ends if clearances(end.study)]
    if not told:
        page.paragraph(f"{path.name} · {_NONE}", indent="")
        return page.text()
    page.paragraph(f"{path.name} · {_LEGEND}", indent="")
    for end in told:
        page.heading(f"{end.study.system.title}, each car on its wheels")
        page.paragraph(height_words(end.study), indent="")
        clearance_table(page, end.study)
        for sentence in clearance_sentences(end.study, "."):
            page.paragraph(sentence.text, "!! ")
    return page.text()


def clearance_table(page: Page, study: Study[Any]) -> None:
    """Add a study's clearances to a page."""
    values = ["as found", "as built"] if study.changed else ["as found"]
    last = Column("limit; nearest", words=True)
    heads = [Column("", words=True), *map(Column, values), last]
    page.table(heads, list(_cells(study, clearance_rows(study))))


def _cells(study: Study[Any], rows: Iterable[ClearanceRow]) -> Iterable[Row]:
    units = study.setup.units
    for row in rows:
        figures = [row.found, row.built] if study.changed else [row.built]
        place = "" if row.reading is None else place_words(row.reading, units, ".")
        limit = f"{row.limit}{' PAST' if row.past else ''}"
        yield [row.title, *figures, "; ".join(filter(None, (limit, row.where, place)))]
