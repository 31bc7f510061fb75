"""Which reading disagrees with the others, what each could hide, what one more tape would bring."""

from __future__ import annotations

from math import erfc, exp, pi, sqrt
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.survey.adjustment import LEAST_REDUNDANCY, Adjustment, Distances
from geometry.vectors import Array

DOUBTFUL: Final = 3.29
"""Of a standardised residual: a sound reading passes it once in a thousand times."""
DETECTED: Final = 4.13
"""Standardised error that is noticed in 80 of 100 cases at that bound."""
_AS_LARGE: Final = 0.99  # of the largest standardised residual
_AS_ONE: Final = 0.95  # correlation of two tests


def hidden_errors(adjustment: Adjustment) -> Array:
    """Return how far each reading may be wrong unnoticed [mm], shape (m,); inf: unchecked.

    References
    ----------
    W. Baarda, "A testing procedure for use in geodetic networks" (1968): internal reliability,
    with the bounds 0.1 % and 80 %; 4.13 = 3.29 + 0.84 of the normal distribution.
    """
    shares = adjustment.redundancies
    is_checked = shares >= LEAST_REDUNDANCY
    roots = np.sqrt(np.where(is_checked, shares, 1.0))
    return np.where(is_checked, DETECTED * adjustment.deviations / roots, np.inf)


def doubtful(adjustment: Adjustment) -> tuple[int, ...]:
    """Return the readings that disagree with the others, the worst first; mostly none.

    Those that can't be told apart from the worst one are named with it: as large within 1 %, or
    tests that go together (correlation above 0.95).
    """
    sizes = np.nan_to_num(np.abs(adjustment.standardised), nan=0.0)
    if not sizes.size or sizes.max() <= DOUBTFUL:
        return ()
    worst = int(sizes.argmax())
    alike = (sizes >= _AS_LARGE * sizes[worst]) | (
        (np.abs(correlations(adjustment)[worst]) > _AS_ONE) & (sizes > 0.0)
    )
    others = (int(i) for i in np.argsort(-sizes, kind="stable") if alike[i] and i != worst)
    return worst, *others


def correlations(adjustment: Adjustment) -> Array:
    """Return how the tests of two readings go together, -1 to 1, shape (m, m)."""
    return _correlations(adjustment.corrected, adjustment.redundancies >= LEAST_REDUNDANCY)


def _correlations(corrected: Array, is_checked: Array) -> Array:
    spread = np.sqrt(np.where(is_checked, corrected.diagonal(), 1.0))
    pairs = np.logical_and.outer(is_checked, is_checked)
    return np.where(pairs, corrected / np.outer(spread, spread), 0.0)


@dataclass(frozen=True)
class OneMore:
    """What a tape that isn't taken yet would bring, one for each of k tapes asked about.

    Parameters
    ----------
    lengths
        What it should read [mm], shape (k,).
    spread
        Standard uncertainty of that, before it is taken [mm], shape (k,).
    redundancies
        What share of it the other readings would check, shape (k,).
    hidden
        How far it could be misread unnoticed [mm], shape (k,).
    deviations
        Standard uncertainties of the points with it [mm], shape (k, n, 3).
    alike
        The greatest correlation with which doubtful readings would still go together, shape (k,).
    company
        How many readings the worst one couldn't be told from then, new ones included, shape (k,).
    """

    lengths: Array
    spread: Array
    redundancies: Array
    hidden: Array
    deviations: Array
    alike: Array
    company: Array


def one_more(adjustment: Adjustment, planned: Distances, suspects: tuple[int, ...] = ()) -> OneMore:
    """Return what each of some planned tapes would bring by itself; what they read plays no part.

    Parameters
    ----------
    adjustment
        All that was read so far.
    planned
        Tapes that could be taken, between the same points.
    suspects
        Numbers of readings that can't be told apart so far; the first is compared with the others.
    """
    slopes = planned.slopes(adjustment.places)
    readings = np.concatenate([np.eye(adjustment.places.size), adjustment.slopes])
    along = slopes @ adjustment.covariance  # (k, 3 n)
    known = np.maximum(np.einsum("kj,kj->k", along, slopes), 0.0)
    total = known + np.square(planned.deviations)
    shares = np.square(planned.deviations) / total
    variances = adjustment.covariance.diagonal() - np.square(along) / total[:, None]
    return OneMore(
        planned.between(adjustment.places),
        np.sqrt(known),
        shares,
        DETECTED * planned.deviations / np.sqrt(shares),
        np.sqrt(np.maximum(variances, 0.0)).reshape(-1, *adjustment.places.shape),
        *_still_alike(adjustment, along @ readings.T, total, suspects),
    )


def _still_alike(
    adjustment: Adjustment, along: Array, total: Array, suspects: tuple[int, ...]
) -> tuple[Array, Array]:
    """Return how far the worst suspect's test would still go with others', and with how many."""
    if len(suspects) < 2:
        return np.zeros(len(total)), np.zeros(len(total), dtype=int)
    worst, *others = suspects
    variances = adjustment.corrected.diagonal() + np.square(along) / total[:, None]
    shared = adjustment.corrected[worst] + along[:, [worst]] * along / total[:, None]
    before = np.square(adjustment.deviations)
    is_checked = variances >= LEAST_REDUNDANCY * np.where(before > 0.0, before, np.inf)
    spread = np.sqrt(np.where(is_checked, variances, 1.0))
    together = np.abs(np.where(is_checked, shared / (spread * spread[:, [worst]]), 0.0))
    return together[:, others].max(axis=1), (together > _AS_ONE).sum(axis=1) - 1


def chance_of_more(chi_square: float, degrees_of_freedom: int) -> float:
    """Return how probable a χ² at least this large is.

    Parameters
    ----------
    chi_square
        Sum of squares, from 0 on.
    degrees_of_freedom
        Of the distribution; 0 has the probability 1.

    References
    ----------
    M. Abramowitz, I. A. Stegun, "Handbook of Mathematical Functions", 26.4.4 and 26.4.5.
    """
    half, is_odd = 0.5 * chi_square, degrees_of_freedom % 2
    if degrees_of_freedom < 1 or half <= 0.0:
        return 1.0
    chance = erfc(sqrt(half)) if is_odd else 0.0
    term = exp(-half) * (2.0 * sqrt(half / pi) if is_odd else 1.0)
    for order in range(1 + is_odd, degrees_of_freedom, 2):
        chance += term
        term *= chi_square / (order + 1)
    return min(chance, 1.0)
