"""When traction bars close in bump, and what the wheel then meets: results that a car has once."""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.leaf.axle import LeafPath, path_at_curvature
from geometry.leaf.load import Model
from geometry.leaf.poses import LeafPoses
from geometry.leaf.reach import is_within_ends
from geometry.leaf.rear import LeafRear
from geometry.leaf.results import Results, with_snubbers
from geometry.leaf.ride import spring_on_car
from geometry.leaf.snubbers import TOUCHES, tip_height, tip_rise, turn_of
from geometry.numeric import quietly

_MOST_STEPS: Final = 20
_PAST: Final = 1e-3  # mm past the touch, where the snubbers' rate is felt


@quietly
def bars_in_bump(rear: LeafRear, full_bump: LeafPoses | None) -> dict[str, float]:
    """Return the bump after which the bars close [mm], from where the car stands, and the rest.

    Empty without bars, or where the axle doesn't get so far. Both wheel rates [N/mm] are those
    right after the touch; the turn of the axle [rad], + nose up, is that at full bump.

    Parameters
    ----------
    rear
        The axle.
    full_bump
        Its level pose there, None where it isn't reached.
    """
    snubbers, touch = rear.snubbers, _touching_pose(rear)
    if snubbers is None or touch is None:
        return {}
    change = touch.curvature_change + _PAST * touch.flattening
    past = path_at_curvature(rear.loop, change, rear.reference.datum)
    if not (past.reachable[0] and is_within_ends(rear.loop, change[0])):
        return {}
    single = {"bars_close_travel": float(touch.travel[0]) - rear.stands_at}
    if full_bump is not None:
        turn = turn_of(snubbers, full_bump.seat_z[0], full_bump.seat_angle)
        single["bars_turn_bump"] = float(turn[0])
    values: Results = {
        "pinion_angle": past.pinion,
        "roll_wheel_rate": np.array([rear.roll_wheel_rate]),
    }
    springs = []
    if rear.car.load is not None:
        model = Model.COMMON_CURVATURE
        springs = [spring_on_car(rear.stages, rear.loop, past, rear.car.load, model)]
    for spring in with_snubbers(values, springs, snubbers, past, rear.base_share):
        single["bars_wheel_rate"] = float(spring.rate[0])
    return single | {"bars_roll_rate": float(values["roll_wheel_rate"][0])}


def _touching_pose(rear: LeafRear) -> LeafPath | None:
    """Return the pose, bumped from where the car stands, in which the gap is taken up.

    Newton's steps in the springs' curvature: each closes the loop once, where steps in travel
    would ask for the curvature of each.
    """
    snubbers, bars = rear.snubbers, rear.bars
    if snubbers is None or bars is None:
        return None
    change = np.zeros(1)
    for _ in range(_MOST_STEPS):
        path = path_at_curvature(rear.loop, change, rear.reference.datum)
        if bars.gap <= 0.0:
            return path
        seat = path.seat
        missing = snubbers.touch - tip_height(snubbers.length, seat.z, seat.angle)
        rise = tip_rise(bars.length, path)
        if not (path.reachable[0] and is_within_ends(rear.loop, change[0])):
            return None
        if abs(missing[0]) < TOUCHES:
            return path
        if not rise[0] > 0.0:
            return None
        change = change + missing / rise * path.flattening
    return None
