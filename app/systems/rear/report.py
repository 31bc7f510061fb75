"""What a report says of the rear beside its results."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from app.systems.answers import CarName, Study
from app.systems.naming import Naming, beyond_stops
from app.systems.rear import notes
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.report import Conditions
from app.systems.spring_check import SpringCheck
from app.systems.study_results import results_of
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class RearReport:
    """The rear, studied, as a report tells of it."""

    study: Study[RearAnswers]

    @cached_property
    def results(self) -> Sequence[Result]:
        """Results of the kinds of rear that both cars have."""
        return results_of(self.study)

    def applies(self, result: Result) -> bool:
        """Tell whether a result means anything on this car."""
        return notes.applies(result, self.study)

    def titled(self, result: Result) -> str:
        """Return a title with what the result is stated over."""
        return result.title

    def conditions(self) -> Conditions:
        """Return what some results are stated over [mm]."""
        return {}

    def check(self) -> SpringCheck | None:
        """Compare the springs with the weight."""
        return notes.check(self.study)

    def setup_notes(self, naming: Naming) -> Iterator[str]:
        """Return notes on the measured data."""
        return notes.setup_notes(self.study, naming)

    def rest_notes(self, car: CarName, naming: Naming) -> Iterator[str]:
        """Return notes on one car's results at rest."""
        return notes.rest_notes(self.study, self.study.cars[car], naming)

    def sweep_notes(
        self, car: CarName, sweep: RearSweep, steer: float, naming: Naming
    ) -> Iterator[str]:
        """Return notes on a car's poses: which can't be reached, and why."""
        yield from notes.reach_notes(self.study, self.study.in_body[car], sweep)
        yield from notes.absent_notes(self.study, sweep, naming)
        yield from beyond_stops(self.study, sweep)
