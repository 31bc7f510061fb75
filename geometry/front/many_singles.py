"""What many fronts have once per car: the settled height, and what is read off their sweeps."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.front.many import Asked, ManyFronts, ManyPoses, pose_many, solved
from geometry.front.many_settling import settle_many
from geometry.front.singles import toe_ranges, travels_at_length, worst_of, worst_of_cars
from geometry.front.sweeps import Ask
from geometry.front.turning import turning_results, wheels_on_turn_plates
from geometry.front.wheel import kingpin_at
from geometry.numeric import quietly
from geometry.vectors import Array

OF_TRAVEL: Final = frozenset({"bump_steer_range", "coil_bind_travel"})
OF_STEER: Final = frozenset(
    {"caster_turn_plates", "toe_out_on_turns", "ackermann", "ackermann_track"}
)


@dataclass(frozen=True)
class CarCurves:
    """One car's part of what was solved together, or several cars': as `Curves`."""

    at: Array
    values: Mapping[str, Array]
    reached: Array


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
        values |= _of_travel(fronts, ask, keys)
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


def _of_travel(fronts: ManyFronts, ask: Ask, keys: Collection[str]) -> dict[str, Array]:
    heights, sound = fronts.all_heights, fronts.sound
    edges = np.array([ask.window_at(height) for height in heights.tolist()])
    at = np.concatenate([ask.travel - heights[:, None], edges], axis=1)
    zero = np.zeros(at.shape[1])
    spring, wheels = fronts.front.car.spring, {}
    solid = None if spring is None else spring.solid_length
    lengths = () if solid is None or "coil_bind_travel" not in keys else ("spring_length",)
    swept = pose_many(fronts, at, zero, zero, ("toe", "bump_steer", *lengths))
    level, ends = slice(0, ask.travel.size), slice(ask.travel.size, None)
    if "bump_steer_range" in keys:
        curves = (curves_of(swept, sound, at, part) for part in (level, ends))
        wheels["bump_steer_range"] = toe_ranges(*curves)
    if solid is not None and lengths:
        solids = np.broadcast_to(solid, (fronts.count,)).tolist()
        places = np.flatnonzero(sound).tolist()
        bound = [
            travels_at_length(curves_of(swept, place, at, level), "spring_length", length)
            for place, length in zip(places, solids, strict=True)
        ]
        wheels["coil_bind_travel"] = np.array(bound)
    values = {}
    for key, each in wheels.items():
        worst = worst_of_cars(key, each)
        if np.isfinite(worst).any():
            values[key] = np.full(sound.size, np.nan)
            values[key][sound] = worst
    return values


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


def curves_of(swept: ManyPoses, cars: Any, at: Array, part: slice) -> CarCurves:
    """Return some of the results of a car, or of several.

    Parameters
    ----------
    swept
        Every car's results in all poses.
    cars
        Which car, from 0, or which of them, shape (m,).
    at
        What was swept, travel [mm], roll [rad] or steer, of each car, (m, n), or of all, (n,).
    part
        Which of the poses.
    """
    values = {key: value[cars][..., part] for key, value in swept.values.items()}
    own_at = at[cars] if at.ndim == 2 else at
    return CarCurves(own_at[..., part], values, swept.reached[cars][..., part])
