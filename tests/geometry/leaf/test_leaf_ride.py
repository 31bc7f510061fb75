"""Load and rate on the car against the elastica, and the textbook's side-view results."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.axle import leaf_path, path_at_curvature
from geometry.leaf.centres import anti_squat_from_stiffness, side_view
from geometry.leaf.fit import with_rates
from geometry.leaf.load import HalfRates, Model, PackStages, pack_stages
from geometry.leaf.pack import LeafPack
from geometry.leaf.reach import design_wheel
from geometry.leaf.ride import arch, free_change, settled, spring_on_car
from geometry.leaf.steer import roll_steer
from geometry.leaf.wind_up import (
    Thrust,
    TractionBars,
    bar_stiffness,
    pitch_arm_inverse,
    seat_stiffness,
)
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.helpers.invented_leaf_axles import AXLES, SALOON, flat_symmetrical
from tests.helpers.leaf_elastica import ROOT, five_leaf_spring, graduated_spring, measured
from tests.helpers.leaf_judges import pitch_per_g, shackle_factor
from tests.helpers.long_cases import LONG, typical_of


def ideal_stages(front: float, rear: float, clamp: float) -> tuple[PackStages, HalfRates]:
    """The elastica's ideal pack as its rates, k = 2·E·I/l³."""
    rates = HalfRates(2 * ROOT / front**3, 2 * ROOT / rear**3, front + clamp / 2, rear + clamp / 2)
    stages = replace(
        pack_stages(FIVE), halves=((rates, rates),), rates=np.full((2, 1), rates.seat_free)
    )
    return stages, rates


@pytest.mark.parametrize(
    ("front", "rear", "clamp", "pivot"),
    [
        (560.0, 760.0, 0.0, (-1325.0, 80.0)),
        (505.0, 705.0, 110.0, (-1325.0, 80.0)),
        pytest.param(660.0, 660.0, 0.0, (-1290.0, 80.0), marks=LONG),
    ],
)
def test_load_with_the_shackle_s_effect_is_the_elastica_s(front, rear, clamp, pivot):
    spring, guess = graduated_spring(front, rear, clamp, pivot)
    loop, exact = measured(spring, guess)
    stages, rates = ideal_stages(front, rear, clamp)
    loop = with_rates(loop, rates)
    path = leaf_path(loop, exact.travel)
    ours = spring_on_car(stages, loop, path, exact.design_load, Model.COMMON_CURVATURE)
    # Stated tolerance: 10 N of 4000 over 100 mm either way.
    np.testing.assert_allclose(ours.load, exact.load, atol=10.0)


def test_load_of_a_real_pack_is_the_elastica_s():
    spring, guess = five_leaf_spring(FIVE)
    loop, exact = measured(spring, guess)
    stages = pack_stages(FIVE)
    loop = with_rates(loop, stages.halves[0][Model.COMMON_CURVATURE])
    path = leaf_path(loop, exact.travel)
    ours = spring_on_car(stages, loop, path, exact.design_load, Model.COMMON_CURVATURE)
    # Stated tolerance: 1 % of the load at full bump.
    np.testing.assert_allclose(ours.load, exact.load, atol=50.0)


@pytest.mark.parametrize("points", AXLES)
def test_rate_is_the_slope_of_the_load(points):
    loop, stages = points.fit(), pack_stages(FIVE)
    travel = np.linspace(-60.0, 80.0, 15)
    near = [
        spring_on_car(stages, loop, leaf_path(loop, travel + step), 3300.0, Model.POINT_CONTACT)
        for step in (0.0, 0.05, -0.05)
    ]
    slope = (near[1].load - near[2].load) / 0.1
    np.testing.assert_allclose(near[0].rate, slope, rtol=1e-4)


