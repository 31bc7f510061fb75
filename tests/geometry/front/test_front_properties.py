"""What physics demands of the front's results, on invented cars: no published value needed."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.catalogue.front import BY_KEY
from geometry.front.axle import Front
from geometry.front.road import travel_per_roll
from geometry.front.sweeps import Ask, Sweep, pose_front
from tests.helpers.front_setups import (
    PLAIN,
    Points,
    built,
    front_setup,
    invented_points,
    mirrored,
    swept,
)
from tests.helpers.front_statics import place, vertical_force
from tests.helpers.long_cases import examples, typical_of

SEEDS = typical_of((0, 1, 2, 5, 7, 11), (1, 7))
MIXED = [
    (0.0, 0.0, 0.0),
    (45.0, 0.0, 0.0),
    (-50.0, 0.0, 20.0),
    (20.0, 0.05, -15.0),
    (-10.0, -0.08, 30.0),
]
few = settings(max_examples=examples(8, 15))


@st.composite
def corners(draw: Callable[..., float], spread: float = 15.0) -> Points:
    """Corners near the plain one, every coordinate of its own."""
    offset = st.floats(-spread, spread)
    return {
        name: tuple(part + draw(offset) for part in at)  # type: ignore[misc]
        for name, at in PLAIN.items()
    }


def car(seed: int, **values: object) -> Front:
    return built(front_setup(invented_points(seed, 20.0), **values))


def posed(front: Front, travel: object, roll: object = 0.0, steer: object = 0.0) -> Sweep:
    parts = [np.atleast_1d(np.asarray(part, dtype=float)) for part in (travel, roll, steer)]
    return pose_front(front, *parts)


def assert_same(one: Sweep, other: Sweep, lengths: float = 1.0, tolerance: float = 1e-8) -> None:
    """Compare every result; the other's lengths are ``lengths`` times as long."""
    powers = {"length": 1, "angle per length": -1}
    for key, result in BY_KEY.items():
        if key in one.values:
            expected = one.values[key] * lengths ** powers.get(result.kind, 0)
            np.testing.assert_allclose(
                other.values[key], expected, rtol=tolerance, atol=tolerance, err_msg=key
            )


def slope(function: Callable[[float], float | np.ndarray], at: float, step: float) -> np.ndarray:
    """A derivative by differences of the fourth order."""
    a, b, c, d = (np.asarray(function(at + n * step)) for n in (-2, -1, 1, 2))
    return (a - 8.0 * b + 8.0 * c - d) / (12.0 * step)


# --- Symmetries -----------------------------------------------------------------------------------


@few
@given(corners())
def test_a_right_side_given_as_the_mirror_changes_nothing(points: Points) -> None:
    one, other = swept(front_setup(points)), swept(front_setup(points, right=mirrored(points)))
    for name in ("travel", "roll", "steer"):
        assert_same(getattr(one, name), getattr(other, name), tolerance=0.0)
    assert one.single == other.single


@pytest.mark.parametrize("seed", SEEDS)
def test_left_and_right_change_places_when_roll_and_steer_change_sign(seed: int) -> None:
    front = car(seed)
    travel, roll, steer = (np.array(part) for part in zip(*MIXED, strict=True))
    one, other = posed(front, travel, roll, steer), posed(front, travel, -roll, -steer)
    assert one.reached.all()
    for key, result in BY_KEY.items():
        if key in one.values and result.scope == "wheel":
            np.testing.assert_allclose(
                other.values[key], one.values[key][::-1], rtol=1e-7, atol=1e-8, err_msg=key
            )
    for key in ("roll_centre_height", "roll_centre_force", "body_height_change", "toe_total"):
        np.testing.assert_allclose(other.values[key], one.values[key], rtol=1e-7, atol=1e-7)
    np.testing.assert_allclose(
        other.values["roll_centre_lateral"], -one.values["roll_centre_lateral"], atol=1e-6
    )


