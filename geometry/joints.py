"""How far the ball joints and tie-rod ends swing from the pose that the parts were measured in.

Swing is the angle between the stud (fixed to the upright) and the housing's axis (fixed to the arm
or the rod), both taken as one line in the measured pose. Common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.parts import CornerPoints
from geometry.road import Axle, Poses
from geometry.vectors import Array, Vector, add_scaled, cross, dot, scale, subtract, unit


@dataclass(frozen=True)
class Joint:
    """A ball joint's axis in two bodies: coordinates in the upright's and in the arm's frame."""

    stud: Vector
    housing: Vector


@dataclass(frozen=True)
class Joints:
    """The four joints of a corner whose swing is watched."""

    upper: Joint
    lower: Joint
    outer_stud: Vector
    outer_sine: Array
    inner_axis: Vector


def measure_joints(points: CornerPoints, axes: dict[str, Vector]) -> Joints:
    """Take joint axes off a pose; `axes` gives stud directions by joint, else the kingpin's."""
    kingpin = unit(subtract(points.upper_ball, points.lower_ball))
    upright = _upright_frame(points.upper_ball, points.lower_ball, points.tie_outer)
    upper = _arm_frame(points.upper_front, points.upper_rear, points.upper_ball)
    lower = _arm_frame(points.lower_front, points.lower_rear, points.lower_ball)
    upper_axis = axes.get("upper_ball", kingpin)
    lower_axis = axes.get("lower_ball", kingpin)
    outer_axis = axes.get("tie_outer", kingpin)
    rod = unit(subtract(points.tie_outer, points.tie_inner))
    return Joints(
        upper=Joint(_into(upright, upper_axis), _into(upper, upper_axis)),
        lower=Joint(_into(upright, lower_axis), _into(lower, lower_axis)),
        outer_stud=_into(upright, outer_axis),
        outer_sine=dot(rod, outer_axis),
        inner_axis=axes.get("tie_inner", rod),
    )


def joint_swings(axle: Axle, joints: Joints, poses: Poses) -> dict[str, Array]:
    """Return swings [rad], shape (2, n), always positive.

    A tie rod's outer end turns freely about its stud: only the rod's tilt against the stud counts.
    """
    link, corners = poses.linkage, axle.corners
    upright = _upright_frame(link.upper_ball, link.lower_ball, link.tie_outer)
    upper = _frame(corners.upper.axis, subtract(link.upper_ball, corners.upper.centre))
    lower = _frame(corners.lower.axis, subtract(link.lower_ball, corners.lower.centre))
    rod = unit(subtract(link.tie_outer, link.tie_inner))
    stud = _out_of(upright, joints.outer_stud)
    tilt = np.arcsin(np.clip(dot(rod, stud), -1, 1)) - np.arcsin(joints.outer_sine)
    return {
        "upper_ball_swing": _between(
            _out_of(upright, joints.upper.stud), _out_of(upper, joints.upper.housing)
        ),
        "lower_ball_swing": _between(
            _out_of(upright, joints.lower.stud), _out_of(lower, joints.lower.housing)
        ),
        "tie_outer_swing": np.abs(tilt),
        "tie_inner_swing": _between(rod, joints.inner_axis),
    }


Frame = tuple[Vector, Vector, Vector]


def _upright_frame(upper: Vector, lower: Vector, tie: Vector) -> Frame:
    return _frame(unit(subtract(upper, lower)), subtract(tie, lower))


def _arm_frame(front: Vector, rear: Vector, ball: Vector) -> Frame:
    return _frame(unit(subtract(rear, front)), subtract(ball, front))


def _frame(axis: Vector, towards: Vector) -> Frame:
    """Right-handed orthonormal frame from a unit axis and a vector off it."""
    across = unit(add_scaled(towards, axis, -dot(towards, axis)))
    return axis, across, cross(axis, across)


def _into(frame: Frame, direction: Vector) -> Vector:
    return dot(frame[0], direction), dot(frame[1], direction), dot(frame[2], direction)


def _out_of(frame: Frame, coordinates: Vector) -> Vector:
    first = scale(frame[0], coordinates[0])
    return add_scaled(add_scaled(first, frame[1], coordinates[1]), frame[2], coordinates[2])


def _between(a: Vector, b: Vector) -> Array:
    """Angle between unit vectors, exact for small ones."""
    apart = subtract(a, b)
    half = 0.5 * np.sqrt(dot(apart, apart))
    return np.asarray(2.0 * np.arcsin(np.minimum(half, 1.0)))
