"""What is said of a studied system beside its results: what they mean, lack and are stated over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Protocol

from app.systems.answers import CarName, Study
from app.systems.naming import Naming
from app.systems.spring_check import SpringCheck
from geometry.catalogue.result import Result

Conditions = dict[str, float | list[float]]
"""What results are stated over, by machine-readable name."""


class Report(Protocol):
    """One system of the car, studied, as a report tells of it."""

    @property
    def study(self) -> Study[Any]:
        """Both cars' answers."""

    @property
    def results(self) -> Sequence[Result]:
        """Results that either car has."""

    def applies(self, result: Result) -> bool:
        """Tell whether a result means anything on this car."""

    def titled(self, result: Result) -> str:
        """Return a title with what the result is stated over."""

    def conditions(self) -> Conditions:
        """Return what some results are stated over [mm]."""

    def check(self) -> SpringCheck | None:
        """Compare the springs with the weight."""

    def setup_notes(self, naming: Naming) -> Iterator[str]:
        """Return notes on the measured data."""

    def rest_notes(self, car: CarName, naming: Naming) -> Iterator[str]:
        """Return notes on one car's results at rest."""

    def sweep_notes(self, car: CarName, sweep: Any, steer: float, naming: Naming) -> Iterator[str]:
        """Return notes on a car's poses: which can't be reached, and why."""
