"""What is set and read at the rear once the car stands on its wheels. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from math import radians
from typing import Final

from app.document.address import left_of
from app.document.model import Setup
from app.document.quantities import INCH
from app.document.units import NO_VALUE, format_value
from app.systems.answers import Study, value_in
from app.systems.rear.answers import RearAnswers
from app.systems.study_results import result_named
from app.systems.targets import HEIGHT_WITHIN, Target, shop_length, stands_by
from app.words.results import result_text
from geometry.dataclass import dataclass

# What an angle finder and a tape under a car can hold: common practice, no source.
SHACKLE_WITHIN: Final = radians(2.0)
PINION_WITHIN: Final = radians(0.5)
DAMPER_WITHIN: Final = 3.0  # mm
GAP_WITHIN: Final = {"mm": 1.0, "in": INCH / 32}  # [mm]
HEIGHT: Final = "Ride height, wheel centre to arch"
GAP: Final = "Traction bar gap, at ride height"
U_BOLTS: Final = "U-bolt nuts, new: torque to the workshop manual"
EYES: Final = "Eye and shackle bolts, at ride height: torque to the manual"
DAMPER_BOLTS: Final = "Damper bolts, at ride height: torque to the workshop manual"
LINK_BOLTS: Final = "Link bolts, at ride height: torque to the workshop manual"


_SEATS: Final = ("rear.block", "rear.wedge", "rear.pack.", "rear.traction_bar.", "rear.bar_")
_EYE_ENDS: Final = ("rear.front_eye", "rear.rear_eye", "rear.shackle", "rear.centre_bolt")
_LINK_ENDS: Final = ("rear.lower_", "rear.upper_", "rear.lateral_", "rear.spring")


def bolts_undone(study: Study[RearAnswers]) -> Iterator[str]:
    """Yield what is torqued anew: the bolts that the work undoes, or turns by another height."""
    on = (change for change in study.setup.changes if change.on)
    keys = [left_of(key) for change in on for key in (*change.moves, *change.sets)]

    def any_of(*starts: str) -> bool:
        return any(key.startswith(starts) for key in keys)

    if study.proposed.kind == "leaf axle":
        if any_of("rear.kind", *_SEATS):
            yield U_BOLTS
        if any_of("rear.kind", "rear.block", "rear.pack.", *_EYE_ENDS):
            yield EYES
    elif any_of("rear.kind", *_LINK_ENDS):
        yield LINK_BOLTS
    if any_of("rear.damper", "rear.kind"):
        yield DAMPER_BOLTS


def rear_targets(study: Study[RearAnswers], decimal: str = ".") -> tuple[Target, ...]:
    """Return what is read at the rear, with the car standing on its wheels."""
    return tuple(_Readings(study, decimal).rows())


def knows_pinion(setup: Setup) -> bool:
    """Tell whether the pinion's angle was measured; what turns it is known without."""
    return "rear.axle.pinion_angle" in setup.evidence


def moves_dampers(setup: Setup) -> bool:
    """Tell whether a change that is on moves, sets or fits rear dampers."""
    keys = (key for each in setup.changes if each.on for key in (*each.moves, *each.sets))
    return any(left_of(key).startswith("rear.damper") for key in keys)


