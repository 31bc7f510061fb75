"""The closures of a double-wishbone corner: positions and rates at given lower-arm angles.

Everything follows in closed form from the angle of the lower arm and the place of the tie rod's
inner end: the lower ball joint on its circle, the upper ball joint where its circle meets a sphere
about the lower one, the tie-rod end where its circle about the kingpin axis meets a sphere about
the inner end. Each meeting has two answers; the side of the measured pose is kept, so a pose can
never jump to the other assembly mode.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np

from geometry.dataclass import dataclass
from geometry.front.parts import Arm, Corner
from geometry.vectors import (
    Array,
    Scalar,
    Vector,
    add,
    add_scaled,
    cross,
    dot,
    scale,
    subtract,
)

LEAST_SINE_2 = 1e-24
"""Floor of a closure's squared sine: past a fold the points are those of the nearest approach, and
at it the rates are huge, but finite."""

LEAST_FLAT_2: Final = 1e-200
"""Floor of a plain number that is divided by [mm²]: of a point on a circle's axis."""


@dataclass(frozen=True)
class Motion:
    """A rigid body's motion per unit of a driver: velocity of a base point, and turning.

    Parameters
    ----------
    base
        Place of the base point [mm].
    velocity
        Of the base point [mm per unit].
    turning
        Angular velocity [rad per unit], right-handed.
    """

    base: Vector
    velocity: Vector
    turning: Vector

    def at(self, point: Vector) -> Vector:
        """Return the velocity of a point of the body [mm per unit]."""
        return add(self.velocity, cross(self.turning, subtract(point, self.base)))


@dataclass(frozen=True)
class Linkage:
    """A solved linkage, arrays over poses; body axes [mm].

    Parameters
    ----------
    angle
        Lower-arm angle from its design direction [rad], + lifts the ball joint.
    upper_ball, lower_ball, tie_outer, tie_inner, wheel_centre
        Points [mm].
    axle
        Unit spin axis, outboard.
    kingpin, steering_arm, normal
        From the lower ball joint to the upper one, and to the tie rod's outer end [mm]; their
        vector product [mm²]: the basis of the upright's coordinates.
    upper_radius, lower_radius
        From each arm's axis to its ball joint [mm].
    upper_tangent
        Upper arm's axis x its radius [mm].
    upper_sine, tie_sine
        Squared sines at the two closures; negative where the closure can't be made.
    upper_pull, tie_pull
        Divisors of the rates at the two closures (see :class:`Meeting`) [mm², mm³]; zero at a fold.
    upright
        Motion of the upright per radian of lower-arm angle.
    upper_rate
        Turn of the upper arm about its own axis per radian of lower-arm angle.
    hub_rate
        Motion of the wheel centre per radian of lower-arm angle [mm/rad].
    """

    angle: Array
    upper_ball: Vector
    lower_ball: Vector
    tie_outer: Vector
    tie_inner: Vector
    wheel_centre: Vector
    axle: Vector
    kingpin: Vector
    steering_arm: Vector
    normal: Vector
    upper_radius: Vector
    lower_radius: Vector
    upper_tangent: Vector
    upper_sine: Array
    tie_sine: Array
    upper_pull: Array
    tie_pull: Array
    upright: Motion
    upper_rate: Array
    hub_rate: Vector

    @property
    def rise(self) -> Array:
        """Rise of the wheel centre per radian of lower-arm angle [mm/rad]."""
        return self.hub_rate[2]


class Meeting(NamedTuple):
    """Where a point on a circle meets a sphere.

    Parameters
    ----------
    radius
        From the circle's centre to the point [mm].
    tangent
        (Direction of the circle's axis) x radius.
    pull
        Scalar product of the tangent and the line from the sphere's centre: zero at a fold.
    sine
        Squared sine at the closure.
    """

    radius: Vector
    tangent: Vector
    pull: Scalar
    sine: Scalar


def close_linkage(corner: Corner, angle: Array, tie_inner: Vector) -> Linkage:
    """Return the linkage at lower-arm angles.

    Parameters
    ----------
    corner
        One corner, or a batch with arrays of shape (..., 1).
    angle
        Lower-arm angle [rad], shape (..., n).
    tie_inner
        Inner end of the tie rod [mm], components broadcastable to (..., n).

    Notes
    -----
    Where a closure can't be made its sine is negative and the points are those of the nearest
    approach: never NaN.
    """
    parts = corner.parts
    lower_radius, lower_rate = swing(corner.lower, angle)
    lower_ball = add(corner.lower.centre, lower_radius)
    towards = subtract(lower_ball, corner.upper.centre)
    upper = meet_upper(corner, towards)
    kingpin = subtract(upper.radius, towards)
    inner = subtract(tie_inner, lower_ball)
    tie = _meet_tie(corner, kingpin, inner)
    steering_arm = add_scaled(tie.radius, kingpin, parts.tie_along)
    # from k · dk = 0, and from (rod) · d(rod) = 0
    upper_rate = dot(kingpin, lower_rate) / upper.pull
    kingpin_rate = subtract(scale(upper.tangent, upper_rate), lower_rate)
    across = scale(cross(kingpin, kingpin_rate), 1.0 / parts.kingpin_length_2)
    rod = subtract(steering_arm, inner)
    about = -dot(rod, add(lower_rate, cross(across, steering_arm))) / tie.pull
    turning = add_scaled(across, kingpin, about)
    hub = combine(parts.wheel, kingpin, steering_arm, tie.tangent)
    return Linkage(
        angle=angle,
        upper_ball=add(lower_ball, kingpin),
        lower_ball=lower_ball,
        tie_outer=add(lower_ball, steering_arm),
        tie_inner=tie_inner,
        wheel_centre=add(lower_ball, hub),
        axle=combine(parts.axle, kingpin, steering_arm, tie.tangent),
        kingpin=kingpin,
        steering_arm=steering_arm,
        normal=tie.tangent,
        upper_radius=upper.radius,
        lower_radius=lower_radius,
        upper_tangent=upper.tangent,
        upper_sine=upper.sine,
        tie_sine=tie.sine,
        upper_pull=upper.pull,
        tie_pull=tie.pull,
        upright=Motion(lower_ball, lower_rate, turning),
        upper_rate=upper_rate,
        hub_rate=add(lower_rate, cross(turning, hub)),
    )


