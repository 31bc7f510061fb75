"""Hop, tramp and wind-up against time integration, published figures and common practice."""

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from geometry.leaf.hop import HopAxle, held_axle, stiffness_matrix
from geometry.leaf.load import HalfRates
from geometry.leaf.wind_up import TractionBars, seat_stiffness
from geometry.modes.dampers import LAYOUTS, Damper, damper_layouts
from geometry.modes.modes import MODE_NAMES, damping_of, modes_of
from tests.helpers.leaf_judges import modes, undamped_motion
from tests.reference.leaf_packs import BARTON_HOP

EVEN = HalfRates(14.0, 14.0, 660.0, 660.0)
BIASED = HalfRates(26.3, 10.0, 560.0, 760.0)
AXLE = HopAxle(
    mass=110.0,
    roll_inertia=18.0e6,
    pitch_inertia=4.5e6,
    rates=BIASED,
    spring_base=1100.0,
    track=1400.0,
    tyre_rate=200.0,
    seat=(0.0, -43.0),
    slope=-0.05,
    hinge=180.0,
)
LEFT = Damper((150.0, 450.0, -60.0), (0.25, -0.2, 1.0), 2.0)
RIGHT = Damper((150.0, -450.0, -60.0), (0.25, 0.2, 1.0), 2.0)
_, BOUNCE, ROLL, WIND_UP = range(4)  # of fore-aft, bounce, roll, wind-up
HOP, TRAMP, TWIST = (MODE_NAMES.index(name) for name in ("hop", "tramp", "wind-up"))


def damping_matrix(axle, dampers):
    held = held_axle(axle)
    return damping_of(dampers, held.masses.size) + held.slipping


def upright(x, y, rate=2.0):
    return Damper((x, y, 0.0), (0.0, 0.0, 1.0), rate)


@pytest.mark.parametrize("layout", range(4))
def test_modes_are_the_motion_that_time_integration_gives(layout):
    # The same axle let go in a mode's shape and followed by scipy's integrator.
    dampers = damper_layouts(LEFT, RIGHT)[layout]
    found = modes(AXLE, dampers)
    mass, stiffness, damping = AXLE.masses, stiffness_matrix(AXLE), damping_matrix(AXLE, dampers)

    def motion(_, state):
        force = -stiffness @ state[:4] - damping @ state[4:]
        return np.concatenate([state[4:], force / mass])

    for i in range(4):
        rate = 2 * pi * found.frequency[i]
        value = rate * (-found.damping[i] + 1j * np.sqrt(1 - found.damping[i] ** 2))
        start = np.concatenate([found.shapes[i], value * found.shapes[i]]).real
        ends = np.linspace(0.0, 3 / found.frequency[i], 13)
        run = solve_ivp(motion, (0, ends[-1]), start, t_eval=ends, rtol=1e-8, atol=1e-10)
        expected = (found.shapes[i][:, None] * np.exp(value * ends)).real
        np.testing.assert_allclose(run.y[:4], expected, atol=1e-5)


def test_bounce_alone_is_the_published_wheel_hop():
    # Barton & Fieldhouse, Automotive Chassis Engineering, p. 213: 14.25 Hz.
    spring, tyre, mass, printed = BARTON_HOP
    rates = HalfRates(spring / 2, spring / 2, 600.0, 600.0)
    axle = HopAxle(2 * mass, 10.0e6, 4.0e6, rates, 1100.0, 1400.0, tyre, fore_aft_rate=1e4)
    assert modes(axle, ()).frequency[HOP] == pytest.approx(printed, abs=0.005)


def test_stiffness_about_the_seat_is_the_wind_up_s():
    # Two ways to the same matrix: the modes' bounce and wind-up part without tyres and slope.
    axle = replace(AXLE, tyre_rate=0.0, seat=(0.0, 0.0), slope=0.0)
    block = stiffness_matrix(axle)[np.ix_([BOUNCE, WIND_UP], [BOUNCE, WIND_UP])]
    in_mm = block / 1e3 * np.array([[1.0, 1e3], [1e3, 1e6]])
    np.testing.assert_allclose(in_mm, seat_stiffness(BIASED), rtol=1e-12)


