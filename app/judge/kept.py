"""How probably each limit is kept, by the car as found and as built."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any, Final

import numpy as np

from app.document.model import Limit, Setup
from app.judge.bands import Band, Bands
from app.judge.cars import (
    SAMPLES,
    Asked,
    Cars,
    built_of,
    cars_of,
    errors_of,
    found_of,
    measured_off,
)
from app.judge.pausing import Pause, go_on
from app.systems.answers import Study
from app.systems.limits import Extreme, LimitCheck, limit_checks
from geometry.catalogue.front import JOINTS
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.numeric import quietly
from geometry.uncertainty import kept_probability, spread_of
from geometry.vectors import Array

_TRAVELS: Final = 13  # places, stops among them, at which the most in travel is looked for
_STEERS: Final = 9
_SETTLED: Final = "settled_travel"


@dataclass(frozen=True)
class KeptLimit:
    """A limit with the probability that it is kept, None where the result doesn't exist.

    `kept` is of the car as built, `found_kept` of the one as found, each of the wheel that keeps
    it less surely; `value` and `within` are of the car as built there, `found_within` of the other.
    """

    check: LimitCheck
    kept: float | None
    found_kept: float | None
    value: float | None
    within: float | None
    found_within: float | None = None

    @property
    def result(self) -> Result:
        """What is limited."""
        return self.check.result


@dataclass(frozen=True)
class Chance:
    """A value that a limit is held against, how far it may be off, and how probably it is kept."""

    value: float
    within: float
    kept: float


@dataclass(frozen=True)
class Swings:
    """The most that joints swing over travel and steer: of many cars, (m, 2) by key."""

    study: Study[Any]
    keys: tuple[str, ...]
    pause: Pause = go_on

    def of(self, setups: Sequence[Setup]) -> Cars:
        """Return the most of each car, found and built, over its own travel."""
        study, keys, pause = self.study, self.keys, self.pause
        travel = np.linspace(*study.ranges.travel[:2], _TRAVELS)
        steer = np.linspace(*study.ranges.steer[:2], _STEERS)
        locked = cars_of(study, setups, (*keys, _SETTLED), Asked("steer", steer), pause)
        found = found_of(study, setups, keys, {"travel": travel}, pause)
        most = _most(found, locked.found, keys)
        if not study.changed:
            return Cars(most, most)
        stands = np.full(len(setups), study.proposed.stand.travel)
        heights = locked.built.get(_SETTLED, stands)[:, None]  # a car's stops are in its body
        built = built_of(study, setups, keys, {"travel": travel - heights}, pause)
        return Cars(most, _most(built, locked.built, keys))


def swings_limited(study: Study[Any], pause: Pause = go_on) -> Swings:
    """Return the swings of joints that a study's setup limits."""
    checks = limit_checks(study)
    return Swings(
        study, tuple(one.result.key for one in checks if one.result.group == JOINTS), pause
    )


@dataclass(frozen=True)
class Chances:
    """What is known of each limit's result: the bands at rest, and the joints' swings sampled."""

    bands: Bands
    samples: int = SAMPLES
    pause: Pause = go_on

    @cached_property
    def swings(self) -> Cars:
        """The most swings of sampled cars, (s, 2) by key."""
        swings = swings_limited(self.bands.study, self.pause)
        if not swings.keys or not self.samples:
            return Cars({}, {})
        known, cars = self.bands.known, self.bands.cars
        if not cars:
            errors = errors_of(self.samples, len(known.readings))
            cars = tuple(measured_off(self.bands.study.setup, known, errors))
        return swings.of(cars)

    @quietly
    def limits(self) -> tuple[KeptLimit, ...]:
        """Return every limit with its probabilities, in the order of the catalogue."""
        return tuple(map(self._kept, limit_checks(self.bands.study)))

    def _kept(self, check: LimitCheck) -> KeptLimit:
        bands, result, limit = self.bands, check.result, check.limit
        built = self.chance(
            result, limit, check.proposed, bands.built, (bands.samples.built, self.swings.built)
        )
        found = self.chance(
            result, limit, check.measured, bands.found, (bands.samples.found, self.swings.found)
        )
        return KeptLimit(
            check,
            None if built is None else built.kept,
            None if found is None else found.kept,
            None if built is None else built.value,
            None if built is None else built.within,
            None if found is None else found.within,
        )

    def chance(
        self,
        result: Result,
        limit: Limit,
        extreme: Extreme | None,
        bands: Mapping[str, Band],
        samples: tuple[Mapping[str, Array], Mapping[str, Array]],
    ) -> Chance | None:
        """Return how a limit is kept by the wheel that keeps it less surely."""
        if extreme is None:
            return None
        at_rest, most = samples
        if result.group == JOINTS:
            many = most.get(result.key)
        else:
            many = at_rest.get(result.key)
            many = None if many is None else _first_pose(many, result)
        if many is not None:
            wheels = [_sampled(row, limit) for row in many.reshape(len(many), -1).T]
        elif result.key in bands and not result.sampled:
            band = bands[result.key]
            values, within = (
                np.atleast_1d(_first_pose(part, result)) for part in (band.value, band.within)
            )
            wheels = [
                _straight(value, size, limit)
                for value, size in zip(values.tolist(), within.tolist(), strict=True)
            ]
        else:
            return None
        known_wheels = [wheel for wheel in wheels if np.isfinite(wheel.kept)]
        return min(known_wheels, key=lambda wheel: wheel.kept, default=None)


def _straight(value: float, within: float, limit: Limit) -> Chance:
    if not np.isfinite([value, within]).all():
        return Chance(value, within, float("nan"))
    return Chance(value, within, kept_probability(value, within, limit.minimum, limit.maximum))


def _sampled(values: Array, limit: Limit) -> Chance:
    low = -np.inf if limit.minimum is None else limit.minimum
    high = np.inf if limit.maximum is None else limit.maximum
    kept_share = float(((values >= low) & (values <= high)).mean())
    return Chance(float(np.nanmedian(values)), float(spread_of(values).within), kept_share)


def _first_pose(array: Array, result: Result) -> Array:
    return array if result.scope == "car" else array[..., 0]


def _most(level: Mapping[str, Array], locked: Mapping[str, Array], keys: Sequence[str]) -> Any:
    return {
        key: np.fmax(np.fmax.reduce(level[key], axis=-1), np.fmax.reduce(locked[key], axis=-1))
        for key in keys
        if key in level and key in locked
    }
