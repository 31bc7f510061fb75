"""Traction bars in bump and roll: the snubbers that close, and what they then add at the wheel.

A bar is bolted to the seat, so its snubber rises with the axle and closes when it has taken up its
gap. It then pushes the bar's tip down: at the seat, and about it. The axle turns nose down on its
springs until their wind-up holds the snubber's couple, so that at the wheel a snubber acts in
series with the springs' wind-up; in roll the couples of two closed snubbers cancel.

References
----------
Derived from the energy along the axle's path, E = ½·k·(c - g)² with c the rise of the tip and g the
gap: minimal in the turn, the springs' energy being ½·K_θθ·φ² about their own path.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.leaf.axle import LeafPath
from geometry.leaf.load import HalfRates
from geometry.leaf.loop import Scalar
from geometry.leaf.wind_up import TractionBars
from geometry.vectors import Array

Mask = NDArray[np.bool_]

TOUCHES: Final = 1e-6  # mm of gap that is none: a snubber that touches is closed


@dataclass(frozen=True)
class Snubbers:
    """Both traction bars of a car; numbers, or arrays with one car a pose.

    Parameters
    ----------
    length
        Centre bolt to snubber, forward [mm].
    touch
        Height of a bar's tip in body axes, taken level with its seat, at which it closes [mm].
    stiffness
        Of one snubber with its bar [N/mm].
    turning
        Of one spring against wind-up at a kept height, K_θθ [N·mm/rad].
    """

    length: Scalar
    touch: Scalar
    stiffness: Scalar
    turning: Scalar

    @property
    def in_bump(self) -> Scalar:
        """What one snubber adds at its tip with both closed, the axle turning [N/mm]."""
        return self.stiffness / (1.0 + self.stiffness * self.length**2 / self.turning)

    @property
    def of_one(self) -> Scalar:
        """The same with one closed, which both springs hold against turning [N/mm]."""
        return self.stiffness / (1.0 + self.stiffness * self.length**2 / (2.0 * self.turning))


def snubbers_of(
    bars: TractionBars, rates: HalfRates, seat_height: float, seat_angle: float
) -> Snubbers:
    """Return a car's snubbers, whose gap was set in a pose.

    Parameters
    ----------
    bars
        Those fitted.
    rates
        Of one spring's halves.
    seat_height, seat_angle
        Of the seat in that pose, in body axes [mm], [rad], + nose up.
    """
    turning = rates.front * rates.front_arm**2 + rates.rear * rates.rear_arm**2
    touch = float(tip_height(bars.length, seat_height, seat_angle)) + bars.gap
    return Snubbers(bars.length, touch, bars.stiffness, turning)


def tip_height(length: Scalar, seat_z: Scalar, seat_angle: Scalar) -> Array:
    """Height of a bar's tip in body axes, taken level with the seat [mm].

    Parameters
    ----------
    length
        Centre bolt to snubber, forward [mm].
    seat_z, seat_angle
        Of the seat [mm], [rad], + nose up.
    """
    return np.asarray(seat_z + length * np.sin(seat_angle))


def tip_rise(length: Scalar, path: LeafPath) -> Array:
    """Rise of a bar's tip per mm of the wheel's travel, in poses of the springs alone, (n,).

    Parameters
    ----------
    length
        Centre bolt to snubber, forward [mm].
    path
        The poses.
    """
    return 1.0 + _tip_from_wheel(length, path)[0] * path.pitch_rate


def _tip_from_wheel(length: Scalar, path: LeafPath) -> tuple[Array, Array]:
    """Place of a bar's tip from the wheel centre, forward and up [mm]."""
    seat = path.seat
    ahead = length * np.cos(seat.angle) - (path.wheel_x - seat.x)
    return ahead, length * np.sin(seat.angle) - (path.wheel_z - seat.z)


