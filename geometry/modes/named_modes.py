"""Frequency and damping of hop, tramp and wind-up by name, also where two modes share a name.

Dampers mix the modes of an axle. Where two modes swap places nothing happens to the axle, so
a figure under a name must not jump there: it is read from every mode that has a fair part of
the motion, and where two have it, both count.
"""

from __future__ import annotations

from math import pi
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.vectors import Array

Complex = NDArray[np.complex128]

_NONE: Final = 0.5
"""Part of a motion, of what the mode that leads in it has, below which a mode doesn't count."""
_WHOLE: Final = 0.65
"""The same, above which it counts as much as the one that leads.

Half way is where two modes that share a motion have about 0.63 and 0.37 of it.
"""


@dataclass(frozen=True)
class NamedModes:
    """Figures of each motion that modes are named by, arrays of shape (f,).

    Parameters
    ----------
    frequency
        Of the mode; the geometric mean of those that share the name [Hz].
    damping
        Damping ratio of the mode, 1 where it creeps; the least of those that share the name.
    partner
        Index of the motion that it is mixed with, -1 where one mode has the name nearly to itself.
    """

    frequency: Array
    damping: Array
    partner: NDArray[np.intp]


def name_modes(values: Complex, parts: Array, shares: Array) -> NamedModes:
    """Read the figures of each motion off the eigenvalues, in whatever order these are.

    Parameters
    ----------
    values
        Eigenvalues [rad/s], shape (2f,).
    parts
        Share of each pure motion in the kinetic energy of each one's shape, shape (2f, f motions).
    shares
        The same of the modes, which are pairs of them, shape (f modes, f motions).

    Notes
    -----
    Two overdamped modes may exchange an eigenvalue, so no figure is read off a pair. With weights W
    from 0 to 1: frequency |λ|, its logarithm's mean Σ W·ln|λ|/Σ W; damping the least of
    ζ̄ + W·(ζ - ζ̄) with ζ = -Re λ/|λ| and ζ̄ the mean of -Re λ over that frequency. Of a pair alone
    these are the root of |λ₁·λ₂| and its damping ratio, up to 1. All are continuous in eigenvalues
    and shapes and don't know an order.
    """
    weights = _weights(parts)
    total = weights.sum(axis=0)
    size = np.maximum(np.abs(values), 1e-30)
    speed = np.exp(np.log(size) @ weights / total)
    mean = -values.real @ weights / total / speed
    ratio = -values.real / size
    least = (mean + weights * (ratio[:, None] - mean)).min(axis=0)
    return NamedModes(speed / (2.0 * pi), least, _partners(shares))


def _weights(parts: Array) -> Array:
    """Return how much each mode or eigenvalue counts for each motion, from 0 to 1."""
    step = np.clip((_of_leading(parts) - _NONE) / (_WHOLE - _NONE), 0.0, 1.0)
    weights: Array = step**2 * (3.0 - 2.0 * step)
    return weights


def _of_leading(parts: Array) -> Array:
    leading: Array = parts / np.maximum(parts.max(axis=0), 1e-30)
    return leading


def _partners(shares: Array) -> NDArray[np.intp]:
    """Return the motion that the second mode of each name leads in, -1 where it has one mode."""
    weights, part = _weights(shares), _of_leading(shares)
    second = np.argsort(-weights, axis=0, kind="stable")[1]
    beside = part[second].copy()
    np.fill_diagonal(beside, -1.0)
    alone = np.take_along_axis(weights, second[None], axis=0)[0] < 0.5
    return np.where(alone, -1, beside.argmax(axis=1))
