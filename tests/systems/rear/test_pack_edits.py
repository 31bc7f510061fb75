"""Leaves put in, taken out and moved are where they were asked to be; all others stay."""

from __future__ import annotations

import pytest

from app.document.model import Leaf
from app.systems.rear.pack_edits import moved, removed

PACK = tuple(Leaf(6.0, 600.0 - 50.0 * place, 700.0 - 60.0 * place) for place in range(5))


@pytest.mark.parametrize(("at", "to"), [(1, 3), (3, 1), (2, 4), (4, 2)])
def test_a_leaf_moves_to_the_place_asked_for(at: int, to: int) -> None:
    edit = moved(PACK, at, to)
    assert edit.leaves[to] is PACK[at]
    rest = [leaf for leaf in edit.leaves if leaf is not PACK[at]]
    assert rest == [leaf for leaf in PACK if leaf is not PACK[at]]
    assert edit.words == f"move leaf {at + 1} {'up' if to < at else 'down'}"


@pytest.mark.parametrize("at", [1, 4])
def test_the_leaf_asked_for_goes(at: int) -> None:
    assert removed(PACK, at).leaves == (*PACK[:at], *PACK[at + 1 :])
