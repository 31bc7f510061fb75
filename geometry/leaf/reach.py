"""How far the loop of a leaf spring reaches, and what to say beyond it."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from geometry.errors import DegenerateGeometry, Flaw, ShackleOutOfReach
from geometry.leaf.held import front_curvature, front_eye, rear_eye
from geometry.leaf.loop import LeafLoop, Point, Seat, close_loop, wheel_of
from geometry.leaf.motion import loop_motion
from geometry.numeric import quietly
from geometry.vectors import Array

# Range of the dimensionless curvature change that is searched: ±1 is an eighth of the length.
SEARCH: Final = 3.0
# Places looked at in an interval. Each pass narrows it to one step.
_SHARES: Final = np.linspace(0.0, 1.0, 41)
# Passes that leave 1e-8 of the range searched, and that get down to rounding.
_PASSES: Final = 5
_NARROWINGS: Final = 9
# Error of a front half that was bent to a height [mm].
_BENT: Final = 1e-3


@lru_cache(maxsize=256)
def design_seat(loop: LeafLoop) -> Seat:
    """Seat and rear eye at the design curvature, arrays of one pose."""
    return close_loop(loop, np.zeros(1))


@lru_cache(maxsize=256)
def design_wheel(loop: LeafLoop) -> Point:
    """Wheel centre at the design curvature, (x, z) [mm]: where the same load leaves it."""
    seat = design_seat(loop)
    x, z = wheel_of(loop, seat.x, seat.z, seat.angle)
    return float(x[0]), float(z[0])


@lru_cache(maxsize=256)
def design_motion(loop: LeafLoop) -> tuple[float, float]:
    """Return how the wheel centre's height changes with curvature at design, twice [mm², mm³]."""
    motion = loop_motion(loop, np.zeros(1), design_seat(loop))
    return float(motion.wheel.imag[0]), float(motion.wheel_second.imag[0])


def stands(loop: LeafLoop) -> bool:
    """Whether a loop closes at its design curvature, and its wheel can move there."""
    return _closes(loop) and design_motion(loop)[0] < 0.0


def _closes(loop: LeafLoop) -> bool:
    return abs(float(design_seat(loop).reach[0])) < 1.0


def check_stands(loop: LeafLoop, datum_z: float | None = None) -> None:
    """Refuse a loop that can't close, or can't move, at its design curvature.

    Parameters
    ----------
    loop
        The loop of the spring.
    datum_z
        Height of the wheel centre at zero travel, for the error [mm]; None takes the loop's own.

    Raises
    ------
    ShackleOutOfReach
        The shackle can't join its ends there.
    DegenerateGeometry
        More arch doesn't lower the wheel.
    """
    if not _closes(loop):
        raise out_of_reach(loop, 0.0, datum_z)
    if not stands(loop):
        raise DegenerateGeometry("rear.rear_eye", "rear.shackle_body", Flaw.CANT_RISE)


@lru_cache(maxsize=64)
def curvature_ends(loop: LeafLoop) -> Array:
    """Last changes at which the loop closes and the wheel still moves on [1/mm], low and high.

    More arch lowers the wheel: the first is positive, the second negative.
    """
    return ends_of(loop, np.zeros(2), np.array([1.0, -1.0]) * SEARCH / loop.length)


@lru_cache(maxsize=64)
def _sure_ends(loop: LeafLoop) -> tuple[Array, float, float]:
    """Return changes short of the ends, found in a fifth of the time, and the wheel's heights."""
    ends = ends_of(loop, np.zeros(2), np.array([1.0, -1.0]) * SEARCH / loop.length, passes=1)
    seat = close_loop(loop, ends)
    low, high = wheel_of(loop, seat.x, seat.z, seat.angle)[1]
    return ends, float(low), float(high)


def ends_about(loop: LeafLoop, height: Array) -> Array:
    """Return changes of curvature between which the loop reaches every one of some heights.

    They are those of `curvature_ends` only where a height is near an end, or beyond.

    Parameters
    ----------
    loop
        The loop of one side.
    height
        Of the wheel centre [mm], shape (n,).
    """
    ends, low, high = _sure_ends(loop)
    if ((low <= height) & (height <= high)).all():
        return ends
    return curvature_ends(loop)


def is_within_ends(loop: LeafLoop, change: float) -> bool:
    """Tell whether a change of curvature [1/mm] lies between those of `curvature_ends`.

    Parameters
    ----------
    loop
        The loop of one side.
    change
        Of the curvature from design [1/mm].
    """
    low, high = _sure_ends(loop)[0]
    if not high <= change <= low:
        low, high = curvature_ends(loop)
    return bool(high <= change <= low)


