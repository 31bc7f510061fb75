"""Springs and dampers: compression, motion ratio, wheel rate with both parts, settled height.

A coil's compression is minus its length [mm]; a torsion bar's is the lower arm's angle [rad], with
its rate in N·mm/rad. Both then share every formula: force F = K·(q - q_free), motion ratio
MR = dq/dz, load at the wheel F·MR, wheel rate K·MR² + F·dMR/dz.
"""

from __future__ import annotations

from typing import Final, Literal

import numpy as np

from geometry.dataclass import dataclass
from geometry.front.parts import CornerPoints, pivot_to_ball
from geometry.front.reach import rising
from geometry.front.road import Axle
from geometry.front.wishbone import Linkage
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
)

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
    """Take the place of a seat on its arm off a pose.

    Parameters
    ----------
    points
        The pose that the seat was measured in [mm].
    on
        Arm that the seat is on.
    place
        Of the seat in that pose [mm].
    """
    arm = points.upper_arm if on == "upper arm" else points.lower_arm
    offset = subtract(place, arm.foot)
    return Seat(
        on,
        dot(offset, arm.axis),
        dot(offset, arm.radius) / arm.radius_2,
        dot(offset, arm.across) / arm.radius_2,
    )


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


def arm_rates(axle: Axle, link: Linkage) -> ArmRates:
    """Return the arms' rates over travel from the closures' first and second derivatives.

    Parameters
    ----------
    axle
        The axle.
    link
        Both wheels in solved poses, shape (2, n).

    Notes
    -----
    With a prime for d/d(lower-arm angle): k·k'' + k'·k' = 0 gives the upper arm's second
    derivative, and (T - I)·T'' + T'·T' = 0 the upright's; then d²f/dz² = (f'' z' - f' z'')/z'³.
    """
    kingpin, tangent, turn = link.kingpin, link.upper_tangent, link.upper_rate
    kingpin_rate = subtract(scale(tangent, turn), link.upright.velocity)
    turn_2 = turn * turn
    upper_2 = (
        turn_2 * dot(kingpin, link.upper_radius)
        - dot(kingpin, link.lower_radius)
        - dot(kingpin_rate, kingpin_rate)
    ) / link.upper_pull
    kingpin_2 = add(
        add_scaled(scale(tangent, upper_2), link.upper_radius, -turn_2), link.lower_radius
    )
    rise_2 = _rise_curvature(axle, link, kingpin_rate, kingpin_2)
    per_travel, sense = 1.0 / rising(link), _sense(axle)
    upper, bend = turn * per_travel, rise_2 * per_travel * per_travel
    lower = sense * per_travel
    return ArmRates(
        lower=lower,
        upper=upper,
        lower_change=-lower * bend,
        upper_change=upper_2 * per_travel * per_travel - upper * bend,
    )


def steady_rates(axle: Axle, link: Linkage) -> ArmRates:
    """Return the arms' rates over travel without their changes, for who asks no curvature: 0.

    Parameters
    ----------
    axle
        The axle.
    link
        Both wheels in solved poses, shape (2, n).
    """
    per_travel = 1.0 / rising(link)
    return ArmRates(_sense(axle) * per_travel, link.upper_rate * per_travel, _NONE, _NONE)


_NONE: Final = np.zeros(1)


def strut_compression(axle: Axle, link: Linkage, strut: Strut, rates: ArmRates) -> Compression:
    """Return a strut's compression (minus its length) and slopes.

    Parameters
    ----------
    axle
        The axle.
    link
        Both wheels in solved poses, shape (2, n).
    strut
        Its seat on an arm, and its end on the body.
    rates
        Of the arms in these poses.
    """
    seat = strut.seat
    if seat.on == "upper arm":
        arm, radius, across = axle.corners.upper, link.upper_radius, link.upper_tangent
        turn, change = rates.upper, rates.upper_change
    else:
        arm, radius = axle.corners.lower, link.lower_radius
        across = cross(arm.axis, radius)
        turn, change = rates.lower, rates.lower_change
    # from the seat's foot on the arm's axis to the seat, and (axis) x that
    lever = add_scaled(scale(radius, seat.out), across, seat.up)
    tangent = add_scaled(scale(across, seat.out), radius, -seat.up)
    foot = subtract(add_scaled(arm.centre, arm.axis, seat.along), strut.body)
    acceleration = add_scaled(scale(tangent, change), lever, -(turn * turn))
    return rod_compression(add(foot, lever), scale(tangent, turn), acceleration)


