"""Wind-up with and without traction bars against a frame package and plain statics."""

import numpy as np
import pytest

from geometry.leaf.axle import leaf_path
from geometry.leaf.bending import common_curvature
from geometry.leaf.fit import loop_from_points
from geometry.leaf.load import HalfRates
from geometry.leaf.loop import close_loop
from geometry.leaf.pack import Leaf, LeafPack
from geometry.leaf.shape import wound_line
from geometry.leaf.steer import roll_steer
from geometry.leaf.wind_up import (
    Thrust,
    TractionBars,
    closing_thrust,
    wind_up,
    wind_up_stiffness,
)
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.geometry.leaf.test_leaf_roll import frame_of, graduated, on_seat
from tests.helpers.invented_leaf_axles import AXLES, SALOON
from tests.helpers.leaf_axle_frame import moved_axle
from tests.helpers.leaf_judges import spring_line

RATES = HalfRates(26.3, 10.0, 560.0, 760.0)
EVEN = HalfRates(16.0, 16.0, 660.0, 660.0)
PATH = Thrust(262.0, -0.05, 180.0)
BARS = TractionBars(520.0, 10.0, 300.0)
PUSH = np.linspace(-5000.0, 8000.0, 27)


@pytest.mark.parametrize("points", AXLES)
def test_axle_under_thrust_rises_and_turns_as_the_frame_does(points):
    # The frame is pushed at the contact point: forward force and its moment about the seat. It has
    # the arch and the leaning shackle that the matrix leaves out: stated tolerance 5 %.
    loop = on_seat(points)
    height, push = points.seat[1], 1000.0
    moved = moved_axle(frame_of(loop), [("FX", push), ("MZ", push * height)])
    steer = roll_steer(loop, leaf_path(loop, 0.0))
    path = Thrust(height, float(steer.front_slope[0]), steer.hinge)
    ours = wind_up(graduated(loop), [push], path, 3300.0)
    assert ours.rotation[0] == pytest.approx(moved["RZ"], rel=0.05)
    assert ours.rise[0] == pytest.approx(moved["DY"], abs=0.05 * abs(moved["RZ"]) * 660)


@pytest.mark.parametrize("held", ["load", "height"])
def test_moments_and_forces_balance_on_the_seats(held):
    bent = wind_up(RATES, PUSH, PATH, 3300.0, BARS, held)
    lever = np.array([RATES.front_arm, -RATES.rear_arm])
    moment = 2 * (lever @ bent.bending_change + BARS.length * bent.snubber)
    np.testing.assert_allclose(moment, bent.couple, atol=1e-3)
    if held == "load":
        lift = 2 * (bent.bending_change.sum(axis=0) + bent.snubber)
        np.testing.assert_allclose(lift, PATH.slope * PUSH, atol=1e-6)
    else:
        np.testing.assert_array_equal(bent.rise, 0.0)


def test_couple_alone_changes_the_eye_loads_by_moment_over_length():
    # ±M/L at each spring (derived): no lift, load held.
    bent = wind_up(RATES, [4000.0], Thrust(262.0), 3300.0)
    expected = 4000.0 * 262.0 / 2 / RATES.length
    np.testing.assert_allclose(bent.bending_change[:, 0], [expected, -expected], rtol=1e-9)


@pytest.mark.parametrize("held", ["load", "height"])
def test_rotation_is_couple_over_stiffness(held):
    bent = wind_up(RATES, PUSH, Thrust(262.0), 3300.0, held=held)
    expected = PUSH * 262.0 / wind_up_stiffness(RATES, held)
    np.testing.assert_allclose(bent.rotation, expected, rtol=1e-12)


def test_symmetrical_spring_gives_the_textbook_stiffness_both_ways():
    # 2·k·L²/4 for the pair (textbook).
    expected = 2 * EVEN.seat_free * EVEN.length**2 / 4
    assert wind_up_stiffness(EVEN, "load") == pytest.approx(expected)
    assert wind_up_stiffness(EVEN, "height") == pytest.approx(expected)


