"""Both wheels of an axle on the road: travel, steer and roll, and any mix of them.

Axis 0 of every array is (left, right); the right corner is mirrored, so both look like left ones.

Roll is the body's, + leans it to its right, as in a left turn. At a roll both contact centres lie
on one flat road; the mean of the two wheels' travel is the travel asked for, and the height that
the body then takes is a result. At roll 0 each wheel simply has the travel asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from geometry.parts import Corner
from geometry.reach import Lines, iterate, on_branch, rising, survey
from geometry.steering import SIDES, Steering
from geometry.vectors import Array, Scalar, Vector, add_scaled, cross, dot, scale
from geometry.wishbone import Linkage, Motion


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
    upright = np.cos(roll) + np.zeros((2, 1))
    return np.zeros_like(upright), SIDES * np.sin(roll), upright


def wheel_down(axle: Vector, normal: Vector) -> Vector:
    """Return the unit vector in the wheel plane that points at the road."""
    lean = dot(normal, axle)
    across = 1.0 / np.sqrt(1.0 - lean * lean)
    return scale(add_scaled(scale(normal, -1.0), axle, lean), across)


@dataclass(frozen=True)
class Demand:
    """Poses asked for, with where to start and to stay; arrays of shape (n,) or (2, n).

    Parameters
    ----------
    travel, roll, rack
        Mean travel [mm], roll [rad], steer [mm], shape (n,).
    flat
        Where both contact centres must lie on one road; elsewhere each wheel has the travel.
    angle, low, high
        Lower-arm angles to start from, and their bracket [rad], shape (2, n).
    inner
        Tie rods' inner ends [mm], shape (2, n).
    """

    travel: Array
    roll: Array
    rack: Array
    flat: Array
    angle: Array
    low: Array
    high: Array
    inner: Vector


def survey_axle(axle: Axle, rack: Array, low: Array, high: Array) -> Lines:
    """Survey both wheels at steers [mm] of shape (lines,) over travels [mm]."""
    shape = (2, np.size(rack))
    return survey(
        axle.corners,
        axle.steering.inner_ends(rack),
        np.broadcast_to(low, shape),
        np.broadcast_to(high, shape),
    )


def ask_travel(lines: Lines, travel: Array, rack: Array) -> Demand:
    """Ask for the same travels [mm], shape (n,), of both wheels, on one line or on n."""
    wide = np.broadcast_to(travel, (2, travel.size))
    return _demand(lines, travel, np.zeros_like(travel), rack, False, lines.angle_at(wide))


def ask_roll(lines: Lines, travel: Array, roll: Array, rack: Array, half_track: Array) -> Demand:
    """Ask for rolls [rad] on a flat road at mean travels [mm]; a rough half track [mm] helps."""
    start = lines.angle_at(travel - SIDES * half_track * np.tan(roll))
    return _demand(lines, travel, roll, rack, True, start)


def ask_steer(axle: Axle, line: Lines, rack: Array) -> Demand:
    """Ask for steers [mm] at zero travel, from the straight-ahead line."""
    zero = np.zeros_like(rack)
    start = line.angle_at(np.broadcast_to(zero, (2, rack.size)))
    demand = _demand(line, zero, zero, rack, False, start)
    return replace(demand, inner=axle.steering.inner_ends(rack))


def together(demands: Sequence[Demand]) -> Demand:
    """Put demands behind each other, so that one run of Newton steps answers all."""
    if len(demands) == 1:
        return demands[0]
    return _joined(demands, [demand.travel.size for demand in demands])  # type: ignore[no-any-return]


def drive(axle: Axle, demand: Demand) -> Poses:
    """Solve poses."""
    normal = road_normal(demand.roll)
    parts = axle.corners.parts
    flat, travel = demand.flat, demand.travel

    def step(linkage: Linkage) -> Array:
        own = (linkage.wheel_centre[2] - parts.height - travel) / rising(linkage)
        if not flat.any():
            return own
        return np.where(flat, _roll_step(axle, linkage, normal, travel), own)

    bracket = (demand.low, demand.high)
    linkage = iterate(axle.corners, demand.inner, demand.angle, bracket, step)
    settled = np.abs(step(linkage)).max(axis=0) < 1e-9
    reached = settled & on_branch(linkage).all(axis=0)
    contact = add_scaled(linkage.wheel_centre, wheel_down(linkage.axle, normal), parts.tyre_radius)
    height = dot(normal, contact)
    return Poses(
        linkage=linkage,
        travel=linkage.wheel_centre[2] - parts.height,
        roll=demand.roll,
        rack=demand.rack,
        normal=normal,
        contact=contact,
        body_height=-0.5 * (height[0] + height[1]),
        reached=np.asarray(reached),
        tyre_radius=parts.tyre_radius,
    )


def _demand(
    lines: Lines, travel: Array, roll: Array, rack: Array, flat: bool, angle: Array
) -> Demand:
    count = travel.size
    return Demand(
        travel=travel,
        roll=roll,
        rack=np.broadcast_to(rack, (count,)),
        flat=np.full(count, flat),
        angle=angle,
        low=lines.low,
        high=lines.high,
        inner=lines.inner,
    )


def _joined(values: Any, counts: list[int]) -> Any:
    head = values[0]
    if isinstance(head, tuple):
        return tuple(_joined(group, counts) for group in zip(*values, strict=True))
    if not isinstance(head, np.ndarray):
        names = head.__dataclass_fields__
        fields = {n: _joined([getattr(v, n) for v in values], counts) for n in names}
        return type(head)(**fields)
    if head.ndim == 2:
        # constants of a run have one column: widen them where runs are put side by side
        values = [
            v if v.shape[1] == n else np.repeat(v, n, axis=1)
            for v, n in zip(values, counts, strict=True)
        ]
    return np.concatenate(values, axis=-1)


def choose(poses: Poses, index: Any) -> Poses:
    """Return some of the poses: an index or slice of the last axis."""
    return _chosen(poses, index, poses.travel.shape[1])


def _chosen(value: Any, index: Any, count: int) -> Any:
    if isinstance(value, tuple):
        return tuple(_chosen(part, index, count) for part in value)
    if not isinstance(value, np.ndarray):
        names = value.__dataclass_fields__
        return type(value)(**{n: _chosen(getattr(value, n), index, count) for n in names})
    return value[..., index] if value.shape[-1] == count else value


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
