"""What the wheels are set to, with tolerances: figures for the alignment table. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees, radians
from typing import Final

from app.document.model import Units
from app.document.proposal import toe_is_reset
from app.document.quantities import INCH
from app.document.units import format_value
from app.systems.answers import StudyAnswers, value_at_rest, value_in
from app.systems.front.study import Study, result_of
from app.words.results import result_text
from geometry.front.sweeps import FrontStudy, Sweep

# What an alignment bench and a tape can hold: common practice, no source.
CAMBER_WITHIN: Final = radians(0.15)
CASTER_WITHIN: Final = radians(0.3)
TOE_WITHIN: Final = {"mm": 0.5, "in": INCH / 32}  # of the total, over the stated diameter [mm]
HEIGHT_WITHIN: Final = {"mm": 3.0, "in": INCH / 8}  # [mm]
HEIGHT_SEEN: Final = 0.5  # a car that settles by less stands as it did [mm]


@dataclass(frozen=True)
class Target:
    """A row of the alignment table.

    `found` and `wanted` hold one figure, or left and right where they differ; `both` is one box
    for the whole axle instead of one per wheel.
    """

    title: str
    found: tuple[str, ...]
    wanted: tuple[str, ...]
    within: str
    both: bool = False


def targets(study: Study, decimal: str = ".") -> tuple[Target, ...]:
    """Return what the wheels are set to, with the car standing on its wheels."""
    table = _Table(study, decimal)
    return (
        table.angle("Camber, + leans out", "camber", CAMBER_WITHIN),
        table.angle("Caster", "caster", CASTER_WITHIN),
        *table.toe(),
        *table.height(),
        *table.turns(),
    )


def standing(study: Study) -> Sweep:
    """Return the proposal as it stands on its springs, as drawn where that isn't known."""
    return study.proposed.settled or study.proposed.rest


def settles_by(study: StudyAnswers) -> float | None:
    """Return how far the proposal settles [mm], 0 when unseen, None where it isn't known."""
    by = study.proposed.single.get("settled_travel")
    return None if by is None else by if abs(by) >= HEIGHT_SEEN else 0.0


@dataclass(frozen=True)
class _Table:
    study: Study
    decimal: str

    @property
    def units(self) -> Units:
        return self.study.setup.units

    def angle(self, title: str, key: str, within: float) -> Target:
        """Return a row of an angle of each wheel."""
        found = self._sides(self.study.measured.rest, key)
        return Target(title, found, self._sides(standing(self.study), key), self._degrees(within))

    def toe(self) -> Iterator[Target]:
        """Yield toe per wheel, in total, and as a length."""
        diameter = self.study.measured.front.car.toe_diameter
        within = TOE_WITHIN[self.units] / diameter
        now, was = self._toe_sweep(), self.study.measured.rest
        titles = (
            ("Toe-in, each wheel", "toe", self._degrees(within / 2), False),
            ("Toe-in, total", "toe_total", self._degrees(within), True),
            (
                f"the same over {self._length(diameter, 0)}",
                "toe_length",
                f"± {self._length(TOE_WITHIN[self.units], 1)}",
                True,
            ),
        )
        for title, key, tolerance, both in titles:
            yield Target(title, self._sides(was, key), self._sides(now, key), tolerance, both)

    def _toe_sweep(self) -> Sweep:
        """Toe that is reset is set to its figure at whatever height the car then stands."""
        reset = toe_is_reset(self.study.setup)
        return self.study.proposed.rest if reset else standing(self.study)

    def height(self) -> Iterator[Target]:
        """Yield the ride height as a shop measures it, wheel centre to arch."""
        arch, by = self.study.setup.evidence.get("front.arch_height"), settles_by(self.study)
        if not isinstance(arch, float | int):
            return
        found = (self._length(float(arch), 0),)
        wanted = ("measure",) if by is None else (self._length(float(arch) - by, 0),)
        within = f"± {self._length(HEIGHT_WITHIN[self.units], 0)}"
        yield Target("Ride height, wheel centre to arch", found, wanted, within)

    def turns(self) -> Iterator[Target]:
        """Yield the outer wheel's angle on turn plates, to check."""
        key = "toe_out_on_turns"
        cars = (self.study.measured, self.study.proposed)
        if any(value_at_rest(car, result_of(key)) is None for car in cars):
            return
        found, wanted = (self._car(car, key) for car in cars)
        yield Target("Toe-out on turns, inner at 20°", (found,), (wanted,), "check")

    def _car(self, car: FrontStudy, key: str) -> str:
        value = value_at_rest(car, result_of(key))
        return result_text(value, result_of(key), self.units, decimal=self.decimal, places=1)

    def _sides(self, sweep: Sweep, key: str) -> tuple[str, ...]:
        result = result_of(key)
        count = 2 if result.scope == "wheel" else 1
        values = (value_in(sweep, result, side) for side in range(count))
        told = tuple(result_text(v, result, self.units, decimal=self.decimal) for v in values)
        return told[:1] if len(set(told)) == 1 else told

    def _degrees(self, within: float) -> str:
        places = 2 if degrees(within) < 0.295 else 1
        value = format_value(within, "angle", self.units, decimal=self.decimal, places=places)
        return f"± {value}"

    def _length(self, value: float, places: int) -> str:
        return shop_length(value, self.units, self.decimal, places)


def shop_length(value: float, units: Units, decimal: str, places: int) -> str:
    """Return a length as a shop says it: to the mm, or a fraction of an inch."""
    if units == "mm":
        return format_value(value, "length", "mm", decimal=decimal, places=places)
    nearest = round(value / INCH * 32) / 32 * INCH
    return format_value(nearest, "length", "in", decimal=decimal, fractions=True)
