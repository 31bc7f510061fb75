"""Many axles on links, alike in what they have, through the kernel together.

What the kernel does for the poses of one axle it does as well where each pose has an axle of its
own: many axles in many poses are laid out one behind the other.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import Any, Final, TypeVar, cast

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.full_loads import FULL_LOADS, full_load_results
from geometry.links.car import LinkCar, LinkRear, LinkReference, Results
from geometry.links.energy import link_arrays
from geometry.links.hop import link_hop
from geometry.links.poses import AxlePoses, solve_poses, states
from geometry.links.results import LinkAxleResults, link_axle_results
from geometry.links.ride import carried, step_to
from geometry.links.ride_rates import push_and_rate
from geometry.modes.hop import HOP_RESULTS, hop_results
from geometry.numeric import FARTHEST, quietly
from geometry.rows import arrays_in, by_car, changed, chosen, repeated
from geometry.standing import Stands, axle_to_road
from geometry.vectors import Array

Held = TypeVar("Held")

COLUMNS: Final = 1024
"""Poses that are solved at once: as many as the processor's cache holds the arrays of."""

_MOST_STEPS: Final = 15
_SETTLED: Final = 1e-4  # mm: last step, whose square over a link's length is left
_ALIKE: Final = 5.0  # mm between ends of links of which one's poses lead to the other's
_MANY: Final = 4  # axles for which it pays to solve one of them first
_BETWEEN: Final = np.linspace(0.0, 1.0, 7)


@dataclass(frozen=True)
class ManyLinks:
    """Axles on links put together.

    Parameters
    ----------
    rear
        The m axles as one, every number an array of shape (m,).
    sound
        Which of them can be put together, shape (m,); what is said of others means nothing.
    """

    rear: LinkRear
    sound: Array


@quietly
def build_many(car: LinkCar, measured: ManyLinks | LinkReference | None = None) -> ManyLinks:
    """Put many link axles together; measured cars make their own references.

    Parameters
    ----------
    car
        The m cars as one, every number an array of shape (m,).
    measured
        The measured cars, as many or one for all, or what such ones would fix; None where `car`
        holds them.
    """
    count = car.axle.tyre_radius.size  # type: ignore[attr-defined]
    zero = np.zeros(count)
    at_rest = link_axle_results(solve_poses(car.axle, zero, zero))
    sound = at_rest.poses.reachable & _on_one_car(car, count)
    if measured is None:
        free = _free_of_load(car, at_rest) if car.has_coils else None
        reference = LinkReference(free, car.free_given)
    else:
        reference = measured if isinstance(measured, LinkReference) else measured.rear.reference
        if isinstance(measured, ManyLinks):
            sound = sound & measured.sound
        free = reference.free
        if free is not None and car.free_given is not None and reference.free_given is not None:
            free = free + car.free_given - reference.free_given
    return ManyLinks(LinkRear(_with_free(car, free, count), reference), sound)


def _on_one_car(car: LinkCar, count: int) -> Array:
    """Return which cars' points lie on one car [mm]."""
    places = np.array([np.broadcast_to(value, (count,)) for value in arrays_in(car.axle)])
    return np.asarray((np.abs(places) < FARTHEST).all(axis=0))


def _free_of_load(car: LinkCar, at_rest: LinkAxleResults) -> Any:
    """Weigh the coils: their free lengths are what carries the load, else those given [mm]."""
    if car.load is None:
        return car.free_given
    ratio, length = at_rest.coils.bounce_ratio, at_rest.coils.length
    compressed = 2.0 * car.load / car.axle.coil_left.rate  # times their ratios, by virtual work
    return (compressed + (ratio * length).sum(axis=1)) / ratio.sum(axis=1)


def _with_free(car: LinkCar, free: Any, count: int) -> LinkCar:
    if free is None:
        return car
    free_length: Any = np.broadcast_to(free, (count,))
    left, right = (
        replace(coil, free_length=free_length) for coil in (car.axle.coil_left, car.axle.coil_right)
    )
    return replace(car, axle=replace(car.axle, coil_left=left, coil_right=right))


