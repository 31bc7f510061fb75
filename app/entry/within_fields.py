"""The fields that say how well something is measured: a number's one, a point's one or three.

A number's and a point's stand under its key with `.within`; a point's single axes, which then say
more than the one of all three, with `.within_x` and so on. A ± is kept as typed like all else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.document.entries import EntryError
from app.document.keys import KEYS, is_measured_number, is_point, kind_of
from app.document.leaf_parts import LEAVES
from app.document.model import Setup, Units, Value, Within
from app.document.usual_within import as_one_or_three, of_all_points, parse_within, usual_within
from app.entry import leaf_within
from app.entry.number_text import field_text
from app.entry.typed_text import TypedText

ALL: Final = "within"
EACH: Final = ("within_x", "within_y", "within_z")


def within_fields(key: str) -> tuple[str, ...]:
    """Return the names of the ± fields of a key."""
    if is_point(key):
        return (f"{key}.{ALL}", *(f"{key}.{part}" for part in EACH))
    return (f"{key}.{ALL}",) if key in KEYS and is_measured_number(KEYS[key]) else ()


def measured_key(field_name: str) -> str:
    """Return the key of which a ± field says how well it is measured; empty of other fields."""
    key, _, part = field_name.rpartition(".")
    return key if part in (ALL, *EACH) and key in KEYS else ""


def beside(field_name: str) -> str:
    """Return the field that a ± stands beside; a field that is no such ± itself."""
    key, _, part = field_name.rpartition(".")
    if part in EACH and is_point(key):
        return f"{key}.{part[-1]}"
    is_number = (key in KEYS and not is_point(key)) or key.startswith(f"{LEAVES}.")
    return key if part == ALL and is_number else field_name


def within_kind(field_name: str, values: Mapping[str, Value]) -> str:
    """Return the kind of quantity of a ± field."""
    key = measured_key(field_name)
    return "length" if is_point(key) else kind_of(key, values)


def text_before(before: Setup, field_name: str, units: Units, decimal: str) -> str:
    """Return what a ± field begins with."""
    key, _, part = field_name.rpartition(".")
    own = _axis_before(before, key, part)
    kind = within_kind(field_name, before.readings)
    return "" if own is None else field_text(own, kind, units, decimal)


def usual_text(setup: Setup, key: str, units: Units, decimal: str) -> str:
    """Return how well a number is usually measured, for its ± field; empty where unsaid."""
    if key.startswith(f"{LEAVES}."):
        return leaf_within.usual_text(key, units, decimal)
    value = setup.readings.get(key)
    if not isinstance(value, int | float):
        return ""
    kind = kind_of(key, setup.readings)
    usual = usual_within(key, float(value), kind, units)
    return "" if usual is None else field_text(usual, kind, units, decimal)


class WithinReader:
    """Reads the ± fields of a draft, of which what is wrong goes into `errors` by field."""

    def __init__(
        self,
        before: Setup,
        readings: Mapping[str, TypedText],
        values: Mapping[str, Value],
        errors: dict[str, str],
        decimal: str,
    ) -> None:
        self.before, self.readings, self.values = before, readings, values
        self.errors, self.decimal = errors, decimal

    def put_into(self, within: dict[str, Within]) -> None:
        """Put what is typed in the place of what was known; what is gone has no ± either."""
        for key in dict.fromkeys(filter(None, map(measured_key, self.readings))):
            within.pop(key, None)
            known = self._of_point(key) if is_point(key) else self._one(key, ALL)
            if known is not None:
                within[key] = known
        for key in [key for key in within if key in KEYS and key not in self.values]:
            del within[key]

    def _of_point(self, key: str) -> Within | None:
        alike = self._one(key, ALL)
        each = [self._one(key, part) for part in EACH]
        try:
            return as_one_or_three(alike, each, of_all_points(self.values))
        except EntryError as error:
            for part, one in zip(EACH, each, strict=True):
                if one is not None:
                    self.errors.setdefault(f"{key}.{part}", str(error))
            return None

    def _one(self, key: str, part: str) -> float | None:
        """Return one ± as typed, or as it was before; None where nothing is said."""
        name = f"{key}.{part}"
        reading = self.readings.get(name)
        if reading is None:
            return _axis_before(self.before, key, part)
        if not reading.text.strip():
            return None
        value, kind = self.values.get(key), within_kind(name, self.values)
        number = float(value) if isinstance(value, int | float) else None
        try:
            return parse_within(
                reading.text, key, kind, number, reading.units, decimal=self.decimal
            )
        except EntryError as error:
            self.errors[name] = str(error)
            return None


def _axis_before(before: Setup, key: str, part: str) -> float | None:
    within = before.within.get(key)
    if isinstance(within, tuple):
        return None if part == ALL else within[EACH.index(part)]
    return within if part == ALL else None
