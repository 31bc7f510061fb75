"""What a report says of the front beside its results."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import degrees

from app.systems.answers import CarName, Ranges, Study
from app.systems.front import notes
from app.systems.front.study import FrontAnswers
from app.systems.front.words.travel import each_way, is_whole
from app.systems.naming import Naming
from app.systems.report import Conditions
from app.systems.spring_check import SpringCheck, spring_check
from app.words.lengths import length_words
from geometry.catalogue.front import RESULTS
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
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
        units, window = self.study.setup.units, self.study.ranges.window
        if result.key in ("toe_length", "bump_steer_length"):
            diameter = self.study.measured.front.car.toe_diameter
            return f"{result.title} over {length_words(diameter, units)}"
        if result.key == "bump_steer_range":
            cut = "" if all(is_whole(car, window) for car in self._cars()) else ", or to its stops"
            return f"{result.title} over {each_way(window, units)}{cut}"
        if result.key == "caster_turn_plates" and self.study.ranges.locks != Ranges().locks:
            out, inward = (f"{degrees(lock):g}°" for lock in self.study.ranges.locks)
            return f"{result.title} at {out} out, {inward} in"
        return result.title

    def conditions(self) -> Conditions:
        """Return what some results are stated over [mm]."""
        found, built = self._cars()
        return {
            "toe_diameter_mm": self.study.measured.front.car.toe_diameter,
            "bump_steer_each_way_mm": self.study.ranges.window,
            "bump_steer_found_mm": list(found.window),
            "bump_steer_built_mm": list(built.window),
        }

    def _cars(self) -> tuple[FrontAnswers, FrontAnswers]:
        """Return the car as found and as built."""
        return self.study.measured, self.study.proposed

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
