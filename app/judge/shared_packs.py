"""Packs of both wheels out of the shims that there are; a bolt may keep what is fitted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from app.document.plans import Adjuster
from geometry.dataclass import dataclass
from geometry.shims import pieces_with, refitted, thicknesses
from geometry.vectors import Array

_SAME: Final = 1e-6  # mm
_AMOUNTS: Final = 40  # of shims that are told apart where not all packs can be tried
Packs = list[list[float]]  # shim by shim, a list for each bolt


@dataclass(frozen=True)
class Tried:
    """Packs of one wheel: what is fitted [mm], what was tried, (m, k), what is fitted first.

    `scores` say how far each misses the targets, (m,), infinite where the car can't be built.
    """

    fitted: Array
    packs: Array
    scores: Array

    def needed(self) -> Array:
        """Return the thickness of shims that each needs beyond those that come out [mm], (m,)."""
        return np.asarray((self.packs - self.fitted).sum(axis=1))


def best_together(
    wheels: tuple[Tried, Tried], sizes: Sequence[float], have: Sequence[float]
) -> tuple[tuple[int, Packs], tuple[int, Packs]]:
    """Return for each wheel which of its packs are best, and their shims.

    Both wheels' misses together are the least that the pieces allow. What is fitted needs none, so
    there is always an answer.

    Parameters
    ----------
    wheels
        What was tried on each.
    sizes
        Thicknesses of single shims [mm].
    have
        Pieces of each size for both wheels; without limit where nothing is given.
    """
    left, right = wheels
    total = left.scores[:, None] + right.scores[None, :]
    if have:
        stock = float(np.dot(sizes, have))
        total[left.needed()[:, None] + right.needed()[None, :] > stock + _SAME] = np.inf
    count, fitted = len(left.fitted), [*left.fitted.tolist(), *right.fitted.tolist()]
    for place in np.argsort(total, axis=None, kind="stable").tolist():
        own, other = divmod(place, len(right.scores))
        packs = [*left.packs[own].tolist(), *right.packs[other].tolist()]
        shims = refitted(fitted, packs, sizes, have)
        if shims is not None:
            return (own, shims[:count]), (other, shims[count:])
    raise AssertionError("what is fitted needs no shim")


def packs_of(adjuster: Adjuster, fitted: Array) -> Array:
    """Return the packs that the shims make, on each bolt beside what is fitted there, (m, k).

    What comes out of either wheel's packs can be used for these.
    """
    most = adjuster.most or max(*fitted.tolist(), 10.0)
    pieces = pieces_with(adjuster.both, adjuster.sizes, adjuster.have)
    stacks = thicknesses(adjuster.sizes, most, pieces)
    bolts = [_with_fitted(stacks, own, most) for own in fitted.tolist()]
    grid = np.stack(np.meshgrid(*bolts, indexing="ij"), -1).reshape(-1, len(bolts))
    if adjuster.apart is not None and len(bolts) == 2:
        grid = grid[np.abs(grid[:, 0] - grid[:, 1]) <= adjuster.apart + _SAME]
    if pieces:
        stock = float(np.dot(adjuster.sizes, pieces))
        new = np.where(np.abs(grid - fitted) < _SAME, 0.0, grid)
        grid = grid[new.sum(axis=1) <= stock + _SAME]
    return np.asarray(grid)


def nearest_of(tried: Tried, adjuster: Adjuster, count: int) -> Array:
    """Return so many of the packs that were tried, what is fitted first, then the nearest.

    Where the pieces are counted, those are the nearest of each amount of shims: the other wheel
    may need more of them.
    """
    order = np.argsort(tried.scores[1:], kind="stable") + 1
    if adjuster.have:
        amounts = np.round(tried.needed()[order] / max(tried.needed().max(), _SAME) * _AMOUNTS)
        ranks = np.zeros(len(order))
        for amount in np.unique(amounts):
            ranks[amounts == amount] = np.arange((amounts == amount).sum())
        order = order[np.argsort(ranks, kind="stable")]
    return np.asarray(tried.packs[[0, *order[: count - 1]]])


def _with_fitted(made: Sequence[float], fitted: float, most: float) -> list[float]:
    others = [thick for thick in made if abs(thick - fitted) > _SAME]
    return [*others, fitted] if fitted <= most + _SAME else others
