"""What front and rear studies have in common: panels, curves, sheet and command line read these."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Protocol

from app.document.model import Setup
from geometry.catalogue.front import Result
from geometry.vectors import Array


class Answered(Protocol):
    """Results over one driver, arrays (2, n) per wheel or (n,); where not reached they are void."""

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


class CarAnswers(Protocol):
    """One car's answers."""

    @property
    def rest(self) -> Answered:
        """At zero travel."""

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
    def settled(self) -> Answered | None:
        """At the settled height, None where it isn't known."""

    @property
    def single(self) -> Mapping[str, float]:
        """Results that exist once per car."""


class StudyAnswers(Protocol):
    """Both cars' answers."""

    @property
    def setup(self) -> Setup:
        """What was studied."""

    @property
    def measured(self) -> CarAnswers:
        """The car as measured."""

    @property
    def proposed(self) -> CarAnswers:
        """The car with the changes that are on."""

    @property
    def results(self) -> tuple[Result, ...]:
        """The results that this axle has."""

    @property
    def missing(self) -> Mapping[str, tuple[str, ...]]:
        """The setup keys that results lack."""

    @property
    def changed(self) -> bool:
        """Whether the proposal differs from the measured car."""


def value_at_rest(car: CarAnswers, result: Result, side: int = 0) -> float | None:
    """Return a result at zero travel, None where it doesn't exist."""
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
