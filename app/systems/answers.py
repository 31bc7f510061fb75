"""What the systems of the car answer, in one shape for panels, curves, sheet and commands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import field
from functools import cached_property
from math import inf, isfinite, radians
from typing import TYPE_CHECKING, Any, Final, Generic, Literal, Protocol, TypeVar, cast

import numpy as np

from app.document.heights import STOP_TRAVEL
from app.document.model import SETTLES, HeightChoice, Setup
from geometry.catalogue.result import Result
from geometry.conventions import TURN_PLATE_ANGLE
from geometry.dataclass import dataclass
from geometry.standing import Stand
from geometry.vectors import Array

if TYPE_CHECKING:
    from app.systems.banded import StudyBands
    from app.systems.system import System

Driver = Literal["travel", "roll", "steer"]
CarName = Literal["measured", "proposed"]
CARS: Final[tuple[CarName, CarName]] = ("measured", "proposed")
CAR_WORDS: Final[dict[CarName, str]] = {"measured": "as found", "proposed": "as built"}

BUMP_STEER_TRAVEL: Final = 50.0
"""Each way, where the setup says nothing, whatever its units [mm]."""

FURTHEST: Final = {"travel": 1000.0, "roll": radians(45.0), "steer": 500.0}
"""Limits beyond the travel of any car's suspension [mm, rad]: no pose beyond is solved."""


@dataclass(frozen=True)
class Ranges:
    """The swept ranges: travel and steer [mm], roll [rad], each as (from, to, number of poses).

    `window` is the travel each way of bump steer's range [mm]; `stops` are where the wheels meet
    theirs, from the measured height [mm], infinite where that isn't given;
    `locks` are the steer at which turn plates read camber, toe-out and toe-in [rad].
    """

    travel: tuple[float, float, int] = (-STOP_TRAVEL, STOP_TRAVEL, 61)
    roll: tuple[float, float, int] = (-radians(6.0), radians(6.0), 41)
    steer: tuple[float, float, int] = (-65.0, 65.0, 41)
    window: float = BUMP_STEER_TRAVEL
    stops: tuple[float, float] = (-inf, inf)
    locks: tuple[float, float] = (TURN_PLATE_ANGLE, TURN_PLATE_ANGLE)


@dataclass(frozen=True)
class Pose:
    """Where the car is shown: travel and steer [mm], roll [rad]; travel from where it stands."""

    travel: float = 0.0
    roll: float = 0.0
    steer: float = 0.0


class Answered(Protocol):
    """Results over one driver, arrays (2, n) per wheel or (n,); unreached poses are meaningless."""

    @property
    def driver(self) -> str:
        """Name of the driver: "travel", "roll", "steer" or "pose"."""

    @property
    def at(self) -> Array:
        """Values of the driver [mm or rad], (n,)."""

    @property
    def values(self) -> Mapping[str, Array]:
        """Results by key."""

    @property
    def reached(self) -> Array:
        """Where the poses could be taken, (n,)."""


@dataclass(frozen=True)
class Stance:
    """How an axle stands, for a corner of the whole car.

    Height of the roll centre and track [mm], wheel rate in roll [N/mm].
    """

    roll_centre: float
    roll_rate: float
    track: float


class CarAnswers(Protocol):
    """One car's answers, where it stands; `kind` is what is fitted.

    Travel counts from there, and what side view says is to the road.
    """

    @property
    def kind(self) -> str:
        """What is fitted, in the words of the setup's own `kind`."""

    @property
    def rest(self) -> Answered:
        """Where it stands, at zero travel."""

    @property
    def travel(self) -> Answered:
        """Over travel."""

    @property
    def roll(self) -> Answered | None:
        """Over body roll."""

    @property
    def steer(self) -> Answered | None:
        """Over steer; None where there is none."""

    @property
    def stand(self) -> Stand:
        """Where it stands against the measured height."""

    @property
    def settled(self) -> Answered | None:
        """Where its springs carry the load, None where it isn't known."""

    @property
    def single(self) -> Mapping[str, float]:
        """Results that exist once per car."""

    @property
    def wheels(self) -> Mapping[str, Array]:
        """Of `single`, what each wheel has, (rows,), NaN where one has none."""

    @property
    def stance(self) -> Stance | None:
        """How it stands in a corner, None where the springs aren't known."""

    @property
    def results(self) -> tuple[Result, ...]:
        """The results that a car of this kind has."""

    @property
    def short(self) -> bool:
        """Whether results that only curves and pages need are left out, as during a drag."""

    @property
    def late(self) -> frozenset[str]:
        """The results that a short solve leaves out."""

    def at_pose(self, pose: Pose) -> Answered:
        """Solve one pose.

        Raises
        ------
        GeometryError
            The car can't take it; the error tells its two points and their distances.
        """

    def sweep_at(self, driver: Driver, values: Sequence[float], steer: float = 0.0) -> Answered:
        """Solve exactly these travels or steers [mm] or rolls [rad], the rack held at `steer`."""


