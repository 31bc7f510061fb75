"""How far the ball joints and tie-rod ends swing from the pose that the parts were measured in.

Swing is the angle between the stud (fixed to the upright) and the housing's axis (fixed to the arm
or the rod), both taken as one line in the measured pose. Common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.parts import CornerPoints, coordinates
from geometry.road import Axle, Poses
from geometry.vectors import Array, Vector, add_scaled, cross, dot, scale, subtract, unit
from geometry.wishbone import combine


@dataclass(frozen=True)
class Joint:
    """A ball joint's axis in two bodies: coordinates in the upright's and in the arm's basis."""

    stud: Vector
    housing: Vector


@dataclass(frozen=True)
class Joints:
    """The four joints of a corner whose swing is watched.

    Parameters
    ----------
    upper, lower
        The ball joints.
    outer_stud
        The tie rod's outer stud, in the upright's basis.
    outer_tilt
        Angle between the rod and a plane across that stud, as measured [rad].
    inner_axis
        The tie rod's inner joint: unit direction in the body.
    """

    upper: Joint
    lower: Joint
    outer_stud: Vector
    outer_tilt: Array
    inner_axis: Vector


def measure_joints(points: CornerPoints, axes: dict[str, Vector]) -> Joints:
    """Take joint axes off a pose; `axes` gives stud directions by joint, else the kingpin's."""
    kingpin = subtract(points.upper_ball, points.lower_ball)
    arm = subtract(points.tie_outer, points.lower_ball)
    upright = (kingpin, arm, cross(kingpin, arm))
    along = unit(kingpin)
    upper_axis = axes.get("upper_ball", along)
    lower_axis = axes.get("lower_ball", along)
    outer_axis = axes.get("tie_outer", along)
    rod = unit(subtract(points.tie_outer, points.tie_inner))
    upper = _arm_basis(points.upper_front, points.upper_rear, points.upper_ball)
    lower = _arm_basis(points.lower_front, points.lower_rear, points.lower_ball)
    return Joints(
        upper=Joint(coordinates(upper_axis, upright), _shares(upper_axis, upper)),
        lower=Joint(coordinates(lower_axis, upright), _shares(lower_axis, lower)),
        outer_stud=coordinates(outer_axis, upright),
        outer_tilt=np.arcsin(dot(rod, outer_axis)),
        inner_axis=axes.get("tie_inner", rod),
    )


def joint_swings(axle: Axle, joints: Joints, poses: Poses) -> dict[str, Array]:
    """Return swings [rad], shape (2, n), always positive.

    A tie rod's outer end turns freely about its stud: only the rod's tilt against the stud counts.
    """
    link, corners = poses.linkage, axle.corners
    upright = (link.kingpin, link.steering_arm, link.normal)
    lower = corners.lower.axis, link.lower_radius, cross(corners.lower.axis, link.lower_radius)
    rod = scale(subtract(link.tie_outer, link.tie_inner), 1.0 / corners.parts.tie_length)
    tilt = np.arcsin(np.clip(dot(rod, combine(joints.outer_stud, *upright)), -1.0, 1.0))
    return {
        "upper_ball_swing": _between(
            combine(joints.upper.stud, *upright),
            combine(
                joints.upper.housing, corners.upper.axis, link.upper_radius, link.upper_tangent
            ),
        ),
        "lower_ball_swing": _between(
            combine(joints.lower.stud, *upright), combine(joints.lower.housing, *lower)
        ),
        "tie_outer_swing": np.abs(tilt - joints.outer_tilt),
        "tie_inner_swing": _between(rod, joints.inner_axis),
    }


Basis = tuple[Vector, Vector, Vector]


def _arm_basis(front: Vector, rear: Vector, ball: Vector) -> Basis:
    """Return an arm's axis (unit), its ball joint's radius vector, and their product."""
    axis = unit(subtract(rear, front))
    towards = subtract(ball, front)
    radius = add_scaled(towards, axis, -dot(towards, axis))
    return axis, radius, cross(axis, radius)


def _shares(direction: Vector, basis: Basis) -> Vector:
    """Return coordinates in an orthogonal basis whose first vector is a unit one."""
    axis, radius, across = basis
    share = 1.0 / dot(radius, radius)
    return dot(axis, direction), dot(radius, direction) * share, dot(across, direction) * share


def _between(a: Vector, b: Vector) -> Array:
    """Angle between unit vectors, exact for small ones."""
    apart = subtract(a, b)
    return np.asarray(2.0 * np.arcsin(np.minimum(0.5 * np.sqrt(dot(apart, apart)), 1.0)))
