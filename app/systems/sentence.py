"""A sentence on a study, and the two cars' values in the user's words that it is made of."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal

from app.document.address import SIDES
from app.document.ends import key_in
from app.document.model import Limit, Units
from app.document.units import format_value, number_of
from app.systems.answers import Study, value_at_rest
from app.systems.banded import ENDLESS, CarOf
from app.systems.limits import Extreme, LimitCheck
from app.systems.sides import sides_are_alike, wheel_value, wheels_are_alike
from app.words.bands import is_open
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
        value = value_at_rest(self.study.measured, self.result(key), side)
        return None if self._is_endless("found", key, side) else value

    def after(self, key: str, side: int = 0) -> float | None:
        """Return the value of the car as built, on its wheels."""
        value = value_at_rest(self.study.proposed, self.result(key), side)
        return None if self._is_endless("built", key, side) else value

    def _is_endless(self, car: CarOf, key: str, side: int) -> bool:
        """Tell whether a result may be anywhere, through infinity: nothing is said of it then."""
        bands = self.study.bands
        own: CarOf = car if self.study.changed else "found"
        return bands is not None and bands.within(own, self.result(key), side) == ENDLESS

    def pair(self, key: str, side: int = 0) -> tuple[float, float] | None:
        """Return both cars' values, None unless both exist."""
        before, after = self.before(key, side), self.after(key, side)
        return None if before is None or after is None else (before, after)

    def wheels(self, key: str, side: int) -> tuple[float, float] | None:
        """Return both cars' values of a wheel, None unless both exist."""
        result, study = self.result(key), self.study
        before, after = (wheel_value(car, result, side) for car in study.cars.values())
        return None if before is None or after is None else (before, after)

    def moved(self, key: str, by: float) -> bool:
        """Tell whether a result moves by at least `by`, at either wheel."""
        pairs = (self.wheels(key, side) for side in (0, 1))
        return any(pair is not None and abs(pair[1] - pair[0]) >= by for pair in pairs)

    def limit_is_open(self, key: str) -> bool:
        """Tell whether the car as it will stand may or may not keep a result's limit."""
        study = self.study
        bands, limit = study.bands, study.setup.limits.get(key_in(study.system.key, key))
        if bands is None or bands.kept or limit is None:
            return bands is not None and is_open(bands.kept.get(key))
        value = value_at_rest(
            study.proposed, self.result(key)
        )  # no chance is known of this car yet
        within = bands.within("built", self.result(key))
        bounds = (limit.minimum, limit.maximum)
        return (
            value is not None
            and within is not None
            and any(bound is not None and abs(value - bound) < within for bound in bounds)
        )

    def sign_is_open(self, key: str) -> bool:
        """Tell whether a result of the car as it will stand may be either side of nought."""
        study, result = self.study, self.result(key)
        value = value_at_rest(study.proposed, result)
        if study.bands is None or value is None:
            return False
        within = study.bands.within("built" if study.changed else "found", result)
        return within is not None and abs(value) < within

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

    def goes(
        self, key: str, plus: bool = False, places: int | None = None, means: bool = False
    ) -> str:
        """Return "from … to …", of each wheel where they aren't alike; `means`: what signs say."""
        pairs = [self.wheels(key, 0), self.wheels(key, 1)]
        if self.is_symmetric(key):
            pairs = [self.pair(key)]
        signs = [self.meaning(key, pair[1]) if pair and means else "" for pair in pairs]
        parts = [self._goes(key, pair, plus, places) for pair in pairs]
        if len(parts) == 1 or signs[0] == signs[1]:
            return f"{_of_sides(parts)}{signs[0]}"
        return _of_sides([f"{part}{sign}" for part, sign in zip(parts, signs, strict=True)])

    def is_found(self, key: str, places: int | None = None) -> str:
        """Return a value of the car as found, of each wheel where they aren't alike."""
        car, result = self.study.measured, self.result(key)
        if wheels_are_alike(car, result, self.units):
            values = [value_at_rest(car, result)]
        else:
            values = [wheel_value(car, result, side) for side in (0, 1)]
        return _of_sides(
            ["" if value is None else self.text(key, value, places=places) for value in values]
        )

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

    def _goes(
        self, key: str, values: tuple[float, float] | None, plus: bool, places: int | None
    ) -> str:
        if values is None:
            return ""
        before, after = (self.text(key, value, plus, places) for value in values)
        return f"from {before.partition(' ')[0]} to {after}"

    def is_symmetric(self, key: str) -> bool:
        """Tell whether left and right are shown as the same figures, in both cars."""
        return sides_are_alike(self.study, self.result(key))


def _of_sides(parts: Sequence[str]) -> str:
    """Join what is said of left and right, leaving out a wheel of which nothing is."""
    if len(parts) == 1:
        return parts[0]
    return ", ".join(
        f"{part} on the {side}" for part, side in zip(parts, SIDES, strict=True) if part
    )


def steer_words(tell: Teller, gains: tuple[float, float]) -> tuple[str, str]:
    """Return roll steer before and after, with their ways where these differ, else with the last.

    What is shown as nought has none.
    """
    result = tell.result("roll_steer")
    sizes = [tell.text("roll_steer", abs(value)) for value in gains]
    ways = [
        "" if is_zero(value, result, tell.units) else " understeer" if value > 0 else " oversteer"
        for value in gains
    ]
    was = sizes[0] if ways[0] == ways[1] else f"{sizes[0]}{ways[0]}"
    return was, f"{sizes[1]}{ways[1]}"


def roll_steer_moves(tell: Teller, gains: tuple[float, float]) -> str:
    """Say which way roll steer moves where nobody knows which side of nought it ends on."""
    way = "understeer" if gains[1] >= gains[0] else "oversteer"
    size = tell.text("roll_steer", abs(gains[1] - gains[0]))
    return f"roll steer moves by {size} towards {way}"


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
