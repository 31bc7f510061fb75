"""Both wheels of an axle on the road: travel, steer and roll, and any mix of them.

Axis 0 of every array is (left, right); the right corner is mirrored, so both look like left ones.

Roll is the body's, + leans it to its right, as in a left turn. At a roll both contact centres lie
on one flat road; the mean of the two wheels' travel is the travel asked for, and the height that
the body then takes is a result. At roll 0 each wheel simply has the travel asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from geometry.conventions import MAX_ITERATIONS, STEP_TOLERANCE
from geometry.parts import Corner
from geometry.reach import Lines, follow, survey
from geometry.steering import SIDES, Steering
from geometry.vectors import Array, Scalar, Vector, add_scaled, cross, dot, scale
from geometry.wishbone import Linkage, Motion, close_linkage


@dataclass(frozen=True)
class Axle:
    """Two corners (arrays of shape (2, 1), the right one mirrored) and their steering."""

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
        Road's upward unit normal in each corner's body axes.
    contact
        Contact centres [mm], body axes.
    body_height
        Height of the body's datum above the road [mm], shape (n,).
    reached
        Where both wheels stand on the design branch, shape (n,).
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

    def motion(self) -> Motion:
        """Return the uprights' motion per mm of their own travel, at fixed steering."""
        upright, per_travel = self.linkage.upright, 1.0 / self.linkage.rise
        return Motion(
            upright.base,
            scale(upright.velocity, per_travel),
            scale(upright.turning, per_travel),
        )


def road_normal(roll: Array) -> Vector:
    """Return the road's unit normal in body axes, mirrored rows, shape (2, n)."""
    return np.zeros((2, 1)), SIDES * np.sin(roll), np.cos(roll) + np.zeros((2, 1))


def wheel_down(axle: Vector, normal: Vector) -> Vector:
    """Return the unit vector in the wheel plane that points at the road."""
    lean = dot(normal, axle)
    across = 1.0 / np.sqrt(1.0 - lean * lean)
    return scale(add_scaled(scale(normal, -1.0), axle, lean), across)


def survey_axle(axle: Axle, rack: Array, low: Array, high: Array) -> Lines:
    """Survey both wheels at steers [mm] of shape (lines,) over travels [mm]."""
    shape = (2, np.size(rack))
    return survey(
        axle.corners,
        axle.steering.inner_ends(rack),
        np.broadcast_to(low, shape),
        np.broadcast_to(high, shape),
    )


def drive_travel(axle: Axle, lines: Lines, travel: Array, rack: Array) -> Poses:
    """Give both wheels the same travels [mm], shape (n,), on their lines."""
    travel = np.broadcast_to(travel, (2, np.size(travel)))
    linkage = follow(axle.corners, lines, travel)
    roll = np.zeros(travel.shape[1])
    return _poses(axle, linkage, roll, rack, np.asarray(lines.holds(travel).all(axis=0)))


def drive_roll(axle: Axle, lines: Lines, travel: Array, roll: Array, rack: Array) -> Poses:
    """Lean the body to rolls [rad] on a flat road at mean travels [mm], all of shape (n,)."""
    normal = road_normal(roll)
    lever = axle_half_track(axle)
    angle = lines.angle_at(travel - SIDES * lever * np.tan(roll))
    for _ in range(MAX_ITERATIONS):
        linkage = close_linkage(axle.corners, angle, lines.inner)
        step = _roll_step(axle, linkage, normal, travel)
        after = np.minimum(np.maximum(angle - step, lines.low), lines.high)
        moved = np.abs(after - angle).max(initial=0.0)
        angle = after
        if moved < np.sqrt(STEP_TOLERANCE) / 10:
            break
    linkage = close_linkage(axle.corners, angle, lines.inner)
    left = np.abs(_roll_step(axle, linkage, normal, travel)).max(axis=0) < 1e-7
    own_travel = linkage.wheel_centre[2] - axle.corners.parts.height
    reached = left & lines.holds(own_travel).all(axis=0)
    return _poses(axle, linkage, roll, rack, reached)


def axle_half_track(axle: Axle) -> Array:
    """Return a rough half track [mm], good enough to start an iteration from."""
    corners = axle.corners
    return np.asarray(corners.lower.centre[1] + corners.lower.outward[1])


