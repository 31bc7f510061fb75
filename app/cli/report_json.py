"""The report as one object for other programs."""

from __future__ import annotations

from pathlib import Path

from app.cli.machine import (
    UNITS,
    absent_values,
    drivers,
    machine_number,
    name,
    single_values,
    sweep_values,
)
from app.cli.notes import rest_notes, setup_notes
from app.limit_readings import LimitReading, Reading, limit_readings
from app.plain_words import cautions, sentences
from app.spring_check import spring_check
from app.study import Study
from geometry.catalogue import BY_KEY, Result
from geometry.front_sweeps import FrontStudy

CARS = ("measured", "proposed")


def report_object(study: Study, path: Path) -> dict[str, object]:
    """Return every result of both cars, limits, what the proposal does, and notes."""
    notes = {car: list(rest_notes(study, answers, name)) for car, answers in cars(study)}
    return {
        "title": study.setup.title,
        "file": path.name,
        "axle": "front",
        "units": UNITS,
        "conditions": conditions(study),
        "changes": [change.name for change in study.setup.changes if change.on],
        **{car: {**_values(answers), "notes": notes[car]} for car, answers in cars(study)},
        "limits": [_limit(reading) for reading in limit_readings(study)],
        "spring_check": _spring(study),
        "sentences": [
            {"text": told.text, "severity": told.severity, "result": told.result_key}
            for told in sentences(study)
        ],
        "missing": {name(BY_KEY[key]): list(keys) for key, keys in study.missing.items()},
        "notes": [*setup_notes(study, name), *all_notes(notes)],
        "cautions": list(cautions(study)),
    }


def cars(study: Study) -> tuple[tuple[str, FrontStudy], tuple[str, FrontStudy]]:
    """Return both cars by name."""
    return ("measured", study.measured), ("proposed", study.proposed)


def conditions(study: Study) -> dict[str, float]:
    """Return what some results are stated over [mm]."""
    return {
        "toe_diameter_mm": study.measured.front.car.toe_diameter,
        "bump_steer_each_way_mm": study.ranges.window,
    }


def all_notes(notes: dict[str, list[str]]) -> list[str]:
    """Return both cars' notes in one list, those they share once."""
    shared = [note for note in notes["measured"] if note in notes["proposed"]]
    own = (
        f"{car.capitalize()}: {note}"
        for car, each in notes.items()
        for note in each
        if note not in shared
    )
    return [*shared, *own]


def _values(car: FrontStudy) -> dict[str, object]:
    left, right = sweep_values(car.rest)
    settled = absent_values("settled_")
    if car.settled is not None:
        settled = sweep_values(car.settled, "settled_")
    values = {**drivers(car.rest, 0.0), **left, **single_values(car), **settled[0]}
    return {**values, "right": {**right, **settled[1]}}


def _limit(reading: LimitReading) -> dict[str, object]:
    result, limit = reading.result, reading.limit
    return {
        "result": name(result),
        "minimum": machine_number(limit.minimum, result),
        "maximum": machine_number(limit.maximum, result),
        "by": limit.by,
        "measured": _reading(reading.measured, result),
        "proposed": _reading(reading.proposed, result),
        "held": reading.held,
        "held_before": reading.held_before,
    }


def _reading(reading: Reading | None, result: Result) -> dict[str, object] | None:
    """Return the value that counts, and where it was read: at rest, settled, or in a sweep."""
    if reading is None:
        return None
    return {
        "value": machine_number(reading.value, result),
        "in": reading.driver,
        "at_mm": reading.at,
        "side": reading.side,
    }


def _spring(study: Study) -> dict[str, float] | None:
    check = spring_check(study.measured.front)
    if check is None:
        return None
    what, size = ("free_length_mm", 1.0) if check.kind == "length" else ("torque_n_m", 1000.0)
    found = {
        f"given_{what}": check.given / size,
        f"weighed_{what}": check.weighed / size,
        f"difference_{what}": check.difference / size,
    }
    if check.force is not None:
        weighed, by_length = check.force
        found |= {"weighed_force_n": weighed, "force_by_length_n": by_length}
    return found
