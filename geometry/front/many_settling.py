"""Where each of many fronts stands on its springs.

The unknowns are the arms' angles, so that no travel has to be turned into a pose first: each of
Newton's steps closes the linkages once.
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

import numpy as np

from geometry.conventions import GRAVITY
from geometry.errors import GeometryError
from geometry.front.axle import Front
from geometry.front.many import ManyFronts
from geometry.front.one_row import on_one_row
from geometry.front.reach import on_branch, rising
from geometry.front.settling import SETTLE_RANGE
from geometry.front.sweeps import Ask, study_front
from geometry.front.wishbone import close_linkage
from geometry.numeric import quietly
from geometry.rows import chosen
from geometry.vectors import Array, Vector

_FEW: Final = 200  # cars that are settled from the measured height: one more costs as much
_MOST_STEPS: Final = 12
_FURTHEST_STEP: Final = 40.0  # mm
_FURTHEST_TURN: Final = 0.2  # rad
_SETTLED: Final = 1e-5  # mm: last step, whose square over a link's length is left
_BETWEEN: Final = np.linspace(0.0, 1.0, 9)[:, None, None]


class _Loads(NamedTuple):
    """What springs say of some poses, arrays (..., rows, s)."""

    travel: Array  # of each wheel [mm]
    per_turn: Array  # mm of travel per radian of the arm
    load: Array  # at the wheel [N]
    rate: Array  # N/mm
    good: Array  # where the pose is one


class _Stood(NamedTuple):
    """Where cars stand: travel [mm] and whether that holds, (s,), arms' angles [rad], (rows, s)."""

    travel: Array
    good: Array
    angle: Array


@quietly
def settle_many(fronts: ManyFronts, ask: Ask) -> Array:
    """Return the travel at which each car's springs carry the measured load [mm], shape (m,).

    NaN where it isn't known or there is none. All cars take Newton's steps together; one whose
    load doesn't rise all the way there is looked at by itself, as `study_front` does.

    Parameters
    ----------
    fronts
        The m cars.
    ask
        The sweeps on which a car that is looked at by itself is searched.
    """
    travel = np.full(fronts.sound.size, np.nan)
    whole, count = fronts.front, fronts.count
    if whole.fitted_spring() is None or whole.car.sprung_mass is None:
        return travel
    front = on_one_row(whole)
    weight = np.broadcast_to(whole.car.sprung_mass * GRAVITY, (count,))
    start, angle = 0.0, np.zeros((1, 1))
    if count > _FEW:  # cars that are alike stand nearly where the first of them does
        first = _stand(one_of(front, count, 0), weight[:1], 0.0, angle)
        if first.good[0]:
            start, angle = float(first.travel[0]), first.angle
    settled = _stand(front, weight, start, angle)
    for place in np.flatnonzero(~settled.good):
        settled.travel[place] = _settled_alone(one_of(whole, count, int(place)), ask)
    travel[fronts.sound] = settled.travel
    return travel


def _stand(front: Front, weight: Array, start: float, first_angle: Array) -> _Stood:
    """Take Newton's steps of all wheels' angles and of the cars' travel together."""
    inner = front.axle.steering.inner_ends(np.zeros(weight.size))
    angle = np.zeros((len(inner[1]), weight.size)) + first_angle
    travel = np.full(weight.size, start)
    moving = np.ones(weight.size, dtype=bool)
    for _ in range(_MOST_STEPS):
        now = _loads(front, angle, inner)
        expected = (now.load + now.rate * (travel - now.travel)).mean(axis=0)
        lacking = np.where(np.abs(weight - expected) < 1e-9 * weight, 0.0, weight - expected)
        step = np.clip(lacking / now.rate.mean(axis=0), -_FURTHEST_STEP, _FURTHEST_STEP)
        travel = np.where(moving, travel + step, travel)
        way = travel - now.travel
        turn = np.clip(way / now.per_turn, -_FURTHEST_TURN, _FURTHEST_TURN)
        angle = np.where(moving, angle + turn, angle)
        moving &= ~(np.maximum(np.abs(step), np.abs(way).max(axis=0)) < _SETTLED)
        if not moving.any():
            break
    good = ~moving
    if travel.any():
        # A hole that was moved on one side leaves a wheel off its height at the arm's angle of 0.
        at_first = _loads(front, np.zeros_like(angle), inner)
        level = -at_first.travel / at_first.per_turn
        path = _loads(front, level + (angle - level) * _BETWEEN, inner)
        load = path.load.mean(axis=1)
        rises = (np.diff(load, axis=0) * np.sign(travel) > 0.0).all(axis=0)
        good &= (rises | (travel == 0.0)) & (np.abs(travel) < SETTLE_RANGE)
        good &= path.good.all(axis=(0, 1)) & np.isfinite(load).all(axis=0)
    return _Stood(travel, good, angle)


def _loads(front: Front, angle: Array, inner: Vector) -> _Loads:
    """Return what the springs carry at arms' angles [rad], (..., rows, s), straight ahead."""
    link = close_linkage(front.axle.corners, angle, inner)
    spring, squeeze = front.fitted_spring(), front.spring_compression(link)
    assert spring is not None  # or nobody asks
    assert squeeze is not None
    stiff, changing = spring.wheel_rate(squeeze)
    return _Loads(
        travel=link.wheel_centre[2] - front.axle.corners.parts.height,
        per_turn=rising(link),
        load=spring.load(squeeze),
        rate=stiff + changing,
        good=on_branch(link),
    )


def one_of(held: Any, count: int, place: int) -> Any:
    """Return one of `count` cars out of what holds all, as it is by itself.

    Parameters
    ----------
    held
        Arrays, or tuples, dicts and dataclasses of them, with cars on the last axis.
    count
        How many cars there are.
    place
        Which car, from 0.
    """
    return chosen(held, count, slice(place, place + 1))


def _settled_alone(front: Front, ask: Ask) -> float:
    try:
        return study_front(front, ask, short=True).single.get("settled_travel", np.nan)
    except GeometryError:
        return float(np.nan)
