"""Wind-up, lift and eye loads at large deflections against a non-linear elastica and statics."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from geometry.leaf.axle import leaf_path
from geometry.leaf.bending import common_curvature
from geometry.leaf.bent_axle import LoadedSpring, bent_axle, bent_with_and_without
from geometry.leaf.fit import loop_from_points, with_rates
from geometry.leaf.load import HalfRates
from geometry.leaf.steer import roll_steer
from geometry.leaf.wind_up import Thrust, TractionBars, wind_up
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.helpers.leaf_elastica import ROOT, five_leaf_spring, graduated_spring
from tests.helpers.long_cases import typical_of
from tests.helpers.pushed_elastica import pushed

RADIUS = 300.0
DRIVE = np.array([500.0, 1500.0, 2500.0])  # at one spring [N]
BRAKING = np.array([-1500.0])
LOAD = 3000.0
# Halves, shackle pivot, free curvature: shackles from 33° forward to 10° back, arch to 58 mm.
GRADUATED = [
    (600.0, 600.0, (-1325.0, 80.0), 4e-4),
    (600.0, 600.0, (-1285.0, 85.0), 6e-4),
    (500.0, 700.0, (-1325.0, 80.0), 4e-4),
    (550.0, 650.0, (-1340.0, 70.0), 3e-4),
]


def placed(spring, exact, rates, load):
    """The spring as measured in the elastica's pose without thrust."""
    seat = exact.x, exact.z
    lean, (x, z) = exact.pivot_lean, spring.pivot
    eye = x - spring.shackle * np.sin(lean), z - spring.shackle * np.cos(lean)
    loop, _ = loop_from_points(spring.front_eye, seat, eye, spring.pivot, seat, spring.clamp)
    halves = HalfRates(*rates, loop.front_arm, loop.rear_arm)
    loop = with_rates(loop, halves)
    steer = roll_steer(loop, leaf_path(loop, 0.0))
    thrust = Thrust(RADIUS, float(steer.front_slope[0]), steer.hinge)
    return LoadedSpring(loop, halves, load, load, RADIUS, thrust)


@cache
def graduated(case, way):
    front, rear, pivot, free = GRADUATED[case]
    spring, _ = graduated_spring(front, rear, 100.0, pivot, free)
    exact = pushed(spring, -20.0, LOAD, way, RADIUS)
    # A cantilever whose E·I falls evenly to nothing at its end: k = 2·E·I/l³ (textbook).
    rates = 2 * ROOT / front**3, 2 * ROOT / rear**3
    return placed(spring, exact[0], rates, LOAD), exact


@pytest.mark.parametrize("way", [tuple(DRIVE), tuple(BRAKING)])
@pytest.mark.parametrize("case", typical_of(range(len(GRADUATED)), (0, 1)))
def test_graduated_spring_lifts_and_turns_as_the_elastica_does(case, way):
    spring, (rest, *exact) = graduated(case, way)
    ours = bent_axle(spring, 2 * np.array(way))
    assert ours is not None
    lift = np.array([pose.z - rest.z for pose in exact])
    np.testing.assert_allclose(ours.rise, lift, atol=0.5)  # mm
    turn = np.degrees([pose.angle - rest.angle for pose in exact])
    np.testing.assert_allclose(np.degrees(ours.rotation), turn, atol=0.03)
    eyes = np.array([[pose.front_eye, pose.rear_eye] for pose in exact]).T
    np.testing.assert_allclose(ours.eye_load, eyes, atol=3.0)  # N of 3000


def test_stepped_pack_lifts_as_the_elastica_does():
    spring, _ = five_leaf_spring(FIVE)
    rest, *exact = pushed(spring, -30.0, 3500.0, DRIVE, RADIUS)
    placed_spring = placed(spring, rest, common_curvature(FIVE).rates.tolist(), 3500.0)
    ours = bent_axle(placed_spring, 2 * DRIVE)
    assert ours is not None
    np.testing.assert_allclose(ours.rise, [pose.z - rest.z for pose in exact], atol=0.25)
    np.testing.assert_allclose(ours.eye_load[1], [pose.rear_eye for pose in exact], atol=3.0)


def test_large_turn_says_what_the_small_one_leaves_out():
    spring, (rest, *exact) = graduated(0, tuple(DRIVE))
    small = wind_up(spring.rates, 2 * DRIVE, spring.thrust, LOAD)
    assert small.rise[-1] / (exact[-1].z - rest.z) < 0.6


