"""What the wheels are set to, with tolerances: figures for the alignment table. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from math import asin, degrees, radians, sin
from typing import Final

from app.document.model import Units
from app.document.plans import Aim
from app.document.quantities import INCH
from app.document.units import format_value, half_of
from app.systems.answers import Study, value_at_rest, value_in
from app.systems.front.study import FrontAnswers
from app.systems.standing import leaves_out_pitch
from app.systems.targets import HEIGHT_WITHIN, Target, shop_length, stands_by
from app.words.results import result_text
from geometry.catalogue.front import BY_KEY, Result
from geometry.dataclass import dataclass
from geometry.front.sweeps import Sweep

# What an alignment bench and a tape can hold: common practice, no source.
CAMBER_WITHIN: Final = radians(0.15)
CASTER_WITHIN: Final = radians(0.3)
TOE_WITHIN: Final = {"mm": 0.5, "in": INCH / 32}  # of the total, over the stated diameter [mm]


def targets(study: Study[FrontAnswers], decimal: str = ".") -> tuple[Target, ...]:
    """Return what the wheels are set to, with the car standing on its wheels."""
    table = _Table(study, decimal)
    return (
        table.angle("Camber, + leans out", "camber", CAMBER_WITHIN),
        table.angle(_caster_title(study), "caster", CASTER_WITHIN),
        *table.toe(),
        *table.height(),
        *table.turns(),
    )


def _caster_title(study: Study[FrontAnswers]) -> str:
    return "Caster, body's pitch not in it" if leaves_out_pitch(study) else "Caster"


def _places(within: float) -> int:
    return 2 if degrees(within) < 0.295 else 1


@dataclass(frozen=True)
class _Table:
    study: Study[FrontAnswers]
    decimal: str

    @property
    def units(self) -> Units:
        return self.study.setup.units

    def angle(self, title: str, key: str, within: float) -> Target:
        """Return a row of an angle of each wheel."""
        measured_angle = self._sides(self.study.measured.rest, key)
        if (aim := self._aim(key)) is not None:
            wanted = (self._degree(aim.value),)
            return Target(title, measured_angle, wanted, self._degrees(aim.within))
        return Target(
            title, measured_angle, self._sides(self.study.proposed.rest, key), self._degrees(within)
        )

    def _aim(self, name: str) -> Aim | None:
        """Return what an alignment shall come to, as the file says; of what is only read, none."""
        aims = self.study.setup.aims if self.study.has_work else {}
        return aims.get(f"front.{name}")

    def _toe_aim(self, diameter: float) -> tuple[float, float] | None:
        """Return the total toe that an alignment shall come to, and how near [rad]."""
        for name in ("toe", "toe_total", "toe_mm", "toe_total_mm"):
            if (aim := self._aim(name)) is not None:
                wheels, size = (1.0 if "total" in name else 2.0), 1.0
                if not name.endswith("_mm"):
                    return aim.value * wheels, aim.within * wheels
                size = wheels / diameter
                return 2.0 * asin(0.5 * aim.value * size), aim.within * size
        return None

    def _degree(self, value: float) -> str:
        return format_value(value, "angle", self.units, decimal=self.decimal)

    def toe(self) -> Iterator[Target]:
        """Yield toe per wheel, in total, and as a length."""
        diameter = self.study.measured.front.car.toe_diameter
        within = TOE_WITHIN[self.units] / diameter
        wanted = self._toe_aim(diameter)
        total, within = (0.0, within) if wanted is None else wanted
        length = self._length(2.0 * diameter * sin(0.5 * total), 1)
        aims = (self._half(total), self._degree(total), length)
        now, was = self.study.proposed.rest, self.study.measured.rest
        titles = (
            ("Toe-in, each wheel", "toe", self._half_degrees(within), False),
            ("Toe-in, total", "toe_total", self._degrees(within), True),
            (
                f"the same over {self._length(diameter, 0)}",
                "toe_length",
                f"± {self._length(within * diameter, 1)}",
                True,
            ),
        )
        for place, (title, key, tolerance, both_sides) in enumerate(titles):
            set_to = self._sides(now, key) if wanted is None else (aims[place],)
            yield Target(title, self._sides(was, key), set_to, tolerance, both_sides)

    def height(self) -> Iterator[Target]:
        """Yield the ride height as a shop measures it, wheel centre to arch."""
        arch, by = self.study.setup.evidence.get("front.arch_height"), stands_by(self.study)
        if not isinstance(arch, float | int):
            return
        measured_height = (self._length(float(arch), 0),)
        proposed_height = ("measure",) if by is None else (self._length(float(arch) - by, 0),)
        within = f"± {self._length(HEIGHT_WITHIN[self.units], 0)}"
        yield Target("Ride height, wheel centre to arch", measured_height, proposed_height, within)

    def turns(self) -> Iterator[Target]:
        """Yield the outer wheel's angle on turn plates, to check."""
        key = "toe_out_on_turns"
        cars = (self.study.measured, self.study.proposed)
        if any(value_at_rest(car, BY_KEY[key]) is None for car in cars):
            return
        measured_turns, proposed_turns = (self._car(car, key) for car in cars)
        yield Target(
            "Toe-out on turns, inner at 20°", (measured_turns,), (proposed_turns,), "check"
        )

    def _car(self, car: FrontAnswers, key: str) -> str:
        value = value_at_rest(car, BY_KEY[key])
        return result_text(value, BY_KEY[key], self.units, decimal=self.decimal, places=1)

    def _sides(self, sweep: Sweep, key: str) -> tuple[str, ...]:
        result = BY_KEY[key]
        count = 2 if result.scope == "wheel" else 1
        values = (value_in(sweep, result, side) for side in range(count))
        texts = tuple(self._text(value, result) for value in values)
        return texts[:1] if len(set(texts)) == 1 else texts

    def _text(self, value: float | None, result: Result) -> str:
        if value is not None and result.kind == "length":
            return self._length(value, 1)
        return result_text(value, result, self.units, decimal=self.decimal)

    def _degrees(self, within: float) -> str:
        places = _places(within)
        value = format_value(within, "angle", self.units, decimal=self.decimal, places=places)
        return f"± {value}"

    def _half_degrees(self, total: float) -> str:
        """Return what a total leaves each wheel, rounded as the total is."""
        return f"± {self._half(total, _places(total))}"

    def _half(self, total: float, places: int = 2) -> str:
        half, places = half_of(total, "angle", self.units, places)
        return format_value(half, "angle", self.units, decimal=self.decimal, places=places)

    def _length(self, value: float, places: int) -> str:
        return shop_length(value, self.units, self.decimal, places)
