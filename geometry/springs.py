"""Springs and dampers: compression, motion ratio, wheel rate with both parts, settled height.

A coil's compression is minus its length [mm]; a torsion bar's is the lower arm's angle [rad], with
its rate in N·mm/rad. Both then share every formula: force F = K·(q - q_free), motion ratio
MR = dq/dz, load at the wheel F·MR, wheel rate K·MR² + F·dMR/dz.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from geometry.parts import CornerPoints
from geometry.road import Axle, Poses
from geometry.vectors import (
    Array,
    Scalar,
    Vector,
    add,
    add_scaled,
    cross,
    dot,
    norm,
    scale,
    subtract,
    unit,
)
from geometry.wishbone import Linkage, nonzero

ArmName = Literal["upper arm", "lower arm"]


@dataclass(frozen=True)
class Seat:
    """A point fixed to an arm: along its pivot line, and as shares of the arm's radius vector.

    Parameters
    ----------
    on
        Which arm.
    along
        From the foot of the ball joint, along front to rear pivot [mm].
    out, up
        Shares of the radius vector and of (axis x radius vector) (no unit).
    """

    on: ArmName
    along: Array
    out: Array
    up: Array


@dataclass(frozen=True)
class Strut:
    """A spring or damper between a seat on an arm and a point of the body [mm]."""

    seat: Seat
    body: Vector


@dataclass(frozen=True)
class Compression:
    """Compression and its slopes over wheel travel, shape (2, n).

    Parameters
    ----------
    value
        q: minus the length [mm], or the arm's angle [rad].
    slope
        Motion ratio dq/dz, + compresses in bump.
    curvature
        dMR/dz [1/mm or rad/mm²].
    """

    value: Array
    slope: Array
    curvature: Array


@dataclass(frozen=True)
class Spring:
    """A spring's rate and where it is free.

    Parameters
    ----------
    rate
        K [N/mm] or [N·mm/rad].
    free
        q without force [mm or rad], shape (2, 1).
    """

    rate: Scalar
    free: Array

    def force(self, compression: Compression) -> Array:
        """Return the spring's force [N] or torque [N·mm]; never below zero for a loose coil."""
        return np.asarray(self.rate * (compression.value - self.free))

    def load(self, compression: Compression) -> Array:
        """Return the load at the wheel centre [N]."""
        return self.force(compression) * compression.slope

    def wheel_rate(self, compression: Compression) -> tuple[Array, Array]:
        """Return both parts of the wheel rate [N/mm]: K·MR² and F·dMR/dz.

        References
        ----------
        Milliken & Milliken ch. 16 (from memory).
        """
        stiff = self.rate * compression.slope**2
        return stiff, self.force(compression) * compression.curvature


def measure_seat(points: CornerPoints, on: ArmName, place: Vector) -> Seat:
    """Take the place of a seat on its arm off a pose."""
    upper = on == "upper arm"
    front, rear, ball = (
        (points.upper_front, points.upper_rear, points.upper_ball)
        if upper
        else (points.lower_front, points.lower_rear, points.lower_ball)
    )
    axis = unit(subtract(rear, front))
    towards = subtract(ball, front)
    foot = add_scaled(front, axis, dot(towards, axis))
    radius = subtract(ball, foot)
    offset = subtract(place, foot)
    radius_2 = dot(radius, radius)
    across = cross(axis, radius)
    return Seat(
        on, dot(offset, axis), dot(offset, radius) / radius_2, dot(offset, across) / radius_2
    )


def seat_place(axle: Axle, linkage: Linkage, seat: Seat) -> Vector:
    """Return where a seat stands in a pose [mm]."""
    arm = axle.corners.upper if seat.on == "upper arm" else axle.corners.lower
    ball = linkage.upper_ball if seat.on == "upper arm" else linkage.lower_ball
    radius = subtract(ball, arm.centre)
    across = cross(arm.axis, radius)
    base = add_scaled(arm.centre, arm.axis, seat.along)
    return add_scaled(add_scaled(base, radius, seat.out), across, seat.up)


@dataclass(frozen=True)
class ArmRates:
    """Turn of both arms over travel, and how it changes, shape (2, n).

    Parameters
    ----------
    lower, upper
        d angle/d travel about each arm's own axis (front to rear pivot) [rad/mm].
    lower_change, upper_change
        Their derivatives over travel [rad/mm²].
    """

    lower: Array
    upper: Array
    lower_change: Array
    upper_change: Array


