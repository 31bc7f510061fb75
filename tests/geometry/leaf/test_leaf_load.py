"""Load, helper, friction and stress of packs."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.bending import common_curvature
from geometry.leaf.load import (
    Model,
    deflection_at,
    leaf_stresses,
    load_at,
    pack_stages,
    rate_at,
    stresses_from_eyes,
)
from geometry.leaf.pack import Leaf, LeafPack
from tests.geometry.leaf.test_leaf_pack import FIVE
from tests.helpers.pack_verbs import thinned_leaf

HELPED = LeafPack(
    (*FIVE.leaves, Leaf(9.0, 300.0, 320.0, contact=120.0)), FIVE.width, FIVE.clamp, limit=1000.0
)


@pytest.mark.parametrize("model", list(Model))
def test_load_and_deflection_undo_each_other_through_the_helper_s_contact(model):
    stages = pack_stages(HELPED)
    deflection = np.linspace(-40, 220, 27)
    load = load_at(stages, deflection, model)
    np.testing.assert_allclose(deflection_at(stages, load, model), deflection, atol=1e-9)
    slope = np.diff(load) / np.diff(deflection)
    np.testing.assert_allclose(slope[:15], rate_at(stages, 50.0, model), rtol=1e-9)
    np.testing.assert_allclose(slope[-9:], rate_at(stages, 180.0, model), rtol=1e-9)
    assert slope[-1] > 1.2 * slope[0]


def test_helper_carries_nothing_before_its_contact_and_relieves_the_others_after():
    stages, plain = pack_stages(HELPED), pack_stages(FIVE)
    light = leaf_stresses(stages, 3000.0)
    assert light.worst[-1] == 0.0
    np.testing.assert_allclose(light.worst[:-1], leaf_stresses(plain, 3000.0).worst)
    heavy = leaf_stresses(stages, 6500.0)
    assert heavy.worst[-1] > 100.0
    shortest = heavy.halves[Model.COMMON_CURVATURE, :, 4]
    assert (shortest < leaf_stresses(plain, 6500.0).halves[Model.COMMON_CURVATURE, :, 4]).all()


def test_margin_is_against_each_leaf_s_own_limit():
    pack = replace(FIVE, leaves=(*FIVE.leaves[:4], replace(FIVE.leaves[4], limit=500.0)))
    stresses = leaf_stresses(pack_stages(pack), 3300.0)
    np.testing.assert_allclose(stresses.margin[:4], 1 - stresses.worst[:4] / 1000.0)
    assert stresses.margin[4] == pytest.approx(1 - stresses.worst[4] / 500.0)


def test_main_leaf_s_stress_at_a_tip_beyond_the_clamp_is_not_missed():
    # One long bare main leaf on a short stiff second one: worst outside the second's tip.
    pack = LeafPack((Leaf(6.0, 600.0, 600.0), Leaf(9.0, 200.0, 200.0)), width=60.0, clamp=100.0)
    stress = common_curvature(pack).stresses[0, 0]
    assert stress == pytest.approx(6 * 400.0 / (60.0 * 36.0), rel=1e-12)


def test_eye_loads_follow_the_lever():
    stages = pack_stages(FIVE)
    by_load = leaf_stresses(stages, 3300.0)
    eyes = np.array([3300.0 * 760 / 1320, 3300.0 * 560 / 1320])
    np.testing.assert_allclose(stresses_from_eyes(stages, eyes, 3300.0).halves, by_load.halves)


def test_nip_between_two_full_leaves_is_shared_by_their_stiffness():
    # Two cantilevers pressed together by a gap: X = nip·k_1·k_2/(k_1 + k_2) (textbook).
    pack = LeafPack((Leaf(6.0, 500.0, 500.0), Leaf(8.0, 500.0, 500.0, nip=3.0)), width=60.0)
    stages = pack_stages(pack)
    first, second = 3 * pack.bending_stiffness / 500.0**3
    force = 3.0 * first * second / (first + second)
    np.testing.assert_allclose(stages.tips[0].from_nip, force, rtol=1e-9)
    resting = leaf_stresses(stages, 0.0).halves[Model.POINT_CONTACT]
    np.testing.assert_allclose(resting[:, 0], -6 * force * 500 / (60 * 36), rtol=1e-9)
    np.testing.assert_allclose(resting[:, 1], 6 * force * 500 / (60 * 64), rtol=1e-9)


def test_thinner_leaf_is_softer_and_sits_lower():
    before, after = pack_stages(FIVE), pack_stages(thinned_leaf(FIVE, 0, 6.0))
    for model in Model:
        assert after.rates[model, 0] < before.rates[model, 0]
        assert deflection_at(after, 3300.0, model) > deflection_at(before, 3300.0, model)
