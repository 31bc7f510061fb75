"""Both wheels of an axle on the road: travel, steer and roll, and any mix of them.

Axis 0 of every array is (left, right); the right corner is mirrored, so both look like left ones.

Roll is the body's, + leans it to its right, as in a left turn. At a roll both contact centres lie
on one flat road; the mean of the two wheels' travel is the travel asked for, and the height that
the body then takes is a result. At roll 0 each wheel simply has the travel asked for.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property
from typing import Any

import numpy as np

from geometry.conventions import HEIGHT_TOLERANCE
from geometry.dataclass import dataclass
from geometry.front.contact import road_height, road_normal, upright_share, wheel_down
from geometry.front.parts import Corner
from geometry.front.reach import iterate, on_branch, rising, survey
from geometry.front.roll_search import find_roll
from geometry.front.runs import Lines, Start, Table
from geometry.front.steering import SIDES, Steering
from geometry.front.wishbone import Linkage, Motion
from geometry.rows import chosen
from geometry.vectors import Array, Scalar, Vector, add_scaled, cross, scale


@dataclass(frozen=True)
class Axle:
    """Two corners (arrays of shape (2, 1), the right one mirrored) and their steering.

    Where each pose has a car of its own, arrays have the shape (2, n). Where both sides are alike
    and the poses level and straight ahead, one row is enough.
    """

    corners: Corner
    steering: Steering


@dataclass(frozen=True)
class Poses:
    """Solved poses of an axle.

    Parameters
    ----------
    linkage
        Both corners, shape (2, n), body axes.
    travel
        Rise of each wheel centre against the body [mm], shape (2, n), + bump.
    roll
        Body roll [rad], shape (n,), + leans to the right.
    rack
        Steer [mm], shape (n,), + to the car's left.
    normal
        Road's upward unit normal in each corner's body axes; its x is zero.
    contact
        Contact centres [mm], body axes.
    body_height
        Height of the body's datum above the road [mm], shape (n,).
    reached
        Where both wheels stand on the design branch, shape (n,).
    tyre_radius
        Loaded radius [mm].
    """

    linkage: Linkage
    travel: Array
    roll: Array
    rack: Array
    normal: Vector
    contact: Vector
    body_height: Array
    reached: Array
    tyre_radius: Scalar

    @cached_property
    def motion(self) -> Motion:
        """The uprights' motion per mm of their own travel, at fixed steering."""
        upright, per_travel = self.linkage.upright, 1.0 / rising(self.linkage)
        return Motion(
            upright.base,
            scale(upright.velocity, per_travel),
            scale(upright.turning, per_travel),
        )

    @cached_property
    def hub_rate(self) -> Vector:
        """The wheel centres' motion per mm of their own travel (no unit)."""
        return scale(self.linkage.hub_rate, 1.0 / rising(self.linkage))

    @cached_property
    def contact_rate(self) -> Vector:
        """The same of the point of the upright at the contact centre."""
        return self.motion.at(self.contact)

    @cached_property
    def axle_rate(self) -> Vector:
        """The spin axes' change per mm of travel [1/mm]."""
        return cross(self.motion.turning, self.linkage.axle)

    @cached_property
    def normal_rate(self) -> Vector:
        """The normal's change over body roll (no unit)."""
        _, across, upright = self.normal
        return np.zeros_like(upright), SIDES * upright, -SIDES * across

    def up(self, direction: Vector) -> Array:
        """Return a vector's component off the road."""
        return direction[1] * self.normal[1] + direction[2] * self.normal[2]

    def outward(self, direction: Vector) -> Array:
        """Return a vector's component along the road, away from the car's middle."""
        return direction[1] * self.normal[2] - direction[2] * self.normal[1]


@dataclass(frozen=True)
class Demand:
    """Poses asked for; arrays of shape (n,).

    Parameters
    ----------
    travel, roll, rack
        Mean travel [mm], roll [rad], steer [mm].
    flat
        Where both contact centres must lie on one road; elsewhere each wheel has the travel.
    """

    travel: Array
    roll: Array
    rack: Array
    flat: Array


def survey_axle(axle: Axle, rack: Array, low: Array, high: Array) -> Lines:
    """Survey both wheels at steers [mm] of shape (lines,) over travels [mm].

    Parameters
    ----------
    axle
        The axle.
    rack
        Steer of each line [mm], + to the left, shape (lines,).
    low, high
        Ends of the travel looked over [mm], + in bump, shape (lines,).
    """
    zero = np.zeros((2, np.size(rack)))
    return survey(axle.corners, axle.steering.inner_ends(rack), low + zero, high + zero)


