"""Both wheels of a result, and whether they are alike. No Qt.

A result of a wheel has two values where the car stands. Some results that a car has once are read
off each wheel too: the car has the worse wheel's.
"""

from __future__ import annotations

from math import isfinite
from typing import Any

from app.document.address import SIDES, Side
from app.document.model import Units
from app.systems.answers import CarAnswers, Study, value_at_rest
from app.systems.study_results import namesake_of
from app.words.results import is_zero
from geometry.catalogue.result import Result


def wheel_value(car: CarAnswers, result: Result, side: int) -> float | None:
    """Return what a car's wheel has of a result where it stands: the car's, where it has one."""
    own = namesake_of(car, result)
    if own is None:
        return None
    each = car.wheels.get(own.key) if own.scope == "car" else None
    if each is None or each.size < 2:
        return value_at_rest(car, own, side)
    return float(each[side]) if isfinite(each[side]) else None


def wheels_are_alike(car: CarAnswers, result: Result, units: Units) -> bool:
    """Tell whether a car's wheels are shown as the same figure."""
    left, right = (wheel_value(car, result, side) for side in (0, 1))
    if left is None or right is None:
        return left is right
    return is_zero(left - right, result, units)


def sides_are_alike(study: Study[Any], result: Result) -> bool:
    """Tell whether left and right are shown as the same figures, in both cars."""
    units = study.setup.units
    return all(wheels_are_alike(car, result, units) for car in (study.measured, study.proposed))


def sides_told(study: Study[Any], result: Result) -> tuple[Side | None, ...]:
    """Return left and right where a result needs a row for each, else one that is of no side."""
    return (None,) if sides_are_alike(study, result) else SIDES


def value_told(car: CarAnswers, result: Result, side: Side | None) -> float | None:
    """Return a wheel's value where the car stands; of no side, what both wheels or the car have."""
    if side is None:
        own = namesake_of(car, result)
        return None if own is None else value_at_rest(car, own)
    return wheel_value(car, result, SIDES.index(side))
