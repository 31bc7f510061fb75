"""A corner as parts and as bolted up: the difference between a moved hole and a new arm.

The *parts* are what a shop could put on a bench: two arms of given lengths, an upright, a tie rod.
They are measured off the points of one pose. A *corner* is those parts bolted to body points, which
need not be the ones that the parts were measured on: that is a re-drilled hole or a shim.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import Final, NamedTuple

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import DegenerateGeometry, Flaw, LegsDontMeet, OnOneLine
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

CLOSEST: Final = 1.0
"""Distance that two points, or a point and a line, must keep [mm]: closer than a tape can tell."""


_POINTS: Final = (
    *("upper_front", "upper_rear", "upper_ball", "lower_front", "lower_rear", "lower_ball"),
    *("tie_inner", "tie_outer", "wheel_centre"),
)


class ArmFrame(NamedTuple):
    """An arm as measured: unit vector along its pivots, and how its ball joint lies to them.

    Parameters
    ----------
    axis
        Front to rear pivot (no unit).
    foot, radius
        Foot of the ball joint on the pivot line, and from there to the joint [mm].
    across
        The axis x the radius [mm].
    radius_2
        Squared radius [mm²].
    """

    axis: Vector
    foot: Vector
    radius: Vector
    across: Vector
    radius_2: Array


@dataclass(frozen=True, eq=False)
class CornerPoints:
    """Points of a left-hand corner at one pose, in body axes [mm], with its wheel.

    Every vector may hold arrays of a shared shape (..., 1): a batch of corners. What is measured
    off them is kept with them: a drag of a hole leaves the parts as they are.

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

    @cached_property
    def parts(self) -> Parts:
        """The parts as taken off this pose; raises as `measure_parts` does."""
        return measure_parts(self)

    @cached_property
    def greatest(self) -> float:
        """The greatest coordinate without its sign [mm]."""
        return float(np.abs(np.array([*self.places.values()])).max())

    @property
    def places(self) -> dict[str, Vector]:
        """Its points by name [mm]."""
        return {name: getattr(self, name) for name in _POINTS}

    @cached_property
    def upper_arm(self) -> ArmFrame:
        """The upper arm."""
        return _arm_frame(self.upper_front, self.upper_rear, self.upper_ball)

    @cached_property
    def lower_arm(self) -> ArmFrame:
        """The lower arm."""
        return _arm_frame(self.lower_front, self.lower_rear, self.lower_ball)


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
    DegenerateGeometry, OnOneLine
        Points coincide or lie on one line where they must not.
    """
    upper = _arm_parts(points.upper_front, points.upper_rear, points.upper_ball)
    lower = _arm_parts(points.lower_front, points.lower_rear, points.lower_ball)
    kingpin = subtract(points.upper_ball, points.lower_ball)
    steering_arm = subtract(points.tie_outer, points.lower_ball)
    refuse_degenerate(points)
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
        # the tie-rod end lies on the side of k x inner that its closure's root must keep
        tie_side=np.where(dot(inner, basis[2]) <= 0.0, 1.0, -1.0),
        height=points.wheel_centre[2],
        tyre_radius=points.tyre_radius,
    )


def bolt_up(parts: Parts, body: CornerPoints) -> Corner:
    """Bolt parts to the body points of another (or the same) pose.

    Only the pivots and the tie rod's inner end of `body` are read; its ball joints only tell which
    way the arms point at angle 0.

    Parameters
    ----------
    parts
        Taken off their own pose.
    body
        Points as bolted up [mm], components of shape (..., 1).
    """
    return Corner(
        parts=parts,
        upper=_arm(parts.upper, body.upper_front, body.upper_rear, body.upper_ball, "upper"),
        lower=_arm(parts.lower, body.lower_front, body.lower_rear, body.lower_ball, "lower"),
        tie_inner=body.tie_inner,
    )


def with_tie_length(corner: Corner, length: Array) -> Corner:
    """Return the corner with its tie rod turned to another length [mm].

    Parameters
    ----------
    corner
        The corner.
    length
        Of the rod [mm], shape (..., 1).
    """
    return replace(corner, parts=replace(corner.parts, tie_length=length))


def pivot_spread(corner_points: CornerPoints) -> tuple[Array, Array]:
    """Return the distances between the pivots of the upper and of the lower arm [mm]."""
    return (
        norm(subtract(corner_points.upper_front, corner_points.upper_rear)),
        norm(subtract(corner_points.lower_front, corner_points.lower_rear)),
    )


def pivot_to_ball(front: Vector, rear: Vector, ball: Vector) -> Vector:
    """Return an arm's radius vector [mm]: from its pivot line, square to it, to its ball joint.

    Parameters
    ----------
    front, rear
        Of the arm's pivots [mm], components of any shape.
    ball
        The ball joint [mm].
    """
    axis, towards = unit(subtract(rear, front)), subtract(ball, front)
    return add_scaled(towards, axis, -dot(towards, axis))


def _arm_frame(front: Vector, rear: Vector, ball: Vector) -> ArmFrame:
    axis, towards = unit(subtract(rear, front)), subtract(ball, front)
    foot = add_scaled(front, axis, dot(towards, axis))
    radius = subtract(ball, foot)
    return ArmFrame(axis, foot, radius, cross(axis, radius), dot(radius, radius))


def _arm_parts(front: Vector, rear: Vector, ball: Vector) -> ArmParts:
    return ArmParts(norm(subtract(ball, front)), norm(subtract(ball, rear)))


def _upper_side(points: CornerPoints) -> Array:
    axis = subtract(points.upper_rear, points.upper_front)
    arm = subtract(points.upper_ball, points.upper_front)
    to_lower = subtract(points.lower_ball, points.upper_front)
    side = dot(arm, cross(axis, to_lower))
    return np.where(side >= 0.0, 1.0, -1.0)


def _arm(parts: ArmParts, front: Vector, rear: Vector, ball: Vector, name: str) -> Arm:
    """Place an arm on its pivots; both distances to the ball joint are kept."""
    line = subtract(rear, front)
    spread_2 = dot(line, line)
    # foot of the ball joint on the pivot line, as a share of the spread (cosine rule)
    front_2 = parts.to_front * parts.to_front
    share = 0.5 + (front_2 - parts.to_rear * parts.to_rear) / (2.0 * spread_2)
    radius_2 = front_2 - share * share * spread_2
    if (radius_2 <= 0.0).any():
        raise _does_not_fit(parts, np.sqrt(spread_2), name)
    centre = add_scaled(front, line, share)
    axis = scale(line, 1.0 / np.sqrt(spread_2))
    towards = subtract(ball, centre)
    across = add_scaled(towards, axis, -dot(towards, axis))
    outward = scale(across, np.sqrt(radius_2 / dot(across, across)))
    upward = cross(axis, outward)
    lift = np.where(upward[2] >= 0.0, 1.0, -1.0)
    return Arm(centre, axis, outward, scale(upward, lift), radius_2)


def _does_not_fit(parts: ArmParts, spread: Array, name: str) -> LegsDontMeet:
    """Say by how much two pivots are too far apart, or too close, for an arm's two sides."""
    most, least = parts.to_front + parts.to_rear, np.abs(parts.to_front - parts.to_rear)
    nearest = np.clip(spread, least, most)
    worst = np.abs(spread - nearest).argmax()
    nearest_fit, distance = (
        np.broadcast_to(part, spread.shape).flat[worst] for part in (nearest, spread)
    )
    return LegsDontMeet(
        f"front.{name}_front", f"front.{name}_rear", float(nearest_fit), float(distance)
    )