@few
@given(corners(), st.floats(-500.0, 500.0))
def test_moving_the_whole_car_along_x_moves_only_the_side_view_centre(
    points: Points, along: float
) -> None:
    shifted = {name: (x + along, y, z) for name, (x, y, z) in points.items()}
    ask = Ask(np.linspace(-60, 60, 7), np.linspace(-0.08, 0.08, 5), np.linspace(-40, 40, 5))
    one, other = swept(front_setup(points), ask), swept(front_setup(shifted), ask)
    for name in ("travel", "roll", "steer"):
        first, second = getattr(one, name), getattr(other, name)
        values = dict(second.values)
        values["side_centre_x"] = values["side_centre_x"] - along
        for key in first.values:
            np.testing.assert_allclose(
                values[key], first.values[key], rtol=1e-6, atol=1e-6, err_msg=key
            )


@pytest.mark.parametrize("seed", SEEDS)
def test_a_car_in_other_units_has_the_same_angles_and_scaled_lengths(seed: int) -> None:
    unit = 25.4
    points = invented_points(seed, 20.0)
    larger = {name: (unit * x, unit * y, unit * z) for name, (x, y, z) in points.items()}
    setup = front_setup(points, front__toe_diameter=600.0)
    scaled = front_setup(
        larger,
        front__toe_diameter=600.0 * unit,
        front__tyre_radius=305.0 * unit,
        car__wheelbase=2560.0 * unit,
        car__cg_height=540.0 * unit,
        front__spring__rate=52.0 / unit,
        front__tyre_rate=190.0 / unit,
    )
    travel, roll, steer = (np.array(part) for part in zip(*MIXED, strict=True))
    one = posed(built(setup), travel, roll, steer)
    other = posed(built(scaled), unit * travel, roll, unit * steer)
    assert one.reached.all()
    assert other.reached.all()
    keys = [key for key in one.values if BY_KEY[key].kind not in ("spring rate", "frequency")]
    powers = {"length": 1, "angle per length": -1}
    for key in keys:
        expected = one.values[key] * unit ** powers.get(BY_KEY[key].kind, 0)
        np.testing.assert_allclose(other.values[key], expected, rtol=1e-6, atol=1e-7, err_msg=key)
    for key in ("wheel_rate", "wheel_rate_geometry", "ride_rate"):
        np.testing.assert_allclose(other.values[key], one.values[key] / unit, rtol=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_sweep_is_the_same_backwards_and_pose_by_pose(seed: int) -> None:
    front = car(seed)
    travel = np.linspace(-80.0, 80.0, 33)
    forward, backward = posed(front, travel), posed(front, travel[::-1])
    for key, values in forward.values.items():
        np.testing.assert_allclose(
            backward.values[key][..., ::-1], values, rtol=1e-7, atol=1e-8, err_msg=key
        )
        alone = posed(front, travel[5]).values[key][..., 0]
        np.testing.assert_allclose(alone, values[..., 5], rtol=1e-7, atol=1e-8, err_msg=key)


# --- Rods and road --------------------------------------------------------------------------------


@few
@given(corners())
def test_every_rod_keeps_its_length_in_every_pose(points: Points) -> None:
    front = built(front_setup(points))
    travel, roll, steer = (np.array(part) for part in zip(*MIXED, strict=True))
    sweep = posed(front, travel, roll, steer)
    link, body = sweep.poses.linkage, front.car.body
    pairs = [
        (getattr(body, f"{arm}_{end}"), getattr(link, f"{arm}_ball"), f"{arm}_{end}", f"{arm}_ball")
        for arm in ("upper", "lower")
        for end in ("front", "rear")
    ]
    pairs += [
        (link.tie_inner, link.tie_outer, "tie_inner", "tie_outer"),
        (link.upper_ball, link.lower_ball, "upper_ball", "lower_ball"),
        (link.upper_ball, link.tie_outer, "upper_ball", "tie_outer"),
        (link.lower_ball, link.tie_outer, "lower_ball", "tie_outer"),
        (link.wheel_centre, link.tie_outer, "wheel_centre", "tie_outer"),
        (link.wheel_centre, link.upper_ball, "wheel_centre", "upper_ball"),
        (link.wheel_centre, link.lower_ball, "wheel_centre", "lower_ball"),
    ]
    for one, other, name, other_name in pairs:
        length = np.sqrt(sum((a - b) ** 2 for a, b in zip(one, other, strict=True)))
        design = np.linalg.norm(np.subtract(points[name], points[other_name]))
        np.testing.assert_allclose(length, design, rtol=0, atol=1e-9)
    np.testing.assert_allclose(sum(part**2 for part in link.axle), 1.0, atol=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
def test_in_roll_both_contacts_are_on_one_road_and_the_mean_travel_is_kept(seed: int) -> None:
    front = car(seed)
    roll = np.radians(np.linspace(-6.0, 6.0, 25))
    for travel in (0.0, -10.0, 30.0):
        sweep = posed(front, travel, roll)
        poses = sweep.poses
        assert sweep.reached.all()
        # the road in car axes: the body leans to its right, so the road rises to the car's left
        road = np.stack([np.zeros_like(roll), np.sin(roll), np.cos(roll)])
        left = np.array([part[0] for part in poses.contact])
        right = np.array([part[1] for part in poses.contact]) * [[1.0], [-1.0], [1.0]]
        gap = (road * (left - right)).sum(axis=0)
        np.testing.assert_allclose(gap, 0.0, atol=1e-9)
        np.testing.assert_allclose(poses.travel.mean(axis=0), travel, atol=1e-9)
        # the wheel touches where it is lowest: no other point of its circle is further down
        for side, contact in enumerate((left, right)):
            hub = np.array([part[side] for part in poses.linkage.wheel_centre])
            axle = np.array([part[side] for part in poses.linkage.axle])
            flip = np.array([[1.0], [-1.0 if side else 1.0], [1.0]])
            hub, axle = hub * flip, axle * flip
            np.testing.assert_allclose(np.linalg.norm(contact - hub, axis=0), 305.0, atol=1e-9)
            np.testing.assert_allclose(((contact - hub) * axle).sum(axis=0), 0.0, atol=1e-9)
            along = np.cross(axle.T, (contact - hub).T).T
            np.testing.assert_allclose((along * road).sum(axis=0), 0.0, atol=1e-9)


# --- Rates ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("travel", "steer"), [(0.0, 0.0), (55.0, 0.0), (-30.0, 25.0)])
def test_rates_over_travel_are_the_differences(seed: int, travel: float, steer: float) -> None:
    front = car(seed)
    here = posed(front, travel, 0.0, steer).values

    def differences(key: str) -> np.ndarray:
        return slope(lambda z: posed(front, z, 0.0, steer).values[key][:, 0], travel, 0.5)

    same = {
        "camber_gain": differences("camber"),
        "bump_steer": differences("toe"),
        "bump_steer_length": 610.0 * np.cos(here["toe"][:, 0]) * differences("toe"),
        "spring_motion_ratio": -differences("spring_length"),
        "damper_motion_ratio": -differences("damper_length"),
        "anti_dive_inboard": 100.0 * 0.64 * 2560.0 / 540.0 * differences("wheelbase_change"),
    }
    for key, expected in same.items():
        np.testing.assert_allclose(here[key][:, 0], expected, rtol=2e-6, atol=1e-9, err_msg=key)
    ratio = differences("spring_motion_ratio")
    np.testing.assert_allclose(
        here["wheel_rate_geometry"][:, 0], here["spring_force"][:, 0] * ratio, rtol=2e-6, atol=1e-6
    )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("on", ["upper arm", "lower arm"])
def test_the_wheel_rate_is_the_slope_of_the_load(seed: int, on: str) -> None:
    seat = {"spring_arm": (10.0, 500.0, 300.0), "spring_body": (5.0, 455.0, 640.0)}
    points = invented_points(seed, 20.0) | (seat if on == "lower arm" else {})
    front = built(front_setup(points, front__spring__on=on))

    def load(travel: float) -> np.ndarray:
        values = posed(front, travel).values
        return values["spring_force"][:, 0] * values["spring_motion_ratio"][:, 0]

    for travel in (-60.0, 0.0, 40.0):
        values = posed(front, travel).values
        total = values["wheel_rate"][:, 0]
        np.testing.assert_allclose(total, slope(load, travel, 0.5), rtol=1e-6)
        parts = values["wheel_rate_spring"][:, 0] + values["wheel_rate_geometry"][:, 0]
        np.testing.assert_allclose(total, parts, rtol=1e-12)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("travel", "roll", "steer"), [(0.0, 0.0, 0.0), (10.0, 0.06, 20.0)])
def test_rates_over_roll_are_the_differences(
    seed: int, travel: float, roll: float, steer: float
) -> None:
    front = car(seed)
    # at roll 0 each wheel just has the travel: start beside it
    here = posed(front, travel, roll or 1e-9, steer)

    def differences(key: str) -> np.ndarray:
        def at(angle: float) -> np.ndarray:
            return posed(front, travel, angle, steer).values[key][..., 0]

        return slope(at, roll or 1e-9, 0.002)

    np.testing.assert_allclose(
        travel_per_roll(here.poses)[:, 0], differences("wheel_travel"), rtol=1e-6
    )
    lean = differences("camber_road") * [-1.0, 1.0]
    np.testing.assert_allclose(here.values["roll_camber"][:, 0], lean, rtol=1e-6, atol=1e-8)
    toe = differences("toe")
    np.testing.assert_allclose(here.values["roll_steer"][0], 0.5 * (toe[0] - toe[1]), atol=1e-7)


# --- Balance of forces ----------------------------------------------------------------------------


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("travel", "steer"), [(0.0, 0.0), (60.0, 10.0), (-60.0, -25.0)])
@pytest.mark.parametrize("on", ["upper arm", "lower arm"])
def test_the_springs_force_is_carried_by_the_load_that_the_motion_ratio_says(
    seed: int, travel: float, steer: float, on: str
) -> None:
    seat = {"spring_arm": (10.0, 500.0, 300.0), "spring_body": (5.0, 455.0, 640.0)}
    points = invented_points(seed, 20.0) | (seat if on == "lower arm" else {})
    front = built(front_setup(points, front__spring__on=on))
    sweep = posed(front, travel, 0.0, steer)
    strut = front.spring
    assert strut is not None
    # the seat on its arm, by turning the measured seat with the arm
    arm = front.axle.corners.upper if on == "upper arm" else front.axle.corners.lower
    ball = "upper_ball" if on == "upper arm" else "lower_ball"
    axis, centre = place(arm.axis), place(arm.centre)
    now = place(getattr(sweep.poses.linkage, ball)) - centre
    then = np.array(points[ball]) - centre
    offset = np.array(points["spring_arm"]) - centre
    turned = [np.column_stack([axis, v, np.cross(axis, v)]) for v in (now, then)]
    seat_now = centre + turned[0] @ np.linalg.solve(turned[1], offset)
    body = place(strut.body)
    length = np.linalg.norm(seat_now - body)
    assert sweep.values["spring_length"][0, 0] == pytest.approx(length, abs=1e-9)
    push = sweep.values["spring_force"][0, 0] * (seat_now - body) / length
    load = vertical_force(
        front,
        sweep.poses,
        0,
        at=place(sweep.poses.linkage.wheel_centre),
        spring=(on, push, seat_now),
    )
    by_ratio = sweep.values["spring_force"][0, 0] * sweep.values["spring_motion_ratio"][0, 0]
    assert load == pytest.approx(by_ratio, rel=1e-9)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("travel", "steer"), [(0.0, 0.0), (50.0, 0.0), (-40.0, 20.0)])
