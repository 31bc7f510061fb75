"""What the changes that are on come to: points as the parts were made, and as they are bolted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from app.document.keys import KEYS, is_point, left_of, right_of
from app.document.model import Setup, Value, Vec
from app.document.proposal import mirrored, split_moves

Values = Mapping[str, Value]
Moved = dict[str, Vec]


def point_moves(setup: Setup) -> tuple[Moved, Moved]:
    """Return the moves that define the parts, and those of holes, by setup key.

    A point that is set moves from its measured place to the one set.
    """
    moves = split_moves(setup)
    fitted, kept = dict(moves.made_to_fit), dict(moves.kept)
    for key, value in moves.sets.items():
        if is_point(key):
            measured = _place(setup.evidence, key)
            there = cast(Vec, value)
            step = cast(Vec, tuple(a - b for a, b in zip(there, measured, strict=True)))
            total = fitted if KEYS[key].on_part or _set_made_to_fit(setup, key) else kept
            before = total.get(key, (0.0, 0.0, 0.0))
            total[key] = cast(Vec, tuple(a + b for a, b in zip(before, step, strict=True)))
    return fitted, kept


def set_values(setup: Setup) -> dict[str, Value]:
    """Return the values, other than points, that the changes set."""
    return {k: v for k, v in split_moves(setup).sets.items() if not is_point(k)}


def side_points(values: Values, side: str, axle: str) -> dict[str, Vec]:
    """Return a side's measured points by bare name, in car axes; the right may be a mirror."""
    points: dict[str, Vec] = {}
    for key in values:
        if key.startswith(f"{axle}.") and is_point(key) and left_of(key) == key:
            name = key.removeprefix(f"{axle}.")
            points[name] = _place(values, key if side == "left" else right_of(key))
    return points


def moved_points(points: Mapping[str, Vec], moves: Moved, side: str, axle: str) -> dict[str, Vec]:
    """Add moves; a job on a left-hand point is done on the right as its mirror, unless given."""
    moved = dict(points)
    for name, place in points.items():
        key = f"{axle}.{name}"
        step = moves.get(key)
        if side == "right":
            own = moves.get(right_of(key)) if right_of(key) in KEYS else None
            step = own if own is not None else mirrored(step) if step is not None else None
        if step is not None:
            moved[name] = (place[0] + step[0], place[1] + step[1], place[2] + step[2])
    return moved


def _place(values: Values, key: str) -> Vec:
    if key in values:
        return cast(Vec, values[key])
    return mirrored(cast(Vec, values[left_of(key)]))


def _set_made_to_fit(setup: Setup, key: str) -> bool:
    setting = [change for change in setup.changes if change.on and key in change.sets]
    return setting[-1].parts == "made to fit"


class Numbers:
    """The plain numbers among a setup's values."""

    def __init__(self, values: Values) -> None:
        self.values = values

    def get(self, key: str) -> float | None:
        """Return a number, None where it isn't given."""
        value = self.values.get(key)
        return None if value is None else float(cast(float, value))

    def need(self, key: str) -> float:
        """Return a number that the file's checks made sure of."""
        return float(cast(float, self.values[key]))
