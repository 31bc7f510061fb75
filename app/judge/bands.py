"""How far results may be off: of the car as found, as built, and of the move between both.

A band is an expanded uncertainty, k = 2, which holds in about 95 of 100 cases. Each reading is
moved by a part of its own uncertainty, both cars are worked out again from it, and what moves both
alike leaves the move as it was. Where a straight line is blind, whole cars are sampled instead.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cached_property
from typing import Any, Final

from app.document.model import Setup
from app.judge.cars import (
    SAMPLES,
    STEP,
    Asked,
    Cars,
    Values,
    cars_of,
    compared,
    errors_of,
    measured_off,
    stepped,
)
from app.judge.known import Knowledge, knowledge
from app.judge.pausing import Pause, go_on
from app.systems.answers import Study
from app.systems.every import given_systems
from geometry.catalogue.result import Result, by_key
from geometry.dataclass import dataclass
from geometry.numeric import quietly
from geometry.uncertainty import Spread, expanded, slopes, spread_of
from geometry.vectors import Array

_ALIKE: Final = 40
"""How many cars are sampled where each is the same."""


@dataclass(frozen=True)
class Band:
    """A result and how far it may be off, arrays (2, n) of wheels, (n,) of an axle, () of a car.

    `within` is NaN where it isn't known, or where the result may be anywhere, through infinity.
    `low` and `high` are there where it was sampled.
    """

    value: Array
    within: Array
    low: Array | None = None
    high: Array | None = None

    @property
    def method(self) -> str:
        """How it was worked out."""
        return "linear" if self.low is None else "sampled"


@dataclass(frozen=True)
class Bands:
    """Bands of a system's results at rest, the first place of each array, and in poses."""

    study: Study[Any]
    known: Knowledge
    asked: Asked
    found: Mapping[str, Band]
    built: Mapping[str, Band]
    moves: Mapping[str, Band]
    slopes: Cars  # of linear results, the readings first
    samples: Cars  # of sampled ones, the cars first
    errors: Array  # of the sampled cars' readings, in standard deviations, (s, r)
    cars: tuple[Setup, ...] = ()  # the sampled cars, where any are

    @cached_property
    def results(self) -> Mapping[str, Result]:
        """The results of both cars by key."""
        return {**by_key(self.study.measured.results), **by_key(self.study.results)}


def concerned(study: Study[Any]) -> Knowledge:
    """Return how well the numbers are known that a study's system depends on.

    Where another end settles elsewhere, the body pitches by what is measured there.
    """
    setup, system = study.setup, study.system
    others = [other for other in given_systems(setup) if other is not system]
    reads = [system, *(other for other in others if other.proposes(setup))]

    def is_read(key: str) -> bool:
        return key in system.looked_up or any(each.concerns(key) for each in reads)

    return knowledge(setup, is_read)


def is_exact(study: Study[Any]) -> bool:
    """Tell whether something says how well a system was measured, and all of it that it is exact.

    0 is exact; where nothing is said, nothing is known.
    """
    setup, system = study.setup, study.system
    is_said = "sheet.measured_within" in setup.readings or any(map(system.is_own, setup.within))
    return is_said and not concerned(study).parameters


@quietly
def bands_of(
    study: Study[Any],
    asked: Asked,
    keys: Collection[str] | None = None,
    samples: int = SAMPLES,
    pause: Pause = go_on,
) -> Bands | None:
    """Return the bands of a study's results; None where nothing says how well it is known.

    Where all of it is said to be exact they are 0. `samples` of 0 leaves out what must be sampled;
    `pause` is called between parts.
    """
    concerned_readings = concerned(study)
    if not concerned_readings.parameters:
        if not is_exact(study):
            return None
        samples = min(samples, _ALIKE)
    results = {**by_key(study.measured.results), **by_key(study.results)}
    result_keys = results.keys() if keys is None else results.keys() & set(keys)
    straight = {key for key in result_keys if not results[key].sampled}
    nominal, line = _linear(study, concerned_readings, asked, straight, pause)
    errors = errors_of(samples, len(concerned_readings.readings))
    rest = result_keys - straight if samples else set()
    setups = tuple(measured_off(study.setup, concerned_readings, errors)) if rest else ()
    base, cars = _sampled(study, setups, asked, rest, pause)
    found, built = (
        _linear_bands(values, sloping, concerned_readings)
        for values, sloping in zip(nominal, line, strict=True)
    )
    same = compared(study)
    moves = _moves(nominal, line, concerned_readings, same)
    for bands, values, sampled in (
        (found, base.found, cars.found),
        (built, base.built, cars.built),
        (moves, _differences(base, same), _differences(cars, same)),
    ):
        bands |= {key: _spread_band(values[key], sampled[key]) for key in sampled}
    return Bands(
        study, concerned_readings, asked, found, built, moves, Cars(*line), cars, errors, setups
    )


def _linear(
    study: Study[Any], known: Knowledge, asked: Asked, keys: Collection[str], pause: Pause
) -> tuple[tuple[Values, Values], tuple[Values, Values]]:
    """Return results of the car itself and how they change with each reading, of both cars."""
    if not keys:
        return ({}, {}), ({}, {})
    cars = stepped(study, known, asked, keys, pause)
    steps = known.deviations * STEP
    return (_nominal(cars.found), _nominal(cars.built)), (
        _sloping(cars.found, steps),
        _sloping(cars.built, steps),
    )


def _nominal(values: Values) -> Values:
    return {key: value[0] for key, value in values.items()}


def _sloping(values: Values, steps: Array) -> Values:
    """Return slopes from the car itself, then each reading a step greater, then a step less."""
    half = steps.size + 1
    return {key: slopes(value[1:half], value[half:], steps) for key, value in values.items()}


def _linear_bands(values: Values, sloping: Values, known: Knowledge) -> dict[str, Band]:
    return {key: Band(values[key], expanded(sloping[key], known.factor)) for key in sloping}


def _moves(
    nominal: tuple[Values, Values],
    line: tuple[Values, Values],
    known: Knowledge,
    same: Collection[str],
) -> dict[str, Band]:
    both = (line[0].keys() & line[1].keys()).intersection(same)
    values = {key: nominal[1][key] - nominal[0][key] for key in both}
    return _linear_bands(values, {key: line[1][key] - line[0][key] for key in both}, known)


def _sampled(
    study: Study[Any],
    setups: Sequence[Setup],
    asked: Asked,
    keys: Collection[str],
    pause: Pause,
) -> tuple[Cars, Cars]:
    """Return sampled results of the car itself and of many measured again."""
    if not keys:
        return Cars({}, {}), Cars({}, {})
    cars = cars_of(study, [study.setup, *setups], keys, asked, pause)
    each = cars.found, cars.built
    samples = Cars(*({key: value[1:] for key, value in car.items()} for car in each))
    return Cars(_nominal(cars.found), _nominal(cars.built)), samples


def _differences(cars: Cars, same: Collection[str]) -> Values:
    both = (cars.found.keys() & cars.built.keys()).intersection(same)
    return {key: cars.built[key] - cars.found[key] for key in both}


def _spread_band(value: Array, samples: Array) -> Band:
    spread: Spread = spread_of(samples)
    return Band(value, spread.within, spread.low, spread.high)
