"""Leaf ends cut to a point make the textbooks' triangle; thin ones and square ones bracket it."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.bending import bending_stiffness_at, common_curvature
from geometry.leaf.contact import point_contact
from geometry.leaf.load import Model, leaf_stresses, pack_stages
from geometry.leaf.pack import Leaf, LeafPack

PSI = 0.00689476
INCH = 25.4
POUND = 4.448222


def graduated(count, span, width, thickness, modulus, ends):
    """Equal steps, one leaf of full length."""
    halves = [span / 2 * (count - i) / count for i in range(count)]
    leaves = tuple(Leaf(thickness, half, half) for half in halves)
    return LeafPack(leaves, width, modulus=modulus, ends=ends)


# Worked examples as code in a public collection of textbooks' companions: B. K. Sarkar, Strength of
# Materials, ch. 8 (10.93 and 5.96 leaves asked for, so 11 and 6 here; printed to two figures);
# S. B. Junnarkar, Mechanics of Structures, ch. 6, 3 ft, 8 plates 3 × 3/8 in, 1500 lb. Each with
# leaves, span, width, thickness, E, load, deflection, stress, share that the leaves differ by.
PUBLISHED = {
    "Sarkar, 8 kN": (11, 750.0, 84.4, 7.0, 200e3, 8000.0, 20.0, 200.0, 10.93 / 11),
    "Sarkar, 3.5 kN": (6, 700.0, 77.6, 6.47, 200e3, 3500.0, 18.0, 190.0, 5.96 / 6),
    "Junnarkar": (
        *(8, 36 * INCH, 3 * INCH, 0.375 * INCH, 30e6 * PSI, 1500 * POUND),
        *(0.6912 * INCH, 24_000 * PSI, 1.0),
    ),
}


@pytest.mark.parametrize("name", PUBLISHED)
@pytest.mark.parametrize("model", list(Model))
def test_pointed_ends_give_the_deflection_and_stress_of_the_books(name, model):
    *pack, load, deflection, stress, fewer = PUBLISHED[name]
    stages = pack_stages(graduated(*pack, "diamond"))
    # The eye's leaf is whole to its end, which the triangle isn't: 1/(3·n²) stiffer (derived).
    whole = 1 - 1 / (3 * pack[0] ** 2)
    assert load / stages.rates[model, 0] == pytest.approx(deflection * whole * fewer, rel=6e-3)
    bent = leaf_stresses(stages, load).halves[model, 0]
    np.testing.assert_allclose(bent, bent[0], rtol=1e-6)  # of uniform strength
    assert bent[0] == pytest.approx(stress * fewer, rel=6e-3)


@pytest.mark.parametrize("name", PUBLISHED)
def test_square_ends_are_stiffer_than_the_books_even_where_the_leaves_touch_at_tips(name):
    *pack, load, deflection, _, fewer = PUBLISHED[name]
    square = pack_stages(graduated(*pack, "square"))
    thin = pack_stages(graduated(*pack, "tapered"))
    assert load / square.rates[Model.POINT_CONTACT, 0] < 0.97 * deflection * fewer
    assert load / thin.rates[Model.COMMON_CURVATURE, 0] > deflection * fewer


def test_published_pack_of_five_is_stressed_alike_in_every_leaf():
    # S. S. Bhavikatti, Strength of Materials, ch. 4: 160 … 800 mm, 60 × 10, 6.25 kN: 250 N/mm².
    stages = pack_stages(graduated(5, 800.0, 60.0, 10.0, 200e3, "diamond"))
    np.testing.assert_allclose(leaf_stresses(stages, 6250.0).worst, 250.0, rtol=1e-6)


def test_full_length_leaves_stay_whole():
    # Khurmi & Gupta, Machine Design, ch. 23 (from memory of the source): full-length leaves are
    # cantilevers of uniform width, F·l³/(3·E·ΣI).
    leaves = tuple(Leaf(7.0, 500.0, 600.0) for _ in range(3))
    for ends in ("square", "diamond", "tapered"):
        pack = LeafPack(leaves, 60.0, ends=ends)
        for half, length in enumerate((500.0, 600.0)):
            rate = 3 * pack.bending_stiffness.sum() / length**3
            for bending in (common_curvature(pack), point_contact(pack).bending):
                assert bending.rates[half] == pytest.approx(rate)


@pytest.mark.parametrize("ends", ["diamond", "tapered"])
def test_lone_shaped_half_is_the_integral_of_its_stiffness(ends):
    # ∫ s²/ΣE·I ds from the eye by the trapezoidal rule on the kernel's own sections' sum, with the
    # shaped leaf's I written out by hand: width, or thickness cubed, over its last 250 mm.
    pack = LeafPack((Leaf(7.0, 600.0, 600.0), Leaf(6.0, 350.0, 350.0)), 60.0, 100.0, ends=ends)
    from_eye = np.linspace(0.0, 550.0, 400_001)[1:]
    whole, shaped = pack.bending_stiffness
    share = np.clip((from_eye - 250.0) / 300.0, 0.0, 1.0)
    power = {"diamond": 1.0, "tapered": 1.5}[ends]
    total = whole + shaped * share**power
    sections = np.linspace(1.0, 549.0, 9)
    np.testing.assert_allclose(
        bending_stiffness_at(pack, np.array([sections, sections]))[0],
        np.interp(sections, from_eye, total),
        rtol=1e-6,
    )
    compliance = np.trapezoid(from_eye**2 / total, from_eye)
    assert common_curvature(pack).rates[0] == pytest.approx(1 / compliance, rel=1e-5)


def test_tip_of_a_shaped_leaf_gives_as_its_integral_does():
    # Two leaves touching at the lower one's tip: its own cantilever, ∫ u²/(E·I(u)) du to the clamp.
    for ends, power in (("diamond", 1.0), ("tapered", 1.5)):
        pack = LeafPack((Leaf(7.0, 500.0, 500.0), Leaf(6.0, 300.0, 300.0)), 60.0, ends=ends)
        whole, shaped = pack.bending_stiffness
        tip = np.linspace(0.0, 300.0, 400_001)[1:]
        give = np.trapezoid(tip**2 / (shaped * (tip / 300.0) ** power), tip)
        # Deflection there of the upper leaf under 1 N at its eye and X down at 300 mm: by hand.
        upper = 300.0**3 / (3 * whole)
        eye = 300.0**2 * (3 * 500.0 - 300.0) / (6 * whole)
        force = eye / (upper + give)
        assert point_contact(pack).per_load[0, 0] == pytest.approx(force, rel=1e-4)


def test_greatest_stress_between_the_ends_of_tapered_leaves_is_seen():
    # Brute force over 20 000 sections: σ = E·t/2·M/ΣE·I with t of the parabolic leaf.
    leaves = (Leaf(9.0, 600.0, 700.0, parabolic=True), Leaf(8.0, 450.0, 520.0, parabolic=True))
    pack = LeafPack(leaves, 60.0, 100.0)
    stresses = common_curvature(pack).stresses
    for half in (0, 1):
        length = pack.half_lengths[half]
        from_eye = np.linspace(0.0, length[0], 20_001)[1:]
        total = bending_stiffness_at(pack, np.array([from_eye, from_eye]))[half]
        for leaf in (0, 1):
            thin = np.maximum(from_eye - (length[0] - length[leaf]), 0.0) / length[leaf]
            depth = pack.modulus * pack.thicknesses[leaf] / 2 * np.sqrt(thin)
            worst = (depth * from_eye / total).max()
            assert stresses[half, leaf] == pytest.approx(worst, rel=2e-4)
    ends = replace(pack, leaves=(leaves[0], replace(leaves[1], parabolic=False)))
    assert np.isfinite(common_curvature(ends).stresses).all()
