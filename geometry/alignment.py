"""Turning the tie rods: the length at which a wheel has a wanted toe at the measured height."""

from __future__ import annotations

import numpy as np

from geometry.errors import Unreachable
from geometry.parts import Corner, coordinates, spin_axis
from geometry.vectors import Array, Scalar, Vector, add, cross, dot, norm, subtract
from geometry.wishbone import close_linkage, combine, lower_ball_at, upper_ball_at


def tie_length_for_toe(corner: Corner, toe: Scalar) -> Array:
    """Return the tie-rod length [mm], shape (..., 1), that gives `toe` [rad] at zero travel.

    Notes
    -----
    With the toe given, the spin axis follows from the kingpin's direction, since its angle to the
    kingpin is the upright's own: e(camber)·k = const. That leaves the lower-arm angle as the one
    unknown, found by the secant method on the wheel centre's height.

    Raises
    ------
    Unreachable
        The wheel can't stand at its measured height with this toe.
    """
    upright = _Upright(corner)
    before = np.zeros_like(corner.parts.kingpin_length_2)
    miss_before = upright.height(before, toe) - corner.parts.height
    angle = -miss_before / np.sqrt(corner.lower.radius_2)
    for _ in range(20):
        miss = upright.height(angle, toe) - corner.parts.height
        slope = (miss - miss_before) / _off_zero(angle - before)
        before, miss_before = angle, miss
        step = np.clip(miss / _off_zero(slope), -0.3, 0.3)
        if not np.abs(miss).max() > 1e-10:
            break
        angle = angle - step
    if not np.abs(miss).max() < 1e-7:
        raise Unreachable("upper_ball", "lower_ball", *upright.gap(angle), travel=0.0)
    return upright.tie_length(angle, toe)


class _Upright:
    """The upright in coordinates of (kingpin, spin axis), read off the corner at arm angle 0."""

    def __init__(self, corner: Corner) -> None:
        self.corner = corner
        linkage = close_linkage(corner, np.zeros_like(corner.lower.radius_2), corner.tie_inner)
        kingpin = subtract(linkage.upper_ball, linkage.lower_ball)
        basis = (kingpin, linkage.axle, cross(kingpin, linkage.axle))
        self.lean = dot(kingpin, linkage.axle)
        self.hub = coordinates(subtract(linkage.wheel_centre, linkage.lower_ball), basis)
        self.arm = coordinates(subtract(linkage.tie_outer, linkage.lower_ball), basis)

    def height(self, angle: Array, toe: Scalar) -> Array:
        lower, kingpin, axle, normal = self._frame(angle, toe)
        return np.asarray(lower[2] + combine(self.hub, kingpin, axle, normal)[2])

    def tie_length(self, angle: Array, toe: Scalar) -> Array:
        lower, kingpin, axle, normal = self._frame(angle, toe)
        outer = add(lower, combine(self.arm, kingpin, axle, normal))
        return norm(subtract(outer, self.corner.tie_inner))

    def gap(self, angle: Array) -> tuple[float, float]:
        lower, _ = lower_ball_at(self.corner, angle)
        upper, _ = upper_ball_at(self.corner, lower)
        there = norm(subtract(upper, lower))
        wanted = np.broadcast_to(np.sqrt(self.corner.parts.kingpin_length_2), there.shape)
        worst = np.abs(there - wanted).argmax()
        return float(wanted.flat[worst]), float(there.flat[worst])

    def _frame(self, angle: Array, toe: Scalar) -> tuple[Vector, Vector, Vector, Vector]:
        lower, _ = lower_ball_at(self.corner, angle)
        upper, _ = upper_ball_at(self.corner, lower)
        kingpin = subtract(upper, lower)
        # cos c·(sin t·kx + cos t·ky) - sin c·kz = e·k, solved for camber c
        level = np.sin(toe) * kingpin[0] + np.cos(toe) * kingpin[1]
        reach = np.hypot(level, kingpin[2])
        share = np.clip(self.lean / reach, -1.0, 1.0)
        camber = np.arccos(share) - np.arctan2(kingpin[2], level)
        axle = spin_axis(camber, toe)
        return lower, kingpin, axle, cross(kingpin, axle)


def _off_zero(value: Array) -> Array:
    return np.where(np.abs(value) < 1e-14, 1e-14, value)
