"""Turning the tie rods: the length at which a wheel has a wanted toe at the measured height."""

from __future__ import annotations

from math import atan2, cos, hypot, sin, sqrt
from typing import Any

import numpy as np

from geometry.errors import DegenerateGeometry, GeometryError, Unreachable
from geometry.front.parts import Corner, coordinates
from geometry.front.wishbone import combine, meet_upper, swing
from geometry.vectors import Array, Scalar, Vector, add, cross, dot, norm, subtract

Basis = tuple[Vector, Vector, Vector]


def tie_length_for_toe(corner: Corner, toe: Scalar) -> Array:
    """Return the tie-rod length [mm], shape (..., 1), that gives `toe` [rad] at zero travel.

    Notes
    -----
    With the toe given, the spin axis follows from the kingpin's direction, since its angle to the
    kingpin is the upright's own: e(camber)·k = const. That leaves the lower-arm angle as the one
    unknown, found by the secant method on the wheel centre's height. It is done corner by corner in
    plain floats: an axle has two corners, and at two elements an array costs ten times as much.

    Raises
    ------
    Unreachable, DegenerateGeometry
        The wheel can't stand at its measured height with this toe.
    """
    shape = np.shape(corner.lower.radius_2)
    wanted = np.broadcast_to(toe, shape)
    lengths = np.empty(shape)
    done: tuple[Corner, float, float] | None = None
    for place in np.ndindex(shape):
        one, angle = _one(corner, place), float(wanted[place])
        if done is None or done[:2] != (one, angle):  # both sides are mostly alike
            done = one, angle, _Upright(one, angle).tie_length()
        lengths[place] = done[2]
    return lengths


class _Upright:
    """An upright held at a toe, its shape in coordinates of (kingpin, spin axis, product)."""

    def __init__(self, corner: Corner, toe: float) -> None:
        self.corner, self.ahead, self.across = corner, sin(toe), cos(toe)
        parts = corner.parts
        # the upright on a bench: kingpin upright, steering arm in the x-z plane
        long, out = sqrt(parts.kingpin_length_2), sqrt(parts.tie_radius_2)
        kingpin: Vector = (0.0, 0.0, long)
        arm: Vector = (out, 0.0, parts.tie_along * long)
        normal: Vector = (0.0, long * out, 0.0)
        axle = combine(parts.axle, kingpin, arm, normal)
        basis = (kingpin, axle, cross(kingpin, axle))
        self.lean = dot(kingpin, axle)
        self.hub = coordinates(combine(parts.wheel, kingpin, arm, normal), basis)
        self.arm = coordinates(arm, basis)

    def tie_length(self) -> float:
        """Solve for the height, then measure."""
        height = self.corner.parts.height
        angle, step, before = 0.0, 0.0, 0.0
        slope = self.corner.lower.upward[2]
        for _ in range(20):
            lower, basis = self._frame(angle)
            miss = lower[2] + combine(self.hub, *basis)[2] - height
            if abs(miss) < 1e-10:
                return self._reach(angle, lower, basis)
            slope = (miss - before) / step if step else slope
            before, step = miss, -min(max(miss / (slope or 1.0), -0.3), 0.3)
            angle += step
        raise self._unreachable(angle)

    def _reach(self, angle: float, lower: Vector, basis: Basis) -> float:
        """Measure from the steering arm's end to the rod's inner end [mm]."""
        if self._kingpin(angle)[2] <= 0.0 or abs(dot(basis[0], basis[1]) - self.lean) > 1e-6:
            raise self._unreachable(angle)
        outer = add(lower, combine(self.arm, *basis))
        return float(norm(subtract(outer, self.corner.tie_inner)))

    def _frame(self, angle: float) -> tuple[Vector, Basis]:
        """Return the lower ball joint, and kingpin, spin axis and their product."""
        lower, kingpin, _ = self._kingpin(angle)
        # cos c·(sin t·kx + cos t·ky) - sin c·kz = e·k, solved for camber c
        level = self.ahead * kingpin[0] + self.across * kingpin[1]
        reach = hypot(level, kingpin[2])
        share = min(max(self.lean / reach, -1.0), 1.0)
        rest, turn = sqrt(1.0 - share * share), atan2(kingpin[2], level)
        lean_cos = share * cos(turn) + rest * sin(turn)
        lean_sin = rest * cos(turn) - share * sin(turn)
        axle: Vector = (lean_cos * self.ahead, lean_cos * self.across, -lean_sin)
        return lower, (kingpin, axle, cross(kingpin, axle))

    def _kingpin(self, angle: float) -> tuple[Vector, Vector, float]:
        radius, _ = swing(self.corner.lower, angle)
        lower = add(self.corner.lower.centre, radius)
        towards = subtract(lower, self.corner.upper.centre)
        upper = meet_upper(self.corner, towards)
        return lower, subtract(upper.radius, towards), float(upper.sine)

    def _unreachable(self, angle: float) -> GeometryError:
        _, kingpin, sine = self._kingpin(angle)
        if sine > 0.0:
            reason = "can't be brought to the measured height together"
            return DegenerateGeometry("lower_arm", "wheel_centre", reason)
        wanted = sqrt(self.corner.parts.kingpin_length_2)
        return Unreachable("upper_ball", "lower_ball", wanted, float(norm(kingpin)), travel=0.0)


def _one(value: Any, place: tuple[int, ...]) -> Any:
    """Return one corner of a batch, its arrays as floats."""
    if isinstance(value, np.ndarray):
        return value.item(place) if value.ndim else value.item()
    if isinstance(value, tuple):
        return tuple([_one(part, place) for part in value])
    if isinstance(value, float):
        return value
    return type(value)(*[_one(part, place) for part in vars(value).values()])
