"""How sure a result is: uncertainty carried on from readings, in a straight line or by samples.

Expanded uncertainties have the coverage factor k = 2 and hold in about 95 of 100 cases.

References
----------
JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.2 and 6.2.
JCGM 101:2008, "Propagation of distributions using a Monte Carlo method", 7.7.
"""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np

from geometry.numeric import quietly
from geometry.vectors import Array

COVERAGE: Final = 2.0
"""Expanded over standard uncertainty."""

SURE: Final = 0.95
"""Probability with which something is called kept."""

_LOW: Final = 0.025
_HIGH: Final = 0.975
_NEAR: Final = 0.1  # of the median's size: what goes through zero comes nearer than that
_FEW: Final = 0.005  # share of the cars that come so near by chance
_LEAST: Final = 1e-4  # mm: holes are drilled no finer
_MOST: Final = 1e3  # mm


class Spread(NamedTuple):
    """Where sampled values of a result lie, arrays of one shape.

    Parameters
    ----------
    low, high
        What 2.5 and 97.5 in 100 of them lie below; NaN where they go through infinity.
    """

    low: Array
    high: Array

    @property
    def within(self) -> Array:
        """Half the distance between both ends."""
        return np.asarray((self.high - self.low) / 2.0)


def slopes(above: Array, below: Array, steps: Array) -> Array:
    """Return how results change with each reading, by central differences, shape (p, ...).

    Parameters
    ----------
    above, below
        Results with each of p readings a step greater and less, shape (p, ...).
    steps
        The steps, shape (p,).
    """
    wide = steps.reshape(-1, *[1] * (above.ndim - 1))
    return np.asarray((above - below) / (2.0 * wide))


@quietly
def expanded(slopes_of_results: Array, factor: Array) -> Array:
    """Return the expanded uncertainty of results: u² = J Σ Jᵀ, Σ the factor times its transpose.

    Parameters
    ----------
    slopes_of_results
        How they change with each of p parameters, shape (p, ...).
    factor
        Standard uncertainties of r independent readings, carried on to the parameters, (p, r).

    References
    ----------
    JCGM 100:2008, 5.2.2, equation (13).
    """
    return np.asarray(COVERAGE * np.sqrt(shares_of_variance(slopes_of_results, factor).sum(axis=0)))


@quietly
def shares_of_variance(slopes_of_results: Array, factor: Array) -> Array:
    """Return what each reading adds to the variance of results, shape (r, ...).

    Parameters
    ----------
    slopes_of_results
        How they change with each of p parameters, shape (p, ...).
    factor
        Standard uncertainties of r independent readings, carried on to the parameters, (p, r).
    """
    return np.asarray(np.tensordot(factor.T, slopes_of_results, axes=1) ** 2)


def hypercube(orders: Array) -> Array:
    """Return standard normal errors that spread evenly over each reading, of the same shape.

    Each reading's errors are the middles of as many equally likely strata as there are cars.

    Parameters
    ----------
    orders
        For each of r readings the order of s cars, numbers from 0 to s - 1, shape (s, r).

    References
    ----------
    McKay, Beckman and Conover, "A comparison of three methods for selecting values of input
    variables", Technometrics 21 (1979), 239 (from memory).
    """
    from statistics import NormalDist  # what a start doesn't ask for loads late

    count, normal = len(orders), NormalDist()
    strata = [normal.inv_cdf((place + 0.5) / count) for place in range(count)]
    return np.asarray(np.array(strata)[orders])


@quietly
def spread_of(samples: Array) -> Spread:
    """Return where sampled results lie, shape (...); NaN where they go through infinity.

    Parameters
    ----------
    samples
        Results of s cars, shape (s, ...); NaN where a car has none.

    Notes
    -----
    A result that turns its sign goes through zero or through infinity. Through zero, some cars come
    near it; through infinity, as two lines do that become parallel, none does.
    """
    known = np.isfinite(samples)
    low, high = np.nanquantile(np.where(known, samples, np.nan), [_LOW, _HIGH], axis=0)
    size = np.abs(samples)
    near = (size < _NEAR * np.nanmedian(size, axis=0)).mean(axis=0)
    lost = known.mean(axis=0) < _HIGH
    through = lost | ((low < 0.0) & (high > 0.0) & (near < _FEW))
    return Spread(np.where(through, np.nan, low), np.where(through, np.nan, high))


def kept_probability(value: float, within: float, least: float | None, most: float | None) -> float:
    """Return the probability that a result lies between two bounds, its errors being normal.

    Parameters
    ----------
    value, within
        The result and its expanded uncertainty, in one unit.
    least, most
        The bounds in that unit, None where there is none.
    """
    if not within > 0.0:
        low = least is None or value >= least
        return float(low and (most is None or value <= most))
    from statistics import NormalDist

    errors = NormalDist(value, within / COVERAGE)
    below = 0.0 if least is None else errors.cdf(least)
    above = 0.0 if most is None else 1.0 - errors.cdf(most)
    return max(0.0, 1.0 - above - below)


class Held(NamedTuple):
    """A result that has bounds, and what holes off by chance do to it.

    Parameters
    ----------
    value, within
        The result and its expanded uncertainty, in one unit.
    least, most
        The bounds in that unit, None where there is none.
    off
        Its change per mm that holes are off, all directions together: the root of the sum of
        squares.
    """

    value: float
    within: float
    least: float | None
    most: float | None
    off: float

    def is_kept(self, drilled: float) -> bool:
        """Tell whether the bounds are surely kept with holes drilled within some mm.

        Parameters
        ----------
        drilled
            Expanded uncertainty of each new hole in each direction [mm].
        """
        within = np.hypot(self.within, drilled * self.off)
        return kept_probability(self.value, float(within), self.least, self.most) >= SURE


def drill_within(results: list[Held]) -> float | None:
    """Return how far each new hole may be off [mm], so that all bounds are surely kept.

    None where nothing limits it, 0 where they aren't kept with holes drilled exactly.

    Parameters
    ----------
    results
        What has bounds.
    """
    limiting = [result for result in results if result.off > 0.0]
    if any(not result.is_kept(0.0) for result in results):
        return 0.0 if limiting else None
    if not limiting or all(result.is_kept(_MOST) for result in limiting):
        return None
    low, high = 0.0, _MOST
    while high - low > _LEAST:
        middle = (low + high) / 2.0
        is_kept = all(result.is_kept(middle) for result in limiting)
        low, high = (middle, high) if is_kept else (low, middle)
    return low