def swing(arm: Arm, angle: Scalar) -> tuple[Vector, Vector]:
    """Return an arm's radius vector at an angle [rad], and its rate per radian [mm].

    Parameters
    ----------
    arm
        The arm on its pivots, arrays of shape (..., 1).
    angle
        From the measured pose [rad], + upwards, shape (..., n).
    """
    by = math if isinstance(angle, float) else np  # which is slow on one number
    cosine, sine = by.cos(angle), by.sin(angle)
    out, up = arm.outward, arm.upward
    radius = (
        out[0] * cosine + up[0] * sine,
        out[1] * cosine + up[1] * sine,
        out[2] * cosine + up[2] * sine,
    )
    rate = (
        up[0] * cosine - out[0] * sine,
        up[1] * cosine - out[1] * sine,
        up[2] * cosine - out[2] * sine,
    )
    return radius, rate


def meet_upper(corner: Corner, towards: Vector) -> Meeting:
    """Meet the upper ball joint's circle with a sphere about the lower one.

    `towards` runs from the circle's centre to the lower ball joint [mm].

    Parameters
    ----------
    corner
        Corners of shape (..., 1).
    towards
        From the circle's centre to the lower ball joint [mm], components of shape (..., n).
    """
    arm = corner.upper
    along = dot(towards, arm.axis)
    flat = add_scaled(towards, arm.axis, -along)
    flat_2 = dot(flat, flat)
    if isinstance(flat_2, float):  # a plain number doesn't divide by zero
        flat_2 = max(flat_2, LEAST_FLAT_2)
    # from |radius|² = r² and |radius - towards|² = k²
    product = 0.5 * (flat_2 + along * along + (arm.radius_2 - corner.parts.kingpin_length_2))
    sine = 1.0 - product * product / (arm.radius_2 * flat_2)
    part = product / flat_2
    side = corner.parts.upper_side * _root_of_sine(sine, arm.radius_2 / flat_2)
    over = cross(arm.axis, flat)
    return Meeting(
        radius=add_scaled(scale(flat, part), over, side),
        tangent=add_scaled(scale(over, part), flat, -side),
        pull=side * flat_2,
        sine=sine,
    )


def _root_of_sine(sine: Scalar, share: Scalar) -> Scalar:
    """Return √(sine·share), the sine not below its floor; numpy is slow on one number."""
    if isinstance(sine, float):
        return math.sqrt(max(sine, LEAST_SINE_2) * share)
    return np.sqrt(np.maximum(sine, LEAST_SINE_2) * share)


def _meet_tie(corner: Corner, kingpin: Vector, inner: Vector) -> Meeting:
    """Tie-rod end about the kingpin axis, met by a sphere about the inner end.

    `inner` runs from the lower ball joint to the inner end [mm]. The circle's axis is taken as
    long as the kingpin.
    """
    parts = corner.parts
    length_2 = parts.kingpin_length_2
    share = dot(inner, kingpin) / length_2
    flat = add_scaled(inner, kingpin, -share)
    flat_2 = dot(flat, flat)
    above = share - parts.tie_along
    fixed = parts.tie_radius_2 - parts.tie_length * parts.tie_length
    product = 0.5 * (flat_2 + above * above * length_2 + fixed)
    sine = 1.0 - product * product / (parts.tie_radius_2 * flat_2)
    part = product / flat_2
    side = parts.tie_side * _root_of_sine(sine, parts.tie_radius_2 / length_2 / flat_2)
    over = cross(kingpin, flat)
    turned = side * length_2
    return Meeting(
        radius=add_scaled(scale(flat, part), over, side),
        tangent=add_scaled(scale(over, part), flat, -turned),
        pull=turned * flat_2,
        sine=sine,
    )


def combine(coordinates: Vector, k: Vector, t: Vector, n: Vector) -> Vector:
    """Return a·k + b·t + c·n of coordinates (a, b, c).

    Parameters
    ----------
    coordinates
        (a, b, c), each of any shape.
    k, t, n
        Vectors of the basis.
    """
    a, b, c = coordinates
    return (
        a * k[0] + b * t[0] + c * n[0],
        a * k[1] + b * t[1] + c * n[1],
        a * k[2] + b * t[2] + c * n[2],
    )
