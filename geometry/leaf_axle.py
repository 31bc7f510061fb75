"""The path of an axle on leaf springs in bounce.

Side view, body fixed: points are (x, z) with x forward and z up, angles + nose up. The loop behind
it is in `geometry.leaf_loop`.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.leaf_loop import LeafLoop, Point, Seat, close_loop, wheel_of
from geometry.leaf_reach import bisect_curvature, design_wheel, out_of_reach, travel_limits

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

SHACKLE_MARGIN: Final = 0.5235987755982988
"""Angle to the line of the eyes under which a shackle is too near it [rad]: 30°, judgement."""
SHACKLE_AT_RIDE: Final = (1.0471975511965976, 1.5707963267948966)
"""Usual angle of a shackle to the line of the eyes at ride [rad]: 60 to 90°, common practice."""

# Step of the central difference in the dimensionless curvature κ·L, where rounding and truncation
# are both below 1e-9.
_STEP: Final = 1e-4
# Newton steps from the design pose; three or four do in ordinary cases.
_NEWTON_STEPS: Final = 6
# Travel error whose correction, being quadratic, is exact to rounding [mm].
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
    shackle_lean
        From the vertical [rad], + with the spring's end rearward of the body pivot.
    shackle_to_leaf
        At the rear eye, between the shackle and the line of the eyes [rad], 0 to π; the loop ends
        where the shackle comes into that line.
    slope
        Forward movement of the wheel centre per mm of travel.
    pitch_rate
        Turn of the seat per mm of travel [rad/mm], + nose up: -1/L_arm.
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
    shackle_lean: Array
    shackle_to_leaf: Array
    slope: Array
    pitch_rate: Array
    flattening: Array
    flattening_change: Array

    def at(self, index: NDArray[np.intp] | slice) -> LeafPath:
        """Return some of the poses, or the same ones in another order."""
        taken = {each.name: getattr(self, each.name) for each in fields(self)}
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
    wanted = np.atleast_1d(np.asarray(travel, dtype=float))
    zero = design_wheel(loop) if datum is None else datum
    change = _curvature_for(loop, zero[1] + wanted)
    path = path_at_curvature(loop, change, zero)
    good = _arrived(path, wanted)
    if good.all():
        return path
    # Near an end of the loop Newton may miss what bisection finds; beyond it there is nothing.
    low, high = travel_limits(loop, zero[1])
    missed = ~good & (wanted >= low) & (wanted <= high)
    if missed.any():
        change[missed] = bisect_curvature(loop, zero[1] + wanted[missed])
        path = path_at_curvature(loop, change, zero)
        good = _arrived(path, wanted)
    return replace(path.at(_nearest_good(loop, good, wanted, zero[1])), reachable=good)


def path_at_curvature(loop: LeafLoop, change: Array, datum: Point | None = None) -> LeafPath:
    """Describe poses given by their change of curvature from design [1/mm], shape (n,)."""
    x_0, z_0 = design_wheel(loop) if datum is None else datum
    step = _STEP / loop.length
    near = close_loop(loop, change + np.array([[0.0], [step], [-step]]))
    x, z = wheel_of(loop, near.x, near.z, near.angle)
    seat = Seat(*(array[0] for array in vars(near).values()))
    lean, to_leaf = shackle_angles(loop, seat)
    rise = z[1] - z[2]
    flattening = 2 * step / rise
    return LeafPath(
        travel=z[0] - z_0,
        reachable=np.abs(seat.reach) < 1.0,
        curvature_change=change,
        seat=seat,
        wheel_x=x[0],
        wheel_z=z[0],
        wheelbase_change=x_0 - x[0],
        pinion=seat.angle + loop.pinion,
        shackle_lean=lean,
        shackle_to_leaf=to_leaf,
        slope=(x[1] - x[2]) / rise,
        pitch_rate=(near.angle[1] - near.angle[2]) / rise,
        flattening=flattening,
        flattening_change=-(z[1] + z[2] - 2 * z[0]) / step**2 * flattening**3,
    )


@lru_cache(maxsize=256)
def design_flattening(loop: LeafLoop) -> float:
    """Return the derivative of the curvature by travel at the design curvature [1/mm²]."""
    step = _STEP / loop.length
    seat = close_loop(loop, np.array([step, -step]))
    heights = wheel_of(loop, seat.x, seat.z, seat.angle)[1]
    return float(2 * step / (heights[0] - heights[1]))


def _curvature_for(loop: LeafLoop, height: Array) -> Array:
    """Newton's change of curvature that brings the wheel centre to a height, shape (n,)."""
    step = _STEP / loop.length
    offsets = np.array([[0.0], [step], [-step]])
    change = np.zeros_like(height)
    for _ in range(_NEWTON_STEPS):
        seat = close_loop(loop, change + offsets)
        at = wheel_of(loop, seat.x, seat.z, seat.angle)[1]
        slope = (at[1] - at[2]) / (2 * step)
        error = height - at[0]
        change = change + error / np.where(slope < 0, slope, -(loop.length**2) / 8)
        if np.abs(error).max(initial=0.0) < _LAST_STEP:
            break
    return change


def _arrived(path: LeafPath, wanted: Array) -> Mask:
    """Whether the loop closes in each pose, at the travel that was wanted."""
    arrived: Mask = path.reachable & (np.abs(path.travel - wanted) < _REACHED)
    return arrived


def _nearest_good(loop: LeafLoop, good: Mask, wanted: Array, z_0: float) -> NDArray[np.intp]:
    """Index of the nearest travel that can be reached, for every travel."""
    places = np.flatnonzero(good)
    if not places.size:
        raise out_of_reach(loop, float(wanted[np.argmin(np.abs(wanted))]), z_0)
    nearest: NDArray[np.intp] = places[np.argmin(np.abs(wanted[:, None] - wanted[places]), axis=1)]
    return nearest


def shackle_angles(loop: LeafLoop, seat: Seat) -> tuple[Array, Array]:
    """Lean of the shackle from the vertical, and its angle to the line of the eyes [rad]."""
    along = seat.eye_x - loop.shackle_pivot[0]
    up = seat.eye_z - loop.shackle_pivot[1]
    eyes_x, eyes_z = seat.eye_x - loop.front_eye[0], seat.eye_z - loop.front_eye[1]
    cross = eyes_x * up - eyes_z * along
    dot = eyes_x * along + eyes_z * up
    return np.arctan2(-along, np.abs(up)), np.arctan2(loop.side * cross, dot)


def shackle_near_line(shackle_to_leaf: Array) -> Mask:
    """Whether a shackle is so near the line of the eyes that it should be moved.

    Common practice, no source: 60 to 90° to that line at ride, never past it.
    """
    near: Mask = np.minimum(shackle_to_leaf, np.pi - shackle_to_leaf) < SHACKLE_MARGIN
    return near
