"""What is read off a travel sweep: the range of bump steer, and where a strut has a length."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import numpy as np

from geometry.front.wheel import interpolate
from geometry.vectors import Array


class Curves(Protocol):
    """One car's results over one driver: what is read off a sweep."""

    @property
    def at(self) -> Array:
        """The driver's values [mm or rad], shape (n,)."""

    @property
    def values(self) -> Mapping[str, Array]:
        """Results by key, shape (2, n) or (n,)."""

    @property
    def reached(self) -> Array:
        """Where the poses could be taken, shape (n,)."""


def travel_singles(travel: Curves, edges: Curves, solid: float | None) -> dict[str, float]:
    """Return what is read off the travel sweep; `solid` is a coil's length when bound [mm].

    Parameters
    ----------
    travel
        Curves over the travel between the limits.
    edges
        Results at the two ends of the bump-steer window.
    solid
        Length of the coil when bound [mm], None where it isn't known.
    """
    values = {"bump_steer_range": _toe_range(travel, edges)}
    if solid is not None:
        values["coil_bind_travel"] = _travel_of(travel, "spring_length", solid)
    return {key: value for key, value in values.items() if np.isfinite(value)}


def travel_at_length(travel: Curves, key: str, length: float | None) -> float | None:
    """Return the travel [mm] at which a strut has a length [mm], None where it hasn't.

    Parameters
    ----------
    travel
        Curves over the travel between the limits.
    key
        The length's key in the catalogue.
    length
        The length looked for [mm], None where the setup has none.
    """
    if length is None or key not in travel.values:
        return None
    place = _travel_of(travel, key, length)
    return place if np.isfinite(place) else None


def _travel_of(travel: Curves, key: str, length: float) -> float:
    good = travel.reached
    if key not in travel.values or good.sum() < 2:
        return float("nan")
    lengths, at = travel.values[key][0][good], travel.at[good]
    order = np.argsort(lengths)
    lengths, at = lengths[order], at[order]
    if not lengths[0] <= length <= lengths[-1]:
        return float("nan")
    return interpolate(lengths, at, length)


def _toe_range(travel: Curves, edges: Curves) -> float:
    """Largest minus least toe inside the window, its turning points included."""
    inside = (travel.at >= edges.at[0]) & (travel.at <= edges.at[-1]) & travel.reached
    if not (edges.reached.all() and inside.any()):
        return float("nan")
    at, toe, slope = (
        travel.at[inside],
        travel.values["toe"][0][inside],
        travel.values["bump_steer"][0][inside],
    )
    turning = np.flatnonzero(slope[:-1] * slope[1:] < 0)
    # between two samples the slope is nearly straight: its zero, and the toe there by Hermite
    share = slope[turning] / (slope[turning] - slope[turning + 1])
    step = at[turning + 1] - at[turning]
    tops = toe[turning] + 0.5 * step * share * slope[turning]
    every = np.concatenate([toe, tops, edges.values["toe"][0]])
    return float(np.ptp(every))
