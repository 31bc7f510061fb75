"""Whether the limits a setup gives hold: each with the value that comes nearest to it or past it.

A joint's swing is read over the whole travel and steer, any other result where each car stands; of
both wheels.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isfinite
from typing import Any, Literal

import numpy as np

from app.document.address import SIDES
from app.document.ends import key_in
from app.document.model import Limit
from app.systems.answers import Answered, CarAnswers, Study, value_at_rest, value_in
from app.systems.study_results import namesake_of
from geometry.catalogue.front import JOINTS, Result
from geometry.dataclass import dataclass

Side = Literal["left", "right"]


@dataclass(frozen=True)
class Extreme:
    """A value of a result, where it was read, and of which wheel.

    `driver` is "rest", "travel" or "steer", `at` its value [mm], from where the car stands.
    """

    value: float
    driver: str
    at: float = 0.0
    side: Side = "left"


@dataclass(frozen=True)
class LimitCheck:
    """A limit, with the worst reading of each car; None where the result doesn't exist."""

    result: Result
    limit: Limit
    measured: Extreme | None
    proposed: Extreme | None

    @property
    def held(self) -> bool | None:
        """Tell whether the proposed car keeps the limit, None where that can't be told."""
        return None if self.proposed is None else self.limit.allows(self.proposed.value)

    @property
    def held_before(self) -> bool | None:
        """Tell whether the measured car keeps it."""
        return None if self.measured is None else self.limit.allows(self.measured.value)

    @property
    def left(self) -> float | None:
        """Return how far the proposed car is inside the limit, negative outside it."""
        return None if self.proposed is None else _margin(self.limit, self.proposed.value)


def limit_checks(study: Study[Any]) -> tuple[LimitCheck, ...]:
    """Return every limit of the study's system with its readings, in the order of the catalogue."""
    end = study.system.key
    limits = (
        (limited, study.setup.limits.get(key_in(end, limited.key))) for limited in study.results
    )
    return tuple(
        LimitCheck(
            result,
            limit,
            worst(limit, _own_readings(study.measured, result)),
            worst(limit, readings(study.proposed, result)),
        )
        for result, limit in limits
        if limit is not None
    )


def worst(limit: Limit, candidates: Iterator[Extreme]) -> Extreme | None:
    """Return the reading with the least room to the limit, or the furthest past it."""
    return min(candidates, key=lambda reading: _margin(limit, reading.value), default=None)


def _own_readings(car: CarAnswers, result: Result) -> Iterator[Extreme]:
    """Return a car's readings of a result, none where its axle has another under that key."""
    own = namesake_of(car, result)
    return iter(()) if own is None else readings(car, own)


def readings(car: CarAnswers, result: Result) -> Iterator[Extreme]:
    """Return the readings of a result that count for its limit."""
    if result.scope == "car":
        value = value_at_rest(car, result)
        yield from () if value is None else _of_car(car, result, value)
    elif result.group == JOINTS:
        for sweep in (car.travel, car.steer):
            yield from () if sweep is None else _largest(sweep, result)
    else:
        for side, name in enumerate(SIDES[: 2 if result.scope == "wheel" else 1]):
            value = value_in(car.rest, result, side)
            if value is not None:
                yield Extreme(value, "rest", 0.0, name)


def _of_car(car: CarAnswers, result: Result, value: float) -> Iterator[Extreme]:
    """Yield what a car has once, or of each wheel that it is read off."""
    each = car.wheels.get(result.key)
    if each is None or each.size < 2:
        yield Extreme(value, "rest")
        return
    for side, own in zip(SIDES, each.tolist(), strict=True):
        if isfinite(own):
            yield Extreme(own, "rest", 0.0, side)


def _largest(sweep: Answered, result: Result) -> Iterator[Extreme]:
    values = sweep.values.get(result.key)
    if values is None or not sweep.reached.any():
        return
    for side, name in enumerate(SIDES):
        row = np.where(sweep.reached, values[side], -np.inf)
        place = int(np.argmax(row))
        yield Extreme(float(row[place]), sweep.driver, float(sweep.at[place]), name)


def _margin(limit: Limit, value: float) -> float:
    low = inf if limit.minimum is None else value - limit.minimum
    high = inf if limit.maximum is None else limit.maximum - value
    return min(low, high)
