"""Traction bars in bump and roll, against energy, statics by hand and scipy's minimiser."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from app.systems.rear.inputs import leaf_car
from geometry.leaf import bent_axle
from geometry.leaf.axle import leaf_path
from geometry.leaf.bars import bars_in_bump
from geometry.leaf.build import build_leaf
from geometry.leaf.single import hop_modes, single_results, torque_curve
from geometry.leaf.snubbers import (
    Snubbers,
    added_in_roll,
    in_level_poses,
    in_roll,
    tip_height,
)
from geometry.leaf.wind_up import TractionBars, bar_stiffness, seat_stiffness
from geometry.standing import Stand, axle_to_road
from tests.helpers.sheets import sample

BARS = TractionBars(length=565.0, gap=10.0, stiffness=400.0)


def rear(bars=BARS, **other):
    return build_leaf(replace(leaf_car(sample("small_saloon"), False), bars=bars, **other))


OPEN, BARRED = rear(bars=None), rear()


def path(axle, travel):
    return leaf_path(axle.loop, np.atleast_1d(travel), axle.reference.datum)


def spring_and_snubber_energy(axle, travel):
    """Energy [N·mm] of one snubber and of its spring's wind-up, least in the turn, by scipy."""
    seat, rates = path(axle, travel).seat, axle.rates
    turning = rates.front * rates.front_arm**2 + rates.rear * rates.rear_arm**2
    tip = tip_height(BARS.length, seat.z, seat.angle)[0]

    def energy(turn):
        pressed = max(tip + BARS.length * turn - axle.snubbers.touch, 0.0)
        return 0.5 * turning * turn**2 + 0.5 * BARS.stiffness * pressed**2

    return minimize_scalar(energy, bounds=(-0.5, 0.5), method="bounded", options={"xatol": 1e-13})


@pytest.mark.parametrize("travel", [-40.0, 5.0, 20.0, 45.0, 70.0])
def test_load_and_rate_are_derivatives_of_the_least_energy(travel):
    on_car = in_level_poses(BARRED.snubbers, path(BARRED, travel))
    h = 0.5
    below, here, above = (
        spring_and_snubber_energy(BARRED, travel + step).fun for step in (-h, 0.0, h)
    )
    assert on_car.load[0] == pytest.approx((above - below) / (2 * h), rel=1e-4, abs=1e-6)
    assert on_car.rate[0] == pytest.approx((above - 2 * here + below) / h**2, rel=2e-3, abs=1e-6)
    turn = spring_and_snubber_energy(BARRED, travel).x
    assert on_car.turn[0] == pytest.approx(turn, abs=2e-7)


def test_ten_mm_of_gap_under_bars_of_565_mm_are_taken_up_after_12_mm_of_bump():
    # By hand: the axle turns nose down by 0.000313 rad per mm, so the tip rises 0.823 mm per mm.
    single = bars_in_bump(BARRED, BARRED.full_bump)
    slope = 1.0 + BARS.length * path(BARRED, 6.0).pitch_rate[0]
    assert single["bars_close_travel"] == pytest.approx(10.0 / slope, rel=0.01)
    assert single["bars_close_travel"] == pytest.approx(12.1, abs=0.1)
    travel = np.array([12.0, 12.3])
    assert in_level_poses(BARRED.snubbers, path(BARRED, travel)).closed.tolist() == [False, True]


def test_rate_right_after_the_touch_is_that_of_a_lever_held_at_its_tip():
    # Statics of one spring by hand: seat and bar as a rigid lever, two springs and a snubber under
    # it; a force at the wheel, moments about the seat nought. The shackle's part isn't in it.
    rates = BARRED.rates
    matrix = (seat_stiffness(rates) + bar_stiffness(BARS)) / 2
    by_hand = matrix[0, 0] - matrix[0, 1] ** 2 / matrix[1, 1]
    values, _, _ = BARRED.bounce(
        np.array([bars_in_bump(BARRED, BARRED.full_bump)["bars_close_travel"] + 1e-3])
    )
    plain, _, _ = OPEN.bounce(
        np.array([bars_in_bump(BARRED, BARRED.full_bump)["bars_close_travel"]])
    )
    added = values["wheel_rate"] - plain["wheel_rate"]
    assert added[0] == pytest.approx(by_hand - rates.seat_free, rel=0.02)


