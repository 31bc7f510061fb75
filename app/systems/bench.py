"""Values as a bench works to them: fractions of an inch where a rule has them. No Qt."""

from __future__ import annotations

from typing import cast

from app.document.keys import kind_of
from app.document.model import Setup, Value, Vec
from app.document.quantities import QUANTITIES
from app.document.units import format_point, format_value
from app.words.lengths import bench_length


def value_words(setup: Setup, key: str, value: Value, decimal: str) -> str:
    """Return the value of a key with its unit."""
    kind = kind_of(key, setup.evidence)
    if kind == "point":
        return f"at X, Y, Z {format_point(cast(Vec, value), setup.units, decimal=decimal)}"
    if kind == "length":
        return bench_length(cast(float, value), setup.units, decimal)
    if kind in QUANTITIES:
        return format_value(cast(float, value), kind, setup.units, decimal=decimal)
    if kind == "leaves":
        return f"{len(cast(tuple[object, ...], value))} leaves"
    return str(value)


def set_words(setup: Setup, key: str, name: str, value: Value, decimal: str) -> str:
    """Return a value that is set, with what it was: "rate 60.0 N/mm (was 52.0 N/mm)"."""
    was = setup.evidence.get(key)
    now = value_words(setup, key, value, decimal)
    before = "" if was is None else f" (was {value_words(setup, key, was, decimal)})"
    return f"{name} {now}{before}"
