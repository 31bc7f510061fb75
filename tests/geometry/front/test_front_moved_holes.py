"""Springs and joints of the same parts on moved holes, worked out from the arms alone."""

from __future__ import annotations

import math

import numpy as np
import pytest

from app.document.model import Change, FrozenMap
from app.systems.front.system import FRONT
from tests.helpers.front_setups import PLAIN, front_setup

TORSION = {
    "front__spring__kind": "torsion bar",
    "front__spring__on": None,
    "front__spring__rate": 1.9e6,
}


def angle(one: np.ndarray, other: np.ndarray) -> float:
    return math.atan2(np.linalg.norm(np.cross(one, other)), float(np.dot(one, other)))


def test_on_moved_holes_the_bar_is_twisted_by_the_arms_turn_in_the_body() -> None:
    """Bar twist: turn of the lower arm from its measured place, moved holes or not.

    Both pivots 9 mm higher, the same arm: worked out from the arm's directions alone.
    """
    lift = (0.0, 0.0, 9.0)
    moves = FrozenMap({"front.lower_front": lift, "front.lower_rear": lift})
    answer = FRONT.study(front_setup(changes=(Change("higher", moves=moves),), **TORSION))
    rest = answer.unsettled.rest
    front, rear, ball = (np.array(PLAIN[f"lower_{end}"]) for end in ("front", "rear", "ball"))
    axis = (rear - front) / np.linalg.norm(rear - front)
    now = np.array([part[0, 0] for part in rest.poses.linkage.lower_ball])
    before = np.cross(axis, ball - front)
    turned = angle(before, np.cross(axis, now - front - np.array(lift)))
    # the arm hangs lower against the body: the bar is let off by about the lift over its length
    assert turned == pytest.approx(9.0 / np.linalg.norm(before), rel=0.1)
    assert rest.values["bar_twist"][0, 0] == pytest.approx(-turned, abs=1e-12)
    torque = answer.measured.rest.values["bar_torque"][0, 0] - 1.9e6 * turned
    assert rest.values["bar_torque"][0, 0] == pytest.approx(torque, rel=1e-12)
    # the body comes down to where the same bar carries the same load
    settled = answer.unsettled.settled
    assert settled is not None
    load = settled.values["bar_torque"] * settled.values["bar_motion_ratio"]
    assert load[:, 0] == pytest.approx(0.5 * (1240.0 * 0.54 - 82.0) * 9.80665, rel=1e-9)
    assert answer.unsettled.single["settled_travel"] > 8.0


def test_one_moved_hole_turns_a_ball_joints_housing_without_stretching_it() -> None:
    """Swing: angle between stud and housing's axis, both of them directions."""
    moves = FrozenMap({"front.upper_front": (0.0, 6.0, 4.0), "front.upper_rear": (12.0, -3.0, 2.0)})
    rest = FRONT.study(front_setup(changes=(Change("one", moves=moves),))).unsettled.rest

    def frame(ends: dict[str, np.ndarray]) -> np.ndarray:
        along = ends["rear"] - ends["front"]
        normal = np.cross(along, ends["ball"] - ends["front"])
        sides = (along, np.cross(normal, along), normal)
        return np.array([side / np.linalg.norm(side) for side in sides]).T

    link = rest.poses.linkage
    now, lower = (
        np.array([part[0, 0] for part in place]) for place in (link.upper_ball, link.lower_ball)
    )
    was = {end: np.array(PLAIN[f"upper_{end}"]) for end in ("front", "rear", "ball")}
    moved = {end: was[end] + moves[f"front.upper_{end}"] for end in ("front", "rear")}
    stud = was["ball"] - np.array(PLAIN["lower_ball"])
    housing = frame(moved | {"ball": now}) @ frame(was).T @ stud
    swing = rest.values["upper_ball_swing"][0, 0]
    assert swing == pytest.approx(angle(now - lower, housing), abs=1e-9)
