"""A move of a point in words: "22 mm lower and 3 mm inboard". The one table of its ways."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from app.document.address import mirrored
from app.document.model import Units, Vec
from app.document.units import number_of
from app.words.lengths import length_words

_WAYS: Final = (("forward", "rearward"), ("outboard", "inboard"), ("higher", "lower"))
_TOLD: Final = (2, 1, 0)  # what is said first: the height


def way(axis: int, step: float, side: float = 1.0) -> str:
    """Return which way a step along an axis goes; `side` is + left of the middle, - right of it."""
    ahead, behind = _WAYS[axis]
    return ahead if (step * side if axis == 1 else step) > 0 else behind


def move_words(move: Vec, units: Units, *, right: bool = False, decimal: str = ".") -> str:
    """Return a move of a point in words: "22 mm lower and 3 mm inboard"."""

    def length(step: float) -> str:
        return length_words(step, units, decimal)

    def is_seen(step: float) -> bool:
        return number_of(abs(step), "length", units).strip("0.") != ""

    return said_move(mirrored(move) if right else move, length, is_seen) or "not moved"


def said_move(move: Vec, length: Callable[[float], str], is_seen: Callable[[float], bool]) -> str:
    """Return a left-hand point's move in words, with lengths said as `length` says them."""
    steps = [(axis, move[axis]) for axis in _TOLD if is_seen(move[axis])]
    words = [f"{length(abs(step))} {way(axis, step)}" for axis, step in steps]
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))
