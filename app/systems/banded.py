"""How far a study's figures may be off, as window, sheet and exports show it beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from functools import cached_property
from typing import Final, Literal, NamedTuple

import numpy as np

from app.systems.answers import Driver
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.vectors import Array

QUICK: Final = 0  # what is looked at during a drag
STRAIGHT: Final = 1  # all that a straight line gives
WHOLE: Final = 2  # what must be sampled too, limits and readings

ENDLESS: Final = float("inf")
"""How far off a result is that may be anywhere, through infinity."""
CarOf = Literal["found", "built", "moves"]
CARS_OF: Final[tuple[CarOf, ...]] = ("found", "built", "moves")


def told_within(within: float, result: Result) -> float | None:
    """Return a band as it is told: none where it isn't known, no end where samples have none."""
    if np.isfinite(within):
        return within
    return ENDLESS if result.sampled else None


@dataclass(frozen=True)
class Again:
    """A reading, its share of the variance of each result that counts, and of all of them.

    `bring` is each result's uncertainty once the reading is known within 0.5 mm, k = 2; it lacks
    what a length can't say.
    """

    reading: str
    share: float
    shares: Mapping[str, float]
    bring: Mapping[str, float]


class CurveBand(NamedTuple):
    """Uncertainties, (2, n) or (n,), at places of a driver, (n,), from where a car stands."""

    at: Array
    within: Array


@dataclass(frozen=True)
class CarBands:
    """Expanded uncertainties of one car, or of the move, by result.

    `rest` holds arrays (2,) of wheels, (1,) of an axle, () of a car; `curves` are by driver.
    """

    rest: Mapping[str, Array] = field(default_factory=dict)
    curves: Mapping[Driver, Mapping[str, CurveBand]] = field(default_factory=dict)

    def newer(self, other: CarBands) -> CarBands:
        """Return these bands with another's, where it has any, in their place."""
        curves = {
            driver: {**self.curves.get(driver, {}), **other.curves.get(driver, {})}
            for driver in self.curves.keys() | other.curves.keys()
        }
        return CarBands({**self.rest, **other.rest}, curves)


@dataclass(frozen=True)
class StudyBands:
    """Bands of a study: of both cars and of the move, of limits, and what would narrow them.

    `kept` and `found_kept` are probabilities by result, `most` how far the most that a joint swings
    may be off, of those with a limit. `again` and `drill_within` [mm] are of
    whole bands alone, `level` says how much of it has been worked out.
    """

    cars: Mapping[CarOf, CarBands]
    kept: Mapping[str, float] = field(default_factory=dict)
    found_kept: Mapping[str, float] = field(default_factory=dict)
    most: Mapping[CarOf, Mapping[str, float]] = field(default_factory=dict)
    again: tuple[Again, ...] = ()
    drill_within: float | None = None
    level: int = 0

    def within(self, car: CarOf, result: Result, side: int = 0) -> float | None:
        """Return how far a result may be off at rest, None where it isn't known.

        It is ENDLESS where the result may be anywhere, through infinity: its figure says nothing.
        """
        array = self.cars[car].rest.get(result.key)
        if array is None:
            return None
        if car == "moves" and ENDLESS in (self.within(one, result, side) for one in CARS_OF[:2]):
            return ENDLESS
        row = np.atleast_1d(array)
        return told_within(float(row[side if row.size > 1 else 0]), result)

    def within_most(self, car: CarOf, result: Result) -> float | None:
        """Return how far the most of a joint's swing over travel and steer may be off."""
        return self.most.get(car, {}).get(result.key)

    def curve(
        self, car: CarOf, driver: Driver, result: Result, at: Array, side: int = 0
    ) -> Array | None:
        """Return how far a curve may be off at places of its driver, None where it isn't known."""
        band = self.cars[car].curves.get(driver, {}).get(result.key)
        if band is None:
            return None
        row = band.within[side] if band.within.ndim == 2 else band.within
        return np.asarray(np.interp(at, band.at, row))

    @cached_property
    def unjudged(self) -> StudyBands:
        """These bands beside another car: it keeps its limits with other probabilities."""
        return replace(self, kept={}, found_kept={}, most={}, drill_within=None)

    def newer(self, other: StudyBands) -> StudyBands:
        """Return these bands with another's in their place; what it lacks stays as it was."""
        cars = {car: self.cars[car].newer(other.cars[car]) for car in CARS_OF}
        judged = other if other.level == WHOLE else self
        return replace(judged, cars=cars, level=other.level)
