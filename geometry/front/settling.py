"""The height at which a front's springs carry their load."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from geometry.conventions import GRAVITY
from geometry.front.axle import Front
from geometry.front.reach import poses_along
from geometry.front.road import Demand, drive, survey_axle
from geometry.front.runs import Lines
from geometry.front.singles import Curves
from geometry.front.springs import steady_rates
from geometry.front.wheel import interpolate
from geometry.numeric import quietly
from geometry.vectors import Array

SETTLE_RANGE: Final = 150.0
"""Travel each way within which a settled height is looked for [mm]."""

_AT_HEIGHT: Final = 1e-3  # mm from the measured height: as good as on it
_ROUGH: Final = 1e-4  # mm by which half the poses may be off: all of them are off by its square
_LAST_SECANT: Final = 1e-9  # mm: the next one is rounding
_MOST_SECANTS: Final = 12


def settled_travel(front: Front, level: Mapping[str, Array], travel: Curves) -> float | None:
    """Return the travel at which the springs carry the measured car's load [mm], or None.

    Positive: the wheel has risen into the body, the car sits lower. It is read off the sweep, or
    off finer ones where that is too short or too coarse.

    Parameters
    ----------
    front
        The front as proposed.
    level
        Results at the measured height, by key, shape (2, 1).
    travel
        Its sweep over travel.
    """
    if front.fitted_spring() is None or front.car.sprung_mass is None:
        return None
    weight = front.car.sprung_mass * GRAVITY
    if abs(_load(front, level)[0] - weight) < 1e-9 * weight:
        return 0.0
    return _carried_at(front, travel.at, _load(front, travel.values), travel.reached)


@quietly
def settles(front: Front, travels: Array) -> float | None:
    """Return the same from the loads alone, which take a third of the time of a sweep.

    Parameters
    ----------
    front
        The front as proposed.
    travels
        Travels between the stops [mm], rising, shape (n,).
    """
    if front.fitted_spring() is None or front.car.sprung_mass is None:
        return None
    weight = front.car.sprung_mass * GRAVITY
    place = _carried_between(front, travels, float(np.squeeze(weight)))
    if place is not None:
        return place
    at, load, reached = _loads_at(front, np.concatenate([travels, [0.0]]))
    if reached[-1] and abs(load[-1] - weight) < 1e-9 * weight:
        return 0.0
    return _carried_at(front, at[:-1], load[:-1], reached[:-1])


def _carried_between(front: Front, travels: Array, weight: float) -> float | None:
    """Return where a load that rises all the way is a value, from a few poses; None elsewhere.

    The load over travel is the polynomial through all poses of a survey, and counts where that
    through every second one says nearly the same. At the measured height it is left to a pose of
    its own, which tells whether the car stands there to rounding.
    """
    zero = np.zeros((len(front.axle.corners.parts.height), 1))
    ends = zero + travels.min(initial=-1.0), zero + travels.max(initial=1.0)
    inner = front.axle.steering.inner_ends(np.zeros(1))
    along = poses_along(front.axle.corners, inner, *ends)
    spring = front.fitted_spring()
    if along is None or spring is None:
        return None
    link, at = along
    squeeze = front.spring_compression(link, steady_rates(front.axle, link))
    if squeeze is None:
        return None
    loads = spring.load(squeeze)
    if not (np.diff(loads, axis=1) > 0.0).all():
        return None
    is_mirrored = len(loads) > 1 and bool((loads[0] == loads[1]).all() and (at[0] == at[1]).all())
    rows = range(1 if is_mirrored else len(loads))
    all_poses, half = (
        [Through(at[row, some], loads[row, some]) for row in rows]
        for some in (slice(None), slice(None, None, 2))
    )
    place, rate = _place_on(all_poses, weight)
    if abs(place) < _AT_HEIGHT or not travels[0] <= place <= travels[-1]:
        return None
    return place if abs(_mean(half, place) - weight) < _ROUGH * rate else None


def _place_on(curves: Sequence[Through], weight: float) -> tuple[float, float]:
    """Return where rising curves' mean is a value, and its slope there; secants find it."""
    places, values = curves[0].places, curves[0].values
    after = min(max(int(values.searchsorted(weight)), 1), values.size - 1)
    last, before = float(places[after]), float(values[after])
    rate = (before - float(values[after - 1])) / (last - float(places[after - 1]))
    place = last + (weight - before) / rate
    before = _mean(curves, last)
    for _ in range(_MOST_SECANTS):
        value = _mean(curves, place)
        if place != last:
            rate, last, before = (value - before) / (place - last), place, value
        step = (weight - value) / rate if rate > 0.0 else math.nan
        place += step
        if not abs(step) > _LAST_SECANT:
            return place, rate
    return math.nan, rate