Car = TypeVar("Car", bound=CarAnswers, covariant=True)


@dataclass(frozen=True)
class Study(Generic[Car]):
    """A system of the car as found and as built: the measured car and the proposal on their wheels.

    `measured` and `proposed` are the same object when no change that is on concerns the system and
    the car stands as it did. `missing` gives, for each result that lacks data, the setup keys that
    it needs. `bands` say how far results may be off, None where that isn't known, or not yet.
    """

    system: System[Any]
    setup: Setup
    ranges: Ranges
    measured: Car
    proposed: Car
    missing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    bands: StudyBands | None = None

    @property
    def results(self) -> tuple[Result, ...]:
        """The results that the proposed car has."""
        return self.proposed.results

    @cached_property
    def unsettled(self) -> Car:
        """The proposal held at the measured height, aligned there: a figure beside the others."""
        if self.proposed.stand.is_as_measured:
            return self.proposed
        return cast(Car, self.system.solve(self.setup, self.ranges))

    @property
    def choice(self) -> HeightChoice:
        """What the setup says of the height at which this end of the proposal stands."""
        return self.setup.heights.get(self.system.key, SETTLES)

    @property
    def stands(self) -> float | None:
        """Rise of the proposal's wheels into the body [mm], None where the load isn't known."""
        if self.choice == SETTLES:
            return self.proposed.single.get("settled_travel")
        return self.proposed.stand.travel

    @property
    def settles_nowhere(self) -> bool:
        """Tell whether all is known and yet the springs proposed carry the load at no height."""
        return self.stands is None and "settled_travel" in self.measured.single

    @property
    def cars(self) -> dict[CarName, Car]:
        """Both cars by name, the measured one first."""
        return {"measured": self.measured, "proposed": self.proposed}

    @property
    def in_body(self) -> dict[CarName, Car]:
        """Both cars at the measured height, as other programs ask for poses."""
        return {"measured": self.measured, "proposed": self.unsettled}

    @property
    def changed(self) -> bool:
        """Tell whether the proposal differs from the measured car."""
        return self.proposed is not self.measured

    @property
    def must_be_held(self) -> bool:
        """Tell whether the height chosen is one that springs don't keep, as far as is known."""
        stand = self.proposed.stand
        if self.choice == SETTLES or "settled_travel" not in self.missing:
            return stand.is_held
        return stand.travel != 0.0 or self.system.proposes(self.setup)

    @property
    def has_work(self) -> bool:
        """Tell whether this system is worked on: a change of it, or a height that must be held."""
        return self.system.proposes(self.setup) or self.must_be_held

    @property
    def short(self) -> bool:
        """Tell whether the proposed car's answers are incomplete, as during a drag."""
        return self.proposed.short


def value_at_rest(car: CarAnswers, result: Result, side: int = 0) -> float | None:
    """Return a result where a car stands, None where it doesn't exist."""
    if result.scope == "car":
        return car.single.get(result.key)
    return value_in(car.rest, result, side)


def value_in(sweep: Answered, result: Result, side: int = 0, place: int = 0) -> float | None:
    """Return a result in one pose of a sweep, None where it doesn't exist there."""
    values = sweep.values.get(result.key)
    if values is None or not sweep.reached[place]:
        return None
    value = float(values[side, place] if values.ndim == 2 else values[place])
    return value if isfinite(value) else None


def values_over(sweep: Answered, result: Result, side: int = 0) -> Array:
    """Return a result over a sweep, shape (n,), nan where it doesn't exist."""
    values = sweep.values.get(result.key)
    if values is None:
        return np.full(sweep.at.size, np.nan)
    row = values[side] if values.ndim == 2 else values
    return np.where(sweep.reached & np.isfinite(row), row, np.nan)
