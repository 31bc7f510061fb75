"""Which leaf of another pack is one that was measured, and which is new."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from app.document.model import Leaf
from geometry.dataclass import dataclass

Leaves = tuple[Leaf, ...]
_CUT: Final = ("thickness", "front", "rear", "taper", "modulus")


@dataclass(frozen=True)
class Pairing:
    """A leaf of the new pack and the one that it was; None for one that is new or goes.

    Places count from the main leaf, 0. `is_moved` tells of one that passes others.
    """

    was: int | None
    now: int | None
    is_moved: bool = False


def paired(before: Leaves, after: Leaves) -> tuple[Pairing, ...]:
    """Match two packs: equal leaves first, then one for one in what lies between them."""
    from difflib import SequenceMatcher  # few cars need it: each start loads this file

    one, other = ([replace(leaf, note="") for leaf in pack] for pack in (before, after))
    pairings: list[Pairing] = []
    for _, a, b, c, d in SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        same_count = b - a == d - c
        if same_count:
            pairings += [Pairing(a + step, c + step) for step in range(b - a)]
        else:
            pairings += [Pairing(place, None) for place in range(a, b)]
            pairings += [Pairing(None, place) for place in range(c, d)]
    return tuple(_moved_ones_joined(pairings, one, other))


def _moved_ones_joined(
    pairings: list[Pairing], one: list[Leaf], other: list[Leaf]
) -> Iterator[Pairing]:
    """Join a leaf that goes in one place to its like that comes in another: it is moved."""
    gone = [pair.was for pair in pairings if pair.now is None and pair.was is not None]
    moved: dict[int, int] = {}  # from the place now to the place before
    for now in (pair.now for pair in pairings if pair.was is None and pair.now is not None):
        like = next((place for place in gone if one[place] == other[now]), None)
        if like is not None:
            gone.remove(like)
            moved[now] = like
    for pair in pairings:
        if pair.was is None and pair.now in moved:
            yield Pairing(moved[pair.now], pair.now, is_moved=True)
        elif pair.now is not None or pair.was in gone:
            yield pair


def is_same_piece(was: Leaf, now: Leaf) -> bool:
    """Tell whether a leaf is the one that it was, clipped otherwise perhaps, and no new one."""
    return all(getattr(was, name) == getattr(now, name) for name in _CUT)


def pieces_kept(before: Leaves, after: Leaves) -> dict[int, int]:
    """Return the leaves of another pack that are measured ones: place there to place measured."""
    return {
        pair.now: pair.was
        for pair in paired(before, after)
        if pair.now is not None
        and pair.was is not None
        and is_same_piece(before[pair.was], after[pair.now])
    }