@pytest.mark.parametrize("lean", typical_of((-0.5, -0.2, 0.2, 0.5), (-0.5, 0.2)))
def test_first_order_shackle_factor_agrees_with_the_elastica_of_a_flat_spring(lean):
    # 1 + (8/3)·(δ_s/L)·tan ψ for a symmetrical pack that is flat at ride.
    length, shackle = 1320.0, 90.0
    pivot = (-length + shackle * np.sin(lean), shackle * np.cos(lean))
    spring, guess = graduated_spring(length / 2, length / 2, 0.0, pivot, 5.5e-4)
    spring = replace(spring, shackle=shackle)
    _, exact = measured(spring, guess)
    middle = len(exact.travel) // 2
    rate = (exact.load[middle + 1] - exact.load[middle - 1]) / 40.0
    stages, rates = ideal_stages(length / 2, length / 2, 0.0)
    static = exact.design_load / rates.seat_free
    factor = shackle_factor(length, static, lean, arch=20.0)
    assert rate / rates.seat_free == pytest.approx(factor, abs=0.04)
    assert stages.rates[0, 0] == rates.seat_free


def test_spring_carries_its_load_where_it_was_measured_and_nothing_when_free():
    loop, stages = SALOON.fit(), pack_stages(FIVE)
    free = free_change(stages, loop, 3300.0, Model.COMMON_CURVATURE)
    path = path_at_curvature(loop, np.array([0.0, free]))
    ours = spring_on_car(stages, loop, path, 3300.0, Model.COMMON_CURVATURE)
    np.testing.assert_allclose(ours.load, [3300.0, 0.0], atol=1e-6)
    assert ours.static_deflection == pytest.approx(ours.deflection[0])
    assert ours.deflection[0] == pytest.approx(3300.0 / stages.rates[0, 0], rel=0.05)


def test_free_arch_is_the_elastica_s_own():
    spring, guess = graduated_spring(660.0, 660.0, 0.0, (-1290.0, 80.0))
    loop, exact = measured(spring, guess)
    stages, rates = ideal_stages(660.0, 660.0, 0.0)
    loop = with_rates(loop, rates)
    free = free_change(stages, loop, exact.design_load, Model.COMMON_CURVATURE)
    # An arc of the free curvature over 1320 mm: its rise over the chord's middle.
    expected = (1 - np.cos(spring.free_curvature * 660.0)) / spring.free_curvature
    assert arch(loop, free) == pytest.approx(expected, abs=0.5)


@pytest.mark.parametrize("model", list(Model))
def test_pack_proposed_settles_where_it_carries_the_load(model):
    loop, before = SALOON.fit(), pack_stages(FIVE)
    after = pack_stages(LeafPack(FIVE.leaves[:4], FIVE.width, FIVE.clamp))
    free = free_change(before, loop, 3300.0, model)
    assert settled(before, loop, free, 3300.0, model).sag == pytest.approx(0.0, abs=1e-12)
    lower = settled(after, loop, free, 3300.0, model)
    # The softer pack lets the car down: by about the difference of the static deflections.
    drop = 3300.0 / after.rates[model, 0] - 3300.0 / before.rates[model, 0]
    travel = design_wheel(lower)[1] - design_wheel(loop)[1]
    assert travel == pytest.approx(drop, rel=0.1)
    # Bent from the same free shape, it carries the load there, and nothing where that shape is.
    path = path_at_curvature(lower, np.array([0.0, free - lower.sag]))
    ours = spring_on_car(after, lower, path, 3300.0, model)
    np.testing.assert_allclose(ours.load, [3300.0, 0.0], atol=1e-5)


def test_settled_loop_follows_the_same_path_from_its_new_height():
    loop = replace(SALOON.fit(), split=(0.97, 1.03))
    lower = replace(loop, sag=-1e-4)
    datum = design_wheel(loop)
    here, there = leaf_path(loop, [0.0, 40.0]), leaf_path(lower, [0.0, 40.0], datum)
    np.testing.assert_allclose(there.wheel_x, here.wheel_x, atol=1e-8)
    np.testing.assert_allclose(there.curvature_change - 1e-4, here.curvature_change, atol=1e-12)
    assert design_wheel(lower)[1] > datum[1] + 10


# --- side view ----------------------------------------------------------------------------------


def view(loop, travel=0.0, share=0.36):
    return side_view(leaf_path(loop, travel), 305.0, 2560.0, 540.0, share)


