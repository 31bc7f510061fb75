"""What the changes that are on come to, taken together in file order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import cast

from app.document.keys import KEYS, left_of
from app.document.model import FrozenMap, Setup, Value, Vec

_NONE: Vec = (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Moves:
    """The moves and values of a proposal, split by what they do to the parts.

    `made_to_fit` moves define new parts in the measured pose; then `kept` moves carry body points
    of the same parts to new holes. `sets` holds the last value set for each key. A point that is
    set counts its later moves from the place set.
    """

    made_to_fit: Mapping[str, Vec]
    kept: Mapping[str, Vec]
    sets: Mapping[str, Value]


def split_moves(setup: Setup) -> Moves:
    """Sum the changes that are on: moves add up, a later `set` wins over what came before it."""
    fitted: dict[str, Vec] = {}
    kept: dict[str, Vec] = {}
    sets: dict[str, Value] = {}
    for change in setup.changes:
        if not change.on:
            continue
        for key, move in change.moves.items():
            by_nature = KEYS[key].on_part or change.parts == "made to fit"
            total = fitted if by_nature else kept
            total[key] = add(total.get(key, _NONE), move)
        for key, value in change.sets.items():
            sets[key] = value
            fitted.pop(key, None)
            kept.pop(key, None)
    return Moves(FrozenMap(fitted), FrozenMap(kept), FrozenMap(sets))


def toe_is_reset(setup: Setup) -> bool:
    """Tell whether the toe is reset after the changes that are on.

    Tie rods are turned once, when the car is aligned after the last job: so the last change that
    is on and moves or sets anything of the front decides. Where none does, the toe is as measured
    anyway.
    """
    for change in reversed(setup.changes):
        front = any(key.startswith("front.") for key in (*change.moves, *change.sets))
        if change.on and front:
            return change.toe == "reset"
    return True


def proposed_values(setup: Setup) -> FrozenMap[Value]:
    """Return evidence with every value set and every move added, before anything is solved.

    A right-hand point that is moved by itself and wasn't measured starts as the mirror of the
    proposed left one. Moves of a point that isn't there, since the job that fits it is off, wait
    for it.
    """
    moves = split_moves(setup)
    values: dict[str, Value] = {**setup.evidence, **moves.sets}
    for total in (moves.made_to_fit, moves.kept):
        for key in sorted(total, key=lambda name: left_of(name) != name):
            if key in values:
                values[key] = add(point_in(values, key), total[key])
            elif left_of(key) in values:
                values[key] = add(mirrored(point_in(values, left_of(key))), total[key])
    return FrozenMap(values)


def point_in(values: Mapping[str, Value], key: str) -> Vec:
    """Return the value of a point's key as what it is, a point."""
    return cast(Vec, values[key])


def add(a: Vec, b: Vec) -> Vec:
    """Return the sum of two vectors."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def mirrored(point: Vec) -> Vec:
    """Return the point on the other side of the car."""
    return (point[0], -point[1], point[2])


def touches(setup: Setup, starts: tuple[str, ...]) -> bool:
    """Tell whether a change that is on moves or sets a key that begins so."""
    return any(
        key.startswith(starts)
        for change in setup.changes
        if change.on
        for key in (*change.moves, *change.sets)
    )
