"""Packs of shims against exhaustive search and integer programming of a general library."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from geometry.shims import as_list, fewest, pieces_with, refitted, thicknesses

SIZES = (0.5, 1.0, 2.0, 3.0)
COINS = (1.0, 3.0, 4.0)  # greedy takes 4 + 1 + 1 for 6


def test_thicknesses_are_all_sums_of_pieces() -> None:
    have = (2, 1, 3, 1)
    counts = product(*(range(n + 1) for n in have))
    sums = {float(np.dot(c, SIZES)) for c in counts}
    assert thicknesses(SIZES, 7.0, have) == sorted(s for s in sums if s <= 7.0)
    assert thicknesses(SIZES, 3.0) == [0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0]


def test_inch_sizes_are_not_split_by_rounding() -> None:
    sizes = [25.4 * n / 64 for n in (1, 2, 4, 8)]
    assert len(thicknesses(sizes, 25.4 * 20 / 64)) == 21


def test_the_fewest_shims_are_not_the_greedy_ones() -> None:
    assert fewest([6.0], COINS) == ((0, 2, 0),)
    assert as_list((0, 2, 0), COINS) == [3.0, 3.0]
    assert fewest([0.25], SIZES) is None
    assert fewest([0.0, 0.0], SIZES) == ((0, 0, 0, 0), (0, 0, 0, 0))


@pytest.mark.parametrize("number", [2, 4])
@pytest.mark.parametrize("seed", range(12))
def test_packs_that_share_pieces_agree_with_integer_programming(seed: int, number: int) -> None:
    """scipy.optimize.milp as judge: the least number of pieces, or none at all."""
    random = np.random.default_rng(seed)
    have = random.integers(0, 4, len(SIZES))
    packs = random.integers(0, 14, number) * 0.5
    made = fewest(packs.tolist(), SIZES, have.tolist())
    count = len(SIZES)
    sums = np.kron(np.eye(number), SIZES)
    judge = milp(
        np.ones(number * count),
        integrality=np.ones(number * count),
        constraints=[
            LinearConstraint(sums, packs, packs),
            LinearConstraint(np.hstack([np.eye(count)] * number), 0, have),
        ],
    )
    if made is None:
        assert not judge.success
    else:
        assert judge.success
        assert sum(map(sum, made)) == round(judge.fun)
        assert [sum(as_list(c, SIZES)) for c in made] == pytest.approx(packs)


def test_what_comes_out_of_packs_can_be_used_again_by_all_ways_of_laying_out() -> None:
    """Two bolts, each left alone or given any of what is then on the bench; sizes 1 and 2."""
    sizes, have, fitted = (1.0, 2.0), (1, 0), (3.0, 2.0)
    inside = {3.0: (1, 1), 2.0: (0, 1)}  # the fewest that make them
    ways = [None, *product(range(4), range(4))]
    reached = set()
    for pair in product(ways, repeat=2):
        bench = np.array(have)
        for old, way in zip(fitted, pair, strict=True):
            bench += 0 if way is None else np.array(inside[old])
        used = sum(np.array(way) for way in pair if way is not None)
        if (bench >= used).all():
            thick = zip(fitted, pair, strict=True)
            reached.add(tuple(o if w is None else float(np.dot(w, sizes)) for o, w in thick))
    for packs in product(np.arange(0.0, 9.0), repeat=2):
        made = refitted(fitted, packs, sizes, have)
        assert (made is not None) == (packs in reached)
        assert made is None or [sum(pack) for pack in made] == list(packs)


def test_a_pack_that_no_sizes_make_gives_nothing_back() -> None:
    assert pieces_with((3.3, 3.0), (1.0, 2.0), (1, 1)) == (2, 2)
    assert refitted((3.3,), (3.0,), (1.0, 2.0), (0, 0)) is None