def join(first: Poses, *others: Poses) -> Poses:
    """Put poses behind each other on the last axis."""
    parts = [first, *others]
    count = [part.travel.shape[1] for part in parts]

    def joined(values: list[object]) -> object:
        head = values[0]
        if isinstance(head, tuple):
            return tuple(joined(list(group)) for group in zip(*values, strict=True))
        if hasattr(head, "__dataclass_fields__"):
            names = head.__dataclass_fields__
            return type(head)(**{n: joined([getattr(v, n) for v in values]) for n in names})
        arrays = [np.asarray(value) for value in values]
        if arrays[0].ndim == 1:
            return np.concatenate(arrays)
        return np.concatenate(
            [np.broadcast_to(a, (2, n)) for a, n in zip(arrays, count, strict=True)], axis=1
        )

    return joined(list(parts))  # type: ignore[return-value]


def choose(poses: Poses, index: Any) -> Poses:
    """Return some of the poses: an index or slice of the last axis."""
    count = poses.travel.shape[1]

    def chosen(value: object) -> object:
        if isinstance(value, tuple):
            return tuple(chosen(part) for part in value)
        if hasattr(value, "__dataclass_fields__"):
            names = value.__dataclass_fields__
            return type(value)(**{name: chosen(getattr(value, name)) for name in names})
        array = np.asarray(value)
        if array.ndim == 1:
            return array[index]
        return np.broadcast_to(array, (2, count))[:, index]

    return chosen(poses)  # type: ignore[return-value]


def road_height(
    axle: Vector, hub: Vector, normal: Vector, radius: Scalar, axle_rate: Vector, hub_rate: Vector
) -> tuple[Array, Array]:
    """Return n·P of the contact centre [mm] and its rate, P = W + R·d as it moves.

    n·P = n·W - R·sqrt(1 - (n·e)²), since the wheel's lowest point lies in its plane.
    """
    lean = dot(normal, axle)
    upright = np.sqrt(1.0 - lean * lean)
    rate = dot(normal, hub_rate) + radius * lean / upright * dot(normal, axle_rate)
    return dot(normal, hub) - radius * upright, rate


def travel_per_roll(poses: Poses) -> Array:
    """Return d travel/d roll of each wheel on a flat road [mm/rad], shape (2, n), mean kept."""
    link, motion = poses.linkage, poses.motion()
    roll = poses.roll
    turned = (np.zeros((2, 1)), SIDES * np.cos(roll), -np.sin(roll) + np.zeros((2, 1)))
    axle, hub = link.axle, link.wheel_centre
    spin_rate, hub_rate = cross(motion.turning, axle), motion.at(hub)
    _, per_travel = road_height(axle, hub, poses.normal, poses.tyre_radius, spin_rate, hub_rate)
    lean = dot(poses.normal, axle)
    by_roll = dot(turned, hub) + poses.tyre_radius * lean / np.sqrt(1.0 - lean * lean) * dot(
        turned, axle
    )
    left = -(by_roll[0] - by_roll[1]) / (per_travel[0] + per_travel[1])
    return SIDES * left


def _roll_step(axle: Axle, linkage: Linkage, normal: Vector, travel: Array) -> Array:
    """Newton step of both arm angles: mean travel kept, both contacts on one plane."""
    upright, hub = linkage.upright, linkage.wheel_centre
    spin_rate = cross(upright.turning, linkage.axle)
    radius = axle.corners.parts.tyre_radius
    height, rate = road_height(linkage.axle, hub, normal, radius, spin_rate, upright.at(hub))
    rise = hub[2] - axle.corners.parts.height
    mean = 0.5 * (rise[0] + rise[1]) - travel
    gap = height[0] - height[1]
    left, right = 0.5 * linkage.rise[0], 0.5 * linkage.rise[1]
    determinant = -left * rate[1] - right * rate[0]
    determinant = np.where(np.abs(determinant) < 1.0, -1.0, determinant)
    step_left = (-mean * rate[1] - right * gap) / determinant
    step_right = (left * gap - mean * rate[0]) / determinant
    return np.clip(np.stack([step_left, step_right]), -0.3, 0.3)


def _poses(axle: Axle, linkage: Linkage, roll: Array, rack: Array, reached: Array) -> Poses:
    normal = road_normal(roll)
    radius = axle.corners.parts.tyre_radius
    contact = add_scaled(linkage.wheel_centre, wheel_down(linkage.axle, normal), radius)
    height = dot(normal, contact)
    return Poses(
        linkage=linkage,
        travel=linkage.wheel_centre[2] - axle.corners.parts.height,
        roll=roll,
        rack=np.broadcast_to(rack, roll.shape),
        normal=normal,
        contact=contact,
        body_height=-0.5 * (height[0] + height[1]),
        reached=reached,
        tyre_radius=radius,
    )