@dataclass(frozen=True)
class SnubbersOnCar:
    """What the snubbers do in level poses; arrays of shape (n,), 0 where they are open.

    Parameters
    ----------
    load, rate
        Added at one wheel [N] and [N/mm].
    turn, turn_rate
        Of the axle against its springs' own path [rad], + nose up, and by the wheel's travel
        [rad/mm].
    closed
        Where they touch, if only just.
    """

    load: Array
    rate: Array
    turn: Array
    turn_rate: Array
    closed: Mask


def in_level_poses(snubbers: Snubbers, path: LeafPath) -> SnubbersOnCar:
    """Follow the snubbers along a path in bounce.

    Parameters
    ----------
    snubbers
        Of the car.
    path
        Its springs' poses, n of them.

    References
    ----------
    With the rise c of the tip against the travel z: load k·(c - g)·c', rate k·(c'² + (c - g)·c''),
    turn -k·(c - g)·L_b/K_θθ (derived).
    """
    seat, length, rate = path.seat, snubbers.length, snubbers.in_bump
    closing = tip_height(length, seat.z, seat.angle) - snubbers.touch
    ahead, above = _tip_from_wheel(length, path)
    rise = tip_rise(length, path)
    rise_change = ahead * path.pitch_change - above * path.pitch_rate**2
    closed = closing > -TOUCHES
    taken = np.where(closed, closing, 0.0)
    return SnubbersOnCar(
        load=rate * taken * rise,
        rate=np.where(closed, rate * (rise**2 + closing * rise_change), 0.0),
        turn=turn_of(snubbers, seat.z, seat.angle),
        turn_rate=np.where(closed, -rate * rise * length / snubbers.turning, 0.0),
        closed=closed,
    )


def turn_of(snubbers: Snubbers, seat_z: Scalar, seat_angle: Scalar) -> Array:
    """Return how far snubbers turn a level axle against its springs' path [rad], + nose up.

    Parameters
    ----------
    snubbers
        Of the car.
    seat_z, seat_angle
        Of its seats on their springs alone [mm], [rad], + nose up.
    """
    closing = tip_height(snubbers.length, seat_z, seat_angle) - snubbers.touch
    taken = np.where(closing > -TOUCHES, closing, 0.0)
    return np.asarray(-snubbers.in_bump * taken * snubbers.length / snubbers.turning)


def added_in_roll(snubbers: Snubbers, left: Mask, right: Mask) -> Array:
    """Rate at one spring seat in roll that closed snubbers add [N/mm], shape (n,).

    Parameters
    ----------
    snubbers
        Of the car.
    left, right
        Where each side's is closed, shape (n,).

    References
    ----------
    Roll leaves the seats unturned and the couples of two snubbers cancel: each adds its whole rate.
    One alone turns the axle, and is one of two seats (derived).
    """
    both = np.where(left & right, snubbers.stiffness, 0.0)
    added: Array = both + np.where(left ^ right, snubbers.of_one / 2.0, 0.0)
    return added


def in_roll(
    snubbers: Snubbers, seat_z: Sequence[Array] | Array, seat_angle: Array
) -> tuple[Array, Array]:
    """Return what the snubbers do over a leaning body: rate at a seat [N/mm], turn [rad], (n,).

    Parameters
    ----------
    snubbers
        Of the car.
    seat_z
        Of the left and the right seat in body axes [mm], shape (n,) each.
    seat_angle
        Of both [rad], + nose up, shape (n,).

    References
    ----------
    The turn φ that leaves no couple on the housing: 2·K_θθ·φ + k_s·L_b·Σ(c - g + L_b·φ) = 0 over
    the closed ones (derived).
    """
    closing = np.array([tip_height(snubbers.length, z, seat_angle) for z in seat_z])
    closing = closing - snubbers.touch
    closed = closing > -TOUCHES
    push = snubbers.stiffness * snubbers.length * np.where(closed, closing, 0.0).sum(axis=0)
    held = 2.0 * snubbers.turning + closed.sum(axis=0) * snubbers.stiffness * snubbers.length**2
    return added_in_roll(snubbers, closed[0], closed[1]), -push / held