@quietly
def pose_many(
    axles: ManyLinks,
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
        Of the axle's centre [mm], + bump, shape (n,), or (m, n) where each has its own.
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
    values: Results = {}
    reached = np.zeros(shape, dtype=bool)
    for cars, rear, poses in _posed(axles, np.broadcast_to(travel + heights, shape), roll):
        solution = link_axle_results(poses)
        results, reached_block = rear.values(solution)
        if stands is not None and not stands.is_as_measured:
            own_stands = repeated(chosen(stands, shape[0], cars), cars.size, shape[1])
            centre = solution.poses.centre
            results = axle_to_road(results, (centre[:, 0], centre[:, 2]), rear.car, own_stands)
        reached[cars] = by_car(reached_block, cars.size) & axles.sound[cars, None]
        for key, value in results.items():
            if keys is None or key in keys:
                rows = by_car(value, cars.size)
                whole = values.setdefault(key, np.empty((shape[0], *rows.shape[1:])))
                good = reached[cars] if rows.ndim == 2 else reached[cars][:, None]
                whole[cars] = np.where(good, rows, np.nan)
    return values, reached


def _posed(
    axles: ManyLinks, travel: Array, roll: Array
) -> Iterator[tuple[Array, LinkRear, AxlePoses]]:
    """Solve poses, (m, n), part by part: which axles, each as often as it has poses, and those."""
    count, times = travel.shape
    lean = np.broadcast_to(roll, travel.shape)
    size = max(1, COLUMNS // max(times, 1))
    near = _near(axles, travel, lean)
    for start in range(0, count, size):
        cars = np.arange(start, min(start + size, count))
        some = repeated(chosen(axles.rear, count, cars), cars.size, times)
        guess = None if near is None else np.tile(near, (cars.size, 1))
        yield cars, some, solve_poses(some.axle, travel[cars].ravel(), lean[cars].ravel(), guess)


def _near(axles: ManyLinks, travel: Array, roll: Array) -> Array | None:
    """Return states of one of m axles in its poses, (n, 4), from which all can set out.

    None where they are few, or aren't much alike. What is measured again is, and needs no walk of
    its own.

    Parameters
    ----------
    axles
        The m axles.
    travel, roll
        Their poses [mm], [rad], shape (m, n).
    """
    if axles.sound.size < _MANY:
        return None
    links = link_arrays(axles.rear.axle)
    ends = links.body, links.local, links.length
    if not axles.sound.any() or any((np.ptp(end, axis=-1) > _ALIKE).any() for end in ends):
        return None
    one = int(np.argmax(axles.sound))
    return states(solve_poses(_alone(axles, one).axle, travel[one], roll[one]))


@quietly
def settle_many(axles: ManyLinks) -> Array:
    """Return the travel at which each axle's coils carry the load [mm], (m,), NaN where none is.

    All take Newton's steps together; an axle whose load doesn't rise all the way there is looked at
    by itself.
    """
    travel = np.full(axles.sound.shape, np.nan)
    if axles.rear.car.load is None or not axles.rear.car.has_coils:
        return travel
    load = 2.0 * np.broadcast_to(axles.rear.car.load, travel.shape)
    travel, moving = np.zeros(travel.shape), axles.sound.copy()
    for _ in range(_MOST_STEPS):
        step = _steps(axles, travel[:, None], load)[:, 0]
        travel = np.where(moving, travel + step, travel)
        moving &= ~(np.abs(step) < _SETTLED)
        if not moving.any():
            break
    way = _steps(axles, travel[:, None] * _BETWEEN, load) * np.sign(travel)[:, None]
    straight = (way[:, :-1] > 0.0).all(axis=1) | (np.abs(travel) < _SETTLED)
    alone = axles.sound & (moving | ~straight | ~np.isfinite(travel))
    for place in np.flatnonzero(alone).tolist():
        travel[place] = _settled_alone(axles, place)
    return np.where(axles.sound, travel, np.nan)


@quietly
def hop_many(axles: ManyLinks, keys: Collection[str], heights: Array | None = None) -> Results:
    """Return results of the axles' modes where they stand by key, (m,), axle by axle.

    NaN where an axle has none.

    Parameters
    ----------
    axles
        The m axles.
    keys
        Results that are wanted; others are passed over.
    heights
        Where they stand, from the measured height [mm], shape (m,); None there.
    """
    values: Results = {}
    places = np.flatnonzero(axles.sound) if HOP_RESULTS & set(keys) else np.zeros(0, dtype=int)
    for place in places.tolist():
        rear = _alone(axles, place)
        height = np.zeros(1) if heights is None else heights[place : place + 1]
        hop = link_hop(rear.car, rear.solve(height, np.zeros(1)))
        for key, value in ({} if hop is None else hop_results(hop)).items():
            if key in keys:
                values.setdefault(key, np.full(axles.sound.shape, np.nan))[place] = value
    return values


@quietly
def stand_many(axles: ManyLinks, stands: Stands) -> ManyLinks:
    """Return axles of cars that stand there, on coils that hold them there if they must.

    Parameters
    ----------
    axles
        The m axles on the coils that they have.
    stands
        Where the m cars stand.
    """
    rear, count = axles.rear, axles.sound.size
    if stands.has_drop and rear.car.cg_height is not None:
        lower: Any = rear.car.cg_height - stands.drop
        rear = replace(rear, car=replace(rear.car, cg_height=lower))
    weighed = rear.reference.free is not None and rear.car.load is not None
    if stands.is_held and weighed and rear.car.has_coils:
        there = link_axle_results(solve_poses(rear.car.axle, stands.travel, np.zeros(count)))
        rear = replace(rear, car=_with_free(rear.car, _free_of_load(rear.car, there), count))
    return replace(axles, rear=rear)


def full_loads_many(axles: ManyLinks, keys: Collection[str]) -> Results:
    """Return full drive and full braking of the axles by key [N], (m,), axle by axle.

    Parameters
    ----------
    axles
        The m axles.
    keys
        Results that are wanted; others are passed over.
    """
    values: Results = {}
    load_keys = FULL_LOADS & set(keys)
    for place in np.flatnonzero(axles.sound).tolist() if load_keys else ():
        forces = full_load_results(_alone(axles, place).car)
        for key in load_keys & forces.keys():
            values.setdefault(key, np.full(axles.sound.shape, np.nan))[place] = forces[key]
    return values


def _alone(axles: ManyLinks, place: int) -> LinkRear:
    """Return one of the axles by itself."""
    return _numbers_of(axles.rear, axles.sound.size, place)


def _numbers_of(held: Held, count: int, place: int) -> Held:
    """Return what holds the numbers of one of `count` axles."""

    def number(array: Array) -> Any:
        return float(array[place] if array.size == count else array.item())

    return cast(Held, changed(held, number))


def _steps(axles: ManyLinks, travel: Array, load: Array) -> Array:
    """Return Newton's steps towards the height that carries a load [mm], (m, n)."""
    steps = np.empty(travel.shape)
    for cars, _, poses in _posed(axles, travel, np.zeros(1)):
        weight = np.repeat(load[cars], travel.shape[1])
        steps[cars] = step_to(weight, *push_and_rate(poses)).reshape(cars.size, -1)
    return steps


def _settled_alone(axles: ManyLinks, place: int) -> float:
    """Settle one axle on its level poses, as it is by itself."""
    rear = _alone(axles, place)
    level = np.linspace(-80.0, 80.0, 61)
    try:
        travel = rear.settled(carried(solve_poses(rear.axle, level, 0.0)))
    except GeometryError:
        return float(np.nan)
    return float(np.nan) if travel is None else travel
