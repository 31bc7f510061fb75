"""Many axles on leaf springs, in bounce and roll, through the kernel together.

Each is put together by itself, since its pack is worked out leaf by leaf and it settles by itself
(`geometry.leaf.rear.build_leaf`). Poses are then solved together, each with a loop of its own. An
axle that can't reach all its poses is solved by itself, so that it ends as it does alone.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np

from geometry.errors import ShackleOutOfReach
from geometry.leaf.axle import Design, LeafPath, arrived, curvature_for, path_at_curvature
from geometry.leaf.car import LeafCar
from geometry.leaf.housing import bolted_on, known_pinion, leaning_housing, level_housing
from geometry.leaf.load import HAIR, Model
from geometry.leaf.loop import LeafLoop, close_loop, wheel_of
from geometry.leaf.motion import loop_motion
from geometry.leaf.reach import SEARCH, ends_of
from geometry.leaf.rear import LeafRear
from geometry.leaf.results import Results, level_results, ride_results, with_snubbers
from geometry.leaf.ride import SpringOnCar, along_path, deflection_per_curvature, free_change
from geometry.leaf.roll import HeldSide, centres_and_shift, held_side
from geometry.leaf.snubbers import Snubbers, in_roll
from geometry.numeric import quietly
from geometry.rows import by_car, changed, chosen, repeated, stacked
from geometry.squareness import leaning_thrust, thrust_results
from geometry.standing import AS_MEASURED, Stand, Stands, axle_to_road
from geometry.vectors import Array

COLUMNS: Final = 2048
"""Poses that are solved at once: as many as the processor's cache holds the arrays of."""

_OF_CAR: Final = (
    *("tyre_radius", "wheelbase", "cg_height", "brake_share", "load", "tyre_rate", "front_ahead"),
)


@quietly
def pose_many(
    rears: Sequence[LeafRear | None],
    travel: Array,
    roll: Array,
    keys: Collection[str] | None = None,
    stands: Stands | None = None,
) -> tuple[Results, Array]:
    """Return results of every axle in the same poses by key, (m, n), and where they are reached.

    NaN where a pose isn't reached.

    Parameters
    ----------
    rears
        The m axles, alike in what they have; None for one that can't be put together.
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
    shape = len(rears), np.broadcast_shapes(travel.shape, roll.shape)[-1]
    heights = 0.0 if stands is None else stands.travel[:, None]
    travel, roll = np.broadcast_to(travel + heights, shape), np.broadcast_to(roll, shape)
    values: Results = {}
    reached = np.zeros(shape, dtype=bool)
    sound = [place for place, rear in enumerate(rears) if rear is not None]
    size = max(1, COLUMNS // max(shape[1], 1))
    for start in range(0, len(sound), size):
        cars = np.array(sound[start : start + size])
        some = [rear for rear in rears if rear is not None][start : start + size]
        own = None if stands is None else chosen(stands, shape[0], cars)
        posed, good = _together(some, travel[cars], roll[cars], own)
        for place in np.flatnonzero(~good.all(axis=1)).tolist():
            car = cars[place]
            stand = AS_MEASURED if stands is None else stands.of(int(car))
            one, good[place] = _alone(some[place], travel[car], roll[car], stand)
            for key, value in one.items():
                posed[key][place] = value
        reached[cars] = good
        for key, value in posed.items():
            if keys is None or key in keys:
                whole = values.setdefault(key, np.full((shape[0], *value.shape[1:]), np.nan))
                whole[cars] = np.where(good if value.ndim == 2 else good[:, None], value, np.nan)
    return values, reached


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
    rears: Sequence[LeafRear], travel: Array, roll: Array, stands: Stands | None = None
) -> tuple[Results, Array]:
    """Solve poses of axles, (m, n); where one isn't reached its numbers mean nothing."""
    count, times = travel.shape
    loops = _stacked([rear.loop for rear in rears])
    datum = np.array([rear.reference.datum for rear in rears])
    start = _designs(loops, count)
    loop, design = repeated((loops, start), count, times)
    zero = np.repeat(datum[:, 0], times), np.repeat(datum[:, 1], times)
    flat = travel.ravel()
    path, good = _path(loop, design, zero, flat)
    cars = _numbers_of([rear.car for rear in rears], times)
    stiffness = np.repeat([rear.roll_wheel_rate for rear in rears], times)
    values = level_results(cars, loop, path)
    values |= {"wheel_travel": flat, "roll_wheel_rate": stiffness}
    springs = []
    if rears[0].car.load is not None:
        springs = [_springs(rears, path, model, times) for model in Model]
    base = np.repeat([rear.spring_base for rear in rears], times)
    track = np.repeat([rear.track for rear in rears], times)
    snubbers = _snubbers(rears, times)
    if snubbers is not None:
        share = (base / track) ** 2
        springs = with_snubbers(values, springs, snubbers, path, share)
    values |= ride_results(cars, springs)
    fixed = stacked([bolted_on(rear.car) for rear in rears], times)
    values |= level_housing(path, values["pinion_angle"], fixed, snubbers)
    ahead = _right_ahead(rears, path, zero, times)
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


