"""What the last page says of a car: how it stands, and how sure that is."""

from __future__ import annotations

from typing import Any, Final

from app.document.model import Setup, Units
from app.document.units import format_value
from app.entry.part import GuidePart
from app.systems.answers import value_at_rest
from app.systems.banded import StudyBands
from app.words.bands import banded_text
from app.words.errors import geometry_words
from geometry.catalogue.result import Result, by_key
from geometry.dataclass import dataclass
from geometry.errors import GeometryError

SIZES: Final = ("spring_motion_ratio", "wheel_rate", "ride_frequency")  # without a direction


@dataclass(frozen=True)
class Look:
    """A result of the car as measured."""

    result: Result
    value: float

    def words(self, units: Units, decimal: str, bands: StudyBands | None = None) -> str:
        """Return the value with its sign in words; with bands no more of it than is known."""
        within = None if bands is None else bands.within("found", self.result)
        plus, minus = (
            ("", "") if self.result.key in SIZES else (self.result.plus, self.result.minus)
        )
        if within is None:
            text = format_value(self.value, self.result.kind, units, decimal=decimal)
            return f"{text} {plus if self.value > 0 else minus}".strip()
        text = banded_text(self.value, within, self.result, units, decimal=decimal)
        if plus and minus and abs(self.value) < within:
            return f"{text}: {plus}, or {minus}"
        return f"{text} {plus if self.value > 0 else minus}".strip()


def first_look(setup: Setup, part: GuidePart, decimal: str = ".") -> tuple[tuple[Look, ...], str]:
    """Return a few results of one end as measured, and why there are none if it can't be built."""
    try:
        car: Any = part.system.study(setup.having(changes=()), short=True).measured
    except GeometryError as error:
        return (), geometry_words(error, setup.units, decimal, setup.readings)
    looks = []
    results = by_key(car.results)
    for key in part.first_look:
        result = results.get(key)
        value = None if result is None else value_at_rest(car, result)
        if result is not None and value is not None:
            looks.append(Look(result, value))
    return tuple(looks), ""
