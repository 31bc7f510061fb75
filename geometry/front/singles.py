"""What is read off a travel sweep: the range of bump steer, and where a strut has a length.

Each wheel has its own; the car has the worse wheel's.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Final, Protocol

import numpy as np

from geometry.front.wheel import interpolate
from geometry.vectors import Array

_WORSE_ABOVE: Final = frozenset({"bump_steer_range", "damper_droop_travel"})


class Curves(Protocol):
    """One car's results over one driver, or those of several on a first axis."""

    @property
    def at(self) -> Array:
        """The driver's values [mm or rad], shape (..., n)."""

    @property
    def values(self) -> Mapping[str, Array]:
        """Results by key, shape (..., 2, n) or (..., n)."""

    @property
    def reached(self) -> Array:
        """Where the poses could be taken, shape (..., n)."""


def wheels_over_travel(travel: Curves, edges: Curves, solid: float | None) -> dict[str, Array]:
    """Return what is read off the travel sweep, of each wheel, shape (rows,); NaN without a value.

    Parameters
    ----------
    travel
        Curves over the travel between the limits.
    edges
        Results at the two ends of the bump-steer window.
    solid
        Length of the coil when bound [mm], None where it isn't known.
    """
    values = {"bump_steer_range": toe_ranges(travel, edges)}
    if solid is not None:
        values["coil_bind_travel"] = travels_at_length(travel, "spring_length", solid)
    return values


def toe_ranges(travel: Curves, edges: Curves) -> Array:
    """Return largest minus least toe inside the window, its turning points included [rad].

    Parameters
    ----------
    travel
        Toe and bump steer over the travel between the limits, of one car or of several.
    edges
        The same at the two ends of the bump-steer window.

    Returns
    -------
    Array
        Of each wheel, shape (..., rows); NaN where an end of the window isn't reached.
    """
    at, toe, slope = travel.at, travel.values["toe"], travel.values["bump_steer"]
    inside = (at >= edges.at[..., :1]) & (at <= edges.at[..., 1:]) & travel.reached
    is_known = np.asarray(edges.reached.all(axis=-1) & inside.any(axis=-1))
    beside = (inside[..., 1:] & inside[..., :-1])[..., None, :]
    turning = beside & (slope[..., :-1] * slope[..., 1:] < 0.0)
    # between two samples the slope is nearly straight: its zero, and the toe there by Hermite
    fall = np.where(turning, slope[..., :-1] - slope[..., 1:], 1.0)
    step = np.diff(at, axis=-1)[..., None, :]
    tops = toe[..., :-1] + 0.5 * step * (slope[..., :-1] / fall) * slope[..., :-1]
    ends = edges.values["toe"]
    every = np.concatenate([toe, tops, ends], axis=-1)
    rows = np.broadcast_to(inside[..., None, :], toe.shape)
    told = np.concatenate([rows, turning, np.ones(ends.shape, dtype=bool)], axis=-1)
    most, least = np.where(told, every, -np.inf), np.where(told, every, np.inf)
    return np.where(is_known[..., None], most.max(axis=-1) - least.min(axis=-1), np.nan)


def travels_at_length(travel: Curves, key: str, length: float) -> Array:
    """Return the travel [mm] at which each wheel's strut has a length, NaN where it hasn't.

    Parameters
    ----------
    travel
        Curves over the travel between the limits.
    key
        The length's key in the catalogue.
    length
        The length looked for [mm].
    """
    return _each(travel, key, lambda row: _travel_of(travel, key, length, row))


def worst_of(wheels: Mapping[str, Array]) -> dict[str, float]:
    """Return what a car has of results that each wheel has: the worse wheel's, absent without one.

    Parameters
    ----------
    wheels
        Results by key, shape (rows,), NaN where a wheel has none.
    """
    places = {key: worst_wheel(key, each) for key, each in wheels.items()}
    return {key: float(wheels[key][place]) for key, place in places.items() if place is not None}


def worst_of_cars(key: str, each: Array) -> Array:
    """Return what cars have of a result that each wheel has, shape (m,), NaN without one.

    Parameters
    ----------
    key
        The result's key in the catalogue.
    each
        Its value of each wheel, shape (m, rows), NaN where a wheel has none.
    """
    worse = np.fmax if key in _WORSE_ABOVE else np.fmin
    return np.asarray(worse.reduce(each, axis=1, initial=np.nan))


def worst_wheel(key: str, each: Array) -> int | None:
    """Return which wheel is the worse one, None where no wheel has the result.

    A range is worse the larger it is, an end of travel the nearer it is on the way from the other.
    Of casters it is the lesser: a car pulls to that side (common practice, no source).

    Parameters
    ----------
    key
        The result's key in the catalogue.
    each
        Its value of each wheel, shape (rows,), NaN where a wheel has none.
    """
    values = each.tolist()
    if not any(map(math.isfinite, values)):
        return None
    wheels = [wheel for wheel, value in enumerate(values) if not math.isnan(value)]
    return (max if key in _WORSE_ABOVE else min)(wheels, key=values.__getitem__)


def _each(travel: Curves, key: str, of_row: Callable[[int], float]) -> Array:
    if key not in travel.values:
        return np.zeros(0)
    curves = travel.values[key]
    if len(curves) == 2 and (curves[0] == curves[1]).all():  # both wheels are alike
        return np.full(2, of_row(0))
    return np.array([of_row(row) for row in range(len(curves))])


def _travel_of(travel: Curves, key: str, length: float, row: int) -> float:
    good = travel.reached
    lengths, at = travel.values[key][row], travel.at
    if not good.all():
        lengths, at = lengths[good], at[good]
    if lengths.size < 2:
        return float("nan")
    order = np.argsort(lengths)
    lengths, at = lengths[order], at[order]
    if not lengths[0] <= length <= lengths[-1]:
        return float("nan")
    return interpolate(lengths, at, length)
