"""A sentence on a study, and the two cars' values in the user's words that it is made of."""

from __future__ import annotations

from typing import Any, Literal

from app.document.model import Limit, Units
from app.document.units import format_value, number_of
from app.systems.answers import Study, value_at_rest
from app.systems.limits import Extreme, LimitCheck
from app.words.lengths import length_words, shortened
from app.words.results import is_zero, limit_named, result_text, sign_words, value_places
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

Severity = Literal["plain", "watch", "wrong"]


@dataclass(frozen=True)
class Sentence:
    """One consequence in words; `result_key` is the result it is about.

    One that `stops` says that the proposal can't be made, or can't stand, as it is. It comes before
    all others of its severity, since what they say hangs on it.
    """

    text: str
    severity: Severity = "plain"
    result_key: str = ""
    stops: bool = False


@dataclass(frozen=True)
class Teller:
    """A study of a system, and how its figures are said."""

    study: Study[Any]
    decimal: str = "."

    def result(self, key: str) -> Result:
        """Return a result of the axle."""
        raise NotImplementedError

    @property
    def units(self) -> Units:
        """Return the units that figures are said in."""
        return self.study.setup.units

    def before(self, key: str, side: int = 0) -> float | None:
        """Return the value of the car as found, on its wheels."""
        return value_at_rest(self.study.measured, self.result(key), side)

    def after(self, key: str, side: int = 0) -> float | None:
        """Return the value of the car as built, on its wheels."""
        return value_at_rest(self.study.proposed, self.result(key), side)

    def pair(self, key: str, side: int = 0) -> tuple[float, float] | None:
        """Return both cars' values, None unless both exist."""
        before, after = self.before(key, side), self.after(key, side)
        return None if before is None or after is None else (before, after)

    def moved(self, key: str, by: float) -> bool:
        """Tell whether a result moves by at least `by`, at either wheel."""
        pairs = (self.pair(key, side) for side in (0, 1)[: self._sides(key)])
        return any(pair is not None and abs(pair[1] - pair[0]) >= by for pair in pairs)

    def text(self, key: str, value: float, plus: bool = False, places: int | None = None) -> str:
        """Return a value with its unit."""
        result = self.result(key)
        return result_text(
            value, result, self.units, plus=plus, decimal=self.decimal, places=places
        )

    def beside(self, limit: Limit, key: str, value: float) -> str:
        """Return a value with its unit, and with the digits that show it past a limit."""
        return self.text(
            key, value, places=value_places(value, limit, self.result(key), self.units)
        )

    def meaning(self, key: str, value: float) -> str:
        """Return a value's sign in words in brackets: " (top leans in)"."""
        words = sign_words(value, self.result(key), self.units)
        return f" ({words})" if words else ""

    def goes(self, key: str, plus: bool = False, places: int | None = None) -> str:
        """Return "from … to …", with the right wheel's where the sides aren't alike."""
        left = self._goes(key, 0, plus, places)
        if self.is_symmetric(key):
            return left
        return f"{left} on the left, {self._goes(key, 1, plus, places)} on the right"

    def length(self, value: float) -> str:
        """Return a length as it is said, to the mm or the hundredth of an inch above 10 mm."""
        if abs(value) < 10.0 or self.units == "in":
            places = 1 if self.units == "mm" else 2
            return format_value(value, "length", self.units, decimal=self.decimal, places=places)
        return format_value(value, "length", self.units, decimal=self.decimal, places=0)

    def round_length(self, value: float) -> str:
        """Return a length that somebody chose: no decimals it doesn't need.

        In inches it has decimals like the results that it stands beside; fractions are for work.
        """
        if self.units == "mm":
            return length_words(value, "mm", self.decimal)
        return f"{shortened(number_of(value, 'length', 'in', places=2), self.decimal)} in"

    def _goes(self, key: str, side: int, plus: bool, places: int | None) -> str:
        values = self.pair(key, side)
        if values is None:
            return ""
        before, after = (self.text(key, value, plus, places) for value in values)
        return f"from {before.partition(' ')[0]} to {after}"

    def _sides(self, key: str) -> int:
        return 2 if self.result(key).scope == "wheel" else 1

    def is_symmetric(self, key: str) -> bool:
        """Tell whether left and right are shown as the same figures, in both cars."""
        result = self.result(key)
        if self._sides(key) == 1:
            return True
        sides = ((car(result.key, 0), car(result.key, 1)) for car in (self.before, self.after))
        return all(
            left is not None and right is not None and is_zero(left - right, result, self.units)
            for left, right in sides
        )


def past_limit(tell: Teller, reading: LimitCheck, now: Extreme) -> Sentence:
    """Tell of a limit that isn't kept."""
    result = reading.result
    most = limit_named(reading.limit, result, tell.units, decimal=tell.decimal)
    value = tell.beside(reading.limit, result.key, now.value)
    where = f"{value} {where_read(tell, now)}".strip()
    if now.driver == "rest" and not tell.is_symmetric(result.key):
        where = f"{where} on the {now.side}"
    return Sentence(
        f"{result.title} is {where}, past its {most}.",
        "wrong",
        result.key,
    )


def where_read(tell: Teller, reading: Extreme) -> str:
    """Say where a value was read: "at 75 mm of rebound"."""
    if reading.driver == "rest":
        return ""
    if reading.driver == "steer":
        return "on lock"
    way = "bump" if reading.at > 0 else "rebound"
    return f"at {tell.round_length(abs(reading.at))} of {way}"
