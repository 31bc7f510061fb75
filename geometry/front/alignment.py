"""Turning the tie rods: the length at which a wheel has a wanted toe at the measured height."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, Final, NamedTuple

import numpy as np

from geometry.errors import DegenerateGeometry, Flaw, GeometryError, Unreachable
from geometry.front.parts import Arm, Corner, Parts, coordinates
from geometry.front.wishbone import combine, meet_upper, swing
from geometry.vectors import Array, Scalar, Vector, add, cross, dot, norm, subtract

Basis = tuple[Vector, Vector, Vector]

FEW: Final = 8
"""Corners up to which plain floats, one by one, are quicker than arrays."""
MOST_STEPS: Final = 20
LEVEL: Final = 1e-10
"""Height that the wheel centre may be off [mm]."""
MOST_TURN: Final = 0.3
"""Largest step of the lower arm [rad]."""


class Functions(NamedTuple):
    """The functions of floats, or of arrays."""

    sin: Callable[[Scalar], Scalar]
    cos: Callable[[Scalar], Scalar]
    sqrt: Callable[[Scalar], Scalar]
    hypot: Callable[[Scalar, Scalar], Scalar]
    arctan2: Callable[[Scalar, Scalar], Scalar]
    clip: Callable[[Scalar, float, float], Scalar]


def _clip(value: float, least: float, most: float) -> float:
    return min(max(value, least), most)


OF_FLOATS: Final = Functions(math.sin, math.cos, math.sqrt, math.hypot, math.atan2, _clip)
OF_ARRAYS: Final = Functions(np.sin, np.cos, np.sqrt, np.hypot, np.arctan2, np.clip)


def tie_length_for_toe(corner: Corner, toe: Scalar) -> Array:
    """Return the tie-rod length [mm], shape (..., 1), that gives `toe` [rad] at zero travel.

    Parameters
    ----------
    corner
        Corners of any shape (..., 1).
    toe
        Wanted [rad], + toe-in, shape (..., 1) or a number.

    Notes
    -----
    With the toe given, the spin axis follows from the kingpin's direction, since its angle to the
    kingpin is the upright's own: e(camber)·k = const. That leaves the lower-arm angle as the one
    unknown, found by the secant method on the wheel centre's height. A few corners are done one by
    one in plain floats: an axle has two, and at two elements an array costs ten times as much.

    Raises
    ------
    Unreachable, DegenerateGeometry
        The wheel can't stand at its measured height with this toe.
    """
    shape = np.shape(corner.lower.radius_2)
    toe_wanted = np.broadcast_to(toe, shape)
    many = lengths_of_many(corner, toe_wanted) if toe_wanted.size > FEW else None
    lengths = np.full(shape, np.nan) if many is None else many
    numbers = _numbers(corner)
    done: tuple[list[float], float, float] | None = None
    for place in np.flatnonzero(np.isnan(lengths.ravel())).tolist():
        own = [each[place % len(each)] for each in numbers]
        angle = float(toe_wanted.flat[place])
        if done is None or done[:2] != (own, angle):  # both sides are mostly alike
            done = own, angle, tie_length(_of_numbers(corner, own), angle)
        lengths.flat[place] = done[2]
    return lengths


def tie_length(corner: Corner, toe: float) -> float:
    """Return one corner's tie-rod length [mm] at a toe [rad]; its numbers are floats.

    Parameters
    ----------
    corner
        One corner with floats for numbers, standing in the pose to be set.
    toe
        Toe of this wheel [rad], toe in positive.
    """
    upright = _Upright(corner, toe, OF_FLOATS)
    angle, step, before = 0.0, 0.0, 0.0
    slope = corner.lower.upward[2]
    for _ in range(MOST_STEPS):
        miss, length, apart = upright.at(angle)
        if abs(miss) < LEVEL:
            if apart:
                break
            return float(length)
        slope = (miss - before) / step if step else slope
        before, step = miss, -_clip(miss / (slope or 1.0), -MOST_TURN, MOST_TURN)
        angle += step
    raise upright.unreachable(angle)


def lengths_of_many(corner: Corner, toe: Array) -> Array:
    """Return tie-rod lengths [mm] at toes [rad], NaN where steps don't find one; all together.

    Parameters
    ----------
    corner
        Corners of many cars, their numbers of `toe`'s shape.
    toe
        Toe of each wheel [rad], toe in positive, any shape.
    """
    upright = _Upright(corner, toe, OF_ARRAYS)
    angle, step, before = np.zeros((3, *toe.shape))
    slope = np.broadcast_to(corner.lower.upward[2], toe.shape)
    for _ in range(MOST_STEPS):
        miss, length, apart = upright.at(angle)
        moving = ~(np.abs(miss) < LEVEL)
        if not moving.any():
            break
        slope = np.where(step != 0.0, (miss - before) / np.where(step != 0.0, step, 1.0), slope)
        turn = np.clip(miss / np.where(slope != 0.0, slope, 1.0), -MOST_TURN, MOST_TURN)
        before, step = miss, np.where(moving, -turn, 0.0)
        angle = angle + step
    return np.where(moving | apart, np.nan, length)


class _Upright:
    """An upright held at a toe, its shape in coordinates of (kingpin, spin axis, product)."""

    def __init__(self, corner: Corner, toe: Scalar, by: Functions) -> None:
        self.corner, self.by, self.ahead, self.across = corner, by, by.sin(toe), by.cos(toe)
        parts = corner.parts
        # the upright on a bench: kingpin upright, steering arm in the x-z plane
        long, out = by.sqrt(parts.kingpin_length_2), by.sqrt(parts.tie_radius_2)
        kingpin: Vector = (0.0, 0.0, long)
        arm: Vector = (out, 0.0, parts.tie_along * long)
        normal: Vector = (0.0, long * out, 0.0)
        axle = combine(parts.axle, kingpin, arm, normal)
        basis = (kingpin, axle, cross(kingpin, axle))
        self.lean = dot(kingpin, axle)
        self.hub = coordinates(combine(parts.wheel, kingpin, arm, normal), basis)
        self.arm = coordinates(arm, basis)

    def at(self, angle: Scalar) -> tuple[Scalar, Scalar, Scalar]:
        """Return how far too high the wheel centre is [mm], the rod [mm], and whether it's open."""
        lower, basis, sine = self._frame(angle)
        miss = lower[2] + combine(self.hub, *basis)[2] - self.corner.parts.height
        outer = add(lower, combine(self.arm, *basis))
        length = norm(subtract(outer, self.corner.tie_inner))
        apart = (sine <= 0.0) | (abs(dot(basis[0], basis[1]) - self.lean) > 1e-6)
        return miss, length, apart

    def _frame(self, angle: Scalar) -> tuple[Vector, Basis, Scalar]:
        """Return the lower ball joint; kingpin, spin axis and their product; the upper sine²."""
        by = self.by
        lower, kingpin, sine = self._kingpin(angle)
        # cos c·(sin t·kx + cos t·ky) - sin c·kz = e·k, solved for camber c
        level = self.ahead * kingpin[0] + self.across * kingpin[1]
        reach = by.hypot(level, kingpin[2])
        share = by.clip(self.lean / reach, -1.0, 1.0)
        rest, turn = by.sqrt(1.0 - share * share), by.arctan2(kingpin[2], level)
        lean_cos = share * by.cos(turn) + rest * by.sin(turn)
        lean_sin = rest * by.cos(turn) - share * by.sin(turn)
        axle: Vector = (lean_cos * self.ahead, lean_cos * self.across, -lean_sin)
        return lower, (kingpin, axle, cross(kingpin, axle)), sine

    def _kingpin(self, angle: Scalar) -> tuple[Vector, Vector, Scalar]:
        radius, _ = swing(self.corner.lower, angle)
        lower = add(self.corner.lower.centre, radius)
        towards = subtract(lower, self.corner.upper.centre)
        upper = meet_upper(self.corner, towards)
        return lower, subtract(upper.radius, towards), upper.sine

    def unreachable(self, angle: float) -> GeometryError:
        _, kingpin, sine = self._kingpin(angle)
        if sine > 0.0:
            flaw = Flaw.NO_COMMON_HEIGHT
            return DegenerateGeometry("front.lower_ball", "front.wheel_centre", flaw)
        kingpin_length = math.sqrt(self.corner.parts.kingpin_length_2)
        length = float(norm(kingpin))
        return Unreachable(
            "front.upper_ball", "front.lower_ball", kingpin_length, length, travel=0.0
        )


