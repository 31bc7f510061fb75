"""Packs and their wind-up against a general-purpose frame finite-element package (PyNiteFEA)."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.bending import common_curvature
from geometry.leaf.contact import point_contact
from geometry.leaf.load import HalfRates, Model, pack_stages
from geometry.leaf.pack import Leaf, LeafPack
from geometry.leaf.wind_up import TractionBars, bar_stiffness, seat_stiffness, wind_up_stiffness
from tests.helpers.invented_packs import invented_pack, textbook_pack
from tests.helpers.leaf_frames import RIGID, pressed_spring, seat_compliance, stacked_half
from tests.helpers.long_cases import typical_of
from tests.reference.leaf_packs import HALF_SPRINGS, UNIFORM_BEAMS

# Beam elements are exact for stepped beams; the clamp's rigid beams bend by a few millionths.
EXACT = 1e-4


def curvature_rates(pack: LeafPack) -> HalfRates:
    return pack_stages(pack).halves[0][Model.COMMON_CURVATURE]


@pytest.mark.parametrize("seed", typical_of(range(24), range(8)))
def test_seat_of_an_invented_pack_moves_and_turns_as_the_frame_does(seed):
    pack = invented_pack(seed)
    compliance = seat_compliance(pack)
    ours = np.linalg.inv(seat_stiffness(curvature_rates(pack)) / 2)
    scale = np.sqrt(np.outer(np.diag(compliance), np.diag(compliance)))
    np.testing.assert_allclose(ours / scale, compliance / scale, atol=EXACT)


@pytest.mark.parametrize("seed", typical_of(range(24), range(8)))
def test_rate_and_wind_up_of_an_invented_pack_are_the_frame_s(seed):
    pack = invented_pack(seed)
    compliance = seat_compliance(pack)
    rates = curvature_rates(pack)
    assert rates.seat_free == pytest.approx(1 / compliance[0, 0], rel=EXACT)
    assert wind_up_stiffness(rates, "load") == pytest.approx(2 / compliance[1, 1], rel=EXACT)
    held = np.linalg.inv(compliance)
    assert rates.seat_kept == pytest.approx(held[0, 0], rel=EXACT)
    assert wind_up_stiffness(rates, "height") == pytest.approx(2 * held[1, 1], rel=EXACT)
    pitch_per_rise = compliance[1, 0] / compliance[0, 0]
    assert -rates.inverse_arm == pytest.approx(pitch_per_rise, abs=1e-4 / rates.length)


@pytest.mark.parametrize("seed", typical_of(range(24), range(8)))
@pytest.mark.parametrize("end", ["front", "rear"])
def test_leaves_touching_at_their_tips_are_those_of_a_stack_of_beams(seed, end):
    pack = invented_pack(seed)
    half = ("front", "rear").index(end)
    frame = stacked_half(pack, end)
    ours = point_contact(pack)
    assert ours.bending.rates[half] == pytest.approx(frame.rate, rel=EXACT)
    np.testing.assert_allclose(1000 * ours.per_load[half], frame.contact_forces, rtol=2e-3)
    moment = 1000 * pack.half_lengths[half, 0]
    shares = np.array(frame.root_moments) / moment
    np.testing.assert_allclose(ours.bending.root_shares[half], shares, atol=1e-3)
    # Sliding: half the thickness times the rotation, of the leaf above and of the leaf itself.
    thickness = pack.thicknesses / 2
    slides = [
        thickness[i] * above + thickness[i + 1] * own
        for i, (above, own) in enumerate(frame.rotations)
    ]
    travel = 1000 / frame.rate
    np.testing.assert_allclose(ours.slip_per_travel[half], np.array(slides) / travel, rtol=2e-3)


@pytest.mark.parametrize(
    "leaves",
    [
        (Leaf(12.0, 600.0, 700.0, parabolic=True),),
        (Leaf(11.0, 560.0, 760.0, parabolic=True), Leaf(9.0, 420.0, 500.0)),
        (Leaf(9.0, 560.0, 760.0), Leaf(12.0, 500.0, 650.0, parabolic=True, modulus=40e3)),
    ],
)
def test_parabolic_and_composite_leaves_are_those_of_a_finely_stepped_frame(leaves):
    pack = LeafPack(leaves, width=60.0, clamp=100.0)
    compliance = seat_compliance(pack)
    # Forty steps a half stand for the taper: good to a few thousandths.
    assert curvature_rates(pack).seat_free == pytest.approx(1 / compliance[0, 0], rel=4e-3)


@pytest.mark.parametrize(("lengths", "thickness", "pressed", "touching"), HALF_SPRINGS)
def test_half_spring_rates_of_the_table(lengths, thickness, pressed, touching):
    pack = textbook_pack(lengths, thickness)
    assert 1e3 * common_curvature(pack).rates[0] == pytest.approx(pressed, abs=0.06)
    assert 1e3 * point_contact(pack).bending.rates[1] == pytest.approx(touching, abs=0.06)


@pytest.mark.parametrize(("front", "rear", "rate", "wind_up", "arm"), UNIFORM_BEAMS)
def test_uniform_beams_of_the_table(front, rear, rate, wind_up, arm):
    pack = LeafPack(tuple(Leaf(6.5, front, rear) for _ in range(5)), width=63.5, modulus=206e3)
    rates = curvature_rates(pack)
    assert 1e3 * rates.seat_free == pytest.approx(rate, abs=0.06)
    assert wind_up_stiffness(rates, "load") / 2e3 == pytest.approx(wind_up, abs=0.06)
    assert 1e3 * rates.inverse_arm == pytest.approx(1 / arm, abs=1e-9)


def test_usual_shortcut_for_wind_up_is_wrong_by_half_on_a_biased_spring():
    # k·L²/4 holds for a symmetrical spring; at a/b = 0.5/0.9 it is 48 % high (derived).
    pack = LeafPack(tuple(Leaf(6.5, 500.0, 900.0) for _ in range(5)), width=63.5)
    rates = curvature_rates(pack)
    shortcut = rates.seat_free * rates.length**2 / 4
    assert shortcut / (wind_up_stiffness(rates, "load") / 2) == pytest.approx(1.48, abs=0.005)


def test_closed_traction_bars_stiffen_the_seat_as_a_spring_under_an_arm_does():
    pack = invented_pack(9)
    bars = TractionBars(length=500.0, gap=10.0, stiffness=250.0)
    frame = pressed_spring(pack)
    frame.node("snubber", bars.length, -50.0)
    frame.node("below", 0.0, -50.0)
    frame.beam("seat", "below", RIGID)
    frame.beam("below", "snubber", RIGID)
    frame.model.def_support_spring("snubber", "DY", bars.stiffness)
    model = frame.solve({"twist": [("seat", "MZ", 1.0e6)]})
    stiffness = seat_stiffness(curvature_rates(pack)) + bar_stiffness(bars)
    ours = np.linalg.solve(stiffness, [0.0, 2.0e6])
    seat = model.nodes["seat"]
    np.testing.assert_allclose(ours, [seat.DY["twist"], seat.RZ["twist"]], rtol=1e-3)


def test_helper_adds_the_leaves_that_the_frame_has_more():
    main = (Leaf(6.5, 560.0, 760.0), Leaf(6.5, 450.0, 620.0), Leaf(6.5, 330.0, 470.0))
    pack = LeafPack((*main, Leaf(10.0, 300.0, 320.0, contact=80.0)), width=63.5, clamp=100.0)
    stages = pack_stages(pack)
    for stage, leaves in enumerate((main, pack.leaves)):
        plain = replace(pack, leaves=tuple(replace(leaf, contact=0.0) for leaf in leaves))
        expected = 1 / seat_compliance(plain)[0, 0]
        assert stages.rates[Model.COMMON_CURVATURE, stage] == pytest.approx(expected, rel=EXACT)
