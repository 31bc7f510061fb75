"""How far the ball joints and tie-rod ends swing from the pose that the parts were measured in.

Swing is the angle between the stud (fixed to the upright) and the housing's axis (fixed to the arm
or the rod), both taken as one line in the measured pose. Common practice, no source.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from geometry.dataclass import dataclass
from geometry.front.parts import CornerPoints, coordinates
from geometry.front.road import Axle, Poses
from geometry.front.wishbone import combine
from geometry.vectors import Array, Vector, cross, dot, scale, subtract, unit


@dataclass(frozen=True)
class Joint:
    """A ball joint's axis in two bodies.

    Parameters
    ----------
    stud
        Coordinates in the upright's basis; None where the stud lies along the kingpin.
    housing
        Coordinates in the arm's frame of unit vectors.
    """

    stud: Vector | None
    housing: Vector


@dataclass(frozen=True)
class Joints:
    """The four joints of a corner whose swing is watched.

    Parameters
    ----------
    upper, lower
        The ball joints.
    outer_stud
        The tie rod's outer stud, as in :class:`Joint`.
    outer_tilt
        Angle between the rod and a plane across that stud, as measured [rad].
    inner_axis
        The tie rod's inner joint: unit direction in the body.
    """

    upper: Joint
    lower: Joint
    outer_stud: Vector | None
    outer_tilt: Array
    inner_axis: Vector


def measure_joints(points: CornerPoints, axes: dict[str, Vector]) -> Joints:
    """Take joint axes off a pose; `axes` gives stud directions by joint, else the kingpin's.

    Parameters
    ----------
    points
        The measured pose [mm], components of shape (2, 1).
    axes
        Direction of a joint's stud by its bare name; the kingpin's where none is given.
    """
    return _joints(points, axes) if axes else _along_kingpin(points)


@lru_cache(maxsize=4)
def _along_kingpin(points: CornerPoints) -> Joints:
    """Return joints without studs of their own; kept, since a drag of a hole leaves the points."""
    return _joints(points, {})


def _joints(points: CornerPoints, axes: dict[str, Vector]) -> Joints:
    kingpin = subtract(points.upper_ball, points.lower_ball)
    arm = subtract(points.tie_outer, points.lower_ball)
    along, rod = unit(kingpin), unit(subtract(points.tie_outer, points.tie_inner))
    upper, lower = (
        _frame(arm_frame.axis, arm_frame.radius)
        for arm_frame in (points.upper_arm, points.lower_arm)
    )

    def stud(joint: str) -> Vector | None:
        if joint not in axes:
            return None
        return coordinates(axes[joint], (kingpin, arm, cross(kingpin, arm)))

    return Joints(
        upper=Joint(stud("upper_ball"), _shares(axes.get("upper_ball", along), upper)),
        lower=Joint(stud("lower_ball"), _shares(axes.get("lower_ball", along), lower)),
        outer_stud=stud("tie_outer"),
        outer_tilt=np.arcsin(dot(rod, axes.get("tie_outer", along))),
        inner_axis=axes.get("tie_inner", rod),
    )


def joint_swings(axle: Axle, joints: Joints, poses: Poses) -> dict[str, Array]:
    """Return swings [rad], shape (2, n), always positive.

    A tie rod's outer end turns freely about its stud: only the rod's tilt against the stud counts.

    Parameters
    ----------
    axle
        The axle.
    joints
        Axes taken off the measured pose.
    poses
        Solved poses of both wheels, shape (2, n).
    """
    link, corners = poses.linkage, axle.corners
    upper = _frame(corners.upper.axis, link.upper_radius)
    lower = _frame(corners.lower.axis, link.lower_radius)
    along = scale(link.kingpin, 1.0 / np.sqrt(corners.parts.kingpin_length_2))
    rod = scale(subtract(link.tie_outer, link.tie_inner), 1.0 / corners.parts.tie_length)

    def now(stud: Vector | None) -> Vector:
        if stud is None:
            return along
        return combine(stud, link.kingpin, link.steering_arm, link.normal)

    tilt = np.arcsin(np.clip(dot(rod, now(joints.outer_stud)), -1.0, 1.0))
    return {
        "upper_ball_swing": _between(now(joints.upper.stud), combine(joints.upper.housing, *upper)),
        "lower_ball_swing": _between(now(joints.lower.stud), combine(joints.lower.housing, *lower)),
        "tie_outer_swing": np.abs(tilt - joints.outer_tilt),
        "tie_inner_swing": _between(rod, joints.inner_axis),
    }


Basis = tuple[Vector, Vector, Vector]


def _frame(axis: Vector, radius: Vector) -> Basis:
    """Return an arm's axis, the direction to its ball joint and their product: unit vectors.

    With one pivot moved the radius isn't quite as long as before; the housing's axis is a direction
    all the same.
    """
    outward = unit(radius)
    return axis, outward, cross(axis, outward)


def _shares(direction: Vector, frame: Basis) -> Vector:
    """Return coordinates in a frame of unit vectors."""
    axis, outward, across = frame
    return dot(axis, direction), dot(outward, direction), dot(across, direction)


def _between(a: Vector, b: Vector) -> Array:
    """Angle between unit vectors, exact for small ones."""
    apart = subtract(a, b)
    return np.asarray(2.0 * np.arcsin(np.minimum(0.5 * np.sqrt(dot(apart, apart)), 1.0)))
