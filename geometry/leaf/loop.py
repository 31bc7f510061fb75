"""One leaf spring as a loop: front eye, two arcs, straight seat, rear eye on its shackle.

A graduated half bends to a circular arc, so the loop has one freedom, the curvature, and closes in
closed form: the curvature fixes the distance between the eyes, the shackle closes the triangle.
Side view, body fixed: points are (x, z) with x forward and z up, angles + nose up.

References
----------
The loop is derived; the three-link equivalent of the spring handbooks (in the tests) and a
non-linear elastica stand against it in the tests. It is exact for an ideally graduated pack, and an
approximation for others (path radius 0.75 of a half's length instead of up to 0.833).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array

Scalar = Any  # a float or an Array
Point = tuple[float, float]


@dataclass(frozen=True)
class LeafLoop:
    """One spring as a loop, with the axle that it carries.

    Several are one as well, every number of theirs an array that broadcasts against the poses: see
    `geometry.leaf.many`. Such a one has no hash and isn't kept.

    Parameters
    ----------
    front_eye, shackle_pivot
        Body points, (x, z) [mm].
    shackle
        Pivot to the spring's rear eye [mm].
    front, rear
        Free half-lengths along the leaf, clamp's edge to eye [mm].
    clamp
        Length of the straight seat [mm].
    curvature
        As measured [1/mm], + with the eyes above the seat.
    axle
        Wheel centre from the centre bolt, forward along and up off the seat [mm].
    pinion
        Angle of the pinion to the seat [rad], + nose up.
    side
        +1 or -1: on which side of the line from the front eye to the pivot the rear eye hangs.
    split
        Curvature change of the front and of the rear half per unit change; (1, 1) is an ideal
        pack, others follow from the rates of the halves.
    eye_offsets
        Eye centres off the end of the leaf, up [mm], front and rear; measured ones are 0.
    sag
        Change of curvature from the measured to the design pose [1/mm]: see
        `geometry.leaf.ride.settled`.
    """

    front_eye: Point
    shackle_pivot: Point
    shackle: float
    front: float
    rear: float
    clamp: float
    curvature: float
    axle: Point = (0.0, 0.0)
    pinion: float = 0.0
    side: float = -1.0
    split: tuple[float, float] = (1.0, 1.0)
    eye_offsets: tuple[float, float] = (0.0, 0.0)
    sag: float = 0.0

    @property
    def front_arm(self) -> float:
        """Front eye to centre bolt along the leaf, a [mm]."""
        return self.front + self.clamp / 2

    @property
    def rear_arm(self) -> float:
        """Rear eye to centre bolt along the leaf, b [mm]."""
        return self.rear + self.clamp / 2

    @property
    def curvatures(self) -> tuple[float, float]:
        """Of the front and the rear half at design [1/mm]."""
        front, rear = self.split
        return self.curvature + front * self.sag, self.curvature + rear * self.sag

    @property
    def length(self) -> float:
        """Eye to eye along the leaf [mm]."""
        return self.front + self.rear + self.clamp


@dataclass(frozen=True)
class Seat:
    """Where curvature puts the seat and the rear eye; every array of one shape.

    Parameters
    ----------
    x, z
        Centre bolt [mm].
    angle
        Of the seat [rad], + nose up.
    eye_x, eye_z
        Rear eye [mm].
    reach
        Cosine at the front eye of the triangle eye, eye, pivot: beyond ±1 it can't close.
    """

    x: Array
    z: Array
    angle: Array
    eye_x: Array
    eye_z: Array
    reach: Array


def arc_tip(curvature: Array, length: Scalar, offset: Scalar = 0.0) -> tuple[Array, Array]:
    """End of an arc that starts along the x axis, (along, up) [mm].

    Parameters
    ----------
    curvature
        [1/mm], + upwards, any shape.
    length
        Along the arc [mm].
    offset
        Of the eye's centre off the end, up [mm].
    """
    half = curvature * (length / 2)
    half = np.where(half == 0.0, 1e-30, half)  # the limit of sin(x)/x is 1
    sine = np.sin(half)
    chord = length * sine / half
    along, up = chord * np.cos(half), chord * sine
    if not isinstance(offset, float) or offset:
        along, up = along - offset * np.sin(2 * half), up + offset * np.cos(2 * half)
    return along, up


def close_loop(loop: LeafLoop, change: Array) -> Seat:
    """Close the loop for changes of curvature from design.

    Parameters
    ----------
    loop
        The loop.
    change
        Of the curvature [1/mm], any shape; negative flattens the spring.

    Notes
    -----
    A triangle with cosine beyond ±1 is closed as if at its limit: look at `Seat.reach`.
    """
    bend_front, bend_rear = loop.curvatures
    front_along, front_up = arc_tip(
        bend_front + loop.split[0] * change, loop.front, loop.eye_offsets[0]
    )
    rear_along, rear_up = arc_tip(
        bend_rear + loop.split[1] * change, loop.rear, loop.eye_offsets[1]
    )
    along, up = front_along + loop.clamp / 2, front_up  # front eye from the bolt, seat frame
    chord_x, chord_z = -(rear_along + loop.clamp / 2) - along, rear_up - up
    chord_squared = chord_x**2 + chord_z**2
    base_x = loop.shackle_pivot[0] - loop.front_eye[0]
    base_z = loop.shackle_pivot[1] - loop.front_eye[1]
    base_squared = base_x**2 + base_z**2
    chord = np.sqrt(chord_squared)
    reach = (chord_squared + base_squared - loop.shackle**2) / (2 * chord * base_squared**0.5)
    cosine = np.clip(reach, -1.0, 1.0)
    sine = loop.side * np.sqrt(1 - cosine**2)
    # Direction of the eyes' line in the car: the base turned by the triangle's angle.
    unit_x, unit_z = base_x / base_squared**0.5, base_z / base_squared**0.5
    eyes_x, eyes_z = unit_x * cosine - unit_z * sine, unit_z * cosine + unit_x * sine
    # Seat angle: that direction against the same line in the seat's frame.
    turn_cos = (eyes_x * chord_x + eyes_z * chord_z) / chord
    turn_sin = (eyes_z * chord_x - eyes_x * chord_z) / chord
    return Seat(
        x=loop.front_eye[0] - (turn_cos * along - turn_sin * up),
        z=loop.front_eye[1] - (turn_sin * along + turn_cos * up),
        angle=np.arctan2(turn_sin, turn_cos),
        eye_x=loop.front_eye[0] + chord * eyes_x,
        eye_z=loop.front_eye[1] + chord * eyes_z,
        reach=reach,
    )


def wheel_of(loop: LeafLoop, x: Array, z: Array, angle: Array) -> tuple[Array, Array]:
    """Wheel centre of a seat at (x, z) turned nose up by `angle` [mm].

    Parameters
    ----------
    loop
        The loop of the spring.
    x, z
        Of the centre bolt [mm], any shape.
    angle
        Of the seat [rad], + nose up.
    """
    along, up = loop.axle
    cosine, sine = np.cos(angle), np.sin(angle)
    return x + along * cosine - up * sine, z + along * sine + up * cosine
