"""An axle on two leaf springs in roll: both sides' loops, joined by a housing that can't twist.

Each side on its own would pitch its seat as in bounce, one up and one down. The housing keeps both
seats at one angle, so in roll the seats move without turning; that is also why the springs are
stiffer in roll (`HalfRates.seat_kept`) than in bounce.

Roll is + when the body leans to its right, as in a left turn; steer of the axle is + to the left.
Then steer per roll is + for understeer: the axle turns into the corner.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.leaf_axle import design_wheel, leaf_path
from geometry.leaf_loop import LeafLoop, Point, Seat, arc_tip, wheel_of

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

# Newton steps of a half with its seat given; two reach 1e-9 mm from the free pose.
_NEWTON_STEPS: Final = 4
_STEP: Final = 1e-4


@dataclass(frozen=True)
class HeldSeat:
    """A seat whose height and angle are both given; arrays of one shape.

    Parameters
    ----------
    x
        Centre bolt [mm].
    front_curvature, rear_curvature
        Of the halves [1/mm].
    eye_x, eye_z
        Rear eye [mm].
    """

    x: Array
    front_curvature: Array
    rear_curvature: Array
    eye_x: Array
    eye_z: Array


def hold_seat(loop: LeafLoop, z: Array, angle: Array, near: Array) -> HeldSeat:
    """Find where a seat of given height and angle is along the car, and what its halves do.

    Parameters
    ----------
    loop
        The loop.
    z
        Height of the centre bolt [mm], any shape.
    angle
        Of the seat [rad], + nose up.
    near
        Curvature change from which to start [1/mm].
    """
    front = loop.curvature + loop.split[0] * near
    rear = loop.curvature + loop.split[1] * near
    eye_height = loop.front_eye[1] - z

    def front_error(curvature: Array) -> Array:
        return _front_eye(loop, curvature, angle)[1] - eye_height

    front = _newton(front_error, front, loop.front)
    x = loop.front_eye[0] - _front_eye(loop, front, angle)[0]

    def rear_error(curvature: Array) -> Array:
        eye_x, eye_z = _rear_eye(loop, curvature, x, z, angle)
        pivot_x, pivot_z = loop.shackle_pivot
        return np.hypot(eye_x - pivot_x, eye_z - pivot_z) - loop.shackle

    rear = _newton(rear_error, rear, loop.rear)
    eye_x, eye_z = _rear_eye(loop, rear, x, z, angle)
    return HeldSeat(x, front, rear, eye_x, eye_z)


def _newton(error: Callable[[Array], Array], curvature: Array, length: float) -> Array:
    """Bring an error to zero by the curvature of one half."""
    step = _STEP / length
    offsets = np.array([step, -step, 0.0]).reshape(3, *([1] * curvature.ndim))
    for _ in range(_NEWTON_STEPS):
        up, down, here = error(curvature + offsets)
        curvature = curvature - here * (2 * step) / (up - down)
        if np.abs(here).max(initial=0.0) < 1e-7:
            break
    return curvature


def _front_eye(loop: LeafLoop, curvature: Array, angle: Array) -> tuple[Array, Array]:
    """Front eye from the centre bolt, in the car's directions [mm]."""
    along, up = arc_tip(curvature, loop.front, loop.eye_offsets[0])
    along = along + loop.clamp / 2
    cosine, sine = np.cos(angle), np.sin(angle)
    return along * cosine - up * sine, along * sine + up * cosine


def _rear_eye(
    loop: LeafLoop, curvature: Array, x: Array, z: Array, angle: Array
) -> tuple[Array, Array]:
    """Rear eye in the car [mm]."""
    along, up = arc_tip(curvature, loop.rear, loop.eye_offsets[1])
    along = -along - loop.clamp / 2
    cosine, sine = np.cos(angle), np.sin(angle)
    return x + along * cosine - up * sine, z + along * sine + up * cosine


# --- roll ---------------------------------------------------------------------------------------


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
    centre = roll_centre_height(loop, held.x, held.eye_x, held.eye_z)
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


def roll_centre_height(loop: LeafLoop, seat_x: Array, eye_x: Array, eye_z: Array) -> Array:
    """Height of the line from front eye to rear eye over the axle, mean of both sides [mm].

    References
    ----------
    Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory of the source): side force is
    taken at the front eye and at the spring's eye on the shackle; read at the axle,
    h = (b·z_front + a·z_rear)/L.
    """
    front_x, front_z = loop.front_eye
    along = (front_x - seat_x) / (front_x - eye_x)
    height: Array = (front_z + along * (eye_z - front_z)).mean(axis=0)
    return height


@dataclass(frozen=True)
class RollSteer:
    """Steer of the axle per roll of the body, + for understeer (no unit).

    Parameters
    ----------
    kinematic
        From the loop, the seats kept from turning by the housing.
    eyes_line
        Slope of the line through the eyes: the textbook's simplification.
    front_slope
        tan λ of the front half's equivalent link, + when it falls to the front.
    hinge
        That link's hinge ahead of the centre bolt, h_1 [mm].
    """

    kinematic: float
    eyes_line: float
    front_slope: float
    hinge: float


def roll_steer(loop: LeafLoop, seat: Seat) -> RollSteer:
    """Read roll steer off one pose of the loop.

    Parameters
    ----------
    loop
        The loop.
    seat
        The pose, arrays of shape (1,).

    References
    ----------
    Slope of the eyes' line: Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory of the
    source). The rest is derived: with the seat's angle kept, steer per roll is dx/dz of the seat.
    """
    angle = seat.angle
    held = hold_seat(loop, seat.z + np.array([0.1, -0.1]), angle, np.zeros(2))
    hinge = loop.front_arm - 0.75 * loop.front
    hinge_x = float(seat.x[0] + hinge * np.cos(angle[0]))
    hinge_z = float(seat.z[0] + hinge * np.sin(angle[0]))
    eye_x, eye_z = loop.front_eye
    return RollSteer(
        kinematic=float(held.x[0] - held.x[1]) / 0.2,
        eyes_line=float((seat.eye_z[0] - eye_z) / (eye_x - seat.eye_x[0])),
        front_slope=(hinge_z - eye_z) / (eye_x - hinge_x),
        hinge=hinge,
    )
