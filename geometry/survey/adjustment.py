"""Points adjusted by least squares to coordinates and distances, each by its uncertainty.

Every distance is one condition between the readings, so there are as many equations as tapes
however many points there are; exact coordinates and mirrored sides need nothing of their own.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from geometry.dataclass import dataclass
from geometry.vectors import Array

MOST_MISCLOSURE: Final = 20.0
"""A tape further off than this at first isn't adjusted: a slipped decimal, a wrong hole [mm]."""
LEAST_REDUNDANCY: Final = 1e-6
"""A reading that others check less than this isn't checked."""
_ROUNDS: Final = 60
_SETTLED: Final = 1e-10  # mm, of the last step
_HALVINGS: Final = 30
_BLIND: Final = 1e-14  # of the largest condition: a smaller one is lost in rounding
_NO_LENGTH: Final = 1e-9  # mm; two places so near have no direction between them


@dataclass(frozen=True)
class Distances:
    """Distances read between points.

    Parameters
    ----------
    ends
        The two points of each, as rows of the list of points, shape (k, 2), of integers.
    mirrored
        Whether it ends at the mirror of that point on the other side of the car, shape (k, 2).
    lengths
        As read [mm], shape (k,).
    deviations
        Their standard uncertainties, above 0 [mm], shape (k,).
    """

    ends: Array
    mirrored: Array
    lengths: Array
    deviations: Array

    def only(self, which: Array) -> Distances:
        """Return those that are chosen by truths, shape (k,), or by their numbers."""
        return Distances(
            self.ends[which], self.mirrored[which], self.lengths[which], self.deviations[which]
        )

    def between(self, places: Array) -> Array:
        """Return how long they are between these places [mm], shape (k,)."""
        return np.linalg.norm(self._arms(places), axis=1)

    def slopes(self, places: Array) -> Array:
        """Return how their lengths grow with each coordinate, shape (k, 3 n)."""
        arms = self._arms(places)
        lengths = np.linalg.norm(arms, axis=1, keepdims=True)
        directions = np.divide(arms, lengths, out=np.zeros_like(arms), where=lengths > _NO_LENGTH)
        slopes = np.zeros((len(arms), *places.shape))
        rows = np.arange(len(arms))
        for end, sign in ((0, 1.0), (1, -1.0)):
            np.add.at(slopes, (rows, self.ends[:, end]), sign * directions * self._signs(end))
        return slopes.reshape(len(arms), places.size)

    def _arms(self, places: Array) -> Array:
        first, second = (places[self.ends[:, end]] * self._signs(end) for end in (0, 1))
        return first - second

    def _signs(self, end: int) -> Array:
        signs = np.ones((len(self.ends), 3))
        signs[:, 1] = np.where(self.mirrored[:, end], -1.0, 1.0)
        return signs


@dataclass(frozen=True)
class Adjustment:
    """Points as they agree best with all readings; m = 3 n coordinates and then k distances.

    Parameters
    ----------
    places
        The adjusted points [mm], shape (n, 3).
    distances
        The distances that took part.
    slopes
        How those grow with each coordinate, shape (k, 3 n).
    gain
        How the adjusted coordinates follow the distances as read, shape (3 n, k).
    covariance
        Of the adjusted coordinates [mm²], shape (3 n, 3 n).
    deviations
        Standard uncertainties of all readings, before [mm], shape (m,).
    residuals
        Adjusted less read, of all readings [mm], shape (m,).
    corrected
        Covariance of the residuals [mm²], shape (m, m).
    chi_square
        Weighted sum of squared residuals.
    """

    places: Array
    distances: Distances
    slopes: Array
    gain: Array
    covariance: Array
    deviations: Array
    residuals: Array
    corrected: Array
    chi_square: float

    @property
    def degrees_of_freedom(self) -> int:
        """How many distances took part."""
        return len(self.distances.lengths)

    @property
    def redundancies(self) -> Array:
        """What share of each reading the others check: 0 not at all, 1 wholly, shape (m,)."""
        variances = np.square(self.deviations)
        shares = np.divide(
            self.corrected.diagonal(),
            variances,
            out=np.zeros_like(variances),
            where=variances > 0.0,
        )
        return np.clip(shares, 0.0, 1.0)

    @property
    def standardised(self) -> Array:
        """Each residual by its own standard uncertainty; nan where it isn't checked, (m,)."""
        is_checked = self.redundancies >= LEAST_REDUNDANCY
        spread = np.sqrt(np.where(is_checked, self.corrected.diagonal(), 1.0))
        return np.where(is_checked, self.residuals / spread, np.nan)

    @property
    def factor(self) -> Array:
        """What a standard uncertainty of each reading shifts the coordinates by, (3 n, m) [mm].

        Times its transpose it is their covariance.
        """
        kept = np.eye(self.places.size) - self.gain @ self.slopes
        return np.concatenate([kept, self.gain], axis=1) * self.deviations

    @property
    def adjusted_deviations(self) -> Array:
        """Standard uncertainties of the adjusted points [mm], shape (n, 3)."""
        variances = np.maximum(self.covariance.diagonal(), 0.0)
        return np.sqrt(variances).reshape(self.places.shape)