def test_load_grows_by_the_rate_and_doesn_t_jump_where_they_touch():
    travel = np.linspace(5.0, 60.0, 5501)
    values, _, _ = BARRED.bounce(travel)
    steps = np.diff(values["spring_load"])
    middle = (values["wheel_rate"][1:] + values["wheel_rate"][:-1]) / 2
    touch = np.abs(travel[:-1] - 12.14) < 0.02
    np.testing.assert_allclose(steps[~touch], (middle * 0.01)[~touch], rtol=1e-4)
    assert steps.max() < 0.5


def test_open_bars_change_nothing():
    travel = np.linspace(-60.0, 12.0, 10)
    barred, plain = BARRED.bounce(travel)[0], OPEN.bounce(travel)[0]
    for key in plain:
        np.testing.assert_array_equal(barred[key], plain[key])


def test_in_roll_two_snubbers_count_whole_and_one_turns_the_axle():
    # The pair of springs as one matrix over (rise of the left seat, of the right one, turn), by
    # hand: closed sides add k·u·uᵀ, the turn is left free, and the body leans by ±1.
    snubbers, rates = BARRED.snubbers, BARRED.rates
    turning = 2 * (rates.front * rates.front_arm**2 + rates.rear * rates.rear_arm**2)
    for left, right in ((True, True), (True, False), (False, True), (False, False)):
        matrix = np.diag([0.0, 0.0, turning])
        for closed, lever in ((left, (1, 0, BARS.length)), (right, (0, 1, BARS.length))):
            matrix += closed * BARS.stiffness * np.outer(lever, lever)
        lean = np.array([1.0, -1.0])
        coupled = matrix[:2, 2] @ lean
        rate = lean @ matrix[:2, :2] @ lean - coupled**2 / matrix[2, 2]
        added = added_in_roll(snubbers, np.array([left]), np.array([right]))
        assert added[0] == pytest.approx(rate / 2)


def test_level_poses_are_the_limit_of_leaning_ones():
    level, _, _ = BARRED.bounce(np.array([40.0]))
    lean, _, _ = BARRED.lean(np.array([1e-7]), 40.0)
    assert lean["pinion_angle"][0] == pytest.approx(level["pinion_angle"][0], abs=1e-7)
    assert lean["roll_wheel_rate"][0] == pytest.approx(level["roll_wheel_rate"][0])
    rolled, _, _ = BARRED.lean(np.radians([0.5, 3.0, -3.0]), 0.0)
    low, *closed = rolled["roll_wheel_rate"]
    assert low == pytest.approx(OPEN.roll_wheel_rate)
    assert closed[0] == pytest.approx(closed[1])
    assert closed[0] > 1.5 * low


def test_turn_in_roll_leaves_no_couple():
    snubbers = Snubbers(length=500.0, touch=10.0, stiffness=300.0, turning=5e6)
    _, turn = in_roll(snubbers, [np.array([14.0]), np.array([11.0])], np.zeros(1))
    couple = 2 * snubbers.turning * turn[0]
    couple += sum(300.0 * 500.0 * (z - 10.0 + 500.0 * turn[0]) for z in (14.0, 11.0))
    assert couple == pytest.approx(0.0, abs=1e-6)


def test_a_gap_of_the_measured_height_is_less_where_a_lowered_car_stands():
    lowered = leaf_car(sample("small_saloon"), False)
    pack = replace(lowered.pack, free_arch=lowered.pack.free_arch - 8.0)
    reference = build_leaf(lowered).reference
    found = [
        build_leaf(replace(lowered, pack=pack, bars=BARS, gap_as_measured=measured), reference)
        for measured in (False, True)
    ]
    set_there, set_before = found
    assert set_there.bars.gap == pytest.approx(10.0)
    dropped = set_before.settled_travel
    assert dropped > 5.0
    assert set_before.bars.gap == pytest.approx(10.0 - 0.82 * dropped, abs=0.2)


def test_full_bump_turns_the_axle_as_far_as_it_is_told():
    # The tip is held where it touched but for the snubber's own give: the axle swings about it.
    travel = BARRED.car.bump
    turn = bars_in_bump(BARRED, BARRED.full_bump)["bars_turn_bump"]
    seat = path(BARRED, travel).seat
    pressed = tip_height(BARS.length, seat.z, seat.angle)[0] - BARRED.snubbers.touch
    assert -turn == pytest.approx(pressed / BARS.length, rel=0.06)
    assert turn < -radians(3.0)


def changed(bars, measured=True, **fit):
    """The saloon with other parts between spring and axle or body, its bars' gap as measured."""
    car = leaf_car(sample("small_saloon"), False)
    other = replace(car, bars=bars, gap_as_measured=measured, fit=replace(car.fit, **fit))
    return build_leaf(other, build_leaf(car).reference)