def _mean(curves: Sequence[Through], at: float) -> float:
    return sum(curve.value(at) for curve in curves) / len(curves)


class Through:
    """The polynomial through values at places, both of shape (n,), no place twice.

    References
    ----------
    J.-P. Berrut, L. N. Trefethen, "Barycentric Lagrange interpolation", SIAM Review 46 (2004)
    501-517, equation 4.2.
    """

    def __init__(self, places: Array, values: Array) -> None:
        self.places, self.values = places, values
        apart = (places[:, None] - places) * (4.0 / (places[-1] - places[0]))
        np.fill_diagonal(apart, 1.0)
        self.shares = 1.0 / apart.prod(axis=1)

    def value(self, at: float) -> float:
        """Return it at another place."""
        gaps = at - self.places
        if not gaps.all():
            return float(self.values[gaps == 0.0][0])
        shares = self.shares / gaps
        return float(shares @ self.values / shares.sum())


def _carried_at(front: Front, at: Array, load: Array, reached: Array) -> float | None:
    """Return the travel at which the springs carry the corner, found between sampled loads."""
    # one of many cars has its mass as an array of one
    weight = float(np.squeeze((front.car.sprung_mass or 0.0) * GRAVITY))
    for count in range(4):
        crossing = _crossing(at, load, reached, weight)
        place = None if crossing is None else _place_of(at, load, reached, weight, crossing)
        if place is not None:
            return place
        if crossing is None and count > 0:
            return None
        # finer about the crossing, or as far as any car may sink where there is none yet
        low, high = -SETTLE_RANGE, SETTLE_RANGE
        if crossing is not None:
            low, high = at[max(crossing - 2, 0)], at[min(crossing + 3, at.size - 1)]
        at, load, reached = _loads_between(front, low, high)
    return None


def _load(front: Front, values: Mapping[str, Array]) -> Array:
    """Return what the springs carry at the wheels [N], the mean of both, shape (n,)."""
    coil = front.car.spring is not None and front.car.spring.kind == "coil"
    force, ratio = (
        ("spring_force", "spring_motion_ratio") if coil else ("bar_torque", "bar_motion_ratio")
    )
    return np.asarray((values[force] * values[ratio]).mean(axis=0))


def _loads_between(front: Front, low: float, high: float) -> tuple[Array, Array, Array]:
    """Sweep the loads alone over the part of a range that can be reached."""
    zero, ends = np.zeros(1), (np.array([min(low, -1.0)]), np.array([max(high, 1.0)]))
    line = survey_axle(front.axle, zero, *ends)
    low, high = max(low, float(line.lowest.max())), min(high, float(line.highest.min()))
    return _loads_on(front, line, np.linspace(low, high, 101))


def _loads_at(front: Front, at: Array) -> tuple[Array, Array, Array]:
    ends = np.array([at.min(initial=-1.0)]), np.array([at.max(initial=1.0)])
    return _loads_on(front, survey_axle(front.axle, np.zeros(1), *ends), at)


def _loads_on(front: Front, line: Lines, at: Array) -> tuple[Array, Array, Array]:
    zero = np.zeros_like(at)
    poses = drive(front.axle, line, Demand(at, zero, zero, np.zeros(at.shape, dtype=bool)))
    return at, front.wheel_load(poses), poses.reached


def _crossing(at: Array, load: Array, reached: Array, weight: float) -> int | None:
    """Return after which sample a load rises past a value, nearest to zero travel."""
    passing = (load[:-1] <= weight) & (load[1:] > weight) & reached[:-1] & reached[1:]
    places = np.flatnonzero(passing)
    return int(places[np.abs(at[places]).argmin()]) if places.size else None


def _place_of(at: Array, load: Array, reached: Array, weight: float, crossing: int) -> float | None:
    """Return where a load is a value by the polynomial through six samples.

    It counts when the load rises there and the one through four says nearly the same.
    """
    start = min(max(crossing - 2, 0), max(at.size - 6, 0))
    near = slice(start, start + 6)
    load, at = load[near], at[near]
    if load.size < 6 or not (reached[near].all() and (np.diff(load) > 0.0).all()):
        return None
    place = interpolate(load, at, weight)
    rough = interpolate(load[1:-1], at[1:-1], weight)
    return place if abs(place - rough) < 1e-4 else None
