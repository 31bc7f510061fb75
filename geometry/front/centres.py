"""Instant centres, roll centres and anti-dive, with parallel arms as an ordinary case.

No formula divides by a distance to a centre: slopes and inverse lengths stay finite when the centre
runs to infinity, and only the last step turns them into a place or into "none".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from geometry.front.parts import Corner
from geometry.front.road import Poses
from geometry.front.steering import SIDES
from geometry.vectors import Array, Scalar, Vector, cross, dot, scale

FAR: Final = 1e7
"""Distance beyond which a centre counts as at infinity [mm]."""

LEVEL: Final = 1e-12
"""Slope below which a line counts as level with the road (no unit)."""


@dataclass(frozen=True)
class ArmPlanes:
    """The planes of both arms cut by an upright plane through the contact centre.

    Parameters
    ----------
    along, height
        Numerators of the centre's place [mm · determinant]: y or x, and z.
    determinant
        Zero where the arms' lines are parallel.
    """

    along: Array
    height: Array
    determinant: Array

    def centre(self) -> tuple[Array, Array]:
        """Return the centre's place [mm], NaN where it is at infinity."""
        far = np.abs(self.along) >= FAR * np.abs(self.determinant)
        divisor = np.where(far, np.nan, self.determinant)
        return self.along / divisor, self.height / divisor

    def slope_from(self, place: Array, level: Array) -> Array:
        """Return the rise per mm of the line from a point towards the centre's side (-axis).

        Parameters
        ----------
        place
            Of the point along the view's axis, as the centre's [mm], shape (2, n).
        level
            Height of the point [mm], shape (2, n).
        """
        return (self.height - level * self.determinant) / (place * self.determinant - self.along)


def front_view(corner: Corner, poses: Poses) -> ArmPlanes:
    """Cut both arm planes by the transverse plane through the contact centre.

    Parameters
    ----------
    corner
        The corner, both sides at once: arrays of shape (2, 1).
    poses
        Solved poses of both wheels, shape (2, n).

    References
    ----------
    Milliken & Milliken 17.2; Dixon ch. 8 (both from memory).
    """
    return _cut(arm_planes(corner, poses), poses, across=1, fixed=0)


def side_view(corner: Corner, poses: Poses) -> ArmPlanes:
    """Cut both arm planes by the longitudinal plane through the contact centre.

    Parameters
    ----------
    corner
        The corner, both sides at once: arrays of shape (2, 1).
    poses
        Solved poses of both wheels, shape (2, n).
    """
    return _cut(arm_planes(corner, poses), poses, across=0, fixed=1)


def centre_results(corner: Corner, poses: Poses) -> dict[str, Array]:
    """Return instant centres, swing arms and roll centre heights, (2, n) or (n,).

    Roll centre from the motion: where the two lines through the contact centres, normal to the
    motion of the upright's point there, meet. Gillespie ch. 7, Milliken & Milliken 17.3 (memory).

    Parameters
    ----------
    corner
        The corner, both sides at once: arrays of shape (2, 1).
    poses
        Solved poses of both wheels, shape (2, n).
    """
    planes, contact = arm_planes(corner, poses), poses.contact
    front = _cut(planes, poses, across=1, fixed=0)
    side = _cut(planes, poses, across=0, fixed=1)
    y, z = front.centre()
    x_side, z_side = side.centre()
    motion = motion_slopes(poses)
    height, lateral = meet(poses, motion)
    drawn = _road_slope(poses, front.slope_from(contact[1], contact[2]))
    construction, drawn_lateral = meet(poses, drawn)
    return {
        "instant_centre_y": y,
        "instant_centre_z": z,
        "swing_arm_length": contact[1] - y,
        "side_centre_x": x_side,
        "side_centre_z": z_side,
        "side_swing_arm_length": contact[0] - x_side,
        "roll_centre_height": height,
        "roll_centre_lateral": lateral,
        "roll_centre_construction": construction,
        "roll_centre_construction_lateral": drawn_lateral,
        "line_slope": motion,
    }


def motion_slopes(poses: Poses) -> Array:
    """Return dy_P/dz_P of the upright's point at the contact centre, road axes, shape (2, n)."""
    velocity = poses.contact_rate
    return poses.outward(velocity) / poses.up(velocity)


