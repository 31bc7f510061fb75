"""What a shop's gauges read, worked into the angles, shares and places that a car is kept in."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, atan2, hypot, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from geometry.dataclass import dataclass
from geometry.vectors import Array

MOST_SLOPE: Final = 0.3
"""Of a floor or a frame, rad, that can still be a floor's or a raked frame's: about 17 degrees."""


def toe_between(ahead: float, behind: float, over: float) -> float:
    """Return toe-in per wheel from the widths between both wheels, each wheel having half of it.

    Parameters
    ----------
    ahead, behind
        Widths between the same marks on both wheels, ahead of and behind the axle [mm].
    over
        Length between the marks ahead and behind, along the wheel: the diameter, or a rod's [mm].

    Returns
    -------
    float
        Toe-in per wheel [rad].

    References
    ----------
    ISO 8855:2011, 7.1.6 and 7.1.7: total toe as a length is the diameter times the sum of sines.
    """
    return asin((behind - ahead) / (2.0 * over))


def angle_over(offset: float, over: float) -> float:
    """Return the angle of a line by how far its ends stand apart across it, over its own length.

    Parameters
    ----------
    offset
        How far one end stands off from the other [mm].
    over
        The line's length [mm], at least as long as the offset.

    Returns
    -------
    float
        The angle [rad].
    """
    return asin(offset / over)


def angle_at_wall(offset: float, distance: float) -> float:
    """Return the angle of a beam by how far its spot stands off on a wall square to the measure.

    Parameters
    ----------
    offset
        The spot's distance from where the beam would meet the wall without the angle [mm].
    distance
        From the beam's source to the wall, square to the wall [mm].

    Returns
    -------
    float
        The angle [rad].
    """
    return atan2(offset, distance)


def spread(work: Callable[[Array], Array], read: ArrayLike, within: ArrayLike) -> Array:
    """Return the expanded uncertainty of what independent readings come to, by differences.

    Parameters
    ----------
    work
        Gives the results, shape (m,), of readings, shape (n,).
    read
        The readings, shape (n,).
    within
        Expanded uncertainty (k = 2) of each reading, shape (n,); the results' has the same k.

    Returns
    -------
    Array
        Expanded uncertainty (k = 2) of each result, shape (m,).

    References
    ----------
    JCGM 100:2008 (GUM), 5.1.2, equation 10; 5.1.3, note 2, for the differences.
    """
    readings, spreads = np.asarray(read, dtype=float), np.asarray(within, dtype=float)
    turns = [
        (work(readings + step) - work(readings - step)) / 2.0
        for step in np.diag(spreads)
        if step.any()
    ]
    return np.linalg.norm(turns, axis=0) if turns else np.zeros_like(work(readings))


@dataclass(frozen=True)
class Levelling:
    """How points measured over one plane are turned, so that they count from the floor.

    Parameters
    ----------
    rotation
        Turns directions, by the shortest way and without any turn about the vertical, shape (3, 3).
    rise
        Added to all heights after turning [mm].
    """

    rotation: Array
    rise: float

    def places(self, points: ArrayLike, kept: ArrayLike = (0.0, 0.0, 0.0)) -> Array:
        """Return points turned [mm], shape (n, 3).

        Parameters
        ----------
        points
            As measured [mm], shape (n, 3).
        kept
            The point that keeps its x and y, from which all others count [mm], shape (3,).
        """
        turned = np.asarray(points, dtype=float) @ self.rotation.T
        at = np.asarray(kept, dtype=float)
        aside = at - self.rotation @ at
        return turned + np.array([aside[0], aside[1], self.rise])

    @property
    def slopes(self) -> tuple[float, float]:
        """How much a measured plane falls ahead, and to the left, once turned [rad]."""
        return -self.rotation[2, 0], -self.rotation[2, 1]


def level_by(pads: ArrayLike, heights: ArrayLike) -> Levelling | None:
    """Find the turn that gives three measured places the heights they have over the floor.

    An uneven floor: the places are on it, read like all points from one level plane, and their
    heights are nought. A datum on a raked frame: the places are on it, and their heights are
    those over the floor with the car on its wheels.

    Parameters
    ----------
    pads
        The three places as measured [mm], shape (3, 3).
    heights
        Of each over the floor [mm], shape (3,).

    Returns
    -------
    Levelling | None
        None where the places lie in one line seen from above, or the turn is no floor's.
    """
    places, rises = np.asarray(pads, dtype=float), np.asarray(heights, dtype=float)
    plan = np.column_stack([places[:, :2], np.ones(3)])
    sides = places[1:, :2] - places[0, :2]
    area = abs(sides[0, 0] * sides[1, 1] - sides[0, 1] * sides[1, 0])
    if area < 1e-3 * max(hypot(*side) for side in sides) ** 2:
        return None
    base, slope = np.linalg.solve(plan, np.column_stack([rises, places[:, 2]])).T
    upright = _upright(base, slope)
    if upright is None:
        return None
    x, y, rise = base - upright * slope
    return Levelling(_shortest_turn(np.array([x, y, upright])), float(rise))


def _upright(base: Array, slope: Array) -> float | None:
    """Return n_z of the unit vector n, where (n_x, n_y) = base − n_z·slope."""
    a = 1.0 + slope[:2] @ slope[:2]
    b = base[:2] @ slope[:2]
    c = base[:2] @ base[:2] - 1.0
    root = b * b - a * c
    if root < 0.0:
        return None
    upright = (b + sqrt(root)) / a
    return float(upright) if upright > sqrt(1.0 - MOST_SLOPE**2) else None


def _shortest_turn(up: Array) -> Array:
    """Return the rotation that brings a unit vector to the vertical by the shortest way."""
    x, y, z = up
    share = 1.0 / (1.0 + z)
    return np.array(
        [
            [1.0 - share * x * x, -share * x * y, -x],
            [-share * x * y, 1.0 - share * y * y, -y],
            [x, y, z],
        ]
    )
