"""A leaf spring whose seat is held at a height and an angle: two freedoms, two curvatures.

Roll needs it, where the housing sets the angle, and so does the question how far short a shackle
is. The conventions are those of `geometry.leaf_loop`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.leaf_loop import LeafLoop, arc_tip

Array = NDArray[np.float64]

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
    bend_front, bend_rear = loop.curvatures
    front = front_curvature(loop, z, angle, bend_front + loop.split[0] * near)
    rear = bend_rear + loop.split[1] * near
    x = loop.front_eye[0] - front_eye(loop, front, angle)[0]

    def rear_error(curvature: Array) -> Array:
        eye_x, eye_z = rear_eye(loop, curvature, x, z, angle)
        pivot_x, pivot_z = loop.shackle_pivot
        return np.hypot(eye_x - pivot_x, eye_z - pivot_z) - loop.shackle

    rear = _newton(rear_error, rear, loop.rear)
    eye_x, eye_z = rear_eye(loop, rear, x, z, angle)
    return HeldSeat(x, front, rear, eye_x, eye_z)


def front_curvature(loop: LeafLoop, z: Array, angle: Array, near: Array) -> Array:
    """Curvature of the front half that takes a seat of given height and angle [1/mm]."""

    def error(curvature: Array) -> Array:
        return front_eye(loop, curvature, angle)[1] - (loop.front_eye[1] - z)

    return _newton(error, near, loop.front)


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


def front_eye(loop: LeafLoop, curvature: Array, angle: Array) -> tuple[Array, Array]:
    """Front eye from the centre bolt, in the car's directions [mm]."""
    along, up = arc_tip(curvature, loop.front, loop.eye_offsets[0])
    along = along + loop.clamp / 2
    cosine, sine = np.cos(angle), np.sin(angle)
    return along * cosine - up * sine, along * sine + up * cosine


def rear_eye(
    loop: LeafLoop, curvature: Array, x: Array, z: Array, angle: Array
) -> tuple[Array, Array]:
    """Rear eye in the car [mm]."""
    along, up = arc_tip(curvature, loop.rear, loop.eye_offsets[1])
    along = -along - loop.clamp / 2
    cosine, sine = np.cos(angle), np.sin(angle)
    return x + along * cosine - up * sine, z + along * sine + up * cosine