@pytest.mark.parametrize("held", ["load", "height"])
def test_bars_kink_the_curve_where_the_snubbers_touch(held):
    kink = closing_thrust(RATES, PATH, BARS, held)
    push = kink * np.array([0.5, 0.99, 1.01, 1.5])
    plain = wind_up(RATES, push, PATH, 3300.0, held=held)
    barred = wind_up(RATES, push, PATH, 3300.0, BARS, held)
    np.testing.assert_array_equal(barred.closed, [False, False, True, True])
    np.testing.assert_allclose(barred.rotation[:2], plain.rotation[:2])
    assert barred.rotation[3] < plain.rotation[3]
    # Continuous at the kink, and the snubber only ever pushes.
    at_kink = wind_up(RATES, [kink * (1 + 1e-9)], PATH, 3300.0, BARS, held)
    expected = wind_up(RATES, [kink], PATH, 3300.0, held=held)
    np.testing.assert_allclose(at_kink.rotation, expected.rotation, rtol=1e-6)
    assert (barred.snubber >= 0).all()


def test_snubber_s_gap_closes_at_gap_over_length_with_the_height_held():
    kink = closing_thrust(RATES, PATH, BARS, "height")
    bent = wind_up(RATES, [kink], PATH, 3300.0, held="height")
    assert bent.rotation[0] == pytest.approx(BARS.gap / BARS.length)


def test_bars_turn_wind_up_into_lift_when_the_load_is_held():
    plain = wind_up(RATES, [8000.0], PATH, 3300.0)
    barred = wind_up(RATES, [8000.0], PATH, 3300.0, BARS)
    assert barred.rotation[0] < plain.rotation[0]
    assert barred.rise[0] < plain.rise[0]  # the body stands higher over the axle


def test_bars_do_nothing_under_braking():
    plain = wind_up(RATES, [-5000.0], PATH, 3300.0)
    barred = wind_up(RATES, [-5000.0], PATH, 3300.0, BARS)
    assert not barred.closed[0]
    assert barred.rotation[0] == plain.rotation[0]


def test_eye_that_turns_over_is_flagged_rear_under_drive_front_under_braking():
    hard = wind_up(RATES, [-20_000.0, 0.0, 20_000.0], Thrust(262.0), 3300.0)
    np.testing.assert_array_equal(hard.reversed_eye, [[True, False, False], [False, False, True]])


# --- the shape ----------------------------------------------------------------------------------


def test_drawn_spring_runs_from_eye_to_eye_through_the_seat():
    loop = SALOON.fit()
    seat = close_loop(loop, np.zeros(1))
    line = spring_line(loop, 0.0, float(seat.angle[0]), 40)
    np.testing.assert_allclose(line[0], SALOON.front_eye)
    np.testing.assert_allclose(line[-1], SALOON.rear_eye, atol=0.2)
    np.testing.assert_allclose((line[39] + line[40]) / 2, SALOON.seat, atol=0.1)


def test_spring_under_torque_bends_to_an_s():
    # Common practice, no source: an axle on leaves twists into an S under torque.
    loop = SALOON.fit()
    rates = HalfRates(*common_curvature(FIVE).rates.tolist(), 560.0, 760.0)
    bent = wind_up(rates, [5000.0], Thrust(262.0), 3300.0)
    angle = float(close_loop(loop, np.zeros(1)).angle[0])
    rest = spring_line(loop, 0.0, angle, 40)
    wound = wound_line(
        loop, FIVE, bent.bending_change[:, 0], float(bent.rotation[0]), 1.0, 0.0, angle, 40
    )
    moved = wound[:, 1] - rest[:, 1]
    # The seat turns nose up: leaf ahead of the bolt up, behind it down, each against the seat.
    assert (moved[15:35] - moved[39:41].mean() > 0.5).all()
    assert (moved[45:65] - moved[39:41].mean() < -0.5).all()


def test_s_s_halves_end_where_their_eyes_are():
    # The bent halves, turned with the seat, bring the eyes back to their heights: the shape and
    # the stiffness matrix agree.
    pack = LeafPack((Leaf(7.0, 560.0, 760.0), Leaf(7.0, 420.0, 560.0)), width=63.5, clamp=100.0)
    rates = HalfRates(*common_curvature(pack).rates.tolist(), 560.0, 760.0)
    loop, angle = loop_from_points(
        (0.0, 0.0), (-560.0, -1.0), (-1320.0, 0.0), (-1320.0, 90.0), (-560.0, -1.0), 100.0
    )
    bent = wind_up(rates, [1000.0], Thrust(262.0), 3300.0)
    wound = wound_line(
        loop, pack, bent.bending_change[:, 0], float(bent.rotation[0]), 1.0, 0.0, angle, 200
    )
    assert wound[-1, 1] == pytest.approx(0.0, abs=0.15)
    middle = (wound[199] + wound[200]) / 2
    assert middle[1] - -1.0 == pytest.approx(bent.rise[0], abs=0.1)
    assert leaf_path(loop, 0.0).reachable.all()
