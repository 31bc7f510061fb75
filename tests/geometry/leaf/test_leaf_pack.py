"""Editing a pack, what can't be built, and the cutting list."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.errors import ImpossiblePack, PackFlaw
from geometry.leaf.load import Model, leaf_stresses, pack_stages
from geometry.leaf.pack import (
    Leaf,
    LeafPack,
    cutting_list,
)
from tests.helpers.invented_packs import invented_pack
from tests.helpers.pack_verbs import (
    moved_leaf,
    replaced_leaf,
    shifted_leaf,
    thinned_leaf,
    with_leaf,
    without_leaf,
)

FIVE = LeafPack(
    (
        Leaf(6.5, 560.0, 760.0),
        Leaf(6.5, 450.0, 620.0, clipped=True),
        Leaf(6.5, 336.0, 470.0),
        Leaf(6.5, 236.0, 320.0),
        Leaf(7.0, 146.0, 198.0),
    ),
    width=63.5,
    clamp=110.0,
    limit=1000.0,
)


def rates(pack: LeafPack):
    return pack_stages(pack).rates[:, 0]


@settings(max_examples=40)
@given(seed=st.integers(0, 10_000), at=st.integers(1, 6))
def test_a_leaf_more_is_always_stiffer_and_never_worse_stressed_by_common_curvature(seed, at):
    pack = invented_pack(seed)
    leaf = Leaf(6.0, 0.6 * pack.main.front, 0.6 * pack.main.rear)
    more = with_leaf(pack, leaf, at)
    assert (rates(more) > rates(pack)).all()
    before = leaf_stresses(pack_stages(pack), 3000.0).halves[Model.COMMON_CURVATURE]
    after = leaf_stresses(pack_stages(more), 3000.0).halves[Model.COMMON_CURVATURE]
    assert (after[:, 0] <= before[:, 0] + 1e-9).all()


def test_thickness_counts_by_its_cube():
    # Common practice: more or thicker leaves are stiffer, thickness by its cube.
    thicker = FIVE
    for i, leaf in enumerate(FIVE.leaves):
        thicker = thinned_leaf(thicker, i, 1.1 * leaf.thickness)
    assert rates(thicker) == pytest.approx(1.1**3 * rates(FIVE), rel=1e-12)


@settings(max_examples=30)
@given(seed=st.integers(0, 10_000), scale=st.floats(0.5, 2.0))
def test_similar_packs_scale_as_beams_do(seed, scale):
    pack = invented_pack(seed)
    larger = LeafPack(
        tuple(
            Leaf(scale * x.thickness, scale * x.front, scale * x.rear, modulus=x.modulus)
            for x in pack.leaves
        ),
        width=scale * pack.width,
        clamp=scale * pack.clamp,
    )
    assert rates(larger) == pytest.approx(scale * rates(pack), rel=1e-9)


@settings(max_examples=40)
@given(seed=st.integers(0, 10_000))
def test_the_two_models_bracket_and_the_pack_turned_round_swaps_its_halves(seed):
    pack = invented_pack(seed)
    pressed, touching = rates(pack)
    assert touching <= pressed * (1 + 1e-9)
    turned = LeafPack(
        tuple(Leaf(x.thickness, x.rear, x.front, modulus=x.modulus) for x in pack.leaves),
        pack.width,
        pack.clamp,
    )
    assert rates(turned) == pytest.approx(rates(pack), rel=1e-9)


def test_edits_give_new_packs_and_leave_the_old_one():
    assert len(without_leaf(FIVE, 3).leaves) == 4
    assert moved_leaf(FIVE, 4, 1).leaves[1] == FIVE.leaves[4]
    assert moved_leaf(moved_leaf(FIVE, 4, 1), 1, 4) == FIVE
    assert without_leaf(with_leaf(FIVE, Leaf(6.0, 100.0, 120.0), 2), 2) == FIVE
    moved = shifted_leaf(FIVE, 2, 20.0).leaves[2]
    assert (moved.front, moved.rear) == (356.0, 450.0)
    assert thinned_leaf(FIVE, 1, 6.0).leaves[1].clipped


def test_a_leaf_shifted_forward_stiffens_the_front_half():
    before, after = pack_stages(FIVE).halves[0][0], pack_stages(shifted_leaf(FIVE, 2, 40.0)).halves
    assert after[0][0].front > before.front
    assert after[0][0].rear < before.rear


@pytest.mark.parametrize(
    ("leaf", "error"),
    [
        (Leaf(0.0, 300.0, 300.0), ImpossiblePack(PackFlaw.THICKNESS, 3, "thickness", 0.0)),
        (
            Leaf(6.0, 50.0, 300.0),
            ImpossiblePack(PackFlaw.INSIDE_CLAMP, 3, "front", 50.0, FIVE.clamp / 2),
        ),
        (
            Leaf(6.0, 300.0, 800.0),
            ImpossiblePack(PackFlaw.TOO_LONG, 3, "rear", 800.0, FIVE.main.rear),
        ),
        (
            Leaf(6.0, 300.0, 300.0, contact=-1.0),
            ImpossiblePack(PackFlaw.CONTACT, 3, "contact", -1.0),
        ),
    ],
)
def test_leaf_that_cant_be_built_is_named(leaf, error):
    with pytest.raises(ImpossiblePack, match="leaf=3") as caught:
        replaced_leaf(FIVE, 2, leaf)
    assert caught.value == error


@pytest.mark.parametrize(
    ("arguments", "flaw"),
    [
        ({"leaves": (), "width": 60.0}, "NO_LEAF"),
        ({"leaves": FIVE.leaves, "width": 0.0}, "NO_SECTION"),
        ({"leaves": FIVE.leaves, "width": 60.0, "clamp": -1.0}, "CLAMP.*value=-1.0"),
        ({"leaves": (Leaf(6.0, 500.0, 500.0, contact=10.0),), "width": 60.0}, "HELPER_ON_TOP"),
    ],
)
def test_pack_that_cant_be_built_says_why(arguments, flaw):
    with pytest.raises(ImpossiblePack, match=flaw):
        LeafPack(**arguments)


def test_cutting_list_gives_both_springs_with_holes_and_mass():
    cuts = cutting_list(FIVE)
    assert [cut.number for cut in cuts] == [1, 2, 3, 4, 5]
    assert cuts[0].eyes
    assert not cuts[1].eyes
    assert cuts[1].clipped
    assert (cuts[2].front, cuts[2].rear, cuts[2].length, cuts[2].count) == (336.0, 470.0, 806.0, 2)
    # 806 x 63.5 x 6.5 mm of steel at 7850 kg/m³, by hand
    assert cuts[2].mass == pytest.approx(2.6115, abs=1e-3)