def test_flat_symmetrical_spring_has_no_anti_squat_and_its_centre_at_infinity():
    # Milliken, Gillespie (from memory of the source): the arm is infinite, the axle doesn't pitch.
    seen = view(flat_symmetrical())
    assert seen.anti_squat[0] == pytest.approx(0.0, abs=0.5)
    assert not np.isnan([seen.centre_x[0], seen.centre_z[0]]).any()


@pytest.mark.parametrize("points", AXLES)
def test_anti_squat_is_the_slope_to_the_centre(points):
    # 100·(h_ic/d)/(h/ℓ) with the centre measured from the contact point.
    loop = points.fit()
    seen = view(loop)
    ahead = seen.centre_x[0] - points.wheel_centre[0]
    height = seen.centre_z[0] - (points.wheel_centre[1] - 305.0)
    assert seen.anti_squat[0] == pytest.approx(100 * height / ahead * 2560 / 540, rel=1e-6)
    assert seen.anti_lift[0] == pytest.approx(0.36 * seen.anti_squat[0])


@pytest.mark.parametrize("points", AXLES)
def test_anti_squat_of_the_path_is_that_of_the_stiffnesses(points):
    # h_ic = h_s - L_arm·tan λ·(1 - h_1/L_arm), d = L_arm (derived): two methods, shallow springs.
    loop = points.fit()
    rates = HalfRates(loop.front**-3, loop.rear**-3, loop.front_arm, loop.rear_arm)
    loop = with_rates(loop, rates)
    steer = roll_steer(loop, leaf_path(loop, 0.0))
    ground = points.wheel_centre[1] - 305.0
    thrust = Thrust(points.seat[1] - ground, float(steer.front_slope[0]), steer.hinge)
    linear = anti_squat_from_stiffness(rates.inverse_arm, thrust, 2560.0, 540.0)
    assert view(loop).anti_squat[0] == pytest.approx(linear, abs=8.0)


def test_front_bias_gives_anti_squat_and_a_lower_front_eye_trades_it_for_understeer():
    front_biased = replace(SALOON, front_eye=(-2120.0, 300.0)).fit()
    assert view(front_biased).anti_squat[0] > view(SALOON.fit()).anti_squat[0] + 10
    lower = replace(SALOON, front_eye=(-2020.0, 270.0)).fit()
    assert view(lower).anti_squat[0] < view(SALOON.fit()).anti_squat[0] - 10
    steer = [roll_steer(x, leaf_path(x, 0.0)).kinematic[0] for x in (lower, SALOON.fit())]
    assert steer[0] > steer[1] + 0.02


def test_traction_bars_move_the_side_view_centre_towards_their_snubbers():
    rates = HalfRates(26.0, 10.0, 560.0, 760.0)
    thrust = Thrust(290.0)
    arms = []
    for stiffness in (0.0, 50.0, 500.0, 1e7):
        bars = TractionBars(520.0, 10.0, stiffness)
        total = seat_stiffness(rates) + bar_stiffness(bars)
        arms.append(1 / pitch_arm_inverse(total))
    assert arms[0] == pytest.approx(1 / rates.inverse_arm)
    assert arms == sorted(arms, reverse=True)
    assert arms[-1] == pytest.approx(520.0, rel=1e-3)
    more = anti_squat_from_stiffness(1 / arms[-1], thrust, 2560.0, 540.0)
    assert more > anti_squat_from_stiffness(1 / arms[0], thrust, 2560.0, 540.0)


def test_zero_pitch_condition_of_barton_and_fieldhouse():
    # Automotive Chassis Engineering, p. 197: no pitch at e/d = (h/ℓ)·(1 + k_r/k_f).
    h, wheelbase, front, rear = 540.0, 2560.0, 42.0, 55.0
    slope = h / wheelbase * (1 + rear / front)
    assert pitch_per_g(slope, wheelbase, h, 12_000.0, front, rear) == pytest.approx(0.0, abs=1e-15)
    assert pitch_per_g(0.0, wheelbase, h, 12_000.0, front, rear) > 0.01
