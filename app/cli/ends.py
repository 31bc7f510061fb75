"""The two ends of a car as the commands ask them: one shape, each with its own notes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final, Literal, Protocol

from app.cli import front_notes, rear_notes
from app.cli.arguments import Axle, Over
from app.cli.naming import Naming
from app.document.naming import length_words
from app.systems.answers import Answered, CarAnswers, Ranges, Study
from app.systems.cautions import cautions
from app.systems.front.study import FrontAnswers, sweep_at
from app.systems.rear.answers import RearAnswers
from app.systems.sentence import Sentence
from app.systems.sentences import sentences
from app.systems.spring_check import SpringCheck, spring_check
from geometry.catalogue.front import RESULTS, Result
from geometry.front.sweeps import FrontStudy

CarName = Literal["measured", "proposed"]
CARS: Final[tuple[CarName, CarName]] = ("measured", "proposed")


class End(Protocol):
    """One end of the car, studied."""

    @property
    def axle(self) -> Axle:
        """Which end: front or rear."""

    @property
    def study(self) -> Study[Any]:
        """Both cars' answers."""

    @property
    def ranges(self) -> Ranges:
        """What is swept unless asked otherwise."""

    @property
    def results(self) -> Sequence[Result]:
        """Results that either car has."""

    def applies(self, result: Result) -> bool:
        """Tell whether a result means anything on this car."""

    def titled(self, result: Result) -> str:
        """Return a title with what the result is stated over."""

    def conditions(self) -> dict[str, float]:
        """Return what some results are stated over [mm]."""

    def check(self) -> SpringCheck | None:
        """Compare the springs with the weight."""

    def sentences(self) -> tuple[Sentence, ...]:
        """Say what the proposal does to this end."""

    def cautions(self) -> tuple[str, ...]:
        """Return the cautions of this end's jobs that are on."""

    def setup_notes(self, naming: Naming) -> Iterator[str]:
        """Return notes on the measured data."""

    def rest_notes(self, car: CarName, naming: Naming) -> Iterator[str]:
        """Return notes on one car's results at rest."""

    def sweep(
        self, car: CarName, over: Over, values: Sequence[float], steer: float, naming: Naming
    ) -> tuple[Answered, list[str]]:
        """Solve a car at these places; return its notes too."""


def car_of(end: End, car: CarName) -> CarAnswers:
    """Return one car's answers."""
    cars: dict[str, CarAnswers] = {"measured": end.study.measured, "proposed": end.study.proposed}
    return cars[car]


def cautions_of(ends: Sequence[End]) -> list[str]:
    """Return the cautions of all ends, each once; what holds for all of them comes last."""
    told = [each for each in (end.cautions() for end in ends) if each]
    own = (caution for each in told for caution in each[:-1])
    return list(dict.fromkeys([*own, *(each[-1] for each in told)]))


@dataclass(frozen=True)
class FrontEnd:
    """The front."""

    study: Study[FrontAnswers]
    axle: Axle = "front"

    @property
    def ranges(self) -> Ranges:
        """What is swept unless asked otherwise."""
        return self.study.ranges

    @property
    def results(self) -> Sequence[Result]:
        """Every result of the front."""
        return RESULTS

    def applies(self, result: Result) -> bool:
        """Tell whether a result means anything on this car."""
        return front_notes.applies(result, self.study.setup)

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

    def sentences(self) -> tuple[Sentence, ...]:
        """Say what the proposal does to the front."""
        return sentences(self.study)

    def cautions(self) -> tuple[str, ...]:
        """Return the cautions of the front's jobs that are on."""
        return cautions(self.study)

    def setup_notes(self, naming: Naming) -> Iterator[str]:
        """Return notes on the measured data."""
        return front_notes.setup_notes(self.study, naming)

    def rest_notes(self, car: CarName, naming: Naming) -> Iterator[str]:
        """Return notes on one car's results at rest."""
        return front_notes.rest_notes(self.study, self._car(car), naming)

    def sweep(
        self, car: CarName, over: Over, values: Sequence[float], steer: float, naming: Naming
    ) -> tuple[Answered, list[str]]:
        """Solve a car at these places; return its notes too."""
        front = self._car(car).front
        swept = sweep_at(front, over, values, steer)
        return swept, [
            *front_notes.reach_notes(self.study, front, swept, steer),
            *front_notes.absent_notes(self.study, swept, naming),
            *front_notes.beyond_notes(self.study, swept, steer),
        ]

    def _car(self, car: CarName) -> FrontStudy:
        return self.study.measured if car == "measured" else self.study.proposed


@dataclass(frozen=True)
class RearEnd:
    """The rear."""

    study: Study[RearAnswers]
    axle: Axle = "rear"

    @property
    def ranges(self) -> Ranges:
        """What is swept unless asked otherwise."""
        return self.study.ranges

    @cached_property
    def results(self) -> Sequence[Result]:
        """Results of the kinds of rear that both cars have."""
        return rear_notes.results_of(self.study)

    def applies(self, result: Result) -> bool:
        """Tell whether a result means anything on this car."""
        return rear_notes.applies(result, self.study)

    def titled(self, result: Result) -> str:
        """Return a title with what the result is stated over."""
        return result.title

    def conditions(self) -> dict[str, float]:
        """Return what some results are stated over [mm]."""
        return {}

    def check(self) -> SpringCheck | None:
        """Compare the springs with the weight."""
        return rear_notes.check(self.study)

    def sentences(self) -> tuple[Sentence, ...]:
        """Say what the proposal does to the rear."""
        return sentences(self.study)

    def cautions(self) -> tuple[str, ...]:
        """Return the cautions of the rear's jobs that are on."""
        return cautions(self.study)

    def setup_notes(self, naming: Naming) -> Iterator[str]:
        """Return notes on the measured data."""
        return rear_notes.setup_notes(self.study, naming)

    def rest_notes(self, car: CarName, naming: Naming) -> Iterator[str]:
        """Return notes on one car's results at rest."""
        return rear_notes.rest_notes(self.study, self.car(car), naming)

    def sweep(
        self, car: CarName, over: Over, values: Sequence[float], steer: float, naming: Naming
    ) -> tuple[Answered, list[str]]:
        """Solve a car at these places; return its notes too."""
        swept = self.car(car).sweep_at(over, values)
        return swept, [
            *rear_notes.reach_notes(self.study, self.car(car), swept),
            *rear_notes.absent_notes(self.study, swept, naming),
            *rear_notes.beyond_notes(self.study, swept),
        ]

    def car(self, car: CarName) -> RearAnswers:
        """Return one car's answers."""
        return self.study.measured if car == "measured" else self.study.proposed
