"""What many fronts have once per car: the settled height, and what is read off their sweeps."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

import numpy as np

from geometry.conventions import GRAVITY
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.front.axle import Front
from geometry.front.many import Asked, ManyFronts, ManyPoses, pose_many, solved
from geometry.front.settling import SETTLE_RANGE
from geometry.front.singles import wheels_over_travel, worst_of
from geometry.front.sweeps import Ask, study_front
from geometry.front.turning import turning_results, wheels_on_turn_plates
from geometry.front.wheel import kingpin_at
from geometry.numeric import quietly
from geometry.rows import chosen
from geometry.vectors import Array

OF_TRAVEL: Final = frozenset({"bump_steer_range", "coil_bind_travel"})
OF_STEER: Final = frozenset(
    {"caster_turn_plates", "toe_out_on_turns", "ackermann", "ackermann_track"}
)

_FEW: Final = 8  # cars that are settled from the measured height
_MOST_STEPS: Final = 12
_FURTHEST_STEP: Final = 40.0  # mm
_SETTLED: Final = 1e-5  # mm: last step, whose square over a link's length is left
_BETWEEN: Final = np.linspace(0.0, 1.0, 9)


@dataclass(frozen=True)
class CarCurves:
    """One car's part of what was solved together: results by key, (2, n) or (n,)."""

    at: Array
    values: Mapping[str, Array]
    reached: Array


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
    front, count = fronts.front, fronts.count
    if front.fitted_spring() is None or front.car.sprung_mass is None:
        return travel
    weight = np.broadcast_to(front.car.sprung_mass * GRAVITY, (count,))
    start = 0.0
    if count > _FEW:  # cars that are alike stand nearly where the first of them does
        first = ManyFronts(one_of(front, count, 0), np.ones(1, dtype=bool))
        alone, is_good = _stand(first, weight[:1])
        start = float(alone[0]) if is_good[0] else 0.0
    settled, good = _stand(fronts, weight, start)
    for place in np.flatnonzero(~good):
        settled[place] = _settled_alone(one_of(front, count, int(place)), ask)
    travel[fronts.sound] = settled
    return travel


def _stand(fronts: ManyFronts, weight: Array, start: float = 0.0) -> tuple[Array, Array]:
    """Return where the cars stand by Newton's steps [mm], and where that holds, shape (s,)."""
    travel = np.full(weight.size, start)
    moving = np.ones(weight.size, dtype=bool)
    for _ in range(_MOST_STEPS):
        load, rate = (quantity[:, 0] for quantity in _loads(fronts, travel[:, None]))
        lacking = np.where(np.abs(weight - load) < 1e-9 * weight, 0.0, weight - load)
        step = np.clip(lacking / rate, -_FURTHEST_STEP, _FURTHEST_STEP)
        travel = np.where(moving, travel + step, travel)
        moving &= ~(np.abs(step) < _SETTLED)
        if not moving.any():
            break
    if not travel.any():
        return travel, ~moving
    way, _ = _loads(fronts, travel[:, None] * _BETWEEN)
    rises = (np.diff(way, axis=1) * np.sign(travel)[:, None] > 0.0).all(axis=1)
    good = ~moving & (rises | (travel == 0.0)) & (np.abs(travel) < SETTLE_RANGE)
    return travel, good & np.isfinite(way).all(axis=1)


def _loads(fronts: ManyFronts, travel: Array) -> tuple[Array, Array]:
    """Return what the springs carry at a wheel [N] and its rate [N/mm], means, (s, n)."""
    load, rate = np.full((2, *travel.shape), np.nan)
    zero = np.zeros_like(travel)
    defined = np.where(np.isfinite(travel), travel, 0.0)
    for cars, front, poses in solved(fronts, Asked(defined, zero, zero[0])):
        spring, squeeze = front.fitted_spring(), front.spring_compression(poses)
        if spring is None or squeeze is None:
            continue
        shape, reached = (cars.size, travel.shape[1]), poses.reached
        carried = np.where(reached, spring.load(squeeze).mean(axis=0), np.nan)
        load[cars] = carried.reshape(shape)
        stiff, changing = spring.wheel_rate(squeeze)
        rate[cars] = (stiff + changing).mean(axis=0).reshape(shape)
    return load, rate


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