@dataclass(frozen=True)
class _Readings:
    study: Study[RearAnswers]
    decimal: str

    def rows(self) -> Iterator[Target]:
        """Yield height, angles, and what is torqued."""
        yield self._height()
        yield from self._angle("Shackle to the line of the eyes", "shackle_angle", SHACKLE_WITHIN)
        yield from self._angle("Pinion, + nose up", "pinion_angle", PINION_WITHIN, both_sides=True)
        against = "Pinion to the gearbox, + nose up"
        if self._standing("pinion_to_gearbox") is not None:
            yield from self._angle(against, "pinion_to_gearbox", PINION_WITHIN, both_sides=True)
        yield from self._dampers()
        yield from self._gap()
        for words in bolts_undone(self.study):
            yield Target(words, ("",), ("",), "")

    def _height(self) -> Target:
        units = self.study.setup.units
        arch, by = self.study.setup.evidence.get("rear.arch_height"), stands_by(self.study)
        within = f"± {shop_length(HEIGHT_WITHIN[units], units, self.decimal, 0)}"
        if not isinstance(arch, float | int):
            return Target(HEIGHT, (NO_VALUE,), (self._step(by),), within)
        measured_height = shop_length(float(arch), units, self.decimal, 0)
        if by is None:
            return Target(HEIGHT, (measured_height,), ("measure",), within)
        heights = tuple(
            dict.fromkeys(
                shop_length(float(arch) - rise, units, self.decimal, 0) for rise in self._rises(by)
            )
        )
        return Target(HEIGHT, (measured_height,), heights, within)

    def _rises(self, by: float) -> tuple[float, ...]:
        """Return how much lower each wheel's arch stands [mm], one figure where both are alike.

        A body that already leant as found has one height measured: its right side isn't known.
        """
        lean, found = self.study.system.lean(self.study), self.study.measured.leaf
        leant = found is not None and found.car.right is not None
        return (by,) if lean is None or leant else lean.rises

    def _step(self, by: float | None) -> str:
        """Say how the car then stands where its height wasn't measured."""
        if by is None:
            return "measure"
        units = self.study.setup.units
        size = shop_length(abs(by), units, self.decimal, 0)
        return "as it was" if by == 0.0 else f"{size} {'lower' if by > 0 else 'higher'}"

    def _angle(
        self, title: str, key: str, within: float, both_sides: bool = False
    ) -> Iterator[Target]:
        if key == "pinion_angle" and not knows_pinion(self.study.setup):
            yield from self._turn(title)
            return
        result = result_named(self.study, key)
        before, after = self._measured_value(self.study.measured, key), self._standing(key)
        if result is None or after is None:
            return
        units = self.study.setup.units
        was, now = (
            result_text(value, result, units, decimal=self.decimal, places=1)
            for value in (before, after)
        )
        size = format_value(within, "angle", units, decimal=self.decimal, places=1)
        yield Target(title, (was,), (now,), f"± {size}", both_sides)

    def _dampers(self) -> Iterator[Target]:
        """Yield the length of dampers that are moved, and where in their stroke they stand."""
        if not moves_dampers(self.study.setup):
            return
        for key, title, within in (
            ("damper_length", "Damper, between its eyes", DAMPER_WITHIN),
            ("damper_stroke", "Damper, used from open to closed", None),
        ):
            before, after = (
                self._of_sides(car, key) for car in (self.study.measured, self.study.proposed)
            )
            if after == (NO_VALUE,):
                continue
            units = self.study.setup.units
            size = f"± {shop_length(within, units, self.decimal, 0)}" if within else ""
            yield Target(title, before, after, size)

    def _of_sides(self, car: RearAnswers, key: str) -> tuple[str, ...]:
        """Return a wheel's result as text, once where both sides read alike."""
        result, units = result_named(self.study, key), self.study.setup.units
        if result is None:
            return (NO_VALUE,)
        values = (value_in(car.rest, result, side) for side in (0, 1))
        texts = [
            shop_length(value, units, self.decimal, 1 if units == "mm" else 0)
            if value is not None and result.kind == "length"
            else result_text(value, result, units, decimal=self.decimal)
            for value in values
        ]
        return tuple(dict.fromkeys(texts))

    def _gap(self) -> Iterator[Target]:
        """Yield the traction bars' gap, which a feeler sets on each side."""
        cars = (self.study.measured, self.study.proposed)
        was, now = (None if car.leaf is None else car.leaf.bars for car in cars)
        if now is None:
            return
        units = self.study.setup.units
        before, after = (
            NO_VALUE if bars is None else shop_length(max(bars.gap, 0.0), units, self.decimal, 1)
            for bars in (was, now)
        )
        within = f"± {shop_length(GAP_WITHIN[units], units, self.decimal, 1)}"
        yield Target(GAP, (before,), (after,), within)

    def _turn(self, title: str) -> Iterator[Target]:
        """Yield the pinion's row of a car whose pinion wasn't measured."""
        yield Target(title, (NO_VALUE,), ("measure",), "", both=True)

    def _measured_value(self, car: RearAnswers, key: str) -> float | None:
        result = result_named(self.study, key)
        return None if result is None else value_in(car.rest, result)

    def _standing(self, key: str) -> float | None:
        result, car = result_named(self.study, key), self.study.proposed
        return None if result is None else value_in(car.rest, result)
