"""Setups that differ in numbers alone, as one setup whose numbers stand for all of them.

What is worked out from a setup by adding, subtracting and mirroring is then worked out for all at
once, in the same lines of code.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np

from app.document.model import Change, FrozenMap, Setup, Value, frozen
from geometry.vectors import Array


class Column:
    """One number of each of m setups; equal only to itself, so that it can stand in a mapping."""

    __slots__ = ("numbers",)

    def __init__(self, numbers: Any) -> None:
        self.numbers: Array = np.asarray(numbers, dtype=float)

    def __array__(self, dtype: Any = None, copy: bool | None = None) -> Array:
        return np.array(self.numbers, dtype=dtype) if copy else np.asarray(self.numbers, dtype)

    def __add__(self, other: Column | float) -> Column:
        return Column(self.numbers + _plain(other))

    def __sub__(self, other: Column | float) -> Column:
        return Column(self.numbers - _plain(other))

    def __rsub__(self, other: float) -> Column:
        return Column(other - self.numbers)

    def __mul__(self, other: Column | float) -> Column:
        return Column(self.numbers * _plain(other))

    def __truediv__(self, other: Column | float) -> Column:
        return Column(self.numbers / _plain(other))

    def __neg__(self) -> Column:
        return Column(-self.numbers)

    def __abs__(self) -> float:
        """Return the largest size among them: whether anything moves is asked of all at once."""
        return float(np.abs(self.numbers).max(initial=0.0))

    def __gt__(self, other: float) -> bool:
        return bool((self.numbers > other).all())

    __radd__ = __add__
    __rmul__ = __mul__


def stacked(setups: Sequence[Setup], wants_key: Callable[[str], bool]) -> Setup:
    """Return setups of one shape as one setup whose numbers are columns, for the keys wanted.

    They have the same of those keys, the same words for them, and changes of the same kind that
    move and set the same.

    Raises
    ------
    ValueError
        They haven't.
    """
    first = setups[0]
    changes = [setup.changes for setup in setups]
    if any(len(values) != len(first.changes) for values in changes):
        raise ValueError("The setups don't have the same changes.")
    return Setup(
        title=first.title,
        units=first.units,
        evidence=_values([setup.evidence for setup in setups], wants_key),
        changes=tuple(
            _change(values, wants_key) for values in zip(*changes, strict=True) if values[0].on
        ),
    )


def _change(versions: Sequence[Change], wants_key: Callable[[str], bool]) -> Change:
    first = versions[0]
    kind = first.on, first.parts, first.toe
    if any(
        change is not first and (change.on, change.parts, change.toe) != kind for change in versions
    ):
        raise ValueError(f"“{first.name}” isn't done in the same way in all setups.")
    moves, sets = ([getattr(change, name) for change in versions] for name in ("moves", "sets"))
    return replace(first, moves=_values(moves, wants_key), sets=_values(sets, wants_key))


def _values(
    many: Sequence[Mapping[str, Value]], wants_key: Callable[[str], bool]
) -> FrozenMap[Any]:
    first = many[0]
    keys = [key for key in first if wants_key(key)]
    for values in many:
        if len(values) != len(first):
            _compare(first, values, wants_key)
    try:
        columns = [*zip(*(frozen(values).values_of(keys) for values in many), strict=True)]
    except KeyError:
        for values in many:
            _compare(first, values, wants_key)
        raise
    pairs = zip(keys, columns, strict=True)
    return FrozenMap([(key, _stacked(key, column)) for key, column in pairs])


def _compare(
    first: Mapping[str, Value], values: Mapping[str, Value], wants_key: Callable[[str], bool]
) -> None:
    odd = [key for key in first.keys() ^ values.keys() if wants_key(key)]
    if odd:
        raise ValueError(f"Not all setups give {min(odd)}.")


def _stacked(key: str, values: Sequence[Value]) -> Any:
    first = values[0]
    all_same = len(set(map(id, values))) == 1
    if isinstance(first, float | int) and not isinstance(first, bool):
        return Column(np.full(len(values), first) if all_same else np.array(values, dtype=float))
    if isinstance(first, tuple) and len(first) == 3 and isinstance(first[0], float | int):
        points = np.array([first] if all_same else values, dtype=float).T
        return tuple([Column(row) for row in np.broadcast_to(points, (3, len(values)))])
    if not all_same and any(value != first for value in values):
        raise ValueError(f"Not all setups give the same {key}.")
    return first


def distances(start: Sequence[Any], end: Sequence[Any]) -> Column:
    """Return the distances of points whose coordinates are columns."""
    apart = np.array(start) - np.array(end)
    return Column(np.sqrt((apart * apart).sum(axis=0)))


def in_arrays(held: Any, count: int) -> Any:
    """Return an object built from stacked setups, its columns turned into arrays of shape (m,)."""
    if isinstance(held, Column):
        return held.numbers
    if isinstance(held, float):
        return np.full(count, held)
    if isinstance(held, tuple):
        return tuple([in_arrays(part, count) for part in held])
    if not is_dataclass(held) or isinstance(held, type):
        return held
    parts = {field.name: in_arrays(getattr(held, field.name), count) for field in fields(held)}
    return replace(held, **parts)


def _plain(other: Column | float) -> Array | float:
    return other.numbers if isinstance(other, Column) else other