@quietly
def singles_of_many(fronts: ManyFronts, ask: Ask, keys: Collection[str]) -> dict[str, Array]:
    """Return results that a car has once, shape (m,), NaN where one hasn't.

    The sweeps are solved together, then read car by car.

    Parameters
    ----------
    fronts
        The m cars.
    ask
        The sweeps that results are read off.
    keys
        Results that are needed.
    """
    values: dict[str, Array] = {}
    if "settled_travel" in keys and fronts.stands is not None:
        values["settled_travel"] = np.where(fronts.sound, fronts.all_heights, np.nan)
    elif "settled_travel" in keys:
        values["settled_travel"] = settle_many(fronts, ask)
    if not OF_TRAVEL.isdisjoint(keys):
        values |= _collected(_of_travel(fronts, ask), fronts.sound)
    if not OF_STEER.isdisjoint(keys):
        values |= _collected(_of_steer(fronts, ask), fronts.sound)
    return {key: value for key, value in values.items() if key in keys}


def _collected(values_of_cars: list[dict[str, float]], sound: Array) -> dict[str, Array]:
    """Put results of the sound cars where those are among all."""
    names = {name for one in values_of_cars for name in one}
    values = {name: np.full(sound.size, np.nan) for name in names}
    for place, one in zip(np.flatnonzero(sound), values_of_cars, strict=True):
        for name, value in one.items():
            values[name][place] = value
    return values


def _of_travel(fronts: ManyFronts, ask: Ask) -> list[dict[str, float]]:
    heights = fronts.all_heights
    edges = np.array([ask.window_at(height) for height in heights.tolist()])
    at = np.concatenate([ask.travel - heights[:, None], edges], axis=1)
    zero = np.zeros(at.shape[1])
    swept = pose_many(fronts, at, zero, zero, ("toe", "bump_steer", "spring_length"))
    spring = fronts.front.car.spring
    solid = None if spring is None else spring.solid_length
    solids = np.broadcast_to(np.nan if solid is None else solid, (fronts.count,))
    level, ends = slice(0, ask.travel.size), slice(ask.travel.size, None)
    return [
        worst_of(
            wheels_over_travel(
                curves_of(swept, place, at[place, level], level),
                curves_of(swept, place, at[place, ends], ends),
                None if solid is None else float(length),
            )
        )
        for place, length in zip(np.flatnonzero(fronts.sound).tolist(), solids, strict=True)
    ]


def _of_steer(fronts: ManyFronts, ask: Ask) -> list[dict[str, float]]:
    zero = np.zeros_like(ask.steer)
    swept = pose_many(fronts, zero, zero, ask.steer, ("toe", "camber_road", "kingpin_inclination"))
    between, tracks = np.empty(fronts.count), np.empty(fronts.count)
    level = np.zeros((fronts.count, 1))
    for cars, _, poses in solved(fronts, Asked(fronts.heights[:, None], level, np.zeros(1))):
        across = kingpin_at(poses, poses.contact)[1]
        between[cars] = across[0] + across[-1]
        tracks[cars] = poses.contact[1][0] + poses.contact[1][-1]
    wheelbase = fronts.front.car.wheelbase
    bases = np.broadcast_to(np.nan if wheelbase is None else wheelbase, (fronts.count,))
    steer_results = []
    for place, apart, track, base in zip(
        np.flatnonzero(fronts.sound).tolist(), between, tracks, bases, strict=True
    ):
        one = curves_of(swept, place, ask.steer, slice(None))
        length = None if wheelbase is None else float(base)
        plates = wheels_on_turn_plates(one.values, one.reached, ask.locks)
        turns = turning_results(one.values, one.reached, float(apart), float(track), length)
        steer_results.append(worst_of(plates) | turns)
    return steer_results


def curves_of(swept: ManyPoses, place: int, at: Array, part: slice) -> CarCurves:
    """Return one car's results of some of the poses.

    Parameters
    ----------
    swept
        Every car's results in all poses.
    place
        Which car, from 0.
    at
        What was swept, travel [mm], roll [rad] or steer, at the poses of `part`.
    part
        Which of the poses.
    """
    values = {key: value[place][..., part] for key, value in swept.values.items()}
    return CarCurves(at, values, swept.reached[place][part])
