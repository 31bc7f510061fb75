"""A leaf spring whose seat is held at a height and an angle: two freedoms, two curvatures.

Roll needs it, where the housing sets the angle, and so does the question how far short a shackle
is. The conventions are those of `geometry.leaf.loop`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.leaf.loop import LeafLoop
from geometry.leaf.motion import arc_motion
from geometry.vectors import Array

Complex = NDArray[np.complex128]

# Newton steps of a half with its seat given; two reach 1e-9 mm from the free pose.
_NEWTON_STEPS: Final = 8
# Error of a half that closes [mm].
_CLOSED: Final = 1e-6
# Error whose correction, being quadratic, is exact to rounding [mm].
_LAST_STEP: Final = 1e-5


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
    closes
        Whether both halves get there.
    """

    x: Array
    front_curvature: Array
    rear_curvature: Array
    eye_x: Array
    eye_z: Array
    closes: NDArray[np.bool_]


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
    bend_front, bend_rear = loop.curvatures
    front = front_curvature(loop, z, angle, bend_front + loop.split[0] * near)
    ahead = front_eye(loop, front, angle).place
    x = loop.front_eye[0] - ahead.real
    seat = x + 1j * z
    rear = _rear_curvature(loop, seat, angle, bend_rear + loop.split[1] * near)
    eye = rear_eye(loop, rear, seat, angle).place
    miss = np.maximum(
        np.abs(ahead.imag + z - loop.front_eye[1]),
        np.abs(np.abs(eye - _pivot(loop)) - loop.shackle),
    )
    return HeldSeat(x, front, rear, eye.real, eye.imag, miss < _CLOSED)


def front_curvature(loop: LeafLoop, z: Array, angle: Array, near: Array) -> Array:
    """Curvature of the front half that takes a seat of given height and angle [1/mm].

    Parameters
    ----------
    loop
        The loop of the spring.
    z
        Height of the centre bolt in the car [mm], shape (n,).
    angle
        Of the seat [rad], + nose up, shape (n,).
    near
        Curvature from which to search [1/mm], shape (n,).
    """
    height = loop.front_eye[1] - z

    def error(curvature: Array) -> tuple[Array, Array]:
        eye = front_eye(loop, curvature, angle)
        return eye.place.imag - height, eye.rate.imag

    return _newton(error, near)


def _rear_curvature(loop: LeafLoop, seat: Complex, angle: Array, near: Array) -> Array:
    """Curvature of the rear half that joins a seat in its place to the shackle [1/mm]."""
    pivot = _pivot(loop)

    def error(curvature: Array) -> tuple[Array, Array]:
        eye = rear_eye(loop, curvature, seat, angle)
        reach = eye.place - pivot
        length = np.abs(reach)
        return length - loop.shackle, (np.conj(reach) * eye.rate).real / length

    return _newton(error, near)


def _pivot(loop: LeafLoop) -> complex:
    """Return the shackle's body pin as x + i·z [mm]."""
    return loop.shackle_pivot[0] + 1j * loop.shackle_pivot[1]


def _newton(error: Callable[[Array], tuple[Array, Array]], curvature: Array) -> Array:
    """Bring an error, given with its derivative, to zero by the curvature of one half."""
    for _ in range(_NEWTON_STEPS):
        here, slope = error(curvature)
        curvature = curvature - here / slope
        if np.abs(here).max(initial=0.0) < _LAST_STEP:
            break
    return curvature


@dataclass(frozen=True)
class Eye:
    """An eye, (x, z) as x + i·z [mm], and its derivative by the curvature of its half [mm²]."""

    place: Complex
    rate: Complex


def front_eye(loop: LeafLoop, curvature: Array, angle: Array) -> Eye:
    """Front eye from the centre bolt, in the car's directions.

    Parameters
    ----------
    loop
        The loop of the spring.
    curvature
        Of the front half [1/mm], shape (n,).
    angle
        Of the seat [rad], + nose up, shape (n,).
    """
    arc = arc_motion(curvature, loop.front, loop.eye_offsets[0])
    frame = np.exp(1j * angle)
    return Eye(frame * (arc.tip + loop.clamp / 2), frame * arc.rate)


def rear_eye(loop: LeafLoop, curvature: Array, seat: Complex, angle: Array) -> Eye:
    """Rear eye in the car; `seat` is the centre bolt as x + i·z [mm].

    Parameters
    ----------
    loop
        The loop of the spring.
    curvature
        Of the rear half [1/mm], shape (n,).
    seat
        Centre bolt in the car as x + i·z [mm], shape (n,).
    angle
        Of the seat [rad], + nose up, shape (n,).
    """
    arc = arc_motion(curvature, loop.rear, loop.eye_offsets[1])
    frame = -np.exp(1j * angle)
    return Eye(seat + frame * np.conj(arc.tip + loop.clamp / 2), frame * np.conj(arc.rate))
