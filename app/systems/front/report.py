"""What a report says of the front beside its results."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.systems.answers import CarName, Study
from app.systems.front import notes
from app.systems.front.study import FrontAnswers
from app.systems.naming import Naming
from app.systems.spring_check import SpringCheck, spring_check
from app.words.lengths import length_words
from geometry.catalogue.front import RESULTS
from geometry.catalogue.result import Result
from geometry.front.sweeps import Sweep


@dataclass(frozen=True)
class FrontReport:
    """The front, studied, as a report tells of it."""

    study: Study[FrontAnswers]

    @property
    def results(self) -> Sequence[Result]:
        """Every result of the front."""
        return RESULTS

    def applies(self, result: Result) -> bool:
        """Tell whether a result means anything on this car."""
        return notes.applies(result, self.study.setup)

    def titled(self, result: Result) -> str:
        """Return a title with what the result is stated over."""
        units = self.study.setup.units
        if result.key in ("toe_length", "bump_steer_length"):
            diameter = self.study.measured.front.car.toe_diameter
            return f"{result.title} over {length_words(diameter, units)}"
        if result.key == "bump_steer_range":
            return f"{result.title} over ±{length_words(self.study.ranges.window, units)}"
        return result.title

    def conditions(self) -> dict[str, float]:
        """Return what some results are stated over [mm]."""
        return {
            "toe_diameter_mm": self.study.measured.front.car.toe_diameter,
            "bump_steer_each_way_mm": self.study.ranges.window,
        }

    def check(self) -> SpringCheck | None:
        """Compare the springs with the weight."""
        return spring_check(self.study.measured.front)

    def setup_notes(self, naming: Naming) -> Iterator[str]:
        """Return notes on the measured data."""
        return notes.setup_notes(self.study, naming)

    def rest_notes(self, car: CarName, naming: Naming) -> Iterator[str]:
        """Return notes on one car's results at rest."""
        return notes.rest_notes(self.study, self.study.cars[car], naming)

    def sweep_notes(
        self, car: CarName, sweep: Sweep, steer: float, naming: Naming
    ) -> Iterator[str]:
        """Return notes on a car's poses: which can't be reached, and why."""
        yield from notes.reach_notes(self.study, self.study.in_body[car].front, sweep, steer)
        yield from notes.absent_notes(self.study, sweep, naming)
        yield from notes.parting_notes(self.study, sweep)
        yield from notes.beyond_notes(self.study, sweep, steer)
