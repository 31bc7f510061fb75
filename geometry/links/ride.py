"""What an axle on links makes of the car's mass: anti-squat, anti-lift, ride, settled height."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np

from geometry.errors import CoilsNeverCarry
from geometry.links.axle import LinkAxle
from geometry.links.poses import AxlePoses, check_reachable, placed, solve_poses
from geometry.links.ride_rates import push_and_rate
from geometry.numeric import first_of_each, quietly
from geometry.vectors import Array, Scalar

_SETTLED: Final = 1e-4  # last step, whose square over a link's length is left [mm]: rounding
_MOST_STEPS: Final = 30
_READ_OFF: Final = 1e-8  # last term of an interpolation, of which the next leaves nothing [mm]


class Carried(NamedTuple):
    """What coils and links carry of the car in level poses, both wheels together; NaN where lost.

    Parameters
    ----------
    travel
        Of the axle's centre from the measured height [mm], + in bump, shape (n,).
    push, rate
        Load carried [N] and how fast that grows with travel [N/mm], shape (n,).
    """

    travel: Array
    push: Array
    rate: Array


def carried(poses: AxlePoses) -> Carried:
    """Return what is carried in level poses."""
    return Carried(poses.travel, *push_and_rate(poses))


def anti_squat(support: Array, wheelbase: float, centre_of_gravity_height: float) -> Array:
    """Return the share of squat that the links carry under drive at this axle [%], shape (n,).

    Parameters
    ----------
    support
        Height over distance of the side-view centre from the contact point (no unit), shape (n,).
    wheelbase, centre_of_gravity_height
        Of the car [mm].

    References
    ----------
    100·(h_ic/d)/(h/ℓ): Milliken & Milliken ch. 17; Gillespie ch. 7 (both from memory).
    """
    return 100.0 * support * wheelbase / centre_of_gravity_height


def anti_lift(
    support: Array, wheelbase: float, centre_of_gravity_height: float, brake_share: float
) -> Array:
    """Return the share of the rear's lift that the links carry under braking [%], shape (n,).

    The same with the axle's share of the braking, from 0 to 1; the brakes act on the axle.

    Parameters
    ----------
    support
        Height over distance of the side-view centre from the contact point, shape (n,).
    wheelbase, centre_of_gravity_height
        Of the car [mm].
    brake_share
        Of the braking force at this axle, 0 to 1.
    """
    return brake_share * anti_squat(support, wheelbase, centre_of_gravity_height)


def ride_frequency(wheel_rate: Scalar, sprung_mass: float, tyre_rate: float | None) -> Array:
    """Return the undamped ride frequency of a corner [Hz].

    Parameters
    ----------
    wheel_rate
        Both parts together [N/mm], any shape.
    sprung_mass
        Of the corner [kg].
    tyre_rate
        In series with the wheel rate [N/mm]; None for a rigid tyre.

    References
    ----------
    Gillespie eq. 5-9 ff. (from memory).
    """
    rate = np.asarray(wheel_rate, dtype=float)
    if tyre_rate is not None:
        rate = rate * tyre_rate / (rate + tyre_rate)
    safe = np.where(rate > 0.0, rate, np.nan)  # a negative rate has no frequency
    return np.asarray(np.sqrt(1000.0 * safe / sprung_mass) / (2.0 * math.pi))


def settled_travel(axle: LinkAxle, load: float, near: float = 0.0) -> float:
    """Return the travel at which the coils carry a load, the sum of both wheels [mm], + in bump.

    Parameters
    ----------
    axle
        The axle.
    load
        On both wheels [N].
    near
        Travel from which to search [mm].

    Raises
    ------
    AxleUnreachable
        When the axle would have to leave its reach on the way.
    CoilsNeverCarry
        When no height is found that carries the load.
    """
    travel = near
    for _ in range(_MOST_STEPS):
        poses = solve_poses(axle, travel, 0.0)
        check_reachable(poses)
        step = float(settling_step(carried(poses), load)[0])
        travel += step
        if abs(step) < _SETTLED:
            return travel
    raise CoilsNeverCarry(load)


@quietly
def settled_by_energy(poses: AxlePoses, load: float) -> float | None:
    """Return the same from what coils and links store in level poses that are evenly apart [mm].

    The car stands where it and its springs have the least energy: at the minimum of the polynomial
    through ten poses. None where the rate isn't positive all the way, where no pose stands beyond
    the height, or where the polynomial through eight of the poses says something else; and at the
    measured height, where a car stands to rounding or doesn't.

    Parameters
    ----------
    poses
        n level poses, their travel rising.
    load
        On both wheels [N].

    References
    ----------
    Minimum of the potential energy; its derivative is `push_and_rate`'s push, since the links' own
    energy is least over the other coordinates.
    """
    at = poses.travel
    if at.size < _FITTED or not poses.reachable.all():
        return None
    step = float(at[-1] - at[0]) / (at.size - 1)
    if not (np.abs(np.diff(at) - step) < 1e-9).all():
        return None
    energy = _stored(poses) - load * at
    slope = np.diff(energy)
    if not ((np.diff(slope) > 0.0).all() and slope[0] < 0.0 < slope[-1]):
        return None
    lowest = int(slope.searchsorted(0.0))
    first = min(max(lowest - _FITTED // 2, 0), at.size - _FITTED)
    near = energy[first : first + _FITTED] - energy[lowest]
    slopes, rough_slopes = (_OF_SLOPE @ near).tolist(), (_OF_ROUGH_SLOPE @ near[1:-1]).tolist()
    middle = first + 0.5 * (_FITTED - 1)
    place = _root(slopes, lowest - middle)
    if place is None:
        return None
    travel = float(at[0]) + step * (middle + place)
    off = step * _at(rough_slopes, place) / _at(_slopes_of(slopes), place)
    in_range = at[0] <= travel <= at[-1]
    return travel if in_range and abs(travel) > _AT_HEIGHT and abs(off) < _ROUGH else None


def _stored(poses: AxlePoses) -> Array:
    """Return what coils and links store [N·mm], (n,)."""
    axle = poses.axle
    coils, rates = (axle.coil_left, axle.coil_right), [each.rate for each in axle.links.values()]
    stored = 0.5 * (poses.stretch**2 @ np.array(rates))
    for coil in coils:
        reach = placed(poses, coil.axle) - np.array(coil.body)
        squeezed = coil.free_length - np.sqrt((reach * reach).sum(axis=1))
        stored += (0.5 * coil.rate) * squeezed**2
    return np.asarray(stored)


def _root(slopes: list[float], start: float) -> float | None:
    """Return where a polynomial is zero, near a start; None where Newton's steps don't end."""
    place, bends = start, _slopes_of(slopes)
    for _ in range(_MOST_STEPS):
        turn = _at(bends, place)
        if not turn > 0.0:
            return None
        step = _at(slopes, place) / turn
        place -= step
        if abs(step) < 1e-11:
            return place
    return None


def _at(powers: list[float], place: float) -> float:
    value = 0.0
    for power in reversed(powers):
        value = value * place + power
    return value


def _slopes_of(powers: list[float]) -> list[float]:
    return [count * power for count, power in enumerate(powers)][1:]


def _slopes_through(count: int) -> Array:
    """Return what makes a polynomial's slope, lowest power first, of its values 1 apart."""
    nodes = np.arange(count) - 0.5 * (count - 1)
    powers = np.linalg.inv(np.vander(nodes, increasing=True))
    return powers[1:] * np.arange(1.0, count)[:, None]


