"""A leaf's thickness as something that may change, against every pack that can be had."""

from __future__ import annotations

import pytest

from app.document.freed import number_now
from app.document.keys import number_row
from app.document.leaf_parts import LEAVES, LeafPart, leaf_part
from app.document.model import Change, FrozenMap, Leaf
from app.document.plans import Room, Want
from app.judge.find import find
from app.judge.found_words import move_words
from app.judge.freedoms import FindError, freedoms_of, with_moves
from tests.helpers.sought import found_value, saloon

SECOND = LeafPart(1, "thickness").key
STOCK = (5.0, 5.5, 6.0, 6.5, 7.0)
RATE = Want("rear.wheel_rate", at_least=18.0, kind="spring rate")


def test_a_leaf_is_named_as_people_count() -> None:
    assert SECOND == "rear.pack.leaf.2.thickness"
    assert leaf_part(SECOND) == LeafPart(1, "thickness")
    others = (LEAVES, "rear.pack.leaf.0.thickness", "rear.pack.leaf.02.thickness", "rear.block")
    assert [leaf_part(name) for name in others] == [None] * 4
    row = number_row(SECOND)
    assert row is not None
    assert row.title == "Thickness of leaf 2"


def test_of_leaves_in_stock_the_least_change_that_does_is_found() -> None:
    """Every one of them tried, each as a whole car."""
    setup = saloon(wants=(RATE,), rooms={SECOND: Room(steps=STOCK)})
    search = find(setup)
    assert search is not None
    answer = search.answer
    assert answer.is_met
    leaves = answer.setup.changes[-1].sets[LEAVES]
    assert isinstance(leaves, tuple)
    assert isinstance(leaves[1], Leaf)
    freedoms = freedoms_of(setup)
    tried = {
        size: found_value(with_moves(setup, freedoms, [size - 5.5]), "rear.wheel_rate")
        for size in STOCK
    }
    best = min((size for size, rate in tried.items() if rate >= 17.9), key=lambda s: abs(s - 5.5))
    assert leaves[1].thickness == best
    assert found_value(answer.setup, "rear.wheel_rate") == pytest.approx(tried[best], rel=1e-9)
    assert [leaf.thickness for leaf in leaves if isinstance(leaf, Leaf)][2:] == [5.0, 5.0, 4.5]
    assert [*move_words(answer, "mm")] == [f"Thickness of leaf 2: {best} mm, now 5.5 mm"]


def test_a_leaf_that_the_pack_has_not_is_refused() -> None:
    setup = saloon(wants=(RATE,), rooms={LeafPart(8, "thickness").key: Room(steps=STOCK)})
    with pytest.raises(FindError, match="but the pack has 5 leaves"):
        freedoms_of(setup)


@pytest.mark.parametrize("key", ["rear.block", "rear.wedge", "rear.shackle_length"])
def test_what_is_not_given_is_what_the_car_has(key: str) -> None:
    """To set it to that changes nothing."""
    setup = saloon()
    now = number_now(setup, key)
    assert now is not None
    same = setup.having(changes=(Change("same", on=True, sets=FrozenMap({key: now})),))
    for name in ("rear.anti_squat", "rear.wheel_rate", "rear.roll_centre_height"):
        assert found_value(same, name) == pytest.approx(found_value(setup, name), rel=1e-9)


def test_a_bound_is_not_told_of_what_need_not_move() -> None:
    """The rate is had as it stands: that a block can't be less stops nothing."""
    easy = Want("rear.wheel_rate", at_least=10.0, kind="spring rate")
    search = find(saloon(wants=(easy,), rooms={"rear.block": Room(span=(0.0, 40.0))}))
    assert search is not None
    assert search.answer.is_met
    assert search.answer.at_bound == ()
