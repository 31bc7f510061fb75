"""Roll against a space frame of the whole axle (PyNiteFEA), and what symmetry demands."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.axle import leaf_path
from geometry.leaf.fit import with_rates
from geometry.leaf.load import HalfRates
from geometry.leaf.loop import close_loop
from geometry.leaf.ride import roll_wheel_rate
from geometry.leaf.roll import leaf_roll
from geometry.leaf.steer import roll_centres, roll_steer
from tests.helpers.invented_leaf_axles import AXLES, COUPE, SALOON, flat_symmetrical
from tests.helpers.leaf_axle_frame import ELEMENTS, axle_frame, moved_axle
from tests.helpers.leaf_judges import spring_line

BASE, RADIUS, STIFFNESS = 1100.0, 305.0, 1.5e9
ROLL = np.radians(np.linspace(-5.0, 5.0, 21))


def graduated(loop):
    """Rates of ideal halves of E·I = STIFFNESS at the clamp, k = 2·E·I/l³."""
    return HalfRates(
        2 * STIFFNESS / loop.front**3,
        2 * STIFFNESS / loop.rear**3,
        loop.front_arm,
        loop.rear_arm,
    )


def on_seat(points):
    loop = replace(points.fit(), axle=(0.0, 0.0))
    return with_rates(loop, graduated(loop))


def frame_of(loop, sideways=0.01):
    angle = float(close_loop(loop, np.zeros(1)).angle[0])
    line = spring_line(loop, 0.0, angle, ELEMENTS)
    return axle_frame(loop, line, BASE, STIFFNESS, sideways)


@pytest.mark.parametrize("points", AXLES)
def test_roll_steer_is_that_of_a_frame_with_a_stiff_housing(points):
    # Springs soft sideways, so that the frame shows the motion alone.
    loop = on_seat(points)
    moved = moved_axle(frame_of(loop), [("MX", 1.0e6)])
    # The frame's axle rolls under the body: the body leans the other way.
    expected = -moved["RY"] / moved["RX"]
    ours = roll_steer(loop, leaf_path(loop, 0.0))
    assert ours.kinematic[0] == pytest.approx(expected, abs=0.003)


@pytest.mark.parametrize("points", AXLES)
def test_bounce_slope_and_pitch_are_the_frame_s(points):
    loop = on_seat(points)
    moved = moved_axle(frame_of(loop), [("FY", 1000.0)])
    path = leaf_path(loop, 0.0)
    assert path.slope[0] == pytest.approx(moved["DX"] / moved["DY"], abs=0.001)
    assert path.pitch_rate[0] == pytest.approx(moved["RZ"] / moved["DY"], abs=1e-5)


def test_roll_stiffness_is_that_of_seats_kept_from_turning():
    # Straight level springs with ball-jointed eyes: (k_f + k_r)·(base/2)²·2.
    loop = flat_symmetrical()
    rates = graduated(loop)
    moved = moved_axle(frame_of(loop), [("MX", 1.0e6)])
    at_wheels = roll_wheel_rate(rates, BASE, 1400.0)
    assert 2 * at_wheels * 700.0**2 == pytest.approx(1.0e6 / moved["RX"], rel=2e-3)


@pytest.mark.parametrize("points", AXLES)
def test_steer_in_roll_starts_with_the_roll_steer_and_mirrors(points):
    loop = points.fit()
    roll = leaf_roll(loop, ROLL, BASE, RADIUS)
    np.testing.assert_allclose(roll.steer, -roll.steer[::-1], atol=1e-9)
    np.testing.assert_allclose(roll.roll_centre, roll.roll_centre[::-1], atol=1e-6)
    np.testing.assert_allclose(roll.axle_shift, -roll.axle_shift[::-1], atol=1e-9)
    slope = (roll.steer[11] - roll.steer[9]) / (ROLL[11] - ROLL[9])
    steer = roll_steer(loop, leaf_path(loop, 0.0))
    assert slope == pytest.approx(steer.kinematic[0], abs=1e-3)


def test_spring_that_falls_to_the_front_steers_towards_understeer():
    loop = replace(COUPE, seat=(-2410.0, 360.0)).fit()
    steer = roll_steer(loop, leaf_path(loop, 0.0))
    assert steer.front_slope[0] > 0.03
    assert steer.kinematic[0] > 0.03
    rolled = leaf_roll(loop, [np.radians(2.0)], BASE, RADIUS)
    # Body leaning right, as in a left turn: right wheel in bump, axle steered left.
    assert rolled.travel[1, 0] > 0 > rolled.travel[0, 0]
    assert rolled.steer[0] > 0


def test_slope_of_the_equivalent_link_is_the_kinematic_roll_steer():
    for points in AXLES:
        loop = points.fit()
        steer = roll_steer(loop, leaf_path(loop, np.linspace(-60, 60, 5)))
        np.testing.assert_allclose(steer.kinematic, steer.front_slope, atol=3e-3)


def test_level_symmetrical_spring_neither_steers_nor_shifts():
    loop = flat_symmetrical()
    roll = leaf_roll(loop, ROLL, BASE, 300.0)
    np.testing.assert_allclose(roll.steer, 0.0, atol=1e-5)
    np.testing.assert_allclose(roll.axle_shift, 0.0, atol=0.05)


def test_roll_centre_is_the_eyes_line_at_the_axle_with_the_leaf_as_its_band():
    # Gillespie's construction, by hand on the measured points: h = (b·z_front + a·z_rear)/L.
    roll = leaf_roll(SALOON.fit(), [0.0], BASE, RADIUS)
    by_hand = (753.0 * 300.0 + 560.0 * 345.0) / 1313.0
    ground = SALOON.wheel_centre[1] - RADIUS
    assert roll.roll_centre[0] == pytest.approx(by_hand - ground, abs=1e-6)
    assert roll.roll_centre_leaf[0] == pytest.approx(SALOON.seat[1] - ground, abs=1e-6)


def test_roll_centre_over_travel_is_the_roll_s_own_at_that_height():
    loop = SALOON.fit()
    over_travel = roll_centres(loop, leaf_path(loop, [-40.0, 0.0, 60.0]), RADIUS)
    for i, heave in enumerate((-40.0, 0.0, 60.0)):
        rolled = leaf_roll(loop, [0.0], BASE, RADIUS, heave)
        assert over_travel[0][i] == pytest.approx(rolled.roll_centre[0], abs=1e-6)
        assert over_travel[1][i] == pytest.approx(rolled.roll_centre_leaf[0], abs=1e-6)


def test_axle_turns_about_the_roll_centre():
    # The axle's middle, seen from the body, moves across by its height over the centre.
    roll = leaf_roll(SALOON.fit(), [np.radians(3.0)], BASE, RADIUS)
    above = RADIUS - roll.roll_centre[0]
    assert roll.axle_shift[0] == pytest.approx(above * np.sin(np.radians(3.0)), rel=1e-9)


def test_sides_measured_apart_are_the_mirror_when_they_are_alike():
    loop = SALOON.fit()
    alike = leaf_roll(loop, ROLL, BASE, RADIUS, right=SALOON.fit())
    np.testing.assert_array_equal(alike.steer, leaf_roll(loop, ROLL, BASE, RADIUS).steer)


def test_side_with_a_lower_front_eye_steers_the_axle_in_bounce():
    # Right front eye 10 mm lower: in bump the right wheel goes further forward, the axle left.
    right = replace(SALOON, front_eye=(-2020.0, 290.0)).fit()
    steer = [leaf_roll(SALOON.fit(), [0.0], BASE, RADIUS, z, right=right).steer[0] for z in (0, 40)]
    assert steer[0] == pytest.approx(0.0, abs=1e-9)
    slopes = [leaf_path(loop, [0.0, 40.0]).wheel_x for loop in (SALOON.fit(), right)]
    forward = np.diff(slopes[1])[0] - np.diff(slopes[0])[0]
    assert steer[1] == pytest.approx(forward / BASE, rel=0.1)


def test_roll_beyond_the_shackles_reach_says_so_and_repeats_the_last():
    roll = leaf_roll(SALOON.fit(), np.radians(np.linspace(-14, 14, 29)), BASE, RADIUS)
    assert not roll.reachable.all()
    assert roll.reachable[14]
    assert np.isfinite(roll.steer).all()
    last = np.flatnonzero(roll.reachable)[-1]
    assert (roll.roll[last:] == roll.roll[last]).all()
