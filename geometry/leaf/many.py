"""Many axles on leaf springs, in bounce and roll, through the kernel together.

They are put together and their poses solved at once, each pose with a loop of its own. What is odd
about one of them (a shackle at its end, poses out of reach) is left to that axle by itself, so that
it ends as it does alone.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.errors import GeometryError, ShackleOutOfReach
from geometry.leaf.axle import Design, LeafPath, arrived, curvature_for, path_at_curvature
from geometry.leaf.build import build_leaf, held_leaf
from geometry.leaf.car import LeafCar
from geometry.leaf.housing import bolted_on, known_pinion, leaning_housing, level_housing
from geometry.leaf.load import Model, PackStages
from geometry.leaf.loop import LeafLoop, close_loop, wheel_of
from geometry.leaf.many_build import (
    Springs,
    changed_springs,
    free_changes,
    measured_springs,
    start_of,
)
from geometry.leaf.many_packs import ManyPacks, many_packs
from geometry.leaf.reach import SEARCH, ends_of
from geometry.leaf.rear import LEAST_PRESSED, LeafRear, LeafReference
from geometry.leaf.results import Results, level_results, ride_results, with_snubbers
from geometry.leaf.ride import SpringOnCar, along_path, deflection_per_curvature, roll_wheel_rate
from geometry.leaf.roll import HeldSide, centres_and_shift, held_side
from geometry.leaf.snubbers import Snubbers, in_roll, tip_height
from geometry.numeric import quietly
from geometry.rows import arrays_in, by_car, changed, chosen, repeated, stacked
from geometry.squareness import leaning_thrust, thrust_results
from geometry.standing import AS_MEASURED, Stand, Stands, axle_to_road
from geometry.vectors import Array

COLUMNS: Final = 2048
"""Poses that are solved at once: as many as the processor's cache holds the arrays of."""


@dataclass(frozen=True)
class ManyLeaves:
    """Axles on leaf springs put together.

    Parameters
    ----------
    car
        The m cars as one, every number an array of shape (m,); its pack is that of one of them.
    stages, packs
        Their packs, one by one and side by side.
    springs
        Their springs where they stand.
    sound
        Which of them can be put together, shape (m,); what is said of others means nothing.
    """

    car: LeafCar
    stages: Sequence[PackStages]
    packs: ManyPacks
    springs: Springs
    sound: NDArray[np.bool_]

    @property
    def settled(self) -> Array | None:
        """Rises of the wheels until the packs carry their load [mm], (m,); None without a load."""
        springs = self.springs
        if springs.free is None:
            return None
        return np.where(self.sound, springs.start.z - springs.datum[1], np.nan)

    def alone(self, place: int) -> LeafRear:
        """Return one of the axles by itself."""

        def number(array: Array) -> Any:
            return array[..., place].item()

        stages, springs = self.stages[place], changed(self.springs, number)
        reference = _reference(springs)
        car = replace(changed(self.car, number), pack=stages.pack)
        return LeafRear(car, stages, springs.loop, reference, springs.stage, springs.right_loop)


def _reference(springs: Any) -> LeafReference:
    """Return what a measured car fixes, of springs with the numbers of one."""
    return LeafReference(
        springs.datum, springs.free, springs.arch, springs.seat_height, springs.seat_angle
    )


@quietly
def build_many(
    car: LeafCar, stages: Sequence[PackStages | None], measured: ManyLeaves | None = None
) -> ManyLeaves:
    """Put many leaf axles together; measured cars make their own references.

    Parameters
    ----------
    car
        The m cars as one, every number an array of shape (m,).
    stages
        Their packs, None of a car whose pack can't be.
    measured
        The measured cars, as many; None where `car` holds them.

    Raises
    ------
    GeometryError
        None can be: why the last can't.
    """
    held = [each for each in stages if each is not None]
    had = np.array([each is not None for each in stages])
    filled = [held[0] if each is None else each for each in stages]
    packs = many_packs(filled)
    if measured is None:
        springs, sound = measured_springs(car, packs)
    else:
        springs, sound = changed_springs(car, packs, measured.springs)
        had = had & measured.sound
    axles = ManyLeaves(car, filled, packs, springs, sound & had)
    reason: GeometryError | None = None
    for place in np.flatnonzero(~sound & had).tolist():
        try:
            axles = _with_one(axles, place, measured is None)
        except GeometryError as error:
            reason = error
    if reason is not None and not axles.sound.any():
        raise reason
    return axles


def _with_one(axles: ManyLeaves, place: int, is_measured: bool) -> ManyLeaves:
    """Return the axles with one that is put together by itself."""
    odd = axles.alone(place)
    return _put(axles, place, build_leaf(odd.car, None if is_measured else odd.reference))


