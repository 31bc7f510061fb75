"""The loop's path against the three-link equivalent, an elastica, and what geometry demands."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from geometry.errors import DegenerateGeometry, ShackleOutOfReach
from geometry.leaf.axle import SHACKLE_MARGIN, leaf_path
from geometry.leaf.fit import (
    eye_height,
    loop_from_points,
    with_block,
    with_raised_eye,
    with_rates,
    with_shackle,
    with_wedge,
)
from geometry.leaf.load import HalfRates, pack_stages
from geometry.leaf.loop import close_loop
from geometry.leaf.reach import curvature_ends, design_wheel, out_of_reach, travel_limits
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.helpers.invented_leaf_axles import AXLES, SALOON, flat_symmetrical
from tests.helpers.leaf_elastica import five_leaf_spring, graduated_spring, measured
from tests.helpers.leaf_judges import with_reversed_eye
from tests.helpers.long_cases import LONG
from tests.helpers.three_link import design_height, three_link_path

TRAVEL = np.linspace(-80.0, 80.0, 33)


def on_seat(loop):
    return replace(loop, axle=(0.0, 0.0))


@pytest.mark.parametrize("points", AXLES)
def test_loop_passes_through_the_measured_points(points):
    loop = points.fit()
    seat = close_loop(loop, np.zeros(1))
    found = (seat.x[0], seat.z[0], seat.eye_x[0], seat.eye_z[0], *design_wheel(loop))
    np.testing.assert_allclose(
        found, (*points.seat, *points.rear_eye, *points.wheel_centre), atol=1e-8
    )


@pytest.mark.parametrize("points", AXLES)
def test_parts_keep_their_sizes_along_the_path(points):
    loop = points.fit()
    seat = leaf_path(loop, TRAVEL).seat
    pivot_x, pivot_z = loop.shackle_pivot
    shackle = np.hypot(seat.eye_x - pivot_x, seat.eye_z - pivot_z)
    np.testing.assert_allclose(shackle, loop.shackle, rtol=1e-12)
    # Front eye to seat, seen from the seat: the end of an arc of the front half's length.
    x, z = loop.front_eye[0] - seat.x, loop.front_eye[1] - seat.z
    along = x * np.cos(seat.angle) + z * np.sin(seat.angle) - loop.clamp / 2
    up = z * np.cos(seat.angle) - x * np.sin(seat.angle)
    half_turn = np.arctan2(up, along)
    length = np.hypot(along, up) / np.sinc(half_turn / np.pi)
    np.testing.assert_allclose(length, loop.front, rtol=1e-12)


@pytest.mark.parametrize("points", AXLES)
def test_path_reaches_its_travel_and_its_rates_are_its_derivatives(points):
    loop = points.fit()
    path = leaf_path(loop, TRAVEL)
    assert path.reachable.all()
    np.testing.assert_allclose(path.travel, TRAVEL, atol=1e-6)
    near = [leaf_path(loop, TRAVEL + step) for step in (0.05, -0.05)]
    for name, rate in (("wheel_x", path.slope), ("curvature_change", path.flattening)):
        numeric = (getattr(near[0], name) - getattr(near[1], name)) / 0.1
        np.testing.assert_allclose(numeric, rate, rtol=1e-5, atol=1e-9)
    turned = (near[0].pinion - near[1].pinion) / 0.1
    np.testing.assert_allclose(turned, path.pitch_rate, rtol=1e-5, atol=1e-9)
    bent = (near[0].flattening - near[1].flattening) / 0.1
    np.testing.assert_allclose(bent, path.flattening_change, rtol=1e-3, atol=1e-12)


@pytest.mark.parametrize("points", AXLES)
def test_sweep_is_the_same_forwards_backwards_and_one_by_one(points):
    loop = points.fit()
    forwards, backwards = leaf_path(loop, TRAVEL), leaf_path(loop, TRAVEL[::-1])
    np.testing.assert_allclose(forwards.wheel_x, backwards.wheel_x[::-1], atol=1e-8)
    single = [leaf_path(loop, travel).wheel_x[0] for travel in TRAVEL]
    np.testing.assert_allclose(forwards.wheel_x, single, atol=1e-8)


@pytest.mark.parametrize("points", AXLES)
def test_whole_car_moved_moves_the_path_with_it(points):
    shift = (300.0, -40.0)
    moved = [
        (p[0] + shift[0], p[1] + shift[1])
        for p in (points.front_eye, points.seat, points.rear_eye, points.shackle_pivot)
    ]
    wheel = (points.wheel_centre[0] + shift[0], points.wheel_centre[1] + shift[1])
    there, _ = loop_from_points(*moved, wheel, points.clamp)
    here, gone = leaf_path(points.fit(), TRAVEL), leaf_path(there, TRAVEL)
    np.testing.assert_allclose(gone.wheel_x - shift[0], here.wheel_x, atol=1e-6)
    np.testing.assert_allclose(gone.pinion, here.pinion, atol=1e-9)


# --- other models -------------------------------------------------------------------------------


@pytest.mark.parametrize("points", AXLES)
def test_three_link_equivalent_agrees(points):
    # Blundell & Harty, p. 341, for its existence; the arc's tip leaves its circle by the fourth
    # order only: 0.3 mm and 0.06° over 80 mm of travel either way.
    loop = on_seat(points.fit())
    path = leaf_path(loop, TRAVEL)
    equivalent = three_link_path(loop, design_height(loop) + TRAVEL)
    np.testing.assert_allclose(equivalent.x, path.seat.x, atol=0.3)
    np.testing.assert_allclose(equivalent.angle, path.seat.angle, atol=radians(0.06))


@pytest.mark.parametrize(
    ("front", "rear", "clamp", "pivot"),
    [
        (560.0, 760.0, 0.0, (-1325.0, 80.0)),
        (505.0, 705.0, 110.0, (-1325.0, 80.0)),
        pytest.param(660.0, 660.0, 0.0, (-1290.0, 80.0), marks=LONG),
    ],
)
def test_graduated_spring_follows_the_elastica(front, rear, clamp, pivot):
    # Stated tolerance for an ideal pack, over 100 mm of travel either way: seat 0.1 mm and 0.05°,
    # shackle 0.35 mm.
    spring, guess = graduated_spring(front, rear, clamp, pivot)
    loop, exact = measured(spring, guess)
    rates = HalfRates(front**-3, rear**-3, front + clamp / 2, rear + clamp / 2)
    path = leaf_path(with_rates(loop, rates), exact.travel)
    np.testing.assert_allclose(path.seat.x, exact.x, atol=0.1)
    np.testing.assert_allclose(path.seat.angle, exact.angle, atol=radians(0.05))
    np.testing.assert_allclose(path.seat.eye_x, exact.eye_x, atol=0.35)


def test_real_pack_of_five_follows_the_elastica():
    # Stated tolerance for a stepped pack: 0.25 mm and 0.1°.
    spring, guess = five_leaf_spring(FIVE)
    loop, exact = measured(spring, guess)
    path = leaf_path(with_rates(loop, pack_stages(FIVE).halves[0][0]), exact.travel)
    np.testing.assert_allclose(path.seat.x, exact.x, atol=0.25)
    np.testing.assert_allclose(path.seat.angle, exact.angle, atol=radians(0.1))


def test_pitch_arm_of_a_shallow_loop_is_that_of_the_rates():
    # L_arm = (k_f·a² + k_r·b²)/(k_f·a - k_r·b), for ideal halves a·b/(b - a) (derived).
    loop, _ = loop_from_points(
        (0.0, 0.0), (-500.0, -2.0), (-1400.0, 0.0), (-1400.0, 5e4), (-500, 0)
    )
    assert -1 / leaf_path(loop, 0.0).pitch_rate[0] == pytest.approx(500 * 900 / 400, rel=3e-3)
    rates = HalfRates(3.0, 1.0, 500.0, 900.0)
    shared = leaf_path(with_rates(loop, rates), 0.0)
    assert -shared.pitch_rate[0] == pytest.approx(rates.inverse_arm, rel=5e-3)


def test_ideal_halves_share_the_curvature_equally():
    loop, _ = loop_from_points((0.0, 0.0), (-500.0, -40.0), (-1400.0, 0.0), (-1400, 90), (-500, 0))
    ideal = HalfRates(loop.front**-3, loop.rear**-3, loop.front_arm, loop.rear_arm)
    np.testing.assert_allclose(with_rates(loop, ideal).split, (1.0, 1.0), rtol=1e-12)


# --- changes ------------------------------------------------------------------------------------


def test_longer_shackle_lifts_the_car_by_the_lever():
    # By a/L of the change (derived); the axle comes down against the body by as much.
    loop = flat_symmetrical()
    drop = design_wheel(with_shackle(loop, 20.0))[1] - design_wheel(loop)[1]
    assert drop == pytest.approx(-20.0 * loop.front_arm / loop.length, rel=1e-3)


def test_block_moves_the_axle_off_the_leaf():
    below, above = SALOON.fit(), replace(SALOON.fit(), axle=(0.0, -60.0))
    for loop, sign in ((below, 1.0), (above, -1.0)):
        moved = design_wheel(with_block(loop, 30.0))[1] - design_wheel(loop)[1]
        assert moved == pytest.approx(sign * 30.0, rel=1e-2)


def test_wedge_turns_the_pinion_and_leaves_the_spring():
    loop = SALOON.fit()
    wedged = with_wedge(loop, radians(3.0))
    here, there = leaf_path(loop, 0.0), leaf_path(wedged, 0.0)
    assert there.pinion[0] - here.pinion[0] == pytest.approx(radians(3.0))
    assert there.seat.z[0] == pytest.approx(here.seat.z[0])


def test_reversed_front_eye_lowers_the_car_by_the_lever():
    loop = SALOON.fit()
    # From half of bore and leaf above the leaf to half of it below: 38.5 mm for 32 + 6.5.
    lowered = design_wheel(with_reversed_eye(loop, 32.0, 6.5))[1] - design_wheel(loop)[1]
    assert lowered == pytest.approx(38.5 * loop.rear_arm / loop.length, rel=0.05)
    both = design_wheel(with_reversed_eye(with_reversed_eye(loop, 32.0, 6.5), 32.0, 6.5, 1))[1]
    assert both - design_wheel(loop)[1] == pytest.approx(38.5, rel=0.05)
    central = design_wheel(with_raised_eye(loop, 0, -eye_height("upturned", 32.0, 6.5)))[1]
    assert central - design_wheel(loop)[1] == pytest.approx(lowered / 2, rel=0.05)


# --- ends ---------------------------------------------------------------------------------------


def test_travel_beyond_the_shackle_s_reach_repeats_the_last_pose_and_says_so():
    loop = SALOON.fit()
    low, high = travel_limits(loop)
    wanted = np.linspace(low - 40, low + 40, 41)
    path = leaf_path(loop, wanted)
    np.testing.assert_array_equal(path.reachable, wanted >= low)
    assert np.isfinite(path.wheel_x).all()
    assert (path.travel[~path.reachable] == path.travel[path.reachable][0]).all()
    assert high > 100.0


@pytest.mark.parametrize("points", AXLES)
def test_limits_are_where_the_path_stops(points):
    loop = points.fit()
    for limit, outward in zip(travel_limits(loop), (-1.0, 1.0), strict=True):
        inside = leaf_path(loop, limit - outward * 0.5)
        assert inside.reachable.all()
        searched = abs(inside.curvature_change[0]) * loop.length
        if searched < 2.9:  # an end of the loop, not of the search
            with pytest.raises(ShackleOutOfReach, match="limit="):
                leaf_path(loop, limit + outward * 0.5)


def test_ends_are_looked_for_only_where_a_travel_is_near_one():
    loop = replace(SALOON.fit(), pinion=0.0123)  # one that no other test has asked about
    curvature_ends.cache_clear()
    path = leaf_path(loop, TRAVEL)
    low, high = travel_limits(loop, about=TRAVEL)
    assert low < TRAVEL[0] < TRAVEL[-1] < high
    assert curvature_ends.cache_info().misses == 0
    last, furthest = travel_limits(loop)
    assert last <= low < high <= furthest
    assert travel_limits(loop, about=np.array([last + 0.01])) == (last, furthest)
    with_ends = leaf_path(loop, np.append(TRAVEL, last + 0.01))
    np.testing.assert_allclose(path.wheel_x, with_ends.wheel_x[:-1], rtol=0.0, atol=1e-9)


@pytest.mark.parametrize("points", AXLES)
def test_shackle_is_near_the_line_of_the_eyes_where_it_stops_the_axle_in_droop(points):
    loop = points.fit()
    path = leaf_path(loop, [0.0, travel_limits(loop)[0] + 0.01])
    off_line = np.minimum(path.shackle_to_leaf, np.pi - path.shackle_to_leaf)
    np.testing.assert_array_equal(off_line < SHACKLE_MARGIN, [False, True])


def test_unreachable_travel_names_both_lengths_and_the_limit():
    loop = SALOON.fit()
    error = out_of_reach(loop, -200.0)
    assert error.shackle == pytest.approx(loop.shackle)
    assert error.limit == pytest.approx(travel_limits(loop)[0])


def test_points_that_make_no_spring_are_refused():
    with pytest.raises(DegenerateGeometry, match="NO_ROOM"):
        replace(SALOON, seat=(-2030.0, 280.0)).fit()
    with pytest.raises(DegenerateGeometry, match="NO_SHACKLE"):
        replace(SALOON, shackle_pivot=SALOON.rear_eye).fit()