def test_matrices_are_those_of_the_energies():
    # Virtual work: stiffness symmetric and not negative, damping losing energy in every motion.
    dampers = (LEFT, RIGHT)
    for matrix in (stiffness_matrix(AXLE), damping_matrix(AXLE, dampers)):
        np.testing.assert_allclose(matrix, matrix.T, atol=1e-9)
        assert np.linalg.eigvalsh(matrix).min() > -1e-6


def test_lean_across_counts_by_the_square_of_its_cosine():
    leaning = Damper((150.0, 450.0, 0.0), (0.0, -0.6, 0.8), 2.0)
    bounce = damping_matrix(AXLE, (leaning,))[BOUNCE, BOUNCE]
    assert bounce == pytest.approx(2000.0 * 0.64)


@pytest.mark.parametrize(
    ("dampers", "motion"),
    [
        ((upright(150, 450), upright(150, -450)), (-0.150, 0.0, 1.0)),
        ((upright(-150, 450), upright(150, -450)), (0.0, 0.150 / 0.450, 1.0)),
        ((upright(0, 450), upright(0, -450)), (0.0, 0.0, 1.0)),
    ],
)
def test_two_dampers_leave_one_motion_undamped(dampers, motion):
    # Derived: (-x_d, 0, 1) on one side, (0, -x_d/y_d, 1) staggered, x_d and y_d of the left one.
    np.testing.assert_allclose(undamped_motion(*dampers), motion, atol=1e-12)
    moving = np.array([0.0, *motion])
    np.testing.assert_allclose(damping_matrix(AXLE, dampers) @ moving, 0.0, atol=1e-9)


def test_a_mode_along_the_undamped_motion_has_no_damping():
    # Springs and masses chosen so that an axle turning about both damper eyes is a mode.
    axle = HopAxle(100.0, 15.0e6, 4.0e6, EVEN, 1100.0, 1400.0, 0.0, fore_aft_rate=1e3)
    still = modes(axle, (upright(0, 450), upright(0, -450)))
    assert still.damping[TWIST] == pytest.approx(0.0, abs=1e-12)
    assert still.damping[HOP] > 0.2


def near_bounce_and_wind_up() -> HopAxle:
    """An axle whose bounce and wind-up are of one frequency and its tramp well above."""
    axle = HopAxle(100.0, 12.0e6, 4.0e6, EVEN, 1100.0, 1400.0, 180.0)
    bounce = stiffness_matrix(axle)[BOUNCE, BOUNCE] / axle.mass
    return replace(axle, pitch_inertia=1e6 * stiffness_matrix(axle)[WIND_UP, WIND_UP] / bounce)


def near_tramp_and_wind_up() -> HopAxle:
    axle = near_bounce_and_wind_up()
    tramp = stiffness_matrix(axle)[ROLL, ROLL] / axle.roll_inertia
    return replace(axle, pitch_inertia=stiffness_matrix(axle)[WIND_UP, WIND_UP] / tramp)


def worst(axle, dampers):
    found = modes(axle, dampers)
    return found.damping[1:].min()


def test_same_side_leaves_a_mode_almost_undamped_when_bounce_and_wind_up_are_close():
    # Common practice, no source: staggered dampers damp wind-up where same-side ones don't.
    axle = near_bounce_and_wind_up()
    ahead, behind, staggered, at_axle = damper_layouts(upright(150, 450), upright(150, -450))
    assert worst(axle, ahead) < 0.02
    assert worst(axle, behind) < 0.02
    assert worst(axle, at_axle) < 0.02
    assert worst(axle, staggered) > 0.05


def test_staggered_is_the_bad_one_when_tramp_and_wind_up_are_close():
    axle = near_tramp_and_wind_up()
    _, _, staggered, _ = damper_layouts(upright(150, 450), upright(150, -450))
    assert worst(axle, staggered) < 0.02


