"""Packs against the published examples of the machine design books."""

from dataclasses import replace

import numpy as np
import pytest

from geometry.leaf.bending import common_curvature
from geometry.leaf.contact import point_contact
from geometry.leaf.load import Model, leaf_stresses, pack_stages
from geometry.leaf.pack import Leaf, LeafPack
from tests.helpers.invented_packs import textbook_pack
from tests.reference import leaf_packs as book

FINE = 30


def graduated_group(spring: book.TextbookSpring) -> LeafPack:
    """The books' graduated leaves in their limit: a triangle cut into many thin strips."""
    strips = spring.graduated * FINE
    thickness = spring.thickness / FINE ** (1 / 3)
    lengths = [spring.half_length * (1 - (i + 0.5) / strips) for i in range(strips)]
    lengths[0] = spring.half_length
    return textbook_pack(lengths, thickness, spring.width, spring.modulus)


def full_group(spring: book.TextbookSpring) -> LeafPack:
    lengths = [spring.half_length] * spring.full
    return textbook_pack(lengths, spring.thickness, spring.width, spring.modulus)


def group_rates(spring: book.TextbookSpring) -> tuple[float, float]:
    full = common_curvature(full_group(spring)).rates[0] if spring.full else 0.0
    return full, common_curvature(graduated_group(spring)).rates[0]


def whole_pack(spring: book.TextbookSpring) -> LeafPack:
    """The leaves as they lie: full-length ones, then graduated ones in equal steps."""
    steps = [1 - i / spring.graduated for i in range(spring.graduated)]
    lengths = [spring.half_length] * spring.full + [spring.half_length * s for s in steps]
    return textbook_pack(lengths, spring.thickness, spring.width, spring.modulus)


@pytest.mark.parametrize(
    ("spring", "deflection", "tolerance"),
    [
        (book.BHANDARI_DEFLECTION, book.BHANDARI_DEFLECTION_RESULT, 0.02),
        (book.KHURMI_STRESS, book.KHURMI_STRESS_DEFLECTION, 0.05),  # printed to 0.1
        (book.KHURMI_DEFLECTION, book.KHURMI_DEFLECTION_RESULT, 0.1),  # width rounded to 82
    ],
)
def test_full_and_graduated_groups_side_by_side_deflect_as_printed(spring, deflection, tolerance):
    assert spring.eye_load / sum(group_rates(spring)) == pytest.approx(deflection, abs=tolerance)


def test_nip_and_clip_load_that_equalise_the_stress_are_those_printed():
    spring = book.BHANDARI_NIP
    full, graduated = group_rates(spring)
    # Equal stress: each leaf carries its share; the groups then differ in deflection by the nip.
    share = spring.eye_load / (spring.full + spring.graduated)
    nip = spring.graduated * share / graduated - spring.full * share / full
    assert nip == pytest.approx(book.BHANDARI_NIP_GAP, rel=1e-3)
    band_load = 2 * nip * full * graduated / (full + graduated)
    assert band_load == pytest.approx(book.BHANDARI_NIP_BAND_LOAD, rel=1e-3)


@pytest.mark.parametrize(
    ("spring", "width_ratio", "limit", "thickness"),
    [
        (book.BHANDARI_NIP, 9.0, book.BHANDARI_NIP_STRESS, book.BHANDARI_NIP_THICKNESS),
    ],
)
def test_printed_thickness_brings_the_equalised_stress_to_the_limit(
    spring, width_ratio, limit, thickness
):
    sized = replace(spring, thickness=thickness, width=width_ratio * thickness)
    stages = pack_stages(whole_pack(sized))
    stresses = leaf_stresses(stages, 2 * spring.eye_load)
    root = stresses.halves[Model.COMMON_CURVATURE, 0, -1]
    assert root == pytest.approx(limit, rel=2e-4)