def ends_of(loop: LeafLoop, first: Array, last: Array, passes: int = _PASSES) -> Array:
    """Return the same between changes at which it closes and others, both of shape (..., 2).

    A loop of several has its numbers in the shape (..., 1, 1).

    Parameters
    ----------
    loop
        The loop of one side, or of several.
    first
        Changes of curvature at which the loop closes [1/mm], shape (..., 2).
    last
        Changes at which it doesn't, or moves back [1/mm], shape (..., 2).
    passes
        How often to look, each time at the step in which the last look found the end.
    """
    for _ in range(passes):
        change = first[..., None] + (last - first)[..., None] * _SHARES
        seat = close_loop(loop, change)
        moves_on = loop_motion(loop, change, seat).wheel.imag < 0.0
        ends = ~(moves_on & (np.abs(seat.reach) < 1.0))
        stop = np.where(ends.any(axis=-1), np.argmax(ends, axis=-1), len(_SHARES) - 1)
        before = np.where(ends.any(axis=-1), np.maximum(stop - 1, 0), stop)
        pair = np.take_along_axis(change, np.stack([before, stop], axis=-1), axis=-1)
        first, last = pair[..., 0], pair[..., 1]
    return first


def bisect_curvature(loop: LeafLoop, height: Array) -> Array:
    """Change of curvature that brings the wheel centre to a height, or to the nearer end [1/mm].

    Parameters
    ----------
    loop
        The loop.
    height
        Of the wheel centre [mm], shape (n,).
    """
    low, high = (np.full_like(height, end) for end in curvature_ends(loop))
    every = np.arange(len(height))
    for _ in range(_NARROWINGS):
        change = low + (high - low) * _SHARES[:, None]
        seat = close_loop(loop, change)
        below = wheel_of(loop, seat.x, seat.z, seat.angle)[1] < height
        step = np.clip(below.sum(axis=0) - 1, 0, len(_SHARES) - 2)
        low, high = change[step, every], change[step + 1, every]
    return (low + high) / 2


def travel_limits(
    loop: LeafLoop, datum_z: float | None = None, about: Array | None = None
) -> tuple[float, float]:
    """Lowest and highest travel at which the loop closes [mm], within the range searched.

    Parameters
    ----------
    loop
        The loop.
    datum_z
        Height of the wheel centre at zero travel [mm]; None takes the pose at the design curvature.
    about
        Travels that are asked about [mm], shape (n,): limits may be any beyond them that it
        reaches. None asks for the last ones.
    """
    z_0 = design_wheel(loop)[1] if datum_z is None else datum_z
    ends = curvature_ends(loop) if about is None else ends_about(loop, z_0 + about)
    seat = close_loop(loop, ends)
    low, high = wheel_of(loop, seat.x, seat.z, seat.angle)[1] - z_0
    return float(low), float(high)


@quietly
def out_of_reach(loop: LeafLoop, travel: float, datum_z: float | None = None) -> ShackleOutOfReach:
    """Build the error for a travel that can't be reached, with the shackle that it would need.

    The seat is taken to the travel at the angle that it has at the limit.

    Parameters
    ----------
    loop
        The loop of the spring.
    travel
        Asked for [mm], + in bump.
    datum_z
        Height of the wheel centre at zero travel [mm]; None takes the loop's own.
    """
    z_0 = design_wheel(loop)[1] if datum_z is None else datum_z
    limits, ends = travel_limits(loop, z_0), curvature_ends(loop)
    which = 1 if travel > 0 else 0
    last = close_loop(loop, ends[which : which + 1])
    angle = last.angle
    seat_z = z_0 + travel - wheel_of(loop, np.zeros(1), np.zeros(1), angle)[1]
    bend_front, bend_rear = loop.curvatures
    bend = front_curvature(loop, seat_z, angle, bend_front + loop.split[0] * ends[which])
    change = (bend - bend_front) / loop.split[0]
    ahead = front_eye(loop, bend, angle).place
    seat_x = loop.front_eye[0] - ahead.real
    eye = rear_eye(loop, bend_rear + loop.split[1] * change, seat_x + 1j * seat_z, angle).place
    if not abs(float(ahead.imag[0] + seat_z[0]) - loop.front_eye[1]) < _BENT:
        # So far that no bent leaf gets there: the eye as if the spring were carried along.
        eye = last.eye_x + 1j * (last.eye_z + travel - limits[which])
    needed = float(np.abs(eye[0] - complex(*loop.shackle_pivot)))
    return ShackleOutOfReach(travel, limits[which], loop.shackle, needed)
