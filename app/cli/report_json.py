"""The report as one object for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import degrees
from pathlib import Path
from typing import Any

from app.cli.balance import balance_object
from app.cli.clearance import clearance_objects
from app.cli.machine import (
    UNITS,
    Rows,
    absent_values,
    drivers,
    kind_number,
    machine_number,
    name,
    single_values,
    sweep_values,
    wheel_values,
)
from app.cli.questions import doubts_of
from app.cli.rear_tables import rear_object
from app.document.adjusting import adjusted
from app.document.keys import KEYS
from app.document.plain_text import lower_first, upper_first
from app.judge.whole_car import all_sentences
from app.shop.stops import STOPPED, is_stopped
from app.systems.answers import CAR_WORDS, CARS, CarAnswers, CarName, Study
from app.systems.cautions import cautions_of
from app.systems.holding import PACKER, Hold, holds
from app.systems.lean import Lean
from app.systems.limits import Extreme, LimitCheck, limit_checks
from app.systems.report import Report
from app.systems.spring_check import SpringCheck
from geometry.catalogue.front import Result

OWN_OBJECTS = {"rear": rear_object}  # what only one system has, by its key
_CHECKED = {
    "length": ("free_length_mm", "length"),
    "torque": ("torque_n_m", "torque"),
    "arch": ("free_arch_mm", "length"),
}


def report_object(ends: Sequence[Report], path: Path) -> dict[str, object]:
    """Return every result of both cars, limits, what the proposal does, and notes.

    The first end's are at the top; a second one's are under its name.
    """
    setup, car = ends[0].study.setup, [end.study for end in ends]
    return {
        "title": setup.title,
        "file": path.name,
        "units": UNITS,
        "adjusted_with_tapes": len(adjusted(setup).numbers) if setup.tapes else 0,
        "changes": [change.name for change in setup.changes if change.on],
        "questions": [
            {"key": doubt.key, "line": doubt.line, "text": doubt.text}
            for doubt in doubts_of(setup, path, [end.study.system.key for end in ends])
        ],
        **_end_object(ends[0], car),
        "cautions": cautions_of([end.study for end in ends]),
        "balance": balance_object(ends),
        "heights": {end.study.system.key: _height(end.study) for end in ends},
        **{end.study.system.key: _end_object(end, car) for end in ends[1:]},
    }


def _end_object(end: Report, car: Sequence[Study[Any]]) -> dict[str, object]:
    notes = {car: list(end.rest_notes(car, name)) for car in CARS}
    study = end.study
    values = {str(car): {**_car(end, study.in_body[car]), "notes": notes[car]} for car in CARS}
    missing = {result.key: result for result in end.results}
    return {
        "axle": end.study.system.key,
        "conditions": end.conditions(),
        **values,
        "found": _car(end, study.measured, settled=False),
        "built": _car(end, study.proposed, settled=False),
        "limits": [_limit(reading) for reading in limit_checks(end.study)],
        "clearances": clearance_objects(end.study),
        "spring_check": _spring(end.check()),
        "sentences": [
            {
                "text": sentence.text,
                "severity": sentence.severity,
                "result": sentence.result_key,
                **({"stops": True} if sentence.stops and study.changed else {}),
            }
            for sentence in all_sentences(end.study, car)
        ],
        "missing": {name(missing[key]): list(keys) for key, keys in end.study.missing.items()},
        "notes": [*_unreal(study), *end.setup_notes(name), *all_notes(notes)],
    }


def _unreal(study: Study[Any]) -> Iterator[str]:
    """Yield why the figures of the car as built are of no real part, where they are of none."""
    words = study.system.unreal(study, ".")
    if is_stopped(study):
        yield f"{STOPPED}: no value of it is of a car that can be built."
    if words:
        yield f"As built: {lower_first(words)}"


def all_notes(notes: Mapping[CarName, list[str]]) -> list[str]:
    """Return both cars' notes in one list, those they share once."""
    shared = [note for note in notes["measured"] if note in notes["proposed"]]
    own_notes = (
        f"{upper_first(CAR_WORDS[car])}: {note}"
        for car, car_notes in notes.items()
        for note in car_notes
        if note not in shared
    )
    return [*shared, *own_notes]


def _height(study: Study[Any]) -> dict[str, object]:
    """Return where the proposal stands, by whose choice, and what alone holds it there."""
    lean = study.system.lean(study)
    leans = {} if lean is None else {"lean": _lean(lean)}
    return {
        **leans,
        "choice": study.choice,
        "stands_mm": study.stands,
        "settles_nowhere": study.settles_nowhere,
        "holds": [
            {"key": hold.key, "value": kind_number(hold.value, _hold_kind(hold))}
            for hold in holds(study)
        ],
    }


def _lean(lean: Lean) -> dict[str, object]:
    """Return how the body leans on springs that settle apart, and what holds it as well."""
    return {
        "apart_mm": lean.apart,
        "angle_deg": degrees(lean.angle),
        "stands_mm": [*lean.rises],
        "moved_n": lean.moved,
        "held_by": lean.held_by or None,
    }


def _hold_kind(hold: Hold) -> str:
    return "length" if hold.key == PACKER else KEYS[hold.key].kind


def _car(end: Report, car: Any, settled: bool = True) -> dict[str, object]:
    values = _values(end, car, settled)
    own_object = OWN_OBJECTS.get(end.study.system.key)
    return values if own_object is None else {**values, **own_object(car)}


def _values(end: Report, car: CarAnswers, with_settled: bool) -> dict[str, object]:
    """Return a car's results; with those of the height at which its springs carry the load."""
    left, right = sweep_values(car.rest, end.results)
    settled: tuple[Rows, Rows] = ({}, {})
    if with_settled:
        settled = absent_values(end.results, "settled_")
    if with_settled and car.settled is not None:
        settled = sweep_values(car.settled, end.results, "settled_")
    steer = 0.0 if "steer" in end.study.system.drivers else None
    singles = single_values(car, end.results)
    values: dict[str, object] = {**drivers(car.rest, steer), **left, **singles, **settled[0]}
    wheels = {} if with_settled else wheel_values(car, end.results)
    values |= {"wheels": wheels} if wheels else {}
    return {**values, "right": {**right, **settled[1]}} if right else values


def _limit(reading: LimitCheck) -> dict[str, object]:
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


def _reading(reading: Extreme | None, result: Result) -> dict[str, object] | None:
    """Return the value that counts, and where it was read: at rest, settled, or in a sweep."""
    if reading is None:
        return None
    return {
        "value": machine_number(reading.value, result),
        "in": reading.driver,
        "at_mm": reading.at,
        "side": reading.side,
    }


def _spring(check: SpringCheck | None) -> dict[str, float] | None:
    if check is None:
        return None
    what, kind = _CHECKED[check.kind]
    spring = {
        f"given_{what}": kind_number(check.given, kind),
        f"weighed_{what}": kind_number(check.weighed, kind),
        f"difference_{what}": kind_number(check.difference, kind),
    }
    if check.force is not None:
        weighed, by_length = check.force
        spring |= {"weighed_force_n": weighed, "force_by_length_n": by_length}
    return spring