def test_printed_thickness_of_the_full_length_leaves_alone_reaches_the_limit():
    # Without nip the books load full and graduated groups by their rates as two separate springs.
    spring = replace(
        book.KHURMI_STRESS, thickness=book.KHURMI_STRESS_THICKNESS,
        width=4 * book.KHURMI_STRESS_THICKNESS,
    )  # fmt: skip
    full, graduated = group_rates(spring)
    load = 2 * spring.eye_load * full / (full + graduated)
    stresses = leaf_stresses(pack_stages(full_group(spring)), load)
    # Printed to two figures (9.3), which is 0.5 % of the thickness and 1.5 % of the stress.
    assert stresses.worst[0] == pytest.approx(book.KHURMI_STRESS_LIMIT, rel=0.015)


def test_thickness_for_deflection_and_stress_together_is_the_one_printed():
    spring = replace(book.KHURMI_DEFLECTION, thickness=book.KHURMI_DEFLECTION_THICKNESS)
    stages = pack_stages(whole_pack(spring))
    stress = leaf_stresses(stages, 1000.0).halves[Model.COMMON_CURVATURE, 0, -1]
    deflection = 500.0 / group_rates(spring)[1]
    ratio = book.KHURMI_DEFLECTION_STRESS / book.KHURMI_DEFLECTION_RESULT
    assert stress / deflection == pytest.approx(ratio, rel=1e-3)


# --- closed forms -------------------------------------------------------------------------------


def test_finely_graduated_pack_tends_to_the_uniform_strength_beam():
    # Ideal graduated: 32·E·ΣI/L³ eye to eye (spring handbooks, from memory of the source).
    pack = graduated_group(book.KHURMI_DEFLECTION)
    rate = 2 * common_curvature(pack).rates[0]
    ideal = 32 * pack.bending_stiffness.sum() / pack.length**3
    assert rate == pytest.approx(ideal, rel=2e-3)


def test_full_length_pack_is_a_uniform_beam():
    # 48·E·ΣI/L³ (textbook beam theory).
    pack = full_group(book.BHANDARI_NIP)
    ideal = 48 * pack.bending_stiffness.sum() / pack.length**3
    assert pack_stages(pack).rates[:, 0] == pytest.approx([ideal, ideal], rel=1e-12)


def test_finely_graduated_half_is_the_quarter_elliptic_spring():
    # E·n·b·t³/(6·l³): Mechanical Engineer's Data Handbook, p. 35.
    spring = book.KHURMI_DEFLECTION
    ideal = spring.modulus * spring.graduated * spring.width * spring.thickness**3
    ideal /= 6 * spring.half_length**3
    assert group_rates(spring)[1] == pytest.approx(ideal, rel=2e-3)


def test_single_parabolic_leaf_is_half_as_stiff_again_as_its_uniform_half():
    # k = 1.5·E·I_0/l³ (derived; 3·E·I/l³ for the uniform leaf).
    pack = LeafPack((Leaf(14.0, 600.0, 700.0, parabolic=True),), width=70.0, clamp=90.0)
    ideal = 1.5 * pack.bending_stiffness[0] / pack.half_lengths[:, 0] ** 3
    np.testing.assert_allclose(common_curvature(pack).rates, ideal, rtol=1e-9)
    np.testing.assert_allclose(point_contact(pack).bending.rates, ideal, rtol=1e-6)


def test_point_contact_is_softer_by_the_known_factors():
    # 0.91 to 0.94 for packs of 2 to 5 leaves, 0.985 for 40 (derived by hand, see the table).
    for lengths, thickness, *_ in book.HALF_SPRINGS:
        pack = textbook_pack(lengths, thickness)
        ratio = point_contact(pack).bending.rates[0] / common_curvature(pack).rates[0]
        assert 0.91 < ratio < 0.945
    many = textbook_pack([600 * (1 - i / 40) for i in range(40)], 3.0)
    ratio = point_contact(many).bending.rates[0] / common_curvature(many).rates[0]
    assert ratio == pytest.approx(0.985, abs=5e-4)


def test_shortest_leaf_carries_more_when_only_the_tips_touch():
    # 29 % of the moment at the clamp instead of 20 % in a pack of five (derived).
    lengths, thickness, *_ = book.HALF_SPRINGS[0]
    pack = textbook_pack(lengths, thickness)
    assert common_curvature(pack).root_shares[0, -1] == pytest.approx(0.20)
    assert point_contact(pack).bending.root_shares[0, -1] == pytest.approx(0.29, abs=0.005)
