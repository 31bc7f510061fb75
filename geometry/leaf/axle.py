"""The path of an axle on leaf springs in bounce.

Side view, body fixed: points are (x, z) with x forward and z up, angles + nose up. The loop behind
it is in `geometry.leaf.loop`.
"""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.dataclass import dataclass
from geometry.leaf.loop import LeafLoop, Point, Scalar, Seat, close_loop, wheel_of
from geometry.leaf.motion import loop_motion
from geometry.leaf.reach import (
    bisect_curvature,
    design_motion,
    design_wheel,
    ends_about,
    out_of_reach,
    travel_limits,
)
from geometry.vectors import Array

Mask = NDArray[np.bool_]

SHACKLE_MARGIN: Final = 0.5235987755982988
"""Angle to the line of the eyes under which a shackle is too near it [rad]: 30°, judgement."""

# Halley's steps from the design pose; two do in ordinary cases.
_MOST_STEPS: Final = 8
# Travel error whose correction, which leaves its third power, is exact to rounding [mm].
_LAST_STEP: Final = 1e-3
# Travel error above which a pose counts as not reached [mm].
_REACHED: Final = 1e-6


@dataclass(frozen=True)
class LeafPath:
    """Poses of one spring and its axle in bounce; arrays of shape (n,).

    Parameters
    ----------
    travel
        Of the wheel centre [mm], + in bump; the last reachable one where `reachable` is false.
    reachable
        Whether the loop closes there. Where it doesn't, every array repeats the nearest pose that
        does.
    curvature_change
        From design [1/mm].
    seat
        Where the seat and the rear eye are.
    wheel_x, wheel_z
        Wheel centre [mm].
    wheelbase_change
        [mm], + longer: the wheel has moved rearward.
    pinion
        Pinion angle [rad], + nose up.
    shackle_to_leaf
        At the rear eye, between the shackle and the line of the eyes [rad], 0 to π; the loop ends
        where the shackle comes into that line.
    slope
        Forward movement of the wheel centre per mm of travel.
    pitch_rate, pitch_change
        Turn of the seat per mm of travel [rad/mm], + nose up: -1/L_arm; and its change [rad/mm²].
    flattening, flattening_change
        First and second derivative of the curvature by travel [1/mm², 1/mm³].
    """

    travel: Array
    reachable: Mask
    curvature_change: Array
    seat: Seat
    wheel_x: Array
    wheel_z: Array
    wheelbase_change: Array
    pinion: Array
    shackle_to_leaf: Array
    slope: Array
    pitch_rate: Array
    pitch_change: Array
    flattening: Array
    flattening_change: Array

    def at(self, index: NDArray[np.intp] | slice) -> LeafPath:
        """Return some of the poses, or the same ones in another order."""
        taken = {field.name: getattr(self, field.name) for field in fields(self)}
        seat = Seat(*(array[index] for array in vars(taken.pop("seat")).values()))
        return LeafPath(seat=seat, **{name: array[index] for name, array in taken.items()})


def leaf_path(loop: LeafLoop, travel: ArrayLike, datum: Point | None = None) -> LeafPath:
    """Follow the axle through bounce.

    Parameters
    ----------
    loop
        The loop; kept parts on moved body points are ``replace(loop, front_eye=…)``.
    travel
        Of the wheel centre from the datum [mm], + in bump, shape (n,).
    datum
        Wheel centre at zero travel, (x, z) [mm]; None takes the pose at the design curvature.

    Raises
    ------
    ShackleOutOfReach
        None of the travels can be reached.
    """
    travel_asked = np.atleast_1d(np.asarray(travel, dtype=float))
    zero = design_wheel(loop) if datum is None else datum
    height = zero[1] + travel_asked
    design = Design(design_wheel(loop)[1], *design_motion(loop), *ends_about(loop, height))
    change = curvature_for(loop, height, design)
    path = path_at_curvature(loop, change, zero)
    good = arrived(path, travel_asked)
    if good.all():
        return path
    # Near an end of the loop steps may miss what bisection finds; beyond it there is nothing.
    low, high = travel_limits(loop, zero[1])
    missed = ~good & (travel_asked >= low) & (travel_asked <= high)
    if missed.any():
        change[missed] = bisect_curvature(loop, zero[1] + travel_asked[missed])
        path = path_at_curvature(loop, change, zero)
        good = arrived(path, travel_asked)
    return replace(path.at(_nearest_good(loop, good, travel_asked, zero[1])), reachable=good)