def _numbers(corner: Corner) -> list[list[float]]:
    """Return what a tie rod's length hangs on, of each of a batch's corners."""
    parts, upper, lower = corner.parts, corner.upper, corner.lower
    arrays = (
        *(parts.kingpin_length_2, parts.tie_along, parts.tie_radius_2, parts.upper_side),
        *(parts.height, upper.radius_2, *parts.wheel, *parts.axle, *upper.centre, *upper.axis),
        *(*lower.centre, *lower.outward, *lower.upward, *corner.tie_inner),
    )
    return [array.ravel().tolist() for array in arrays]


def _of_numbers(corner: Corner, numbers: list[Any]) -> Corner:
    """Return one corner with floats for what `_numbers` tells; the rest isn't looked at."""
    length_2, along, radius_2, side, height, upper_radius_2, *rest = numbers
    wheel, axle, centre, axis, low, outward, upward, inner = (
        (rest[at], rest[at + 1], rest[at + 2]) for at in range(0, len(rest), 3)
    )
    parts, upper, lower = corner.parts, corner.upper, corner.lower
    plain = Parts(
        parts.upper,
        parts.lower,
        length_2,
        along,
        radius_2,
        parts.tie_length,
        wheel,
        axle,
        side,
        parts.tie_side,
        height,
        parts.tyre_radius,
    )
    return Corner(
        plain,
        Arm(centre, axis, upper.outward, upper.upward, upper_radius_2),
        Arm(low, lower.axis, outward, upward, lower.radius_2),
        inner,
    )