def coordinates(target: Vector, basis: tuple[Vector, Vector, Vector]) -> Vector:
    """Solve target = a·k + b·t + c·(k x t) by reciprocal vectors.

    Parameters
    ----------
    target
        The vector to be described, components of any shape.
    basis
        k, t and their vector product k x t.
    """
    k, t, n = basis
    volume = dot(n, n)  # k · (t x n) = |k x t|²
    return (
        dot(target, cross(t, n)) / volume,
        dot(target, cross(n, k)) / volume,
        dot(target, n) / volume,
    )


_PAIRS: Final = (
    ("upper_front", "upper_rear", Flaw.NO_PIVOT_LINE),
    ("lower_front", "lower_rear", Flaw.NO_PIVOT_LINE),
    ("upper_ball", "lower_ball", Flaw.NO_KINGPIN),
    ("tie_inner", "tie_outer", Flaw.NO_TIE_ROD),
)
_OFF_LINES: Final = (
    ("upper_ball", "upper_front", "upper_rear"),
    ("lower_ball", "lower_front", "lower_rear"),
    ("lower_ball", "upper_front", "upper_rear"),
    ("tie_outer", "lower_ball", "upper_ball"),
    ("tie_inner", "lower_ball", "upper_ball"),
)


def refuse_degenerate(points: CornerPoints) -> None:
    """Refuse points that coincide or lie on one line where they must not.

    Raises
    ------
    DegenerateGeometry, OnOneLine
        Names the points.
    """
    for first, second, flaw in _PAIRS:
        gap = subtract(getattr(points, first), getattr(points, second))
        if (dot(gap, gap) < CLOSEST**2).any():
            raise DegenerateGeometry(f"front.{first}", f"front.{second}", flaw)
    for point, start, end in _OFF_LINES:
        line = subtract(getattr(points, end), getattr(points, start))
        moment = cross(line, subtract(getattr(points, point), getattr(points, start)))
        if (dot(moment, moment) < CLOSEST**2 * dot(line, line)).any():
            raise OnOneLine(f"front.{point}", f"front.{start}", f"front.{end}")