_FITTED: Final = 10
_OF_SLOPE, _OF_ROUGH_SLOPE = _slopes_through(_FITTED), _slopes_through(_FITTED - 2)
_AT_HEIGHT: Final = 1e-3  # mm from the measured height: as good as on it
_ROUGH: Final = 1e-6  # mm by which two poses less may be off: with them it is a thousandth


def settled_between(level: Carried, load: float) -> float | None:
    """Return the travel at which the coils carry a load, read off level poses [mm].

    The travel over the load that lacks is interpolated through four poses, by values and slopes:
    poses 3 mm apart leave rounding. None where no pose stands beyond the height, where the load
    doesn't grow from pose to pose, or where the poses are too far apart for it.

    Parameters
    ----------
    level
        What is carried in level poses, in any order.
    load
        On both wheels [N].

    References
    ----------
    Hermite interpolation by divided differences with doubled nodes: any textbook of numerical
    analysis.
    """
    nearest = settling_place(level, load)
    if nearest is None:
        return None
    at, order = level.travel, None
    if not (at[1:] > at[:-1] + 1e-6).all():  # in any order, or one of them twice
        order = first_of_each(np.round(at, 6))
    place = nearest if order is None else int(np.abs(at[order] - at[nearest]).argmin())
    count = at.size if order is None else order.size
    first = min(max(place - 1, 0), max(count - 4, 0))
    chosen = slice(first, first + 4) if order is None else order[first : first + 4]
    travel, push, rate = (each[chosen].tolist() for each in level)
    lacking = [load - each for each in push]
    is_falling = all(after < before for before, after in pairwise(lacking))
    if len(travel) < 4 or not (is_falling and all(each > 0.0 for each in rate)):
        return None
    return _crossing(travel, lacking, [-each for each in rate])