def _right_ahead(
    rears: Sequence[LeafRear], path: LeafPath, zero: tuple[Array, Array], times: int
) -> Array:
    """Return how far each right spring holds its axle ahead of the left one [mm]."""
    if all(rear.right_loop is None for rear in rears):
        return np.zeros_like(path.travel)
    loops = _stacked([rear.right_loop or rear.loop for rear in rears])
    loop, design = repeated((loops, _designs(loops, len(rears))), len(rears), times)
    right, good = _path(loop, design, zero, path.travel)
    offset = np.repeat([rear.right_offset for rear in rears], times)
    return np.where(good, right.wheel_x - path.wheel_x + offset, np.nan)


def _stacked(loops: Sequence[LeafLoop]) -> LeafLoop:
    """Return loops as one, its numbers arrays of shape (m,)."""
    values: dict[str, Any] = {}
    for name in LeafLoop.__dataclass_fields__:
        rows = np.array([getattr(loop, name) for loop in loops], dtype=float).T
        values[name] = tuple(rows) if rows.ndim == 2 else rows
    return LeafLoop(**values)


def _designs(loops: LeafLoop, count: int) -> Design:
    """Return where each loop starts from and how far it reaches, arrays of shape (m,)."""
    zero = np.zeros(count)
    seat = close_loop(loops, zero)
    motion = loop_motion(loops, zero, seat)
    height = wheel_of(loops, seat.x, seat.z, seat.angle)[1]
    wide = changed(loops, lambda array: array[:, None, None])
    last = np.array([1.0, -1.0]) * SEARCH / loops.length[:, None]  # type: ignore[index]
    low, high = ends_of(wide, np.zeros_like(last), last).T
    return Design(height, motion.wheel.imag, motion.wheel_second.imag, low, high)


def _path(
    loop: LeafLoop, design: Design, zero: tuple[Array, Array], travel: Array
) -> tuple[LeafPath, Array]:
    change = curvature_for(loop, zero[1] + travel, design)
    path = path_at_curvature(loop, change, zero)  # type: ignore[arg-type]
    return path, arrived(path, travel)


def _numbers_of(cars: Sequence[LeafCar], times: int) -> LeafCar:
    """Return the numbers that results read, each as often as its car has poses."""
    first = cars[0]
    stated = [name for name in _OF_CAR if getattr(first, name) is not None]
    numbers: dict[str, Any] = {
        name: np.repeat([getattr(car, name) for car in cars], times) for name in stated
    }
    return replace(first, **numbers)


def _springs(rears: Sequence[LeafRear], path: LeafPath, model: Model, times: int) -> SpringOnCar:
    """Follow each pack's load and rate along its poses, by one model."""
    lever = np.array([deflection_per_curvature(rear.loop) for rear in rears])
    free = np.array(
        [free_change(rear.stages, rear.loop, rear.car.load or 0.0, model) for rear in rears]
    )
    lever, free = np.repeat(lever, times), np.repeat(free, times)
    deflection = lever * (free - path.curvature_change)
    return along_path(path, lever, free, *_carried(rears, deflection, model, times))


def _carried(
    rears: Sequence[LeafRear], deflection: Array, model: Model, times: int
) -> tuple[Array, Array]:
    """Return each pack's load [N] and rate [N/mm] at deflections from free [mm].

    A pack with fewer stages than another has more that it never comes to.
    """
    most = max(rear.stages.contacts.size for rear in rears)
    contacts, rates = np.full((2, len(rears), most), np.inf)
    for place, rear in enumerate(rears):
        count = rear.stages.contacts.size
        contacts[place, :count] = rear.stages.contacts
        rates[place] = rear.stages.rates[model, -1]
        rates[place, :count] = rear.stages.rates[model]
    contacts, rates = np.repeat(contacts, times, axis=0), np.repeat(rates, times, axis=0)
    past = deflection[:, None] - contacts
    past[:, 1:] = np.maximum(past[:, 1:], 0.0)
    load = (past * np.diff(rates, axis=1, prepend=0.0)).sum(axis=1)
    stage = np.maximum((contacts <= deflection[:, None] + HAIR).sum(axis=1) - 1, 0)
    return load, np.take_along_axis(rates, stage[:, None], axis=1)[:, 0]


def _snubbers(rears: Sequence[LeafRear], times: int) -> Snubbers | None:
    """Return the snubbers of every axle, each as often as it has poses, None without bars."""
    each = [rear.snubbers for rear in rears if rear.snubbers is not None]
    if len(each) < len(rears):
        return None
    return Snubbers(
        **{
            name: np.repeat([getattr(snubbers, name) for snubbers in each], times)
            for name in Snubbers.__dataclass_fields__
        }
    )


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
    (left, near), (right, far) = (_path(*spring, travel + way * lever) for way in (-1.0, 1.0))
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
