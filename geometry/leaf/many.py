"""Many axles on leaf springs, in bounce and roll, through the kernel together.

Their poses are solved at once, each with a loop of its own. An axle that can't reach all its poses
is solved by itself, so that it ends as it does alone.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from geometry.errors import ShackleOutOfReach
from geometry.leaf.axle import Design, LeafPath
from geometry.leaf.car import LeafCar
from geometry.leaf.housing import bolted_on, known_pinion, leaning_housing, level_housing
from geometry.leaf.load import Model
from geometry.leaf.loop import LeafLoop
from geometry.leaf.many_axles import ManyLeaves, design_beyond, path_to
from geometry.leaf.many_build import (
    Springs,
    free_changes,
    start_of,
)
from geometry.leaf.many_packs import ManyPacks
from geometry.leaf.rear import LEAST_PRESSED, LeafRear
from geometry.leaf.results import Results, level_results, ride_results, with_snubbers
from geometry.leaf.ride import SpringOnCar, along_path, deflection_per_curvature, roll_wheel_rate
from geometry.leaf.roll import HeldSide, centres_and_shift, held_side
from geometry.leaf.snubbers import Snubbers, in_roll, tip_height
from geometry.numeric import quietly
from geometry.rows import by_car, chosen, repeated
from geometry.squareness import leaning_thrust, thrust_results
from geometry.standing import AS_MEASURED, Stand, Stands, axle_to_road
from geometry.vectors import Array

COLUMNS: Final = 2048
"""Poses that are solved at once: as many as the processor's cache holds the arrays of."""