def _crossing(travel: list[float], lacking: list[float], slope: list[float]) -> float | None:
    """Return the travel at which nothing lacks; None where the interpolation's last term counts."""
    nodes = [each for each in lacking for _ in range(2)]
    differences = [1.0 / slope[0]]
    for (at, after), (here, there), its_slope in zip(
        pairwise(travel), pairwise(lacking), slope[1:], strict=True
    ):
        differences += [(after - at) / (there - here), 1.0 / its_slope]
    total, term, share = travel[0], 0.0, 1.0
    for count in range(1, len(nodes)):
        share *= -nodes[count - 1]
        term = share * differences[0]
        total += term
        differences = [
            (after - before) / (nodes[place + count + 1] - nodes[place])
            for place, (before, after) in enumerate(pairwise(differences))
        ]
    return total if abs(term) < _READ_OFF else None


def settling_step(level: Carried, load: Scalar) -> Array:
    """Return Newton's step from each pose towards the height that carries a load [mm], (n,).

    Parameters
    ----------
    level
        What is carried in n level poses.
    load
        Load on the axle [N] that is to be carried.
    """
    return step_to(load, level.push, level.rate)


def step_to(load: Scalar, push: Array, rate: Array) -> Array:
    """Return the same from what is carried [N] and how fast that grows [N/mm], (n,).

    Parameters
    ----------
    load
        On the axle [N] that is to be carried.
    push, rate
        Of both wheels together, shape (n,).
    """
    return np.asarray(np.clip((load - push) / rate, -30.0, 30.0))


def settling_place(level: Carried, load: float) -> int | None:
    """Return the pose beside which the load rises past one, nearest to the measured height.

    Of coils that lie far over several heights carry the same load; the car stands where more
    travel brings more of it, and comes to the nearest such height. None where there is none among
    the poses.

    Parameters
    ----------
    level
        What is carried over level poses.
    load
        On both wheels [N].
    """
    order = np.argsort(level.travel)
    travel, lacking = level.travel[order], load - level.push[order]
    rises = np.flatnonzero((lacking[:-1] > 0.0) & (lacking[1:] <= 0.0))  # a lost pose is neither
    if not rises.size:
        return None
    share = lacking[rises] / (lacking[rises] - lacking[rises + 1])
    crossings = travel[rises] + share * (travel[rises + 1] - travel[rises])
    nearest = int(np.abs(crossings).argmin())
    return int(order[rises[nearest] + int(share[nearest] > 0.5)])