def test_wind_up_s_own_damping_is_the_same_for_every_layout_off_the_axle():
    ahead, behind, staggered, at_axle = damper_layouts(upright(150, 450), upright(150, -450))
    own = [damping_matrix(AXLE, d)[WIND_UP, WIND_UP] for d in (ahead, behind, staggered, at_axle)]
    assert own[0] == pytest.approx(own[1]) == pytest.approx(own[2])
    assert own[3] == 0.0


def test_batch_of_layouts_is_each_layout_alone():
    layouts = damper_layouts(LEFT, RIGHT)
    assert len(layouts) == len(LAYOUTS)
    for together, dampers in zip(modes_of(held_axle(AXLE), layouts), layouts, strict=True):
        np.testing.assert_allclose(together.damping, modes(AXLE, dampers).damping, rtol=1e-9)


def test_car_reversed_swaps_ahead_and_behind():
    turned = replace(AXLE, rates=HalfRates(10.0, 26.3, 760.0, 560.0), slope=0.0)
    plain = replace(AXLE, slope=0.0)
    ahead, behind, *_ = damper_layouts(upright(150, 450), upright(150, -450))
    np.testing.assert_allclose(
        modes(plain, ahead).damping, modes(turned, behind).damping, atol=1e-9
    )


def test_work_node_and_shape_of_simple_modes():
    dampers = (upright(150, 450), upright(150, -450))
    found = modes(replace(AXLE, rates=EVEN, slope=0.0, seat=(0.0, 0.0)), dampers)
    np.testing.assert_allclose(found.work[HOP], [0.5, 0.5])
    assert found.node_left[TRAMP] == pytest.approx(0.0, abs=1e-6)
    assert np.isinf(found.node_ahead[TRAMP])
    assert np.isinf(found.node_left[HOP])
    # Where the node is, the mode's rise is in quadrature with its turn or gone.
    rise, turn = found.shapes[TWIST, BOUNCE], found.shapes[TWIST, WIND_UP]
    at_node = rise + found.node_ahead[TWIST] / 1e3 * turn
    assert np.real(at_node / turn) == pytest.approx(0.0, abs=1e-12)
    reach = np.array([1.0, 1.0, 0.7, 0.5])
    np.testing.assert_allclose(np.abs(found.shapes * reach).max(axis=1), 1.0)


def test_one_damper_takes_all_the_work_of_its_own_axle():
    found = modes(AXLE, (LEFT,))
    np.testing.assert_allclose(found.work, 1.0)


def test_overdamped_hop_is_told_as_aperiodic():
    axle = replace(AXLE, rates=EVEN, slope=0.0, seat=(0.0, 0.0))
    heavy = modes(axle, (upright(0, 450, 20.0), upright(0, -450, 20.0)))
    stiffness = stiffness_matrix(axle)
    expected = 40_000.0 / (2 * np.sqrt(stiffness[BOUNCE, BOUNCE] * axle.mass))
    assert expected > 1
    assert heavy.damping[HOP] == pytest.approx(expected, rel=1e-6)
    own = np.sqrt(stiffness[BOUNCE, BOUNCE] / axle.mass) / (2 * pi)
    assert heavy.frequency[HOP] == pytest.approx(own, rel=1e-6)


def test_closed_bars_raise_wind_up_and_leave_tramp():
    bars = TractionBars(520.0, 10.0, 300.0)
    plain = modes(replace(AXLE, rates=EVEN, slope=0.0), ())
    barred = modes(replace(AXLE, rates=EVEN, slope=0.0, bars=bars), ())
    assert barred.frequency[TWIST] > 1.3 * plain.frequency[TWIST]


def test_falling_friction_takes_damping_from_wind_up():
    # γ·F_z·h² with h from the contact point to where the axle is held (derived).
    dampers = damper_layouts(LEFT, RIGHT)[2]
    slipping = replace(AXLE, grip_slope=0.02, axle_load=6600.0, tyre_radius=305.0)
    taken = damping_matrix(AXLE, dampers) - damping_matrix(slipping, dampers)
    assert taken[WIND_UP, WIND_UP] == pytest.approx(0.02 * 6600.0 * 0.305**2)
    assert modes(slipping, dampers).damping[TWIST] < modes(AXLE, dampers).damping[TWIST]
