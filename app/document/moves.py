"""What the changes that are on come to: points as the parts were made, and as they are bolted."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import cast

from app.document.keys import KEYS, is_point, left_of, right_of
from app.document.model import Change, FrozenMap, Setup, Value, Vec, frozen
from app.document.proposal import add, mirrored, split_moves

Values = Mapping[str, Value]
Moved = dict[str, Vec]


def point_moves(setup: Setup) -> tuple[Moved, Moved]:
    """Return the moves that define the parts, and those of holes, by setup key as they are given.

    A point that is set moves from its measured place to the one set; one that wasn't measured is
    where it is first set.
    """
    fitted: Moved = {}
    kept: Moved = {}
    known = known_points(setup)
    for change in setup.changes:
        if change.on:
            _add(change, _steps(known, change), fitted, kept)
    return fitted, kept


def side_moves(setup: Setup, side: str, axle: str) -> tuple[Moved, Moved]:
    """Return the same for one side's points by bare name, in car axes.

    A job on a left-hand point is done on the right as its mirror, unless the same change says by
    itself what is done there.
    """
    fitted: Moved = {}
    kept: Moved = {}
    known = known_points(setup)
    for change in setup.changes:
        if change.on:
            steps = _steps(known, change)
            if side == "right":
                steps = _on_the_right(steps)
            wanted = {k: step for k, step in steps.items() if (left_of(k) == k) == (side == "left")}
            _add(change, wanted, fitted, kept)
    return _bare(fitted, axle), _bare(kept, axle)


def whole_move(setup: Setup, key: str) -> Vec:
    """Return what all changes that are on move a point by; the right may follow the left [mm]."""
    axle, side = key.partition(".")[0], "left" if left_of(key) == key else "right"
    name = left_of(key).removeprefix(f"{axle}.")
    x, y, z = 0.0, 0.0, 0.0
    for moves in side_moves(setup, side, axle):
        x, y, z = add((x, y, z), moves.get(name, (0.0, 0.0, 0.0)))
    return x, y, z


def known_points(setup: Setup) -> FrozenMap[Value]:
    """Return what was measured, and points that only a change that is on gives."""
    new: dict[str, Value] = {}
    for change in setup.changes:
        if change.on:
            for key, value in change.sets.items():
                if is_point(key) and not (_has(setup.evidence, key) or _has(new, key)):
                    new[key] = value
    return FrozenMap({**setup.evidence, **new}) if new else frozen(setup.evidence)


def _has(values: Values, key: str) -> bool:
    return key in values or left_of(key) in values


def _steps(known: Values, change: Change) -> Moved:
    """Return what one change moves, points that it sets included."""
    steps = dict(change.moves)
    for key, value in change.sets.items():
        if is_point(key):
            measured, there = _place(known, key), cast(Vec, value)
            steps[key] = (there[0] - measured[0], there[1] - measured[1], there[2] - measured[2])
    return steps


def _on_the_right(steps: Moved) -> Moved:
    """Return steps of right-hand points: their own, else the left ones mirrored."""
    lefts = {key: step for key, step in steps.items() if left_of(key) == key}
    mirrors = {
        right_of(key): mirrored(step) for key, step in lefts.items() if right_of(key) in KEYS
    }
    return mirrors | {key: step for key, step in steps.items() if left_of(key) != key}


def _add(change: Change, steps: Moved, fitted: Moved, kept: Moved) -> None:
    """Add a change's steps; a point that it sets forgets what came before."""
    for key, step in steps.items():
        if key in change.sets or left_of(key) in change.sets:
            fitted.pop(key, None)
            kept.pop(key, None)
        by_nature = KEYS[key].on_part or change.parts == "made to fit"
        total = fitted if by_nature else kept
        total[key] = add(total.get(key, (0.0, 0.0, 0.0)), step)


def _bare(moves: Moved, axle: str) -> Moved:
    head = f"{axle}."
    return {
        left_of(key).removeprefix(head): step for key, step in moves.items() if key.startswith(head)
    }


def set_values(setup: Setup) -> dict[str, Value]:
    """Return the values, other than points, that the changes set."""
    return {k: v for k, v in split_moves(setup).sets.items() if not is_point(k)}


def side_points(values: Values, side: str, axle: str) -> dict[str, Vec]:
    """Return a side's points by bare name, in car axes; the right may be a mirror."""
    return dict(_side_points(frozen(values), side, axle))


@lru_cache(maxsize=16)
def _side_points(values: FrozenMap[Value], side: str, axle: str) -> Mapping[str, Vec]:
    points: dict[str, Vec] = {}
    for key in values:
        if key.startswith(f"{axle}.") and is_point(key) and left_of(key) == key:
            name = key.removeprefix(f"{axle}.")
            points[name] = _place(values, key if side == "left" else right_of(key))
    return points


def moved_points(points: Mapping[str, Vec], moves: Moved) -> dict[str, Vec]:
    """Return points with their moves added, both by bare name."""
    return {name: add(at, moves[name]) if name in moves else at for name, at in points.items()}


def _place(values: Values, key: str) -> Vec:
    if key in values:
        return cast(Vec, values[key])
    return mirrored(cast(Vec, values[left_of(key)]))


class Numbers:
    """The plain numbers, or columns of them, among a setup's values."""

    def __init__(self, values: Values) -> None:
        self.values = values

    def get(self, key: str) -> float | None:
        """Return a number, None where it isn't given."""
        value = self.values.get(key)
        return None if value is None else cast(float, value) + 0.0

    def need(self, key: str) -> float:
        """Return a number that the file's checks made sure of."""
        return cast(float, self.values[key]) + 0.0
