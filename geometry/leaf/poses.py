"""Where an axle on leaf springs and its two springs are in a run of poses, to draw them."""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.axle import LeafPath
from geometry.leaf.loop import LeafLoop
from geometry.leaf.roll import LeafRoll
from geometry.vectors import Array


@dataclass(frozen=True)
class LeafPoses:
    """Poses of the axle in body axes; arrays (n,), or (2, n) with rows left and right.

    Parameters
    ----------
    x, z
        Middle of the wheel centres' line [mm].
    shift
        Of that middle across the body [mm], + to the left.
    pinion
        Pinion angle [rad], + nose up.
    roll
        Of the body against the axle [rad], + leaning to its right.
    steer
        Of the axle [rad], + to the left.
    seat_angle
        Of both seats [rad], + nose up.
    seat_x, seat_z
        Centre bolts [mm], shape (2, n).
    front_curvature, rear_curvature
        Of the springs' halves [1/mm], + with the eyes above the seat, shape (2, n).
    eye_x, eye_z
        Rear eyes [mm], shape (2, n).
    """

    x: Array
    z: Array
    shift: Array
    pinion: Array
    roll: Array
    steer: Array
    seat_angle: Array
    seat_x: Array
    seat_z: Array
    front_curvature: Array
    rear_curvature: Array
    eye_x: Array
    eye_z: Array

    def part(self, part: slice) -> LeafPoses:
        """Return some of the poses."""
        return LeafPoses(
            **{field.name: getattr(self, field.name)[..., part] for field in fields(self)}
        )


def level_poses(loop: LeafLoop, path: LeafPath) -> LeafPoses:
    """Return the poses of a level body: both sides alike.

    Parameters
    ----------
    loop
        The loop of the spring.
    path
        Poses in bounce, shape (n,).
    """
    seat, zero = path.seat, np.zeros_like(path.travel)
    front, rear = (
        bend + share * path.curvature_change
        for bend, share in zip(loop.curvatures, loop.split, strict=True)
    )
    return LeafPoses(
        x=path.wheel_x,
        z=path.wheel_z,
        shift=zero,
        pinion=path.pinion,
        roll=zero,
        steer=zero,
        seat_angle=seat.angle,
        seat_x=_both(seat.x),
        seat_z=_both(seat.z),
        front_curvature=_both(front),
        rear_curvature=_both(rear),
        eye_x=_both(seat.eye_x),
        eye_z=_both(seat.eye_z),
    )


def leaning_poses(loop: LeafLoop, rolled: LeafRoll) -> LeafPoses:
    """Return the poses of a leaning body.

    Parameters
    ----------
    loop
        The loop of the spring.
    rolled
        Both springs in the lean, shape (n,).
    """
    return LeafPoses(
        x=rolled.wheel_x.mean(axis=0),
        z=rolled.wheel_z.mean(axis=0),
        shift=rolled.axle_shift,
        pinion=rolled.pinion,
        roll=rolled.roll,
        steer=rolled.steer,
        seat_angle=rolled.pinion - loop.pinion,
        seat_x=rolled.seat_x,
        seat_z=rolled.seat_z,
        front_curvature=rolled.front_curvature,
        rear_curvature=rolled.rear_curvature,
        eye_x=rolled.eye_x,
        eye_z=rolled.eye_z,
    )


def _both(values: Array) -> Array:
    return np.stack([values, values])
