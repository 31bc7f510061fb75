"""The verbs of the leaf editor: a pack as leaves, another pack, and the words of the step.

A file's leaf keeps what isn't known apart from zero: its contact is the bump from ride height.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from app.document.model import Leaf, Setup, Units
from app.document.moves import proposed_values
from app.document.schema import LEAF_KINDS
from app.document.units import format_value, number_of, unit_of
from app.systems.rear.pack_inputs import leaf_pack
from app.words.errors import geometry_words
from app.words.lengths import length_words
from geometry.dataclass import dataclass
from geometry.errors import GeometryError

KEY: Final = "rear.pack.leaf"
Leaves = tuple[Leaf, ...]
_SHORTER: Final = 0.72  # of the leaf above: what a graduated pack steps by, about
_PAST_CLAMP: Final = 30.0  # mm that a new leaf at least reaches beyond the clamp


@dataclass(frozen=True)
class PackEdit:
    """Another pack, and the step in words: "add leaf 4"."""

    leaves: Leaves
    words: str


def pack_of(setup: Setup) -> Leaves:
    """Return the leaves as proposed; none where the car has none."""
    leaves = proposed_values(setup).get(KEY, ())
    return leaves if isinstance(leaves, tuple) and all(isinstance(x, Leaf) for x in leaves) else ()  # type: ignore[return-value]


def added(leaves: Leaves, above: int, clamp: float = 0.0) -> PackEdit:
    """Add a leaf under another, as thick as that, between it and the next in length."""
    upper, place = leaves[above], above + 1
    lower = leaves[place] if place < len(leaves) else None
    front, rear = (
        _between(getattr(upper, end), getattr(lower, end) if lower else None, clamp)
        for end in ("front", "rear")
    )
    new = Leaf(upper.thickness, front, rear)
    return PackEdit((*leaves[:place], new, *leaves[place:]), f"add leaf {place + 1}")


def removed(leaves: Leaves, at: int) -> PackEdit:
    """Take a leaf out."""
    return PackEdit((*leaves[:at], *leaves[at + 1 :]), f"take out leaf {at + 1}")


def moved(leaves: Leaves, at: int, to: int) -> PackEdit:
    """Put a leaf elsewhere in the stack."""
    other_leaves = [*leaves[:at], *leaves[at + 1 :]]
    other_leaves.insert(to, leaves[at])
    return PackEdit(tuple(other_leaves), f"move leaf {at + 1} {'up' if to < at else 'down'}")


def given(leaves: Leaves, at: int, name: str, value: Any, units: Units, decimal: str) -> PackEdit:
    """Give a leaf another thickness, length, clip, contact, taper, modulus or limit."""
    leaf = leaves[at]
    new = replace(leaf, **{name: value})
    words = f"leaf {at + 1} {_change_words(name, getattr(leaf, name), value, units, decimal)}"
    if name == "clipped":
        words = f"{'clip' if value else 'unclip'} leaf {at + 1}"
    return PackEdit((*leaves[:at], new, *leaves[at + 1 :]), words)


def can_remove(leaves: Leaves, at: int) -> bool:
    """Tell whether a leaf may go: the main leaf has the eyes."""
    return 0 < at < len(leaves)


def can_move(leaves: Leaves, at: int, to: int) -> bool:
    """Tell whether a leaf may be moved in the stack: the main leaf stays on top."""
    return 0 < at < len(leaves) and 0 < to < len(leaves)


def refusal(setup: Setup, leaves: Leaves, units: Units, decimal: str) -> str:
    """Return why these leaves can't be a pack; empty where they can."""
    try:
        leaf_pack({**proposed_values(setup), KEY: leaves})
    except GeometryError as error:
        return geometry_words(error, units, decimal)
    return ""


def fields_changed(measured: Leaves, leaves: Leaves, at: int) -> frozenset[str]:
    """Return which fields of a leaf aren't as measured; all of a leaf that is new."""
    leaf = leaves[at]
    if len(measured) == len(leaves):
        was = measured[at]
        return frozenset(x for x in LEAF_KINDS if getattr(was, x) != getattr(leaf, x))
    return frozenset() if leaf in measured else frozenset(LEAF_KINDS)


def _between(upper: float, lower: float | None, clamp: float) -> float:
    """Return a half-length between those of two leaves, or a step shorter than the last leaf's."""
    half_length = _SHORTER * upper if lower is None else (upper + min(lower, upper)) / 2
    return min(max(float(round(half_length)), clamp / 2 + _PAST_CLAMP), upper)


def _change_words(name: str, was: Any, now: Any, units: Units, decimal: str) -> str:
    if name == "taper":
        return f"of {'parabolic' if now == 'parabolic' else 'uniform'} thickness"
    if name == "contact":
        if now is None:
            return "carries from the start"
        return f"touches at {length_words(now, units, decimal)} of bump"
    if name in ("modulus", "limit_stress"):
        what = "modulus" if name == "modulus" else "stress limit"
        if now is None:
            return f"with the pack's {what}"
        return f"with a {what} of {format_value(now, 'stress', units, decimal=decimal)}"
    unit = unit_of("length", units)
    before, after = (_figure(value, units, decimal) for value in (was, now))
    how = "thick" if name == "thickness" else f"long at the {name}"
    return f"from {before} to {after} {unit} {how}"


def _figure(value: float, units: Units, decimal: str) -> str:
    return number_of(value, "length", units, decimal=decimal)