def drive(axle: Axle, lines: Lines, demand: Demand, half_track: Scalar = 750.0) -> Poses:
    """Solve poses, started from one line or from one line a pose.

    A rough half track [mm] helps to start poses at a roll.

    Parameters
    ----------
    axle
        The axle.
    lines
        Surveyed at the steers asked for.
    demand
        Poses asked for, shape (n,).
    half_track
        About half the track [mm].
    """
    parts, travel = axle.corners.parts, demand.travel
    rows = len(parts.height)
    normal = road_normal(demand.roll, rows)
    inner = axle.steering.inner_ends(demand.rack)
    start = lines.start(travel - SIDES[:rows] * (half_track * np.tan(demand.roll)))
    if isinstance(lines.guess, Table):
        # neighbours bracket a pose of the line itself, with the travel that was looked up
        is_leaning = ~demand.flat & (inner[1] == lines.inner[1]).all(axis=0)
        low, high = (
            np.where(is_leaning, start.low, lines.low),
            np.where(is_leaning, start.high, lines.high),
        )
        start = Start(start.angle, low, high)
    target = parts.height + travel

    def step(linkage: Linkage) -> Array:
        own_step = (linkage.wheel_centre[2] - target) / rising(linkage)
        return np.where(demand.flat, roll_step(linkage), own_step) if any_flat else own_step

    any_flat = bool(demand.flat.any())
    roll_step = _roll_step(normal, target, parts.tyre_radius)
    linkage = iterate(axle.corners, inner, start, step)
    poses = _poses(axle, demand, normal, linkage)
    lost = demand.flat & ~poses.reached
    if lost.any():
        start = find_roll(axle.corners, lines, (travel, normal), lost, linkage.angle)
        linkage = iterate(axle.corners, inner, start, step)
        poses = _poses(axle, demand, normal, linkage)
    return poses


def _poses(axle: Axle, demand: Demand, normal: Vector, linkage: Linkage) -> Poses:
    """Set both wheels on the road, and check that the poses are those asked for."""
    parts, travel = axle.corners.parts, demand.travel
    contact = add_scaled(linkage.wheel_centre, wheel_down(linkage.axle, normal), parts.tyre_radius)
    height = contact[1] * normal[1] + contact[2] * normal[2]
    rise = linkage.wheel_centre[2] - parts.height
    steerable = axle.steering.reaches(demand.rack)
    off = np.where(
        demand.flat,
        np.abs(height[0] - height[-1]) + np.abs(0.5 * (rise[0] + rise[-1]) - travel),
        np.abs(rise - travel).max(axis=0),
    )
    return Poses(
        linkage=linkage,
        travel=rise,
        roll=demand.roll,
        rack=demand.rack,
        normal=normal,
        contact=contact,
        body_height=-0.5 * (height[0] + height[-1]),
        reached=(off < HEIGHT_TOLERANCE) & on_branch(linkage).all(axis=0) & steerable,
        tyre_radius=parts.tyre_radius,
    )


def choose(poses: Poses, index: Any) -> Poses:
    """Return some of the poses: an index or slice of the last axis.

    Parameters
    ----------
    poses
        Of shape (2, n).
    index
        Index or slice of the last axis.
    """
    return chosen(poses, poses.travel.shape[1], index)


def travel_per_roll(poses: Poses) -> Array:
    """Return d travel/d roll of each wheel on a flat road [mm/rad], shape (2, n), mean kept."""
    axle, hub, radius = poses.linkage.axle, poses.linkage.wheel_centre, poses.tyre_radius
    _, by_travel = road_height(axle, hub, poses.normal, radius, poses.axle_rate, poses.hub_rate)
    lean = poses.up(axle)
    _, across, above = poses.normal_rate
    by_roll = across * hub[1] + above * hub[2]
    by_roll += radius * lean / upright_share(lean) * (across * axle[1] + above * axle[2])
    left_travel = (by_roll[1] - by_roll[0]) / (by_travel[0] + by_travel[-1])
    return SIDES * left_travel


def _roll_step(normal: Vector, target: Array, radius: Scalar) -> Callable[[Linkage], Array]:
    """Newton step of both arm angles: mean travel kept, both contacts on one plane."""

    def step(linkage: Linkage) -> Array:
        hub, turning, axle = linkage.wheel_centre, linkage.upright.turning, linkage.axle
        height, rate = road_height(
            axle, hub, normal, radius, cross(turning, axle), linkage.hub_rate
        )
        off = hub[2] - target
        mean, gap = 0.5 * (off[0] + off[1]), height[0] - height[1]
        left_step, right = 0.5 * linkage.rise
        determinant = -left_step * rate[1] - right * rate[0]
        determinant = np.where(np.abs(determinant) < 1.0, -1.0, determinant)
        step_left = (-mean * rate[1] - right * gap) / determinant
        step_right = (left_step * gap - mean * rate[0]) / determinant
        return np.clip(np.stack([step_left, step_right]), -0.3, 0.3)

    return step
