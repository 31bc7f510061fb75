"""The height at which a front's springs carry their load."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from geometry.conventions import GRAVITY
from geometry.front.axle import Front
from geometry.front.road import Demand, drive, survey_axle
from geometry.front.runs import Lines
from geometry.front.singles import Curves
from geometry.front.wheel import interpolate
from geometry.numeric import quietly
from geometry.vectors import Array

SETTLE_RANGE: Final = 150.0
"""Travel each way within which a settled height is looked for [mm]."""


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
    at, load, reached = _loads_at(front, np.concatenate([travels, [0.0]]))
    if reached[-1] and abs(load[-1] - weight) < 1e-9 * weight:
        return 0.0
    return _carried_at(front, at[:-1], load[:-1], reached[:-1])


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