def _put(axles: ManyLeaves, place: int, rear: LeafRear) -> ManyLeaves:
    """Return the axles with one that is as worked out by itself."""
    reference = rear.reference
    loop: LeafLoop = stacked([rear.loop], 1)
    own = Springs(
        loop=loop,
        start=start_of(loop),
        stage=np.array([rear.stage]),
        rates=stacked([rear.rates], 1),
        datum=stacked([reference.datum], 1),
        free=stacked([reference.free], 1),
        arch=stacked([reference.arch], 1),
        seat_height=np.array([reference.seat_height]),
        seat_angle=np.array([reference.seat_angle]),
        right_loop=stacked([rear.right_loop], 1),
    )
    numbers = arrays_in(own)

    def put(array: Array) -> Array:
        whole = array.copy()
        whole[place] = next(numbers)[0]
        return whole

    sound = axles.sound.copy()
    sound[place] = True
    return replace(axles, springs=changed(axles.springs, put), sound=sound)


@quietly
def stand_many(axles: ManyLeaves, stands: Stands) -> ManyLeaves:
    """Return axles of cars that stand there, on springs that hold them there if they must.

    Parameters
    ----------
    axles
        The m axles on the springs that they have.
    stands
        Where the m cars stand.
    """
    if stands.has_drop and axles.car.cg_height is not None:
        lower: Any = axles.car.cg_height - stands.drop
        axles = replace(axles, car=replace(axles.car, cg_height=lower))
    springs = axles.springs
    if not stands.is_held or springs.free is None:
        return axles
    path, there = _path(springs.loop, _design(springs, stands.travel), springs.datum, stands.travel)
    sag: Any = springs.loop.sag + path.curvature_change
    loop = replace(springs.loop, sag=sag)
    held = replace(springs, loop=loop, start=start_of(loop))
    stood = replace(axles, springs=held, sound=axles.sound & there)
    for place in np.flatnonzero(axles.sound & ~there).tolist():
        try:
            rear = held_leaf(axles.alone(place), float(stands.travel[place]))
        except GeometryError:
            continue
        stood = _put(stood, place, rear)
    return stood


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
        own = None if stands is None else chosen(stands, shape[0], cars)
        posed, good = _together(_some(axles, cars), travel[cars], roll[cars], own)
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
    design = _design(springs, travel - aside, travel + aside)
    base_rates = roll_wheel_rate(springs.rates, _spring_base(axles.car), _track(axles.car))
    many = axles.car, axles.packs, springs, design, base_rates
    cars, packs, springs, design, stiffness = repeated(many, count, times)
    loop, zero, flat = springs.loop, springs.datum, travel.ravel()
    path, good = _path(loop, design, zero, flat)
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
    design = _design(springs, path.travel.reshape(count, times))
    right, good = _path(*repeated((loop, design), count, times), zero, path.travel)
    ahead = right.wheel_x - path.wheel_x
    if axles.car.right.is_own:
        base, track = _spring_base(axles.car), _track(axles.car)
        stagger = axles.car.right.points.wheel_centre[0] - axles.car.points.wheel_centre[0]
        ahead = ahead + np.repeat((base / track - 1.0) * stagger, times)
    return np.where(good, ahead, np.nan)


def _design(springs: Springs, *travels: Array) -> Design:
    """Return where loops start from and how far they reach, beyond travels (m,) or (m, n)."""
    loop, start = springs.loop, springs.start
    rows = [travel.reshape(start.z.size, -1) for travel in travels]
    asked = springs.datum[1][:, None] + np.hstack(rows)
    wide = changed(loop, lambda array: array[:, None])
    ends = _ends(loop, 1)
    seat = close_loop(wide, ends)
    height = wheel_of(wide, seat.x, seat.z, seat.angle)[1]
    near = ~((height[:, :1] <= asked) & (asked <= height[:, 1:])).all(axis=1)
    if near.any():
        ends[near] = _ends(chosen(loop, start.z.size, near))
    return Design(start.z, start.slope, start.second, ends[:, 0], ends[:, 1])


def _ends(loop: LeafLoop, *passes: int) -> Array:
    """Return changes of curvature up to which loops close [1/mm], (m, 2): `reach.ends_of`."""
    wide = changed(loop, lambda array: array[:, None, None])
    last = np.array([1.0, -1.0]) * SEARCH / loop.length[:, None]  # type: ignore[index]
    return ends_of(wide, np.zeros_like(last), last, *passes)


def _path(
    loop: LeafLoop, design: Design, zero: tuple[Array, Array], travel: Array
) -> tuple[LeafPath, Array]:
    change = curvature_for(loop, zero[1] + travel, design)
    path = path_at_curvature(loop, change, zero)  # type: ignore[arg-type]
    return path, arrived(path, travel)


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