def rod_compression(line: Vector, velocity: Vector, acceleration: Vector) -> Compression:
    """Return minus the length of a moving line and its first two derivatives.

    Parameters
    ----------
    line
        From end to end [mm], components of any shape.
    velocity, acceleration
        Its first two derivatives, by travel for slopes over travel.
    """
    length = norm(line)
    slope = dot(line, velocity) / length
    curvature = (dot(velocity, velocity) + dot(line, acceleration) - slope**2) / length
    return Compression(-length, -slope, -curvature)


def bar_compression(
    axle: Axle, link: Linkage, rates: ArmRates, design: CornerPoints
) -> Compression:
    """Return a torsion bar's twist on the lower arm's axis [rad], + in bump.

    The bar is twisted by the arm's turn against the body since the pose that the parts were
    measured in: on moved holes the arm stands at another angle, and the bar with it.

    Parameters
    ----------
    axle
        The axle.
    link
        Both wheels in solved poses, shape (2, n).
    rates
        Of the arms in these poses.
    design
        The pose that the parts were measured in [mm].
    """
    sense, lower = _sense(axle), axle.corners.lower
    was = pivot_to_ball(design.lower_front, design.lower_rear, design.lower_ball)
    at_rest = np.arctan2(dot(was, lower.upward), dot(was, lower.outward))
    twist = link.angle - at_rest
    return Compression(twist, sense * rates.lower, sense * rates.lower_change)


def free_from_load(rate: Scalar, compression: Compression, load: Scalar) -> Array:
    """Return q without force, of a spring that carries `load` [N] at one pose, shape (2, 1).

    Parameters
    ----------
    rate
        Of the spring [N/mm or N·mm/rad].
    compression
        At the pose, with its slope over travel, shape (2, 1).
    load
        That the wheel carries [N].
    """
    force = load / compression.slope
    return np.asarray(compression.value - force / rate)


def ride_rate(wheel_rate: Array, tyre_rate: Scalar) -> Array:
    """Return the wheel rate with the tyre in series [N/mm].

    Parameters
    ----------
    wheel_rate
        At the contact patch [N/mm], any shape.
    tyre_rate
        Of the tyre [N/mm].

    References
    ----------
    Gillespie eq. 5-9 ff. (from memory).
    """
    return np.asarray(wheel_rate * tyre_rate / (wheel_rate + tyre_rate))


def ride_frequency(rate: Array, sprung_mass: Scalar) -> Array:
    """Return the undamped ride frequency [Hz] of a rate [N/mm] under a corner mass [kg].

    Parameters
    ----------
    rate
        At the contact patch [N/mm], any shape.
    sprung_mass
        Of the corner [kg].

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


def _rise_curvature(axle: Axle, link: Linkage, kingpin_rate: Vector, kingpin_2: Vector) -> Array:
    """Second derivative of the wheel centre's height over the lower-arm angle [mm/rad²]."""
    turning, length_2 = link.upright.turning, axle.corners.parts.kingpin_length_2
    rod = subtract(link.tie_outer, link.tie_inner)
    hub = subtract(link.wheel_centre, link.lower_ball)
    about = dot(turning, link.kingpin) / length_2
    known_rate = add_scaled(
        scale(cross(link.kingpin, kingpin_2), 1.0 / length_2), kingpin_rate, about
    )
    arm, radius = link.steering_arm, link.lower_radius
    turned = cross(turning, arm)
    velocity = add(link.upright.velocity, turned)
    partial = subtract(add(cross(known_rate, arm), cross(turning, turned)), radius)
    missing = dot(rod, partial) + dot(velocity, velocity)
    about_2 = -missing / link.tie_pull
    angular = add_scaled(known_rate, link.kingpin, about_2)
    # height alone of L'' + w' x r + w x (w x r), with L'' = -(radius of the lower arm)
    spin = cross(turning, hub)
    return (
        (angular[0] * hub[1] - angular[1] * hub[0])
        + (turning[0] * spin[1] - turning[1] * spin[0])
        - radius[2]
    )
