"""Clearances in words: how near, on which side, in which pose and where on the parts."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees
from typing import Any, Final

from app.document.clearances import Clearance
from app.document.model import Units
from app.document.plain_text import upper_first
from app.document.units import NO_VALUE, format_value, number_of
from app.systems.answers import Study
from app.systems.clearance.clearances import (
    ClearanceCheck,
    Reading,
    clearances,
    driver_of,
)
from app.systems.clearance.results import (
    clearance_result,
    key_of_clearance,
    limit_of,
    title_of,
)
from app.systems.sentence import Sentence
from app.words.results import limit_words
from geometry.dataclass import dataclass

TOUCHES: Final = "touches"
WAIT: Final = "…"
_SEEN: Final = 0.5  # of what is shown: less apart, two sides are alike
_AHEAD: Final = 0.5  # mm of travel or steer, tenths of a degree of lean, that nobody says


@dataclass(frozen=True)
class ClearanceRow:
    """A clearance as a table shows it, of the nearer side, or of each where they are unlike."""

    check: ClearanceCheck
    title: str
    found: str
    built: str
    limit: str
    verdict: str
    where: str  # of the car as built
    past: bool
    reading: Reading | None  # of the car as built


def gap_words(reading: Reading | None, units: Units, decimal: str) -> str:
    """Return how near a pair comes: "12.4 mm", "touches"."""
    if reading is None:
        return NO_VALUE
    if reading.touches:
        return TOUCHES
    places = 1 if units == "mm" else 2
    return format_value(reading.gap, "length", units, decimal=decimal, places=places)


def least_words(clearance: Clearance, units: Units, decimal: str) -> str:
    """Return what is wanted of a clearance: "at least 12.0 mm"; empty where nothing is."""
    limit = limit_of(clearance)
    if limit is None:
        return ""
    return limit_words(limit, clearance_result(clearance), units, decimal=decimal)


def pose_words(study: Study[Any], reading: Reading, decimal: str) -> str:
    """Say in which pose: "at 51 mm of bump, rack 66 mm to the left"."""
    units, by = study.setup.units, driver_of(study)
    parts = []
    size = _round(abs(reading.travel), units, decimal)
    if abs(reading.travel) < _AHEAD:
        parts.append("where it stands")
    else:
        parts.append(f"at {size} of {'bump' if reading.travel > 0 else 'rebound'}")
    if by == "steer" and abs(reading.driven) >= _AHEAD:
        way = "left" if reading.driven > 0 else "right"
        kind = study.setup.evidence.get("front.steering.kind", "rack")
        part = "rack" if kind == "rack" else "relay"
        parts.append(f"{part} {_round(abs(reading.driven), units, decimal)} to the {way}")
    if by == "roll" and abs(degrees(reading.driven)) >= 0.1 * _AHEAD:
        way = "right" if reading.driven > 0 else "left"
        size = number_of(degrees(abs(reading.driven)), "ratio", units, decimal=decimal, places=1)
        parts.append(f"leaning {size}° to the {way}")
    return ", ".join(parts)


def place_words(reading: Reading, units: Units, decimal: str) -> str:
    """Say where on the parts: the point of the first envelope, in the car's axes."""
    places = 0 if units == "mm" else 1
    numbers = (
        number_of(value, "length", units, decimal=decimal, places=places)
        for value in reading.on_first
    )
    return " ".join(f"{axis} {number}" for axis, number in zip("XYZ", numbers, strict=True))


def clearance_rows(study: Study[Any], decimal: str = ".") -> tuple[ClearanceRow, ...]:
    """Return every clearance of a study as rows of a table."""
    return tuple(row for check in clearances(study) for row in _rows(study, check, decimal))


def clearance_sentences(study: Study[Any], decimal: str) -> Iterator[Sentence]:
    """Tell of every clearance that isn't kept, and of parts that touch."""
    units = study.setup.units
    for check in clearances(study):
        reading, clearance = check.built, check.clearance
        if reading is None or (check.held is not False and not reading.touches):
            continue
        where = pose_words(study, reading, decimal)
        side = "" if _are_alike(check.proposed, units) else f" on the {reading.side}"
        least = least_words(clearance, units, decimal).removeprefix("at least ")
        if reading.touches:
            first, second = clearance.between
            asked = f": {least} must stay free" if least else ""
            words = f"{upper_first(first)} touches {second}{side} {where}{asked}."
        else:
            gap = gap_words(reading, units, decimal)
            words = f"{title_of(clearance)} is {gap}{side} {where}, under its limit of {least}."
        yield Sentence(words, "wrong", key_of_clearance(clearance))


def _rows(study: Study[Any], check: ClearanceCheck, decimal: str) -> Iterator[ClearanceRow]:
    units, title = study.setup.units, title_of(check.clearance)
    both = (check.measured, check.proposed)
    if all(_are_alike(readings, units) for readings in both):
        yield _row(study, check, title, (check.found, check.built), decimal)
        return
    sides = [reading.side for reading in check.measured or check.proposed or ()]
    for side in sides:
        pair = [
            next((one for one in readings or () if one.side == side), None) for readings in both
        ]
        yield _row(study, check, f"{title}, {side}", (pair[0], pair[1]), decimal)


def _row(
    study: Study[Any],
    check: ClearanceCheck,
    title: str,
    pair: tuple[Reading | None, Reading | None],
    decimal: str,
) -> ClearanceRow:
    units, clearance = study.setup.units, check.clearance
    found, built = (gap_words(reading, units, decimal) for reading in pair)
    if pair[1] is None and study.short:
        built = WAIT
    verdict, is_past = "", False
    if clearance.at_least is not None:
        kept = None if pair[1] is None else pair[1].gap >= clearance.at_least
        is_past = kept is False
        verdict = {True: "kept", False: "NOT KEPT", None: "can't be told"}[kept]
    where = ""
    if pair[1] is not None:
        where = pose_words(study, pair[1], decimal)
        if len(check.proposed or ()) > 1 and title == title_of(clearance):
            where = f"{pair[1].side}: {where}"
    limit = least_words(clearance, units, decimal)
    return ClearanceRow(check, title, found, built, limit, verdict, where, is_past, pair[1])


def _are_alike(readings: tuple[Reading, ...] | None, units: Units) -> bool:
    """Tell whether both sides read the same, or there is one alone that needs no name."""
    gaps = [reading.gap for reading in readings or ()]
    return max(gaps, default=0.0) - min(gaps, default=0.0) < _SEEN * (
        0.1 if units == "mm" else 0.25
    )


def _round(length: float, units: Units, decimal: str) -> str:
    places = 0 if units == "mm" else 2
    return format_value(length, "length", units, decimal=decimal, places=places)