def meet(poses: Poses, slope: Array) -> tuple[Array, Array]:
    """Return height above the road and place to the left of where both lines meet [mm], (n,).

    With steer and travel the contact centres are not quite level with each other: the road then is
    the line through both.

    Parameters
    ----------
    poses
        Solved poses of both wheels, shape (2, n).
    slope
        Rise of each wheel's line per mm towards the centreline, shape (2, n).
    """
    out, level = poses.outward(poses.contact), poses.up(poses.contact)
    left, right = out[0], out[-1]
    slope = slope + SIDES * ((level[0] - level[-1]) / (left + right))
    total = slope[0] + slope[1]
    # both lines level (slopes zero): they meet on the road; opposite slopes: they never meet
    flat = np.abs(slope).max(axis=0) < LEVEL
    height = slope[0] * slope[1] * (left + right) / total
    lateral = (left * slope[0] - right * slope[1]) / total
    far = ~(np.abs(height) + np.abs(lateral) < FAR)
    return (
        np.where(flat, 0.0, np.where(far, np.nan, height)),
        np.where(flat, 0.5 * (left - right), np.where(far, np.nan, lateral)),
    )


def force_height(poses: Poses, slope: Array, force: Array) -> Array:
    """Return the force-based roll centre height [mm], (n,), for side forces in any unit, (2, n).

    (t/2)·(F_L·m_L + F_R·m_R)/(F_L + F_R): moment of the tyres' side forces; derived. Finite where
    the kinematic roll centre runs away.

    Parameters
    ----------
    poses
        Solved poses of both wheels, shape (2, n).
    slope
        Rise of each wheel's line per mm towards the centreline, shape (2, n).
    force
        Side force of each tyre, any one unit, shape (2, n).
    """
    out = poses.outward(poses.contact)
    share = (force[0] * slope[0] + force[-1] * slope[-1]) / (force[0] + force[-1])
    return np.asarray(0.5 * (out[0] + out[-1]) * share)


def anti_dive(poses: Poses, brake_share: Scalar, leverage: Scalar) -> dict[str, Array]:
    """Return anti-dive with outboard and with inboard brakes [%], shape (2, n).

    Parameters
    ----------
    corner
        The corner, both sides at once: arrays of shape (2, 1).
    poses
        Solved poses of both wheels, shape (2, n).
    brake_share
        Share of the braking force at this axle, 0 to 1.
    leverage
        Wheelbase over centre-of-gravity height.

    References
    ----------
    Gillespie ch. 7; Milliken & Milliken 17.5 (from memory): 100·share·(dx/dz)·L/h.
    """
    locked, rolling = poses.contact_rate, poses.hub_rate
    factor = 100.0 * brake_share * leverage
    return {
        "anti_dive": factor * locked[0] / locked[2],
        "anti_dive_inboard": factor * rolling[0] / rolling[2],
    }


Plane = tuple[Vector, Array]


def arm_planes(corner: Corner, poses: Poses) -> tuple[Plane, Plane]:
    """Return the unit normals of the upper and the lower arm's plane, and their levels n·p.

    Parameters
    ----------
    corner
        The corner, both sides at once: arrays of shape (2, 1).
    poses
        Solved poses of both wheels, shape (2, n).
    """
    link = poses.linkage
    upper = scale(link.upper_tangent, 1.0 / np.sqrt(corner.upper.radius_2))
    lower = scale(cross(corner.lower.axis, link.lower_radius), 1.0 / np.sqrt(corner.lower.radius_2))
    return (
        (upper, dot(upper, corner.upper.centre)),
        (lower, dot(lower, corner.lower.centre)),
    )


def _cut(planes: tuple[Plane, Plane], poses: Poses, across: int, fixed: int) -> ArmPlanes:
    (upper, level_u), (lower, level_l) = planes
    right_u = level_u - upper[fixed] * poses.contact[fixed]
    right_l = level_l - lower[fixed] * poses.contact[fixed]
    return ArmPlanes(
        along=right_u * lower[2] - right_l * upper[2],
        height=upper[across] * right_l - lower[across] * right_u,
        determinant=upper[across] * lower[2] - lower[across] * upper[2],
    )


def _road_slope(poses: Poses, slope: Array) -> Array:
    """Turn a slope towards the car's middle in body axes into one against the road."""
    _, across, above = poses.normal
    return (slope * above - across) / (above + slope * across)
