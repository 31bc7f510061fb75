"""Changes at the rear told as jobs."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import pytest

from app.document.leaf_pairs import paired
from app.document.model import Change, FrozenMap, Leaf, Setup, Value
from app.shop.jobs import jobs
from app.systems.rear.shop.leaf_steps import measured_leaves
from app.systems.rear.system import REAR
from tests.helpers.rear_sheets import back_on_leaves, leaf_rear, link_rear, longer_links
from tests.helpers.sheets import sample, with_on


def titles(setup: Setup) -> list[str]:
    return [job.title for job in jobs([REAR.study(setup)])]


def told(**sets: Value) -> str:
    keys = {f"rear.{key.replace('__', '.')}": value for key, value in sets.items()}
    return titles(leaf_rear().having(changes=(Change("job", sets=FrozenMap(keys)),)))[0]


def test_one_damper_is_moved_end_by_end() -> None:
    assert titles(leaf_rear("Right damper")) == [
        "Move the rear damper's body end 410.0 mm rearward, right side. "
        "Move the rear damper's axle end 230.0 mm rearward, right side."
    ]


def test_traction_bars_are_fitted_with_their_places() -> None:
    job = jobs([REAR.study(leaf_rear("Traction"))])[0]
    assert job.title == (
        "Fit traction bars under both spring seats: gap 10.0 mm, snubber rate 400.0 N/mm."
    )
    assert any("snubber −1925.0, 535.0, 198.0 mm" in line for line in job.details)


def test_a_leaf_that_goes_is_named_with_its_size() -> None:
    assert titles(leaf_rear("Leaf 4"))[0] == (
        "Alter both leaf springs: take out leaf 4 (5.00 mm thick, 300.0 + 360.0 mm long)."
    )


def test_a_helper_in_inches_is_told_in_fractions() -> None:
    assert titles(with_on(sample("inch_sedan"), "Helpers"))[0] == (
        "Alter both leaf springs: leaf 2 touches at 2 in of bump (was 1 1/2 in)."
    )


@pytest.mark.parametrize(
    ("sets", "words"),
    [
        ({"block": 25.0}, "Fit lowering blocks of 25.0 mm between springs and axle, both sides."),
        ({"block": 0.0}, "Take the lowering blocks out."),
        ({"wedge": radians(-2.0)}, "Fit wedges of 2.0° under the seats, pinion nose down."),
        ({"damper__rate": 2.0}, "Fit rear dampers: rate 2.00 N·s/mm (was 1.30 N·s/mm)."),
        ({"pack__free_arch": 130.0}, "Leaf springs: free arch 130.0 mm (was 117.0 mm)."),
    ],
)
def test_what_is_fitted_is_told_with_what_was(sets: dict[str, Value], words: str) -> None:
    assert told(**sets) == words


def test_new_shackles_are_told_beside_the_measured_ones() -> None:
    # lower pin −3209, 260, upper −3184, 342: sqrt(25² + 82²) = 85.7 by Pythagoras
    assert told(shackle_length=100.0) == (
        "Fit shackles 100.0 mm long between their eyes (now 85.7 mm), both sides."
    )


def test_another_kind_of_axle_is_one_job() -> None:
    assert titles(with_on(sample("torsion_coupe"), "links")) == [
        "Fit the axle on five links and coils in place of the leaf springs."
    ]
    assert titles(back_on_leaves()) == [
        "Fit the axle on leaf springs in place of its links and coils."
    ]


def test_links_that_are_kept_or_made_are_told_apart() -> None:
    kept = jobs([REAR.study(with_on(link_rear(), "Lateral"))])[0]
    assert kept.title == "Move the lateral link's body end 24.0 mm lower."
    assert "Same links, bolted to the new holes." in " ".join(kept.details)
    assert titles(longer_links())[0].startswith(
        "With links made to fit, move the lower link's body end 30.0 mm forward, both sides."
    )


def test_a_pack_that_a_later_change_sets_again_is_no_job() -> None:
    first, setup = leaf_rear("Leaf 4"), leaf_rear()
    leaves = measured_leaves(setup)[:3]
    later = Change("Three leaves", sets=FrozenMap({"rear.pack.leaf": leaves}))
    found = titles(first.having(changes=(*first.changes, later)))
    assert found == [
        "Alter both leaf springs: take out leaf 4 (5.00 mm thick, 300.0 + 360.0 mm long); "
        "take out leaf 5 (4.50 mm thick, 205.0 + 245.0 mm long)."
    ]


def test_leaves_are_paired_by_what_they_are_not_by_their_notes() -> None:
    pack = tuple(Leaf(5.0, 600.0 - 90 * n, 700.0 - 90 * n) for n in range(5))
    noted = tuple(replace(leaf, note="cleaned") for leaf in pack)
    assert [(p.was, p.now) for p in paired(pack, noted)] == [(n, n) for n in range(5)]
    found = [(p.was, p.now) for p in paired(pack, (*pack[:2], *pack[3:]))]
    assert found == [(0, 0), (1, 1), (2, None), (3, 2), (4, 3)]
