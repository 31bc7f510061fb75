"""Rack and relay: where the inner ends go, and steers that can't be taken."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import root
from scipy.spatial.transform import Rotation

from app.document.model import Change, FrozenMap, Setup, Vec
from app.systems.front.study import sweep_at
from app.systems.front.system import FRONT
from geometry.errors import Unreachable
from geometry.front.steering import Rack, Relay
from geometry.front.sweeps import Ask, pose_front
from tests.helpers.front_setups import PLAIN, RELAY, Points, built, front_setup, moved, swept

STEER = np.linspace(-60.0, 60.0, 13)


def relay_setup(points: Points | None = None, **more: object) -> Setup:
    return front_setup({**RELAY, **(points or {})}, front__steering__kind="relay", **more)


def relay_of(setup: Setup) -> Relay:
    steering = built(setup).axle.steering
    assert isinstance(steering, Relay)
    return steering


def in_car(inner: tuple[np.ndarray, ...]) -> np.ndarray:
    """Both inner ends in car axes, shape (2, n, 3)."""
    x, y, z = inner
    return np.stack([x, y * [[1.0], [-1.0]], z], axis=-1)


class Arms:
    """The relay as distances and directions, for a general root finder.

    Unknowns: both joints. Equations: each joint keeps its distance from its pivot and its height
    along its axis, the link its length, and the pitman's joint its sideways place.
    """

    def __init__(self, points: Points, axis: Vec, idler_axis: Vec) -> None:
        self.place = {name: np.array(place) for name, place in points.items()}
        self.axes = [np.array(a) / np.linalg.norm(a) for a in (axis, idler_axis)]
        self.design = np.concatenate([self.place["pitman_end"], self.place["idler_end"]])
        self.pivots = [self.place["pitman_pivot"], self.place["idler_pivot"]]
        self.known = self.shape(self.design, self.pivots)

    def shape(self, unknown: np.ndarray, pivots: list[np.ndarray]) -> np.ndarray:
        joints = unknown[:3], unknown[3:]
        parts = [
            (np.linalg.norm(joint - pivot), np.dot(axis, joint - pivot))
            for joint, pivot, axis in zip(joints, pivots, self.axes, strict=True)
        ]
        return np.array([*np.ravel(parts), np.linalg.norm(joints[1] - joints[0])])

    def at(self, steer: float, pivots: list[np.ndarray] | None = None) -> np.ndarray:
        """Lead the joints there in small steps."""
        pivots = pivots or self.pivots
        unknown = self.design
        for share in np.linspace(0.0, 1.0, 2 + int(abs(steer) / 4.0))[1:]:
            there = [p + share * (q - p) for p, q in zip(self.pivots, pivots, strict=True)]
            y = self.design[1] + share * (steer + pivots[0][1] - self.pivots[0][1])

            def miss(u: np.ndarray, there: list = there, y: float = y) -> np.ndarray:
                return np.append(self.shape(u, there) - self.known, u[1] - y)

            found = root(miss, unknown, tol=1e-13)
            assert np.abs(found.fun).max() < 1e-9
            unknown = found.x
        return unknown


@pytest.mark.parametrize(
    ("axis", "idler_axis"),
    [
        ((0.0, 0.0, 1.0), (0.0, 0.0, 1.0)),
        ((0.1, 0.05, 1.0), (0.1, 0.05, 1.0)),
        ((0.12, 0.0, 1.0), (-0.05, 0.1, 1.0)),
    ],
)
def test_both_arms_are_where_a_general_root_finder_puts_them(axis: Vec, idler_axis: Vec) -> None:
    setup = relay_setup(front__steering__pitman_axis=axis, front__steering__idler_axis=idler_axis)
    relay, arms = relay_of(setup), Arms(RELAY, axis, idler_axis)
    pitman, idler = relay.arm_ends(STEER)
    inner = in_car(relay.inner_ends(STEER))
    design = [np.array(PLAIN["tie_inner"]) * (1.0, side, 1.0) for side in (1.0, -1.0)]
    for index, steer in enumerate(STEER):
        unknown = arms.at(steer)
        assert [part[index] for part in pitman] == pytest.approx(unknown[:3], abs=1e-8)
        assert [part[index] for part in idler] == pytest.approx(unknown[3:], abs=1e-8)
        # the link as a rigid body: its length turned by the least turn that also keeps the axis up
        line, then = unknown[3:] - unknown[:3], arms.design[3:] - arms.design[:3]
        up = arms.axes[0]
        turn, _ = Rotation.align_vectors([line, np.cross(up, line)], [then, np.cross(up, then)])
        for side in (0, 1):
            carried = unknown[:3] + turn.apply(design[side] - arms.design[:3])
            assert inner[side, index] == pytest.approx(carried, abs=1e-6)


def test_a_parallelogram_carries_both_ends_on_equal_arcs() -> None:
    points = {
        "idler_pivot": (-60.0, -330.0, 300.0),
        "idler_end": (-190.0, -300.0, 268.0),
        "pitman_pivot": (-60.0, 330.0, 300.0),
        "pitman_end": (-190.0, 360.0, 268.0),
    }
    relay = relay_of(relay_setup(points))
    inner = in_car(relay.inner_ends(STEER))
    pitman, _ = relay.arm_ends(STEER)
    step = np.stack(pitman, axis=-1) - points["pitman_end"]
    for side, sign in enumerate((1.0, -1.0)):
        start = np.array(PLAIN["tie_inner"]) * (1.0, sign, 1.0)
        np.testing.assert_allclose(inner[side], start + step, atol=1e-9)
    np.testing.assert_allclose(step[:, 1], STEER, atol=1e-9)
    np.testing.assert_allclose(step[:, 2], 0.0, atol=1e-12)


def test_straight_ahead_a_relay_is_as_measured() -> None:
    relay_study, rack_study = swept(relay_setup()), swept(front_setup())
    for key, value in rack_study.rest.values.items():
        np.testing.assert_allclose(relay_study.rest.values[key], value, atol=1e-9, err_msg=key)


def test_an_idler_pivot_lifted_by_a_shim_lifts_its_end_of_the_link() -> None:
    # parts kept: the same arms on a moved pivot; a common cure of uneven bump steer
    lift = 6.0
    shim = Change("shim", moves=FrozenMap({"front.idler_pivot": (0.0, 0.0, lift)}), toe="left")
    setup = relay_setup(changes=(shim,))
    answer = FRONT.study(setup)
    relay = answer.unsettled.front.axle.steering
    assert isinstance(relay, Relay)
    arms = Arms(RELAY, (0.0, 0.0, 1.0), (0.0, 0.0, 1.0))
    unknown = arms.at(0.0, [arms.pivots[0], arms.pivots[1] + (0.0, 0.0, lift)])
    pitman, idler = relay.arm_ends(np.zeros(1))
    assert [part[0] for part in pitman] == pytest.approx(RELAY["pitman_end"], abs=1e-9)
    assert [part[0] for part in idler] == pytest.approx(unknown[3:], abs=1e-8)
    right = in_car(relay.inner_ends(np.zeros(1)))[1, 0]
    share = (300.0 + 335.0) / (300.0 + 310.0)  # of the link's length, by y
    assert right[2] - PLAIN["tie_inner"][2] == pytest.approx(lift * share, rel=2e-3)
    before, after = (
        car.rest.values["bump_steer"][:, 0] for car in (answer.measured, answer.proposed)
    )
    assert abs(after[1] - before[1]) > 5.0 * abs(after[0] - before[0])


def test_a_moved_steering_box_takes_its_arm_and_the_link_along() -> None:
    move = (4.0, -3.0, 5.0)
    both = FrozenMap({"front.pitman_pivot": move, "front.idler_pivot": move})
    answer = FRONT.study(relay_setup(changes=(Change("box", moves=both, toe="left"),)))
    relay = answer.unsettled.front.axle.steering
    inner = in_car(relay.inner_ends(np.zeros(1)))
    for side, sign in enumerate((1.0, -1.0)):
        start = np.array(PLAIN["tie_inner"]) * (1.0, sign, 1.0)
        assert inner[side, 0] == pytest.approx(start + move, abs=1e-9)
    # with the toe reset the wheels stand straight again
    reset = FRONT.study(relay_setup(changes=(Change("box", moves=both),)))
    assert reset.unsettled.rest.values["toe"] == pytest.approx(np.full((2, 1), math.radians(0.1)))


def test_steers_that_the_arms_cannot_take_are_flagged_not_raised() -> None:
    front = built(relay_setup())
    sweep = sweep_at(front, "steer", [-400.0, -150.0, -20.0, 0.0, 20.0, 150.0, 400.0])
    assert sweep.reached.tolist() == [False, False, True, True, True, False, False]
    wide = swept(
        relay_setup(), Ask(np.linspace(-60, 60, 9), np.zeros(0), np.linspace(-200, 200, 41))
    )
    assert wide.steer is not None
    reached = np.flatnonzero(wide.steer.reached)
    assert (np.diff(reached) == 1).all()
    assert np.isfinite(wide.steer.values["toe"][:, reached]).all()


def test_a_link_that_reaches_neither_arm_is_said_with_both_points() -> None:
    away = Change("away", moves=FrozenMap({"front.idler_pivot": (0.0, -300.0, 0.0)}))
    with pytest.raises(Unreachable, match=r"front\.pitman_end.*front\.idler_end") as caught:
        FRONT.study(relay_setup(changes=(away,)))
    length = math.dist(RELAY["pitman_end"], RELAY["idler_end"])
    assert caught.value.wanted == pytest.approx(length)
    arm = math.dist(RELAY["idler_end"][:2], RELAY["idler_pivot"][:2])
    pivot = moved(RELAY["idler_pivot"], (0.0, -300.0, 0.0))
    flat = math.dist(pivot[:2], RELAY["pitman_end"][:2]) - arm
    rise = RELAY["idler_end"][2] - RELAY["pitman_end"][2]
    assert caught.value.available == pytest.approx(math.hypot(flat, rise), abs=1e-6)


def test_a_rack_moves_both_ends_to_the_cars_left() -> None:
    rack = built(front_setup()).axle.steering
    assert isinstance(rack, Rack)
    inner = in_car(rack.inner_ends(STEER))
    np.testing.assert_allclose(inner[0] - PLAIN["tie_inner"], STEER[:, None] * [0.0, 1.0, 0.0])
    np.testing.assert_allclose(inner[1], inner[0] - [0.0, 2 * 335.0, 0.0], atol=1e-9)


def test_with_the_tie_rods_behind_the_axle_a_rack_to_the_left_steers_to_the_right() -> None:
    front = built(front_setup())
    left = pose_front(front, np.zeros(1), np.zeros(1), np.full(1, 20.0)).values
    assert left["steer_angle_inner"][0] < 0.0
    assert left["steer_angle_outer"][0] < 0.0


def test_a_toe_that_is_set_is_turned_at_the_tie_rods_alone() -> None:
    more = Change("toe", sets=FrozenMap({"front.toe": math.radians(0.4)}))
    answer = FRONT.study(front_setup(changes=(more,)))
    rest = answer.unsettled.rest
    assert rest.values["toe"] == pytest.approx(np.full((2, 1), math.radians(0.4)), abs=1e-10)
    measured, turned = (car.front.axle.corners.parts for car in (answer.measured, answer.proposed))
    assert turned.axle[0] == pytest.approx(measured.axle[0])  # the upright is the same
    # the rod is shorter or longer by about the steering arm's length times the angle
    arm = math.sqrt(float(measured.tie_radius_2[0, 0]))
    change = abs(float(turned.tie_length[0, 0] - measured.tie_length[0, 0]))
    assert change == pytest.approx(arm * math.radians(0.3), rel=0.1)
