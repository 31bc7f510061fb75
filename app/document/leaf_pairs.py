"""Which leaf of another pack is one that was measured, and which is new."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final

from app.document.leaf_parts import LEAVES, MEASURED, leaves_in
from app.document.model import Change, Leaf, Setup, frozen
from app.document.schema import HALVES
from geometry.dataclass import dataclass

Leaves = tuple[Leaf, ...]
_CUT: Final = ("thickness", *HALVES, "taper", "modulus")


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


def kept_in(changes: Sequence[Change], measured: Leaves) -> dict[int, dict[int, int]]:
    """Return which leaves of a change's pack are measured ones, by the change's place."""
    return {
        number: pieces_kept(measured, leaves_in(change.sets))
        for number, change in enumerate(changes)
        if measured and LEAVES in change.sets
    }


def followed(
    changes: tuple[Change, ...], kept: Mapping[int, Mapping[int, int]], was: Leaves, now: Leaves
) -> tuple[Change, ...]:
    """Return changes in whose packs measured leaves are as they are now, `kept` telling which.

    A leaf that was measured anew is the same piece; what a change gives it otherwise stays.
    """
    others = list(changes)
    for number, places in kept.items():
        leaves = list(leaves_in(changes[number].sets))
        for place, source in places.items():
            before, leaf = was[source], leaves[place]
            alike = (name for name in MEASURED if getattr(leaf, name) == getattr(before, name))
            leaves[place] = replace(leaf, **{name: getattr(now[source], name) for name in alike})
        sets = frozen(changes[number].sets).having(LEAVES, tuple(leaves))
        others[number] = replace(changes[number], sets=sets)
    return tuple(others)


def with_leaves(setup: Setup, leaves: Leaves) -> Setup:
    """Return the setup with its leaves as measured anew, one for one, in the changes' packs too."""
    was = leaves_in(setup.readings)
    changes = followed(setup.changes, kept_in(setup.changes, was), was, leaves)
    return setup.having(evidence=frozen(setup.readings).having(LEAVES, leaves), changes=changes)
