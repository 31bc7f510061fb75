"""An axle on two leaf springs in roll: both sides' loops, joined by a housing that can't twist.

Each side on its own would pitch its seat as in bounce, one up and one down. The housing keeps both
seats at one angle, so in roll the seats move without turning; that is also why the springs are
stiffer in roll (`HalfRates.seat_kept`) than in bounce.

Roll is + when the body leans to its right, as in a left turn; steer of the axle is + to the left.
Then steer per roll is + for understeer: the axle turns into the corner.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.leaf_axle import leaf_path
from geometry.leaf_held import hold_seat
from geometry.leaf_loop import LeafLoop, Point, wheel_of
from geometry.leaf_reach import design_wheel
from geometry.leaf_steer import eyes_line_height

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class LeafRoll:
    """Poses of the axle in roll; arrays of shape (n,), rows left and right where (2, n).

    Parameters
    ----------
    roll
        Of the body [rad], + leaning to its right; the nearest that closes where `reachable` is
        false.
    reachable
        Whether both sides close there.
    steer
        Of the axle [rad], + to the left.
    pinion
        Pinion angle [rad], + nose up.
    wheel_x
        Axle's line at each spring [mm], shape (2, n).
    travel
        Of the axle's line at each spring [mm], + in bump, shape (2, n).
    eye_x, eye_z
        Rear eyes [mm], shape (2, n).
    roll_centre
        Height above ground, by the line from the front eye to the rear eye [mm].
    roll_centre_leaf
        The same taken at the main leaf over the axle [mm]: the band's other end.
    axle_shift
        Of the axle's middle across the body [mm], + to the left.
    """

    roll: Array
    reachable: Mask
    steer: Array
    pinion: Array
    wheel_x: Array
    travel: Array
    eye_x: Array
    eye_z: Array
    roll_centre: Array
    roll_centre_leaf: Array
    axle_shift: Array


def leaf_roll(
    loop: LeafLoop,
    roll: ArrayLike,
    spring_base: float,
    tyre_radius: float,
    heave: float = 0.0,
    datum: Point | None = None,
) -> LeafRoll:
    """Roll the body over the axle.

    Parameters
    ----------
    loop
        Either side's loop.
    roll
        Of the body [rad], + leaning to its right, shape (n,).
    spring_base
        Between the springs, left to right [mm].
    tyre_radius
        Loaded [mm].
    heave
        Travel of the axle's middle [mm], + in bump.
    datum
        Wheel centre at zero travel, (x, z) [mm]; None takes the pose at the design curvature.
    """
    asked = np.atleast_1d(np.asarray(roll, dtype=float))
    base = design_wheel(loop) if datum is None else datum
    lever = spring_base / 2 * np.sin(asked)
    free = leaf_path(loop, np.concatenate([heave - lever, heave + lever]), base)
    reachable: Mask = np.all(_sides(free.reachable), axis=0)
    kept = _nearest(reachable)
    travel = _sides(free.travel)[:, kept]
    # The housing's angle leaves no couple on the pair: the mean, the springs being linear.
    angle = _sides(free.seat.angle)[:, kept].mean(axis=0)
    offset_x, offset_z = wheel_of(loop, np.zeros(1), np.zeros(1), angle)
    height = base[1] + travel - offset_z
    near = _sides(free.curvature_change)[:, kept]
    held = hold_seat(loop, height, np.broadcast_to(angle, travel.shape), near)
    wheel_x, wheel_z = held.x + offset_x, base[1] + travel.mean(axis=0)
    centre = eyes_line_height(loop, held.x, held.eye_x, held.eye_z).mean(axis=0)
    return LeafRoll(
        roll=asked[kept],
        reachable=reachable,
        steer=np.arcsin((wheel_x[1] - wheel_x[0]) / spring_base),
        pinion=angle + loop.pinion,
        wheel_x=wheel_x,
        travel=travel,
        eye_x=held.eye_x,
        eye_z=held.eye_z,
        roll_centre=centre - wheel_z + tyre_radius,
        roll_centre_leaf=height.mean(axis=0) - wheel_z + tyre_radius,
        axle_shift=(wheel_z - centre) * np.sin(asked[kept]),
    )


def _sides(poses: NDArray[Any]) -> NDArray[Any]:
    """Left and right as rows."""
    return poses.reshape(2, -1)


def _nearest(reachable: Mask) -> NDArray[np.intp]:
    """Index of the nearest pose that closes, for every pose; the middle one always does."""
    places = np.flatnonzero(reachable)
    every = np.arange(len(reachable))
    if len(places) == len(every):
        return every
    nearest: NDArray[np.intp] = places[np.argmin(np.abs(every[:, None] - places), axis=1)]
    return nearest
