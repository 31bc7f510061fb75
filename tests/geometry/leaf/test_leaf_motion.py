"""The loop's derivatives against differences of the closed loop, and the rates against its work."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.axle import leaf_path
from geometry.leaf.fit import with_rates
from geometry.leaf.held import hold_seat
from geometry.leaf.load import Model, load_at, pack_stages, rate_at
from geometry.leaf.loop import arc_tip, close_loop, wheel_of
from geometry.leaf.motion import arc_motion, loop_motion
from geometry.leaf.pack import Leaf, LeafPack
from geometry.leaf.ride import deflection_per_curvature, free_change, settled, spring_on_car
from geometry.leaf.steer import roll_steer
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.helpers.invented_leaf_axles import AXLES, SALOON

HELPED = LeafPack((*FIVE.leaves[:4], Leaf(9.0, 300.0, 300.0, contact=130.0)), FIVE.width, 110.0)
# Bends of both signs, nothing at all, and both sides of where the series takes over.
BENDS = np.array([-4e-3, -9e-4, -1e-5, 0.0, 1e-12, 3e-4, 8.32e-4, 8.34e-4, 5e-3])


def differences(function, at, step):
    """First and second derivative by central differences of eighth order."""
    first = np.array([4 / 5, -1 / 5, 4 / 105, -1 / 280])
    second = np.array([8 / 5, -1 / 5, 8 / 315, -1 / 560])
    pairs = [(function(at + k * step), function(at - k * step)) for k in (1, 2, 3, 4)]
    slope = sum(c * (up - down) for c, (up, down) in zip(first, pairs, strict=True)) / step
    middle = 2 * function(at)
    bend = sum(c * (up + down - middle) for c, (up, down) in zip(second, pairs, strict=True))
    return slope, bend / step**2


@pytest.mark.parametrize("offset", [None, 19.0])
def test_arc_s_end_and_its_derivatives_are_those_of_the_arc(offset):
    def tip(bend):
        along, up = arc_tip(bend, 600.0, offset or 0.0)
        return along + 1j * up

    arc = arc_motion(BENDS, 600.0, offset)
    slope, bend = differences(tip, BENDS, 2e-5)
    np.testing.assert_allclose(arc.tip, tip(BENDS), rtol=1e-13)
    np.testing.assert_allclose(arc.rate, slope, atol=1e-8 * 600.0**2)
    np.testing.assert_allclose(arc.second, bend, atol=1e-5 * 600.0**3)


@pytest.mark.parametrize("points", AXLES)
@pytest.mark.parametrize("offsets", [(0.0, 0.0), (-19.0, 12.0)])
def test_wheel_s_derivatives_are_its_differences(points, offsets):
    loop = replace(points.fit(), split=(0.96, 1.04), eye_offsets=offsets, sag=1e-5)
    change = np.linspace(-1.5e-4, 1.5e-4, 7)

    def wheel(bend):
        seat = close_loop(loop, bend)
        x, z = wheel_of(loop, seat.x, seat.z, seat.angle)
        return x + 1j * z

    motion = loop_motion(loop, change, close_loop(loop, change))
    slope, bend = differences(wheel, change, 5e-6)
    np.testing.assert_allclose(motion.wheel, slope, atol=1e-8 * loop.length**2)
    np.testing.assert_allclose(motion.wheel_second, bend, atol=1e-5 * loop.length**3)
    turn, _ = differences(lambda bend: close_loop(loop, bend).angle, change, 5e-6)
    np.testing.assert_allclose(motion.turn, turn, atol=1e-8 * loop.length)


@pytest.mark.parametrize("model", list(Model))
@pytest.mark.parametrize("points", AXLES)
def test_work_at_the_wheel_is_the_spring_s_and_the_rate_is_the_load_s_slope(points, model):
    """Virtual work in the whole: ∫ load dz = the pack's energy, ∫ rate dz = the load gained."""
    stages = pack_stages(FIVE)
    loop = with_rates(points.fit(), stages.halves[0][Model.COMMON_CURVATURE])
    nodes, weights = np.polynomial.legendre.leggauss(40)
    low, high = -60.0, 80.0
    travel = np.concatenate([[low, high], low + (high - low) * (nodes + 1) / 2])
    ours = spring_on_car(stages, loop, leaf_path(loop, travel), 3300.0, model)
    work, gain = ((weights @ y[2:]) * (high - low) / 2 for y in (ours.load, ours.rate))
    energy = 0.5 * stages.rates[model, 0] * ours.deflection[:2] ** 2
    assert work == pytest.approx(energy[1] - energy[0], rel=1e-9)
    assert gain == pytest.approx(ours.load[1] - ours.load[0], rel=1e-9)


@pytest.mark.parametrize("points", AXLES)
def test_roll_steer_is_the_slope_of_a_seat_whose_angle_is_kept(points):
    loop = replace(points.fit(), eye_offsets=(-8.0, 0.0))
    path = leaf_path(loop, np.linspace(-50.0, 60.0, 5))
    seat = path.seat

    def forward(z):
        return hold_seat(loop, z, seat.angle, path.curvature_change).x

    slope, _ = differences(forward, seat.z, 2.0)
    np.testing.assert_allclose(roll_steer(loop, path).kinematic, slope, atol=1e-9)


THICK = (*FIVE.leaves, Leaf(9.0, 200.0, 200.0))


@pytest.mark.parametrize("leaves", [FIVE.leaves[:2], FIVE.leaves[:4], THICK])
def test_settled_spring_carries_the_load_from_its_own_free_shape_to_rounding(leaves):
    before, after = pack_stages(FIVE), pack_stages(LeafPack(leaves, FIVE.width, FIVE.clamp))
    loop, model = SALOON.fit(), Model.COMMON_CURVATURE
    free = free_change(before, loop, 2000.0, model)
    stands = settled(after, loop, free, 2000.0, model)
    # What the pack is bent by from free there, through its lever, is the load.
    bent = deflection_per_curvature(loop) * (free - stands.sag)
    path = leaf_path(stands, 0.0)
    lever = -deflection_per_curvature(loop) * float(path.flattening[0])
    carried = float(load_at(after, bent, model)) * lever
    assert carried == pytest.approx(2000.0, rel=1e-10)


def test_helper_that_just_touches_bears_whatever_rounding_says():
    stages = pack_stages(HELPED)
    near = 130.0 + np.array([-1e-9, 0.0, 1e-9])
    assert len(set(rate_at(stages, near, Model.COMMON_CURVATURE).tolist())) == 1
    assert rate_at(stages, 129.99, Model.COMMON_CURVATURE) < rate_at(stages, 130.0, 0)
