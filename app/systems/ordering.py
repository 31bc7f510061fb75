"""What orders of springs have in common: rows of both cars, and what is left open. No Qt."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import Any, Final, cast

from app.document.keys import KEYS
from app.document.model import Setup, Units, Value
from app.document.moves import proposed_settings
from app.document.units import format_value, number_of, unit_of
from app.systems.answers import CAR_WORDS, Study
from app.systems.hold_words import hold_words
from app.systems.holding import Hold, holds
from app.systems.spring_order import OrderRow
from app.words.lengths import bench_length

NOT_TOLD: Final = tuple(
    OrderRow(title)
    for title in (
        "Wire diameter",
        "Outside diameter, or inside",
        "Coils in all, and free ones",
        "Ends: closed, ground, open; way wound",
    )
)
OLD_ONE: Final = (
    "What is left open is measured on the old spring, or the maker says it. A spring stores energy "
    "and is a safety part: whoever makes it says what it bears, by the loads and lengths here."
)
ALIKE: Final = 0.01  # a smaller share of itself is no difference between left and right


def changed_keys(setup: Setup, start: str) -> frozenset[str]:
    """Return the keys of values, of those that begin so, that the proposal has otherwise."""
    now = proposed_settings(setup)
    return frozenset(
        key
        for key in {*now, *setup.evidence}
        if key.startswith(start) and now.get(key) != setup.evidence.get(key)
    )


class Ordering:
    """Rows of one order, with the figures of both cars in the units of the file."""

    def __init__(self, study: Study[Any], decimal: str, has_found: bool = True) -> None:
        self.study, self.decimal, self.has_found = study, decimal, has_found
        self.units: Units = study.setup.units
        self.settings: Mapping[str, Mapping[str, Value]] = {
            "measured": study.setup.evidence,
            "proposed": proposed_settings(study.setup),
        }

    def given(self, title: str, key: str) -> OrderRow:
        """Return a value of the setup in both cars."""
        kind = KEYS[key].kind
        if key == "front.spring.rate" and self.is_bar:
            kind = KEYS[key].torsion
        return self.row(title, lambda name, car: self.words(self.settings[name].get(key), kind))

    def row(self, title: str, words_of: Callable[[Any, Any], str]) -> OrderRow:
        """Return a row from what both cars say, by name and answers."""
        cars = self.study.cars
        found = words_of("measured", cars["measured"]) if self.has_found else ""
        return OrderRow(title, found, words_of("proposed", cars["proposed"]))

    @cached_property
    def held_by(self) -> Hold | None:
        """What alone holds the height chosen; None where nothing must, or one of several can."""
        found = holds(self.study) if self.study.must_be_held else ()
        return found[0] if len(found) == 1 else None

    def is_held_by(self, key: str) -> bool:
        """Tell whether nothing else holds the height chosen but another value of a key."""
        return self.held_by is not None and self.held_by.key == key

    def asked(self, name: str, key: str) -> Value | None:
        """Return a value to make a car by: the one that holds it, where only that does."""
        if name == "proposed" and self.held_by is not None and self.is_held_by(key):
            return self.held_by.value
        return self.settings[name].get(key)

    @property
    def is_bar(self) -> bool:
        """Whether the front stands on torsion bars."""
        return self.settings["proposed"].get("front.spring.kind") == "torsion bar"

    def words(self, value: Value | None, kind: str) -> str:
        """Return a value as an order says it; empty where it isn't known."""
        if value is None:
            return ""
        if kind in ("text", "choice") or isinstance(value, str):
            return str(value)
        number = cast(float, value)
        if kind == "length":
            return bench_length(number, self.units, self.decimal)
        return format_value(number, kind, self.units, decimal=self.decimal)

    def sides(self, pair: Any, kind: str) -> str:
        """Return a figure of both sides: once where they are alike."""
        left, right = (float(part) for part in (pair.flat[0], pair.flat[-1]))
        if abs(left - right) <= ALIKE * abs(left):
            return self.words(0.5 * (left + right), kind)
        numbers = (
            number_of(part, kind, self.units, decimal=self.decimal) for part in (left, right)
        )
        return "L {}, R {} {unit}".format(*numbers, unit=unit_of(kind, self.units))

    def end_of_travel(self, title: str, key: str, place: int) -> OrderRow:
        """Return a length at an end of the wheel's travel."""

        def words_of(name: str, car: Any) -> str:
            values = car.travel.values.get(key)
            if values is None or not car.travel.reached[place]:
                return ""
            return self.sides(values[..., place], "length")

        return self.row(title, words_of)

    def notes(self) -> tuple[str, ...]:
        """Return at which height the figures hold, what else would hold it, and what is open."""
        held = hold_words(self.study, self.decimal) if self.study.must_be_held else ""
        one = "" if self.held_by is not None else "one of these: "
        words = f"The height chosen is held by {one}{held}." if held else ""
        known = "" if "settled_travel" in self.study.proposed.single else UNKNOWN
        return tuple(filter(None, (FOUND, known, words, OLD_ONE)))


FOUND: Final = (
    f"On its wheels: {CAR_WORDS['measured']} where the car was measured, {CAR_WORDS['proposed']} "
    "where the proposal stands."
)
UNKNOWN: Final = (
    "Where the proposal stands isn't known, since the load isn't: its figures are those at the "
    "measured height."
)