def test_a_block_leaves_the_gap_as_it_was_measured():
    """The spring carries the same load: seat and bar come to the same place in the body."""
    assert changed(BARS, block=40.0).settled_travel > 30.0
    assert changed(BARS, block=40.0).bars.gap == pytest.approx(BARS.gap, abs=0.05)


def test_a_longer_shackle_takes_the_gap_by_what_the_bars_tip_rises():
    found, built = changed(BARS), changed(BARS, shackle=found_shackle() + 30.0)
    tips = [
        axle._stand.seat.z[0] + BARS.length * np.sin(axle._stand.seat.angle[0])
        for axle in (found, built)
    ]
    assert abs(tips[1] - tips[0]) > 0.5
    assert built.bars.gap == pytest.approx(BARS.gap - (tips[1] - tips[0]), abs=1e-6)


def found_shackle():
    return build_leaf(leaf_car(sample("small_saloon"), False)).loop.shackle


@pytest.mark.parametrize("travel", [0.0, 30.0, 60.0])
def test_a_dampers_ratio_is_its_shortening_past_the_snubbers_too(travel):
    step = 0.01
    below, here, above = (
        BARRED.bounce(np.array([travel + away]))[0] for away in (-step, 0.0, step)
    )
    shortening = (below["damper_length"] - above["damper_length"]) / (2 * step)
    np.testing.assert_allclose(here["damper_motion_ratio"], shortening, atol=2e-3)
    if travel > 20.0:
        open_ratio = OPEN.bounce(np.array([travel]))[0]["damper_motion_ratio"]
        assert abs(here["damper_motion_ratio"] - open_ratio).max() > 0.02


def test_bars_pressed_in_at_rest_close_at_no_thrust():
    pressed = changed(replace(BARS, gap=-2.0), measured=False)
    curve = torque_curve(pressed)
    assert single_results(pressed, curve, None)["bars_close_at"] == 0.0
    assert bars_in_bump(pressed, pressed.full_bump)["bars_close_travel"] == 0.0


@pytest.mark.parametrize("fit", [{}, {"block": 20.0}, {"shackle": 0.0}])
def test_bars_that_just_touch_at_rest_are_closed_in_every_figure(fit):
    """As pressed in by a thousandth they are, in rates, hop and torque alike."""
    fit = {"shackle": found_shackle() + 30.0} if "shackle" in fit else fit
    touching = changed(replace(BARS, gap=0.0), measured=False, **fit)
    pressed = changed(replace(BARS, gap=-1e-3), measured=False, **fit)
    figures = []
    for axle in (touching, pressed):
        values = axle.bounce(np.array([axle.settled_travel]))[0]
        at_rest = {key: float(value.flat[0]) for key, value in values.items()}
        level = axle.lean(np.zeros(1), axle.settled_travel)[0]["roll_wheel_rate"]
        at_rest["level"] = float(level[0])
        figures.append(at_rest | single_results(axle, torque_curve(axle), hop_modes(axle)))
    assert hop_modes(touching).closed
    assert touching.bars.gap == 0.0
    for key, value in figures[0].items():
        assert value == pytest.approx(figures[1][key], rel=1e-3, abs=2e-3), key


@pytest.mark.parametrize("pitch", [-0.02, 0.0, 0.015])
def test_bars_of_no_stiffness_leave_anti_squat_to_the_road_as_it_is(pitch):
    soft = changed(replace(BARS, stiffness=1e-9), measured=False)
    values, _, poses = soft.bounce(np.zeros(1))
    at_road = axle_to_road(values, (poses.x, poses.z), soft.car, Stand(pitch=pitch))
    bars = single_results(soft, None, None, pitch)["anti_squat_bars"]
    assert bars == pytest.approx(float(at_road["anti_squat"][0]), abs=0.3)
    flat = single_results(soft, None, None)["anti_squat_bars"]
    assert abs(bars - flat) == pytest.approx(100 * abs(pitch) * soft.car.leverage, rel=0.1)


def test_results_under_torque_bend_the_axle_in_one_batch_with_the_bars_and_without(monkeypatch):
    batches, known = [], bent_axle.bent_axle

    def counted(spring, thrust, opened=0):
        batches.append(opened > 0)
        return known(spring, thrust, opened)

    monkeypatch.setattr(bent_axle, "bent_axle", counted)
    results = single_results(BARRED, torque_curve(BARRED), None)
    assert batches == [True]
    assert results["bars_close_at"] > 0.0