def arm_rates(axle: Axle, poses: Poses) -> ArmRates:
    """Return the arms' rates over travel from the closures' first and second derivatives.

    Notes
    -----
    With a prime for d/d(lower-arm angle): k·k'' + k'·k' = 0 gives the upper arm's second
    derivative, and (T - I)·T'' + T'·T' = 0 the upright's; then d²f/dz² = (f'' z' - f' z'')/z'³.
    """
    link, corners = poses.linkage, axle.corners
    kingpin = subtract(link.upper_ball, link.lower_ball)
    radius_u = subtract(link.upper_ball, corners.upper.centre)
    radius_l = subtract(link.lower_ball, corners.lower.centre)
    tangent = cross(corners.upper.axis, radius_u)
    kingpin_rate = subtract(scale(tangent, link.upper_rate), link.upright.velocity)
    upper_2 = (
        link.upper_rate**2 * dot(kingpin, radius_u)
        - dot(kingpin, radius_l)
        - dot(kingpin_rate, kingpin_rate)
    ) / nonzero(dot(kingpin, tangent))
    kingpin_2 = add(add_scaled(scale(tangent, upper_2), radius_u, -(link.upper_rate**2)), radius_l)
    rise_2 = _rise_curvature(axle, link, kingpin, kingpin_rate, kingpin_2, radius_l)
    rise, sense = link.rise, _sense(axle)
    return ArmRates(
        lower=sense / rise,
        upper=link.upper_rate / rise,
        lower_change=-sense * rise_2 / rise**3,
        upper_change=(upper_2 * rise - link.upper_rate * rise_2) / rise**3,
    )


def strut_compression(axle: Axle, poses: Poses, strut: Strut, rates: ArmRates) -> Compression:
    """Return a strut's compression (minus its length) and slopes."""
    upper = strut.seat.on == "upper arm"
    arm = axle.corners.upper if upper else axle.corners.lower
    turn, change = (rates.upper, rates.upper_change) if upper else (rates.lower, rates.lower_change)
    place = seat_place(axle, poses.linkage, strut.seat)
    line = subtract(place, strut.body)
    lever = subtract(place, add_scaled(arm.centre, arm.axis, strut.seat.along))
    tangent = cross(arm.axis, lever)
    return rod_compression(line, scale(tangent, turn), _second(tangent, lever, turn, change))


def _second(tangent: Vector, lever: Vector, turn: Array, change: Array) -> Vector:
    return add_scaled(scale(tangent, change), lever, -(turn**2))


def rod_compression(line: Vector, velocity: Vector, acceleration: Vector) -> Compression:
    """Return minus the length of a moving line and its first two derivatives."""
    length = norm(line)
    slope = dot(line, velocity) / length
    curvature = (dot(velocity, velocity) + dot(line, acceleration) - slope**2) / length
    return Compression(-length, -slope, -curvature)


def bar_compression(axle: Axle, poses: Poses, rates: ArmRates) -> Compression:
    """Return a torsion bar's twist on the lower arm's axis [rad], + in bump."""
    sense = _sense(axle)
    return Compression(poses.linkage.angle, sense * rates.lower, sense * rates.lower_change)


def free_from_load(rate: Scalar, compression: Compression, load: Scalar) -> Array:
    """Return q without force, of a spring that carries `load` [N] at one pose, shape (2, 1)."""
    force = load / compression.slope
    return np.asarray(compression.value - force / rate)


def ride_rate(wheel_rate: Array, tyre_rate: Scalar) -> Array:
    """Return the wheel rate with the tyre in series [N/mm].

    References
    ----------
    Gillespie eq. 5-9 ff. (from memory).
    """
    return np.asarray(wheel_rate * tyre_rate / (wheel_rate + tyre_rate))


def ride_frequency(rate: Array, sprung_mass: Scalar) -> Array:
    """Return the undamped ride frequency [Hz] of a rate [N/mm] under a corner mass [kg].

    References
    ----------
    Gillespie eq. 5-11 (from memory).
    """
    return np.sqrt(np.maximum(1000.0 * rate / sprung_mass, 0.0)) / (2.0 * np.pi)


def _sense(axle: Axle) -> Array:
    """+1 where + lower-arm angle is a right-handed turn about front to rear pivot."""
    lower = axle.corners.lower
    turned = dot(cross(lower.axis, lower.outward), lower.upward)
    return np.where(turned > 0, 1.0, -1.0)


def _rise_curvature(
    axle: Axle,
    link: Linkage,
    kingpin: Vector,
    kingpin_rate: Vector,
    kingpin_2: Vector,
    radius_l: Vector,
) -> Array:
    """Second derivative of the wheel centre's height over the lower-arm angle [mm/rad²]."""
    turning, length_2 = link.upright.turning, axle.corners.parts.kingpin_length_2
    arm = subtract(link.tie_outer, link.lower_ball)
    rod = subtract(link.tie_outer, link.tie_inner)
    hub = subtract(link.wheel_centre, link.lower_ball)
    about = dot(turning, kingpin) / length_2
    known = add_scaled(scale(cross(kingpin, kingpin_2), 1.0 / length_2), kingpin_rate, about)
    velocity = add(link.upright.velocity, cross(turning, arm))
    partial = _acceleration(radius_l, turning, known, arm)
    missing = dot(rod, partial) + dot(velocity, velocity)
    about_2 = -missing / nonzero(dot(rod, cross(kingpin, arm)))
    angular = add_scaled(known, kingpin, about_2)
    return _acceleration(radius_l, turning, angular, hub)[2]


def _acceleration(radius_l: Vector, turning: Vector, angular: Vector, place: Vector) -> Vector:
    """L'' + w' x r + w x (w x r), with L'' = -(radius of the lower arm)."""
    return subtract(add(cross(angular, place), cross(turning, cross(turning, place))), radius_l)