def path_at_curvature(loop: LeafLoop, change: Array, datum: Point | None = None) -> LeafPath:
    """Describe poses given by their change of curvature from design [1/mm], shape (n,).

    Parameters
    ----------
    loop
        The loop of the spring.
    change
        Of the curvature from design [1/mm], shape (n,).
    datum
        Wheel centre at zero travel, (x, z) [mm]; None takes the pose at design.
    """
    x_0, z_0 = design_wheel(loop) if datum is None else datum
    seat = close_loop(loop, change)
    motion = loop_motion(loop, change, seat)
    x, z = wheel_of(loop, seat.x, seat.z, seat.angle)
    flattening = 1.0 / motion.wheel.imag
    flattening_change = -motion.wheel_second.imag * flattening**3
    return LeafPath(
        travel=z - z_0,
        reachable=np.abs(seat.reach) < 1.0,
        curvature_change=change,
        seat=seat,
        wheel_x=x,
        wheel_z=z,
        wheelbase_change=x_0 - x,
        pinion=seat.angle + loop.pinion,
        shackle_to_leaf=_shackle_to_eyes(loop, seat),
        slope=motion.wheel.real * flattening,
        pitch_rate=motion.turn * flattening,
        pitch_change=motion.turn_second * flattening**2 + motion.turn * flattening_change,
        flattening=flattening,
        flattening_change=flattening_change,
    )


class Design(NamedTuple):
    """Where a loop starts from and how far it reaches; numbers, or arrays of several loops'.

    Parameters
    ----------
    height
        Of the wheel centre at the design curvature [mm].
    slope, second
        How it changes with curvature, twice [mm², mm³].
    low, high
        Changes of curvature at the lowest and the highest travel that closes [1/mm].
    """

    height: Scalar
    slope: Scalar
    second: Scalar
    low: Scalar
    high: Scalar


def curvature_for(loop: LeafLoop, height: Array, design: Design) -> Array:
    """Change of curvature that brings the wheel centre to a height, shape (n,).

    It stays within the loop's reach: heights beyond lead to its ends.

    Parameters
    ----------
    loop
        The loop of one side.
    height
        Height of the wheel centre in body axes [mm], shape (n,).
    design
        Height at the design pose [mm], its first and second derivative by the change of
        curvature, and the lowest and highest change at which the loop closes [1/mm].
    """
    at_design, slope, second, low, high = design
    step = (height - at_design) / slope
    change = np.clip(step - 0.5 * second / slope * step**2, high, low)
    for _ in range(_MOST_STEPS):
        seat = close_loop(loop, change)
        miss = height - wheel_of(loop, seat.x, seat.z, seat.angle)[1]
        motion = loop_motion(loop, change, seat)
        step = miss / motion.wheel.imag
        bend = 0.5 * motion.wheel_second.imag / motion.wheel.imag
        change = np.clip(change + step / (1.0 + bend * step), high, low)
        if np.abs(miss).max(initial=0.0) < _LAST_STEP:
            break
    return change


def arrived(path: LeafPath, travel_asked: Array) -> Mask:
    """Whether the loop closes in each pose, at the travel that was wanted.

    Parameters
    ----------
    path
        What the loop reached, n poses.
    travel_asked
        Wheel travel that was wanted [mm], bump positive, shape (n,).
    """
    good: Mask = path.reachable & (np.abs(path.travel - travel_asked) < _REACHED)
    return good


def _nearest_good(loop: LeafLoop, good: Mask, travel_asked: Array, z_0: float) -> NDArray[np.intp]:
    """Index of the nearest travel that can be reached, for every travel."""
    places = np.flatnonzero(good)
    if not places.size:
        raise out_of_reach(loop, float(travel_asked[np.argmin(np.abs(travel_asked))]), z_0)
    nearest: NDArray[np.intp] = places[
        np.argmin(np.abs(travel_asked[:, None] - travel_asked[places]), axis=1)
    ]
    return nearest


def _shackle_to_eyes(loop: LeafLoop, seat: Seat) -> Array:
    """Return the shackle's angle to the line of the eyes [rad]."""
    along = seat.eye_x - loop.shackle_pivot[0]
    up = seat.eye_z - loop.shackle_pivot[1]
    eyes_x, eyes_z = seat.eye_x - loop.front_eye[0], seat.eye_z - loop.front_eye[1]
    cross = eyes_x * up - eyes_z * along
    dot = eyes_x * along + eyes_z * up
    return np.asarray(np.arctan2(loop.side * cross, dot))
