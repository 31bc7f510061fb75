"""The least move within bounds that brings straight-line results to where they shall be."""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array

KEPT: Final = 1e-3
"""A wall that is missed by no more than this is kept, in units of how near counts as met."""
_LOOSE: Final = (1e-2, 1e-5, 1e-9)  # by which results give, in shares of what moves do to them
_MOST_STEPS: Final = 60
_MUCH: Final = 0.2  # of the highest price: from there a result gives way
_MOST_PAID: Final = 10.0  # rooms that the strongest move would go, at which the others stop too


@dataclass(frozen=True)
class Straight:
    """Results that go by straight lines, what they shall be, and what moves cost.

    Parameters
    ----------
    slopes
        Of the k results, shape (k, n).
    wanted
        What the results, 0 at no move, shall be, shape (k,).
    costs
        What the square of each move costs, shape (n,).
    low, high
        Bounds, shape (n,).
    gives
        By how much a single result gives way, as its price goes from what is much to the most: so
        what hardly does anything comes slowly at the end of reach, and not for its last bit.
    """

    slopes: Array
    wanted: Array
    costs: Array
    low: Array
    high: Array
    gives: float = 0.0

    def cut(self, prices: Array) -> Array:
        """Return the moves that prices of the results pay for, cut off at their bounds."""
        paid = prices @ self.slopes / self.costs
        return np.minimum(np.maximum(paid, self.low), self.high)

    def dual(self, prices: Array, loose: float) -> float:
        """Return what is least at the prices sought.

        Parameters
        ----------
        prices
            Of the results, shape (k,).
        loose
            By how much results give for a price of 1.
        """
        place = self.cut(prices)
        worth = (prices @ self.slopes - 0.5 * self.costs * place) @ place
        return float(worth - prices @ self.wanted + 0.5 * loose * (prices @ prices))


def least_move(straight: Straight) -> Array:
    """Return the cheapest move within bounds that brings results nearest to what is wanted, (n,).

    The dual is solved, by Newton's method: its unknowns are the results' prices, and each move is
    what the prices pay for, cut off at its bounds.

    Parameters
    ----------
    straight
        The results, what is wanted, what moves cost and their bounds.

    References
    ----------
    S. Boyd, L. Vandenberghe, Convex Optimization (2004), section 5.1 (the dual), 9.5 (Newton).
    """
    size = float((straight.slopes**2 / straight.costs).sum()) / straight.wanted.size
    if not size > 0.0:
        return straight.cut(np.zeros(straight.wanted.size))
    if straight.wanted.size == 1:
        return straight.cut(np.array([price_of_one(straight)]))
    prices = np.zeros(straight.wanted.size)
    for loose in _LOOSE:  # each begins where the one before it, which is easier, ended
        prices = _prices(straight, prices, loose * size)
    return straight.cut(prices)


def price_of_one(straight: Straight) -> float:
    """Return the price of a single result, which rises with it in straight pieces.

    Parameters
    ----------
    straight
        The result, what is wanted, what moves cost and their bounds.
    """
    paid = straight.slopes[0] / straight.costs
    able = np.abs(paid) > 0.0
    bends = np.concatenate([straight.low[able], straight.high[able]]) / np.tile(paid[able], 2)
    most = _most(straight)
    if straight.gives:
        bends = np.concatenate([bends, most * np.array([-1.0, -_MUCH, _MUCH, 1.0])])
    bends.sort()
    places = np.clip(bends[:, None] * paid, straight.low, straight.high)
    comes_to = places @ straight.slopes[0]
    if straight.gives:
        comes_to += given_of(straight, bends)
    price = float(np.interp(straight.wanted[0], comes_to, bends))
    return min(max(price, -most), most)


def given_of(straight: Straight, prices: Array) -> Array:
    """Return by how much a single result gives way at prices, with their sign.

    Parameters
    ----------
    straight
        The result, what moves cost, and how much it gives at the most.
    prices
        Any number of prices.
    """
    most = _most(straight)
    share = np.clip((np.abs(prices) / most - _MUCH) / (1.0 - _MUCH), 0.0, 1.0)
    return np.asarray(np.sign(prices) * straight.gives * share)


def _most(straight: Straight) -> float:
    """Return the highest price: else what hardly does anything would go for the last bit."""
    return _MOST_PAID / float(np.abs(straight.slopes[0] / straight.costs).max())


def _prices(straight: Straight, prices: Array, loose: float) -> Array:
    """Return the prices at which results come to what is wanted, less what they give."""
    identity = np.eye(prices.size)
    now = straight.dual(prices, loose)
    for _ in range(_MOST_STEPS):
        paid = prices @ straight.slopes / straight.costs
        place = np.minimum(np.maximum(paid, straight.low), straight.high)
        short = straight.slopes @ place - straight.wanted + loose * prices
        open_ = (paid > straight.low) & (paid < straight.high)
        bend = (straight.slopes / straight.costs * open_) @ straight.slopes.T + loose * identity
        step = np.linalg.solve(bend, -short)
        after = straight.dual(prices + step, loose)
        while after > now and np.abs(step).max() > 1e-14 * np.abs(prices).max():
            step *= 0.5
            after = straight.dual(prices + step, loose)
        if not after < now:
            break
        prices, now = prices + step, after
    return prices