@quietly
def pose_many(
    axles: ManyLeaves,
    travel: Array,
    roll: Array,
    keys: Collection[str] | None = None,
    stands: Stands | None = None,
) -> tuple[Results, Array]:
    """Return results of every axle in the same poses by key, (m, n), and where they are reached.

    NaN where a pose isn't reached or an axle can't be put together.

    Parameters
    ----------
    axles
        The m axles.
    travel
        Of the axle's middle [mm], + bump, shape (n,), or (m, n) where each has its own.
    roll
        Of the body [rad], + to its right, shape (n,) or (m, n).
    keys
        Results that are wanted; None gives all. They are worked out together.
    stands
        Where the m cars stand: travel counts from there and the side view is to the road. None at
        the measured height.
    """
    shape = axles.sound.size, np.broadcast_shapes(travel.shape, roll.shape)[-1]
    heights = 0.0 if stands is None else stands.travel[:, None]
    travel, roll = np.broadcast_to(travel + heights, shape), np.broadcast_to(roll, shape)
    values: Results = {}
    reached = np.zeros(shape, dtype=bool)
    sound = np.flatnonzero(axles.sound)
    size = max(1, COLUMNS // max(shape[1], 1))
    for start in range(0, sound.size, size):
        cars = sound[start : start + size]
        own_stands = None if stands is None else chosen(stands, shape[0], cars)
        posed, good = _together(_some(axles, cars), travel[cars], roll[cars], own_stands)
        for place in np.flatnonzero(~good.all(axis=1)).tolist():
            car = int(cars[place])
            stand = AS_MEASURED if stands is None else stands.of(car)
            one, good[place] = _alone(axles.alone(car), travel[car], roll[car], stand)
            for key, value in one.items():
                posed[key][place] = value
        reached[cars] = good
        for key, value in posed.items():
            if keys is None or key in keys:
                whole = values.setdefault(key, np.full((shape[0], *value.shape[1:]), np.nan))
                whole[cars] = np.where(good if value.ndim == 2 else good[:, None], value, np.nan)
    return values, reached


def _some(axles: ManyLeaves, cars: NDArray[np.intp]) -> ManyLeaves:
    """Return some of the axles, in numbers alone."""
    numbers = axles.car, axles.packs, axles.springs
    car, packs, springs = chosen(numbers, axles.sound.size, cars)
    return ManyLeaves(car, (), packs, springs, axles.sound[cars])


def _alone(
    rear: LeafRear, travel: Array, roll: Array, stand: Stand = AS_MEASURED
) -> tuple[Results, Array]:
    """Solve one axle's poses by itself, each on its own where the body leans."""
    values: Results = {}
    reached = np.zeros(travel.shape, dtype=bool)
    level = np.flatnonzero(roll == 0.0)
    runs = [(level, 0.0)] if level.size else []
    runs += [(np.array([place]), float(roll[place])) for place in np.flatnonzero(roll).tolist()]
    for places, lean in runs:
        try:
            posed, good, poses = rear.bounce(travel[places])
            if lean:
                leant, stands, poses = rear.lean(np.array([lean]), float(travel[places[0]]))
                leant |= leaning_thrust(posed, leant["axle_steer"], rear.track)
                posed, good = posed | leant, good & stands
            if not stand.is_as_measured:
                posed = axle_to_road(posed, (poses.x, poses.z), rear.car, stand)
        except ShackleOutOfReach:
            continue
        reached[places] = good
        for key, value in posed.items():
            shape = (*value.shape[:-1], travel.size)
            values.setdefault(key, np.full(shape, np.nan))[..., places] = value
    return values, reached


def _together(
    axles: ManyLeaves, travel: Array, roll: Array, stands: Stands | None = None
) -> tuple[Results, Array]:
    """Solve poses of axles, (m, n); where one isn't reached its numbers mean nothing."""
    count, times = travel.shape
    springs = axles.springs
    aside = 0.5 * _spring_base(axles.car)[:, None] * np.abs(np.sin(roll))
    design = design_beyond(springs, travel - aside, travel + aside)
    base_rates = roll_wheel_rate(springs.rates, _spring_base(axles.car), _track(axles.car))
    many = axles.car, axles.packs, springs, design, base_rates
    cars, packs, springs, design, stiffness = repeated(many, count, times)
    loop, zero, flat = springs.loop, springs.datum, travel.ravel()
    path, good = path_to(loop, design, zero, flat)
    values = level_results(cars, loop, path)
    values |= {"wheel_travel": flat, "roll_wheel_rate": stiffness}
    followed = []
    if cars.load is not None:
        followed = [_followed(packs, springs, path, cars.load, model) for model in Model]
    base, track = _spring_base(cars), _track(cars)
    snubbers = _snubbers(cars, springs)
    if snubbers is not None:
        share = (base / track) ** 2
        followed = with_snubbers(values, followed, snubbers, path, share)
    values |= ride_results(cars, followed)
    fixed = bolted_on(cars)
    values |= level_housing(path, values["pinion_angle"], fixed, snubbers)
    ahead = _right_ahead(axles, path, zero, times)
    values |= thrust_results(ahead, base, track, cars.front_ahead)
    hub = path.wheel_x, path.wheel_z
    if roll.any():
        leant, sides, closes = _leant(
            (loop, design, zero), flat, roll.ravel(), base, cars.tyre_radius
        )
        if snubbers is not None:
            seats = [side.seat_z for side in sides]
            added, turn = in_roll(snubbers, seats, leant["pinion_angle"] - loop.pinion)
            leant["roll_wheel_rate"] = stiffness + share * added
            leant["pinion_angle"] = leant["pinion_angle"] + turn
        x, z = ((getattr(sides[0], n) + getattr(sides[1], n)) / 2 for n in ("wheel_x", "wheel_z"))
        hub = x, z
        turned = leant["pinion_angle"], roll.ravel(), leant["axle_steer"]
        leant |= leaning_housing((x, z, leant["axle_shift"]), turned, fixed)
        leant |= leaning_thrust(values, leant["axle_steer"], track)
        values |= leant
        good &= closes
    values = known_pinion(values, cars)
    if stands is not None and not stands.is_as_measured:
        values = axle_to_road(values, hub, cars, repeated(stands, count, times))
    return {key: by_car(value, count) for key, value in values.items()}, by_car(good, count)


def _spring_base(car: LeafCar) -> Array:
    return 2.0 * np.abs(car.moved.centre_bolt[1])


def _track(car: LeafCar) -> Array:
    return 2.0 * np.abs(car.moved.wheel_centre[1])


def _right_ahead(axles: ManyLeaves, path: LeafPath, zero: tuple[Array, Array], times: int) -> Array:
    """Return how far each right spring holds its axle ahead of the left one [mm]."""
    loop, count = axles.springs.right_loop, axles.sound.size
    if loop is None or axles.car.right is None:
        return np.zeros_like(path.travel)
    springs = replace(axles.springs, loop=loop, start=start_of(loop))
    design = design_beyond(springs, path.travel.reshape(count, times))
    right, good = path_to(*repeated((loop, design), count, times), zero, path.travel)
    ahead = right.wheel_x - path.wheel_x
    if axles.car.right.is_own:
        base, track = _spring_base(axles.car), _track(axles.car)
        stagger = axles.car.right.points.wheel_centre[0] - axles.car.points.wheel_centre[0]
        ahead = ahead + np.repeat((base / track - 1.0) * stagger, times)
    return np.where(good, ahead, np.nan)


def _followed(
    packs: ManyPacks, springs: Springs, path: LeafPath, load: Any, model: Model
) -> SpringOnCar:
    """Follow each pack's load and rate along its poses, by one model."""
    lever = deflection_per_curvature(springs.loop)
    free = free_changes(packs, springs.loop, springs.start, load, model)
    deflection = lever * (free - path.curvature_change)
    carried = packs.loads(deflection, model), packs.rates_at(deflection, model)
    return along_path(path, lever, free, *carried)


def _snubbers(cars: LeafCar, springs: Springs) -> Snubbers | None:
    """Return the snubbers of every axle, None without bars: `LeafRear.snubbers`."""
    bars, start, rates = cars.bars, springs.start, springs.rates
    if bars is None:
        return None
    height, angle = start.seat_z, start.seat_angle
    touch = tip_height(bars.length, height, angle)
    if cars.gap_as_measured:
        set_at = tip_height(bars.length, springs.seat_height, springs.seat_angle)
        touch = np.where(touch - (bars.gap + set_at) > LEAST_PRESSED, touch, set_at)
    turning = rates.front * rates.front_arm**2 + rates.rear * rates.rear_arm**2
    return Snubbers(bars.length, touch + bars.gap, bars.stiffness, turning)


def _leant(
    spring: tuple[LeafLoop, Design, tuple[Array, Array]],
    travel: Array,
    roll: Array,
    base: Array,
    tyre_radius: Any,
) -> tuple[Results, list[HeldSide], Array]:
    """Lean the body over each axle, as `geometry.leaf.roll.leaf_roll` does one; sides alike.

    Returns results, both sides, and the poses reached.
    """
    loop = spring[0]
    lever = 0.5 * base * np.sin(roll)
    (left, near), (right, far) = (path_to(*spring, travel + way * lever) for way in (-1.0, 1.0))
    pinion = (left.pinion + right.pinion) / 2
    every = np.arange(roll.size)
    sides = [held_side(loop, path, every, pinion) for path in (left, right)]
    centre, leaf, shift = centres_and_shift(sides, roll, tyre_radius)
    steer = np.arcsin((sides[1].wheel_x - sides[0].wheel_x) / base)
    values: Results = {
        "axle_steer": steer,
        "pinion_angle": pinion,
        "axle_shift": shift,
        "roll_centre_height": centre,
        "roll_centre_other": leaf,
    }
    return values, sides, near & far & sides[0].closes & sides[1].closes
