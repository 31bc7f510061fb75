"""A corner as parts and as bolted up: the difference between a moved hole and a new arm.

The *parts* are what a shop could put on a bench: two arms of given lengths, an upright, a tie rod.
They are measured off the points of one pose. A *corner* is those parts bolted to body points, which
need not be the ones that the parts were measured on: that is a re-drilled hole or a shim.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from geometry.errors import DegenerateGeometry, Unreachable
from geometry.vectors import (
    Array,
    Scalar,
    Vector,
    add_scaled,
    cross,
    dot,
    norm,
    scale,
    subtract,
    unit,
)


@dataclass(frozen=True)
class CornerPoints:
    """Points of a left-hand corner at one pose, in body axes [mm], with its wheel.

    Every vector may hold arrays of a shared shape (..., 1): a batch of corners.

    Parameters
    ----------
    upper_front, upper_rear, upper_ball, lower_front, lower_rear, lower_ball, tie_inner, tie_outer
        Pivots and joints [mm].
    wheel_centre
        Wheel centre [mm].
    camber
        Static camber [rad], + the wheel's top leans out.
    toe
        Static toe of this wheel [rad], + toe-in.
    tyre_radius
        Loaded radius [mm].
    """

    upper_front: Vector
    upper_rear: Vector
    upper_ball: Vector
    lower_front: Vector
    lower_rear: Vector
    lower_ball: Vector
    tie_inner: Vector
    tie_outer: Vector
    wheel_centre: Vector
    camber: Scalar
    toe: Scalar
    tyre_radius: Scalar


@dataclass(frozen=True)
class ArmParts:
    """A rigid arm: the distances from its ball joint to its two pivots [mm]."""

    to_front: Array
    to_rear: Array


@dataclass(frozen=True)
class Parts:
    """The parts of a corner, free of where they are bolted.

    Upright coordinates are coefficients in the basis (k, t, k x t): k from lower to upper ball
    joint, t from lower ball joint to the tie rod's outer end [mm].

    Parameters
    ----------
    upper, lower
        The arms.
    kingpin_length_2
        Squared distance between the ball joints [mm²].
    tie_along, tie_radius_2
        t along k as a share of k; squared distance of the tie-rod end from the kingpin axis [mm²].
    tie_length
        Tie-rod length [mm].
    wheel, axle
        Upright coordinates of (wheel centre - lower ball joint) and of the spin axis.
    upper_side, tie_side
        +1 or -1: the assembly mode of the upper arm's and the tie rod's closure.
    height
        Height of the wheel centre in the measured pose [mm].
    tyre_radius
        Loaded radius [mm].
    """

    upper: ArmParts
    lower: ArmParts
    kingpin_length_2: Array
    tie_along: Array
    tie_radius_2: Array
    tie_length: Array
    wheel: Vector
    axle: Vector
    upper_side: Array
    tie_side: Array
    height: Array
    tyre_radius: Scalar


@dataclass(frozen=True)
class Arm:
    """An arm bolted up: its ball joint runs on a circle.

    Parameters
    ----------
    centre, axis
        Foot of the ball joint on the pivot line [mm]; unit vector along it, front to rear pivot.
    outward, upward
        Radius vectors [mm] of the circle at arm angle 0 and at +90°; + angle lifts the ball joint.
    radius_2
        Squared radius [mm²].
    """

    centre: Vector
    axis: Vector
    outward: Vector
    upward: Vector
    radius_2: Array


@dataclass(frozen=True)
class Corner:
    """Parts bolted to body points: all that a pose needs."""

    parts: Parts
    upper: Arm
    lower: Arm
    tie_inner: Vector


def spin_axis(camber: Scalar, toe: Scalar) -> Vector:
    """Return the unit spin axis, outboard, of a left wheel.

    Parameters
    ----------
    camber
        [rad], + top leans out.
    toe
        [rad], + toe-in.

    References
    ----------
    ISO 8855:2011, 7.1.6 and 7.1.17 (numbers from memory).
    """
    return (
        np.cos(camber) * np.sin(toe),
        np.cos(camber) * np.cos(toe),
        -np.sin(camber) + 0.0 * np.asarray(toe),
    )


def measure_parts(points: CornerPoints) -> Parts:
    """Take the parts off a pose.

    Raises
    ------
    DegenerateGeometry
        Points coincide or lie on one line where they must not.
    """
    upper = _arm_parts(points.upper_front, points.upper_rear, points.upper_ball)
    lower = _arm_parts(points.lower_front, points.lower_rear, points.lower_ball)
    _refuse_degenerate(points)
    kingpin = subtract(points.upper_ball, points.lower_ball)
    steering_arm = subtract(points.tie_outer, points.lower_ball)
    length_2 = dot(kingpin, kingpin)
    along = dot(steering_arm, kingpin) / length_2
    basis = (kingpin, steering_arm, cross(kingpin, steering_arm))
    inner = subtract(points.tie_inner, points.lower_ball)
    hub = subtract(points.wheel_centre, points.lower_ball)
    return Parts(
        upper=upper,
        lower=lower,
        kingpin_length_2=length_2,
        tie_along=along,
        tie_radius_2=dot(steering_arm, steering_arm) - along * along * length_2,
        tie_length=norm(subtract(points.tie_outer, points.tie_inner)),
        wheel=coordinates(hub, basis),
        axle=coordinates(spin_axis(points.camber, points.toe), basis),
        upper_side=_upper_side(points),
        # T lies on the side of k x inner that its closure's root must keep
        tie_side=np.where(dot(steering_arm, cross(kingpin, inner)) >= 0.0, 1.0, -1.0),
        height=points.wheel_centre[2],
        tyre_radius=points.tyre_radius,
    )


def bolt_up(parts: Parts, body: CornerPoints) -> Corner:
    """Bolt parts to the body points of another (or the same) pose.

    Only the pivots and the tie rod's inner end of `body` are read; its ball joints only tell which
    way the arms point at angle 0.
    """
    return Corner(
        parts=parts,
        upper=_arm(parts.upper, body.upper_front, body.upper_rear, body.upper_ball),
        lower=_arm(parts.lower, body.lower_front, body.lower_rear, body.lower_ball),
        tie_inner=body.tie_inner,
    )


def with_tie_length(corner: Corner, length: Array) -> Corner:
    """Return the corner with its tie rod turned to another length [mm]."""
    return replace(corner, parts=replace(corner.parts, tie_length=length))


def pivot_spread(corner_points: CornerPoints) -> tuple[Array, Array]:
    """Return the distances between the pivots of the upper and of the lower arm [mm]."""
    return (
        norm(subtract(corner_points.upper_front, corner_points.upper_rear)),
        norm(subtract(corner_points.lower_front, corner_points.lower_rear)),
    )


def _arm_parts(front: Vector, rear: Vector, ball: Vector) -> ArmParts:
    return ArmParts(norm(subtract(ball, front)), norm(subtract(ball, rear)))


def _upper_side(points: CornerPoints) -> Array:
    axis = subtract(points.upper_rear, points.upper_front)
    arm = subtract(points.upper_ball, points.upper_front)
    to_lower = subtract(points.lower_ball, points.upper_front)
    side = dot(arm, cross(axis, to_lower))
    return np.where(side >= 0.0, 1.0, -1.0)


def _arm(parts: ArmParts, front: Vector, rear: Vector, ball: Vector) -> Arm:
    """Place an arm on its pivots; both distances to the ball joint are kept."""
    line = subtract(rear, front)
    spread_2 = dot(line, line)
    # foot of the ball joint on the pivot line, as a share of the spread (cosine rule)
    share = 0.5 + (parts.to_front**2 - parts.to_rear**2) / (2.0 * spread_2)
    radius_2 = parts.to_front**2 - share * share * spread_2
    if np.any(radius_2 <= 0.0):
        raise _arm_too_short(parts, np.sqrt(spread_2))
    centre = add_scaled(front, line, share)
    axis = scale(line, 1.0 / np.sqrt(spread_2))
    towards = subtract(ball, centre)
    across = add_scaled(towards, axis, -dot(towards, axis))
    outward = scale(unit(across), np.sqrt(radius_2))
    upward = cross(axis, outward)
    lift = np.where(upward[2] >= 0.0, 1.0, -1.0)
    return Arm(centre, axis, outward, scale(upward, lift), radius_2)


def _arm_too_short(parts: ArmParts, spread: Array) -> Unreachable:
    reach = np.broadcast_to(parts.to_front + parts.to_rear, np.shape(spread)).min()
    return Unreachable("upper_front", "upper_rear", float(reach), float(np.max(spread)), 0.0)


def coordinates(target: Vector, basis: tuple[Vector, Vector, Vector]) -> Vector:
    """Solve target = a·k + b·t + c·(k x t) by reciprocal vectors."""
    k, t, n = basis
    volume = dot(n, n)  # k · (t x n) = |k x t|²
    return (
        dot(target, cross(t, n)) / volume,
        dot(target, cross(n, k)) / volume,
        dot(target, n) / volume,
    )


def _refuse_degenerate(points: CornerPoints) -> None:
    _apart(points, "upper_front", "upper_rear", "are in one place, so they are no pivot line")
    _apart(points, "lower_front", "lower_rear", "are in one place, so they are no pivot line")
    _apart(points, "upper_ball", "lower_ball", "are in one place, so there is no kingpin axis")
    _off_line(points, "upper_ball", "upper_front", "upper_rear")
    _off_line(points, "lower_ball", "lower_front", "lower_rear")
    _off_line(points, "tie_outer", "lower_ball", "upper_ball")


def _apart(points: CornerPoints, first: str, second: str, reason: str) -> None:
    gap = norm(subtract(getattr(points, first), getattr(points, second)))
    if np.any(gap < 1.0):  # [mm] closer than a tape can tell
        raise DegenerateGeometry(first, second, reason)


def _off_line(points: CornerPoints, point: str, start: str, end: str) -> None:
    line = unit(subtract(getattr(points, end), getattr(points, start)))
    offset = norm(cross(line, subtract(getattr(points, point), getattr(points, start))))
    if np.any(offset < 1.0):
        raise DegenerateGeometry(point, start, "lie on one line with " + end.replace("_", " "))
