"""The closures of a double-wishbone corner: positions and rates at given lower-arm angles.

Everything follows in closed form from the angle of the lower arm and the place of the tie rod's
inner end: the lower ball joint on its circle, the upper ball joint where its circle meets a sphere
about the lower one, the tie-rod end where its circle about the kingpin axis meets a sphere about
the inner end. Each meeting has two answers; the side of the measured pose is kept, so a pose can
never jump to the other assembly mode.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.parts import Corner
from geometry.vectors import (
    Array,
    Vector,
    add,
    add_scaled,
    cross,
    dot,
    scale,
    subtract,
)


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
    upper_sine, tie_sine
        Squared sines at the two closures; negative where the closure can't be made.
    upright
        Motion of the upright per radian of lower-arm angle.
    upper_rate
        Turn of the upper arm about its own axis per radian of lower-arm angle.
    """

    angle: Array
    upper_ball: Vector
    lower_ball: Vector
    tie_outer: Vector
    tie_inner: Vector
    wheel_centre: Vector
    axle: Vector
    upper_sine: Array
    tie_sine: Array
    upright: Motion
    upper_rate: Array
    rise: Array
    """Rise of the wheel centre per radian of lower-arm angle [mm/rad]."""


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
    lower_ball, lower_rate = lower_ball_at(corner, angle)
    upper_ball, upper_sine = upper_ball_at(corner, lower_ball)
    kingpin = subtract(upper_ball, lower_ball)
    inner = subtract(tie_inner, lower_ball)
    steering_arm, tie_sine = _meet_tie(corner, kingpin, inner)
    normal = cross(kingpin, steering_arm)
    upper_rate, kingpin_rate = _upper_rates(corner, upper_ball, kingpin, lower_rate)
    turning = _turning(corner, kingpin, kingpin_rate, steering_arm, normal, inner, lower_rate)
    hub = combine(parts.wheel, kingpin, steering_arm, normal)
    hub_rate = add(lower_rate, cross(turning, hub))
    return Linkage(
        angle=angle,
        upper_ball=upper_ball,
        lower_ball=lower_ball,
        tie_outer=add(lower_ball, steering_arm),
        tie_inner=tie_inner,
        wheel_centre=add(lower_ball, hub),
        axle=combine(parts.axle, kingpin, steering_arm, normal),
        upper_sine=upper_sine,
        tie_sine=tie_sine,
        upright=Motion(lower_ball, lower_rate, turning),
        upper_rate=upper_rate,
        rise=hub_rate[2],
    )


def lower_ball_at(corner: Corner, angle: Array) -> tuple[Vector, Vector]:
    """Return the lower ball joint [mm] and its rate per radian."""
    arm = corner.lower
    cosine, sine = np.cos(angle), np.sin(angle)
    out, up = arm.outward, arm.upward
    place = (
        arm.centre[0] + out[0] * cosine + up[0] * sine,
        arm.centre[1] + out[1] * cosine + up[1] * sine,
        arm.centre[2] + out[2] * cosine + up[2] * sine,
    )
    rate = (
        up[0] * cosine - out[0] * sine,
        up[1] * cosine - out[1] * sine,
        up[2] * cosine - out[2] * sine,
    )
    return place, rate


def upper_ball_at(corner: Corner, lower_ball: Vector) -> tuple[Vector, Array]:
    """Meet the upper ball joint's circle with a sphere about the lower ball joint."""
    arm = corner.upper
    towards = subtract(lower_ball, arm.centre)
    along = dot(towards, arm.axis)
    flat = add_scaled(towards, arm.axis, -along)
    flat_2 = dot(flat, flat)
    # from |radius|² = r² and |radius - towards|² = k²
    product = 0.5 * (arm.radius_2 + flat_2 + along * along - corner.parts.kingpin_length_2)
    sine_2 = 1.0 - product * product / (arm.radius_2 * flat_2)
    part = product / flat_2
    side = corner.parts.upper_side * np.sqrt(np.maximum(sine_2, 0.0) * arm.radius_2 / flat_2)
    radius = add_scaled(scale(flat, part), cross(arm.axis, flat), side)
    return add(arm.centre, radius), sine_2


def _meet_tie(corner: Corner, kingpin: Vector, inner: Vector) -> tuple[Vector, Array]:
    """Tie-rod end from the lower ball joint: circle about the kingpin axis, sphere about inner."""
    parts = corner.parts
    length_2 = parts.kingpin_length_2
    share = dot(inner, kingpin) / length_2
    flat = add_scaled(inner, kingpin, -share)
    flat_2 = dot(flat, flat)
    above = share - parts.tie_along
    distance_2 = flat_2 + above * above * length_2
    product = 0.5 * (parts.tie_radius_2 + distance_2 - parts.tie_length * parts.tie_length)
    sine_2 = 1.0 - product * product / (parts.tie_radius_2 * flat_2)
    part = product / flat_2
    side = parts.tie_side * np.sqrt(
        np.maximum(sine_2, 0.0) * parts.tie_radius_2 / (flat_2 * length_2)
    )
    across = add_scaled(scale(flat, part), cross(kingpin, flat), side)
    return add_scaled(across, kingpin, parts.tie_along), sine_2


def _upper_rates(
    corner: Corner, upper_ball: Vector, kingpin: Vector, lower_rate: Vector
) -> tuple[Array, Vector]:
    """Turn of the upper arm and rate of the kingpin vector, from k · dk = 0."""
    tangent = cross(corner.upper.axis, subtract(upper_ball, corner.upper.centre))
    rate = dot(kingpin, lower_rate) / nonzero(dot(kingpin, tangent))
    return rate, subtract(scale(tangent, rate), lower_rate)


def _turning(
    corner: Corner,
    kingpin: Vector,
    kingpin_rate: Vector,
    steering_arm: Vector,
    normal: Vector,
    inner: Vector,
    lower_rate: Vector,
) -> Vector:
    """Angular velocity of the upright: the kingpin's turn, and about it what the tie rod asks."""
    across = scale(cross(kingpin, kingpin_rate), 1.0 / corner.parts.kingpin_length_2)
    rod = subtract(steering_arm, inner)
    closing = dot(rod, add(lower_rate, cross(across, steering_arm)))
    about = -closing / nonzero(dot(rod, normal))
    return add_scaled(across, kingpin, about)


def combine(coordinates: Vector, k: Vector, t: Vector, n: Vector) -> Vector:
    """Return a·k + b·t + c·n of coordinates (a, b, c)."""
    a, b, c = coordinates
    return (
        a * k[0] + b * t[0] + c * n[0],
        a * k[1] + b * t[1] + c * n[1],
        a * k[2] + b * t[2] + c * n[2],
    )


def nonzero(value: Array) -> Array:
    """Keep a divisor off zero: at a fold rates are endless, and the pose is refused elsewhere."""
    return np.where(np.abs(value) < 1e-9, 1e-9, value)