@pytest.mark.parametrize("case", typical_of(range(len(GRADUATED)), (0, 1)))
def test_eye_loads_are_those_of_moments_about_the_front_eye(case):
    # By hand: the shackle's pull along it, weight at the wheel, thrust at the road, the pose as at
    # rest; a small thrust hardly moves it.
    spring, (rest, *_) = graduated(case, tuple(DRIVE))
    push, lean = 20.0, rest.pivot_lean
    (pivot_x, pivot_z), shackle = GRADUATED[case][2], 90.0
    eye_x, eye_z = pivot_x - shackle * np.sin(lean), pivot_z - shackle * np.cos(lean)
    moment = LOAD * -rest.x - push / 2 * (RADIUS - rest.z)
    rear = moment / (-eye_x + np.tan(lean) * eye_z)
    ours = bent_axle(spring, [push])
    assert ours is not None
    np.testing.assert_allclose(ours.eye_load[:, 0], [LOAD - rear, rear], atol=0.5)


def test_small_turn_s_eye_loads_are_those_of_statics_too():
    # Symmetrical, 650 + 650 mm, flat, 3000 N, thrust 6636 N, seats 281 mm above the ground: rear
    # eye 1500 - 3318·281/1300 = 783 N, front 2217 N; braking the other way round.
    rates = HalfRates(16.0, 16.0, 650.0, 650.0)
    small = wind_up(rates, [6636.0, -6636.0], Thrust(281.0), 3000.0)
    np.testing.assert_allclose(small.eye_load, [[2217.2, 782.8], [782.8, 2217.2]], atol=0.1)
    # A front half that falls to the front lifts the body through its pin: the sum stays the load.
    sloping = wind_up(rates, [6636.0], Thrust(251.0, -40 / 650, 162.5), 3000.0)
    assert sloping.eye_load.sum() == pytest.approx(3000.0)
    assert sloping.bending_load.sum() == pytest.approx(3000.0 - 6636.0 * 40 / 650 / 2)


@pytest.mark.parametrize("case", typical_of(range(len(GRADUATED)), (0, 1)))
def test_small_thrust_is_the_derivative_of_the_large_ones(case):
    spring, _ = graduated(case, tuple(DRIVE))
    one, two = (bent_axle(spring, [push]) for push in (1.0, 2.0))
    assert one is not None
    assert two is not None
    np.testing.assert_allclose(two.rotation, 2 * one.rotation, rtol=2e-3)
    np.testing.assert_allclose(two.rise, 2 * one.rise, atol=1e-4)


def test_eyes_and_snubber_carry_the_spring_s_load():
    spring, _ = graduated(2, tuple(DRIVE))
    barred = replace(spring, bars=TractionBars(500.0, 8.0, 300.0))
    bent = bent_axle(barred, np.linspace(-4000.0, 5000.0, 19))
    assert bent is not None
    assert bent.closed.any()
    np.testing.assert_allclose(bent.eye_load.sum(axis=0) + bent.snubber, LOAD)


def test_snubbers_touch_at_the_thrust_that_is_told():
    spring, _ = graduated(2, tuple(DRIVE))
    barred = replace(spring, bars=TractionBars(500.0, 8.0, 300.0))
    thrusts = np.linspace(-2000.0, 3000.0, 5)
    both, touch = bent_with_and_without(barred, thrusts, 3000.0)
    assert both is not None
    assert touch is not None
    closes, rise = touch
    bent = bent_axle(barred, [0.999 * closes, 1.001 * closes])
    assert bent is not None
    np.testing.assert_array_equal(bent.closed, [False, True])
    free = bent_axle(spring, [3000.0])
    assert free is not None
    np.testing.assert_allclose(rise, free.rise[0], rtol=1e-9)
    by_itself = bent_axle(barred, thrusts)
    assert by_itself is not None
    np.testing.assert_allclose(both.rotation, by_itself.rotation, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(both.snubber, by_itself.snubber, rtol=1e-8, atol=1e-9)
    assert bent_with_and_without(spring, thrusts, 3000.0)[1] is None


def test_snubbers_touch_where_they_do_though_the_axle_winds_up_beyond_all_balance():
    spring, _ = graduated(0, tuple(DRIVE))
    barred = replace(spring, bars=TractionBars(500.0, 8.0, 300.0))
    _, known = bent_with_and_without(barred, np.zeros(1), 3000.0)
    lost, touch = bent_with_and_without(barred, np.array([0.0, 6e6]), 3000.0)
    assert lost is None
    assert known is not None
    assert touch is not None
    np.testing.assert_allclose(touch, known, rtol=1e-9)


def test_thrust_beyond_every_equilibrium_is_none():
    spring, _ = graduated(0, tuple(DRIVE))
    assert bent_axle(spring, [0.0, 60_000.0]) is None
