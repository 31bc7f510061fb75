"""Runs of a wheel at one place of its tie rod, and where poses on them are first looked for."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array, Vector, pick

INSIDE = 1e-6
"""Share of a bracket that first guesses keep off its ends: at a fold no step leads away."""


class Start(NamedTuple):
    """An arm angle to start from and the bracket to stay in [rad]."""

    angle: Array
    low: Array
    high: Array


@dataclass(frozen=True)
class Fit:
    """The arm angle as a polynomial of travel: good where the branch doesn't end.

    Parameters
    ----------
    middle, half
        Travel is scaled to (travel - middle)/half [mm].
    coefficients
        Of the angle [rad], shape (powers, ..., lines), highest power first.
    """

    middle: Array
    half: Array
    coefficients: Array

    def at(self, travel: Array) -> Array:
        """Return the angle [rad] at travels [mm]."""
        scaled = (travel - self.middle) / self.half
        angle = self.coefficients[0]
        for coefficient in self.coefficients[1:]:
            angle = angle * scaled + coefficient
        return angle

    def of(self, poses: Any) -> Fit:
        """Return the fits of some lines."""
        return Fit(self.middle[..., poses], self.half[..., poses], self.coefficients[..., poses])


@dataclass(frozen=True)
class Table:
    """Angles [rad] and travels [mm] along lines that end in folds, (..., lines, k), both rising."""

    angles: Array
    travels: Array

    def about(self, travel: Array) -> Start:
        """Return the angle at travels [mm] by a straight line between the two neighbours."""
        shape = (
            *np.broadcast_shapes(travel.shape, self.travels.shape[:-1]),
            self.travels.shape[-1],
        )
        angles, travels = np.broadcast_to(self.angles, shape), np.broadcast_to(self.travels, shape)
        passed = (travels[..., 1:-1] <= travel[..., None]).sum(axis=-1)[..., None]
        low, high = (np.take_along_axis(angles, passed + n, axis=-1)[..., 0] for n in (0, 1))
        near, far = (np.take_along_axis(travels, passed + n, axis=-1)[..., 0] for n in (0, 1))
        share = np.clip((travel - near) / np.maximum(far - near, 1e-12), INSIDE, 1.0 - INSIDE)
        return Start(low + share * (high - low), low, high)

    def of(self, poses: Any) -> Table:
        """Return the tables of some lines."""
        return Table(self.angles[..., poses, :], self.travels[..., poses, :])


@dataclass(frozen=True)
class Lines:
    """Surveyed runs of a wheel; arrays of shape (..., lines).

    Parameters
    ----------
    inner
        Tie rod's inner end [mm].
    low, high
        Ends of the lower-arm angle's bracket [rad].
    lowest, highest
        Travel at those ends [mm], + bump; +inf and -inf where the line has no pose at all.
    ends_low, ends_high
        Whether the design branch ends there (otherwise only the survey does).
    guess
        Where poses are first looked for.
    """

    inner: Vector
    low: Array
    high: Array
    lowest: Array
    highest: Array
    ends_low: Array
    ends_high: Array
    guess: Fit | Table

    def start(self, travel: Array) -> Start:
        """Return where to look for poses of these lines at travels [mm]."""
        if isinstance(self.guess, Table):
            return self.guess.about(travel)
        margin = INSIDE * (self.high - self.low)
        angle = self.guess.at(travel)
        angle = np.minimum(np.maximum(angle, self.low + margin), self.high - margin)
        return Start(angle, self.low, self.high)

    def of(self, poses: Any) -> Lines:
        """Return the lines of some poses."""
        return Lines(
            inner=pick(self.inner, np.s_[..., poses]),
            low=self.low[..., poses],
            high=self.high[..., poses],
            lowest=self.lowest[..., poses],
            highest=self.highest[..., poses],
            ends_low=self.ends_low[..., poses],
            ends_high=self.ends_high[..., poses],
            guess=self.guess.of(poses),
        )

    def holds(self, travel: Array) -> Array:
        """Return where travels [mm] lie on the design branch."""
        slack = 1e-9
        return (travel >= self.lowest - slack) & (travel <= self.highest + slack)