def in_reach(places: ArrayLike, distances: Distances) -> Array:
    """Tell which distances are near enough to the points as read to be adjusted, shape (k,).

    Parameters
    ----------
    places
        The points as read [mm], shape (n, 3).
    distances
        The distances.
    """
    lengths = distances.between(np.asarray(places, dtype=float))
    is_near = np.abs(lengths - distances.lengths) <= MOST_MISCLOSURE
    return is_near & (lengths > _NO_LENGTH)


def adjust(places: ArrayLike, deviations: ArrayLike, distances: Distances) -> Adjustment:
    """Return the points that agree best with coordinates and distances.

    Parameters
    ----------
    places
        The points as read [mm], shape (n, 3).
    deviations
        Standard uncertainty of each coordinate; 0 is exact and stays [mm], shape (n, 3).
    distances
        Distances that are `in_reach`.

    Notes
    -----
    Each round is the least-squares step of the conditions made linear where the points then are;
    one that doesn't lessen the sum of squares is halved until it does.

    References
    ----------
    C. D. Ghilani, "Adjustment Computations", the chapter on the general least squares method:
    v = Q Bᵀ (B Q Bᵀ)⁻¹ w, from memory of the book. E. M. Mikhail, F. Ackermann, "Observations
    and Least Squares" (1976), the chapter on adjustment of observations only, has the same.
    """
    read = np.asarray(places, dtype=float)
    spread = np.asarray(deviations, dtype=float).reshape(-1)
    variances, noise = np.square(spread), np.square(distances.deviations)
    at, sum_now = read, _sum_of_squares(read, read, variances, distances)
    for _ in range(_ROUNDS):
        slopes = distances.slopes(at)
        misses = distances.lengths - distances.between(at) + slopes @ (at - read).reshape(-1)
        gain = _gain(slopes, variances, noise)
        step = read + (gain @ misses).reshape(read.shape) - at
        for _ in range(_HALVINGS):
            sum_next = _sum_of_squares(at + step, read, variances, distances)
            if sum_next <= sum_now:
                break
            step = 0.5 * step
        else:
            break
        at, sum_now = at + step, sum_next
        if not np.abs(step).max(initial=0.0) > _SETTLED:
            break
    return _result(at, read, spread, distances, sum_now)


def _result(
    at: Array, read: Array, spread: Array, distances: Distances, chi_square: float
) -> Adjustment:
    variances, noise = np.square(spread), np.square(distances.deviations)
    slopes = distances.slopes(at)
    gain = _gain(slopes, variances, noise)
    taken = gain @ (slopes * variances)
    covariance = np.diag(variances) - 0.5 * (taken + taken.T)
    readings = np.concatenate([np.eye(read.size), slopes])  # each, by the adjusted coordinates
    before = np.concatenate([variances, noise])
    after = readings @ covariance @ readings.T
    return Adjustment(
        at,
        distances,
        slopes,
        gain,
        covariance,
        np.concatenate([spread, distances.deviations]),
        np.concatenate([(at - read).reshape(-1), distances.between(at) - distances.lengths]),
        np.diag(before) - after,
        chi_square,
    )


def _gain(slopes: Array, variances: Array, noise: Array) -> Array:
    """Return Q Bᵀ (B Q Bᵀ)⁻¹, with the distances' own part in the bracket, shape (3 n, k).

    Where tapes that say the same are far better than the points, the inverse is a pseudo one.
    """
    weighted = slopes * variances
    bracket = weighted @ slopes.T + np.diag(noise)
    try:
        np.linalg.cholesky(bracket)  # refuses a bracket in which rounding hides the distances
        return np.linalg.solve(bracket, weighted).T
    except np.linalg.LinAlgError:
        return (np.linalg.pinv(bracket, rcond=_BLIND, hermitian=True) @ weighted).T


def _sum_of_squares(at: Array, read: Array, variances: Array, distances: Distances) -> float:
    moves = np.square(at - read).reshape(-1)
    of_points = np.divide(moves, variances, out=np.zeros_like(moves), where=variances > 0.0)
    misses = (distances.between(at) - distances.lengths) / distances.deviations
    return float(of_points.sum() + misses @ misses)
