"""Frequency and damping of hop, tramp and wind-up by name, also where two modes share a name.

Dampers mix the modes of an axle. Where two modes swap places nothing happens to the axle, so
a figure under a name must not jump there: it is read from every mode that has a fair part of
the motion, and where two have it, both count.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.vectors import Array

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
        Of the mode; the mean of those that share the name [Hz].
    damping
        Damping ratio of the mode; the least of those that share the name.
    partner
        Index of the motion that it is mixed with, -1 where one mode has the name nearly to itself.
    """

    frequency: Array
    damping: Array
    partner: NDArray[np.intp]


def name_modes(frequency: Array, damping: Array, shares: Array) -> NamedModes:
    """Read the figures of each motion off the modes, in whatever order these are.

    Parameters
    ----------
    frequency
        Undamped natural frequency of each mode [Hz], shape (f,).
    damping
        Damping ratio of each, shape (f,).
    shares
        Share of each pure motion in the mode's kinetic energy, shape (f modes, f motions).

    Notes
    -----
    With weights W from 0 to 1: frequency Σ W·f/Σ W; damping the least of ζ̄ + W·(ζ - ζ̄), where
    ζ̄ is the mean of the same weights. Both are continuous in the shares and don't know an order.
    """
    part = shares / np.maximum(shares.max(axis=0), 1e-30)
    step = np.clip((part - _NONE) / (_WHOLE - _NONE), 0.0, 1.0)
    weights = step**2 * (3.0 - 2.0 * step)
    total = weights.sum(axis=0)
    mean = damping @ weights / total
    least = (mean + weights * (damping[:, None] - mean)).min(axis=0)
    return NamedModes(frequency @ weights / total, least, _partners(weights, part))


def _partners(weights: Array, part: Array) -> NDArray[np.intp]:
    """Return the motion that the second mode of each name leads in, -1 where it has one mode."""
    second = np.argsort(-weights, axis=0, kind="stable")[1]
    beside = part[second].copy()
    np.fill_diagonal(beside, -1.0)
    alone = np.take_along_axis(weights, second[None], axis=0)[0] < 0.5
    return np.where(alone, -1, beside.argmax(axis=1))