def test_forces_of_the_tyre_lift_as_roll_centre_and_anti_dive_say(
    seed: int, travel: float, steer: float
) -> None:
    # on a level road: forces at the contact centre, wheel locked to the upright
    front = car(seed)
    sweep = posed(front, travel, 0.0, steer)
    contact = place(sweep.poses.contact)
    hub = place(sweep.poses.linkage.wheel_centre)
    ahead, inward = np.array([1000.0, 0.0, 0.0]), np.array([0.0, -1000.0, 0.0])
    lever = 0.64 * 2560.0 / 540.0 * 100.0
    braking = vertical_force(front, sweep.poses, 0, at=contact, known=(-ahead, contact))
    assert sweep.values["anti_dive"][0, 0] == pytest.approx(lever * braking / 1000.0, rel=1e-7)
    inboard = vertical_force(front, sweep.poses, 0, at=hub, known=(-ahead, hub))
    assert sweep.values["anti_dive_inboard"][0, 0] == pytest.approx(
        lever * inboard / 1000.0, rel=1e-7
    )
    if steer == 0.0:  # both sides alike: the roll centre is half the track times the lift's share
        lift = vertical_force(front, sweep.poses, 0, at=contact, known=(inward, contact))
        height = sweep.values["half_track"][0, 0] * lift / 1000.0
        assert sweep.values["roll_centre_height"][0] == pytest.approx(height, rel=1e-7)
        assert sweep.values["roll_centre_force"][0] == pytest.approx(height, rel=1e-7)
