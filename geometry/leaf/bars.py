"""When traction bars close in bump, and what the wheel then meets: results that a car has once."""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.errors import GeometryError
from geometry.leaf.axle import leaf_path, path_at_curvature
from geometry.leaf.reach import curvature_ends
from geometry.leaf.rear import LeafRear
from geometry.leaf.snubbers import TOUCHES, in_level_poses, tip_height, tip_rise
from geometry.numeric import quietly

_MOST_STEPS: Final = 20
_PAST: Final = 1e-3  # mm past the touch, where the snubbers' rate is felt


@quietly
def bars_in_bump(rear: LeafRear) -> dict[str, float]:
    """Return the bump after which the bars close [mm], from where the car stands, and the rest.

    Empty without bars, or where the axle doesn't get so far. Both wheel rates [N/mm] are those
    right after the touch; the turn of the axle [rad], + nose up, is that at full bump.
    """
    after = _closing_travel(rear)
    if after is None:
        return {}
    stand = rear.settled_travel or 0.0
    try:
        values, reached, _ = rear.bounce(np.array([stand + after + _PAST]))
    except GeometryError:
        return {}
    if not reached[0]:
        return {}
    rates = {"bars_wheel_rate": "wheel_rate", "bars_roll_rate": "roll_wheel_rate"}
    single = {key: float(values[name][0]) for key, name in rates.items() if name in values}
    return {"bars_close_travel": after, **single, **_turn_at_bump(rear)}


def _turn_at_bump(rear: LeafRear) -> dict[str, float]:
    """Return how far the bars turn the axle at full bump, where it is reached."""
    try:
        path = leaf_path(rear.loop, rear.car.bump, rear.reference.datum)
    except GeometryError:
        return {}
    if rear.snubbers is None or not path.reachable[0]:
        return {}
    return {"bars_turn_bump": float(in_level_poses(rear.snubbers, path).turn[0])}


def _closing_travel(rear: LeafRear) -> float | None:
    """Return the bump from where the car stands that takes up the gap.

    Newton's steps in the springs' curvature: each closes the loop once, where steps in travel
    would ask for the curvature of each.
    """
    snubbers, bars = rear.snubbers, rear.bars
    if snubbers is None or bars is None:
        return None
    if bars.gap <= 0.0:
        return 0.0
    change, (low, high) = np.zeros(1), curvature_ends(rear.loop)  # more arch lowers the wheel
    for _ in range(_MOST_STEPS):
        path = path_at_curvature(rear.loop, change, rear.reference.datum)
        seat = path.seat
        missing = snubbers.touch - tip_height(snubbers.length, seat.z, seat.angle)
        rise = tip_rise(bars.length, path)
        if not (path.reachable[0] and high <= change[0] <= low):
            return None
        if abs(missing[0]) < TOUCHES:
            return float(path.travel[0]) - (rear.settled_travel or 0.0)
        if not rise[0] > 0.0:
            return None
        change = change + missing / rise * path.flattening
    return None
