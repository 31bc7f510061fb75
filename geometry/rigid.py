"""A list of points turned and shifted as a whole, so that it lies over points that are known."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from geometry.dataclass import dataclass
from geometry.vectors import Array

LEAST_WIDTH: Final = 1e-3
"""Of the datum points, across the line through them, as a share of their length."""


@dataclass(frozen=True)
class Laid:
    """How a list lies over its datum points.

    Parameters
    ----------
    rotation
        Turns directions of the list into those of the car, shape (3, 3).
    shift
        Added after turning [mm], shape (3,).
    misfit
        Of each datum point: where it is known, less where the list puts it [mm], shape (n, 3).
    size
        Spread of the known points over that of the list's: 1 where both are in the same unit.
    centre
        Weighted middle of the known datum points [mm], shape (3,).
    covariance
        Of the shift of the centre [mm²] and of small turns about it [rad²], shape (6, 6).
    """

    rotation: Array
    shift: Array
    misfit: Array
    size: float
    centre: Array
    covariance: Array

    def places(self, points: ArrayLike) -> Array:
        """Return points of the list where they lie in the car [mm], shape (m, 3)."""
        return np.asarray(points, dtype=float) @ self.rotation.T + self.shift

    def deviations(self, places: Array, own: Array) -> Array:
        """Return standard uncertainties of laid points, those of the datum included.

        Parameters
        ----------
        places
            The laid points [mm], shape (m, 3).
        own
            Standard uncertainty of each in the list, alike in all directions [mm], shape (m,).

        Returns
        -------
        Array
            Along x, y and z [mm], shape (m, 3).
        """
        moves = np.concatenate([_moves(place - self.centre) for place in places])
        variances = np.einsum("ij,jk,ik->i", moves, self.covariance, moves)
        return np.sqrt(variances.reshape(-1, 3) + np.square(own)[:, None])


def lay_over(own: ArrayLike, known: ArrayLike, deviations: ArrayLike) -> Laid | None:
    """Turn and shift a list by weighted least squares, without stretching it.

    Parameters
    ----------
    own
        The datum points in the list's own axes [mm], shape (n, 3), n ≥ 3.
    known
        The same points in the car [mm], shape (n, 3).
    deviations
        Standard uncertainty of each, of list and car together, alike in all directions [mm],
        shape (n,).

    Returns
    -------
    Laid | None
        None where the points are fewer than three or in one line: they fix no turn about it.

    References
    ----------
    K. S. Arun, T. S. Huang, S. D. Blostein, "Least-squares fitting of two 3-D point sets", IEEE
    Transactions on Pattern Analysis and Machine Intelligence 9 (1987) 698-700; the sign of the
    last column after S. Umeyama, the same journal 13 (1991) 376-380, equation 39.
    """
    from_list, in_car = np.asarray(own, dtype=float), np.asarray(known, dtype=float)
    if len(from_list) < 3:
        return None
    weights = 1.0 / np.square(np.asarray(deviations, dtype=float))
    shares = weights / weights.sum()
    middles = [shares @ points for points in (from_list, in_car)]
    arms = [points - middle for points, middle in zip((from_list, in_car), middles, strict=True)]
    spreads = [np.sqrt(shares @ np.square(arm).sum(axis=1)) for arm in arms]
    if any(_is_line(arm) for arm in arms):
        return None
    u, _, vt = np.linalg.svd(arms[1].T @ (weights[:, None] * arms[0]))
    mirror = np.diag([1.0, 1.0, np.linalg.det(u @ vt)])  # Umeyama, eq. 39
    rotation = u @ mirror @ vt
    shift = middles[1] - rotation @ middles[0]
    moves = np.concatenate(
        [np.sqrt(w) * _moves(arm) for w, arm in zip(weights, arms[1], strict=True)]
    )
    return Laid(
        rotation,
        shift,
        in_car - (from_list @ rotation.T + shift),
        float(spreads[1] / spreads[0]),
        middles[1],
        np.linalg.inv(moves.T @ moves),
    )


def _is_line(arms: Array) -> bool:
    widths = np.linalg.svd(arms, compute_uv=False)
    return bool(widths[1] <= LEAST_WIDTH * widths[0])


def _moves(arm: Array) -> Array:
    """Return how a point at this arm moves by a shift and by small turns, shape (3, 6)."""
    x, y, z = arm
    return np.array(
        [
            [1.0, 0.0, 0.0, 0.0, z, -y],
            [0.0, 1.0, 0.0, -z, 0.0, x],
            [0.0, 0.0, 1.0, y, -x, 0.0],
        ]
    )
