"""An axle on two leaf springs twisted by driving or braking torque, with or without traction bars.

Linear in the springs, one-sided at the bars' snubbers. z is the rise of the seats against the body
[mm], θ the wind-up [rad], nose up +; driving winds up positive, braking negative.

References
----------
The seat's stiffness follows from the two halves as cantilevers (derived); thrust through the
housing as in Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory of the source).
"""

from __future__ import annotations

from dataclasses import fields
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.dataclass import dataclass
from geometry.leaf.load import HalfRates
from geometry.numeric import solved
from geometry.vectors import Array

Mask = NDArray[np.bool_]
Held = Literal["load", "height"]


@dataclass(frozen=True)
class TractionBars:
    """One bar under each spring, fixed to the seat, its snubber short of the body.

    Parameters
    ----------
    length
        Centre bolt to snubber, forward [mm].
    gap
        Snubber to body at ride [mm]; below 0 by how much it is pressed in there.
    stiffness
        Of one snubber with its bar [N/mm].
    """

    length: float
    gap: float
    stiffness: float


@dataclass(frozen=True)
class Thrust:
    """How a push at the contact patches loads the pair of seats.

    Parameters
    ----------
    height
        Of the main leaf at the seat above the ground, h_s [mm].
    slope
        tan λ of the front half's equivalent link, + when it falls to the front; 0 leaves its
        jacking out.
    hinge
        Its hinge ahead of the centre bolt, h_1 [mm].
    """

    height: float
    slope: float = 0.0
    hinge: float = 0.0

    @property
    def per_newton(self) -> Array:
        """Lift [N] and couple [N·mm] on the pair of seats per N of forward thrust, shape (2,).

        References
        ----------
        Virtual work of the contact point, locked to the housing: it moves tan λ forward per mm of
        rise and h_s + h_1·tan λ per rad of nose up (derived).
        """
        return np.array([self.slope, self.height + self.hinge * self.slope])


def seat_stiffness(rates: HalfRates) -> Array:
    """Stiffness of the pair of springs against (z, θ), shape (2, 2) [N/mm, N/rad, N·mm/rad].

    References
    ----------
    δ_f = z + a·θ, δ_r = z - b·θ; K = Σ k·u·uᵀ, twice for the pair (derived).
    """
    front = np.array([1.0, rates.front_arm])
    rear = np.array([1.0, -rates.rear_arm])
    stiffness: Array = 2 * (
        rates.front * np.outer(front, front) + rates.rear * np.outer(rear, rear)
    )
    return stiffness


def bar_stiffness(bars: TractionBars) -> Array:
    """Return what two closed snubbers add, 2·k_s·[[1, L_b], [L_b, L_b²]], shape (2, 2)."""
    lever = np.array([1.0, bars.length])
    stiffness: Array = 2 * bars.stiffness * np.outer(lever, lever)
    return stiffness


def wind_up_stiffness(rates: HalfRates, held: Held) -> float:
    """Torque per rad of wind-up for the pair [N·mm/rad], no bars.

    Parameters
    ----------
    rates
        Of the halves of one spring.
    held
        Whether the load on the seats or their height stays.

    References
    ----------
    Load held: 2·k_f·k_r·L²/(k_f + k_r); height held: 2·(k_f·a² + k_r·b²) (derived). Both are
    2·k·L²/4 for a symmetrical spring; k·L²/4 is wrong by half at a/b = 0.5/0.9.
    """
    if held == "height":
        return 2 * (rates.front * rates.front_arm**2 + rates.rear * rates.rear_arm**2)
    return 2 * rates.front * rates.rear * rates.length**2 / (rates.front + rates.rear)


def pitch_arm_inverse(stiffness: Array) -> float:
    """1/L_arm [1/mm] of a pair of seats with or without closed bars: K_zθ/K_θθ."""
    return float(stiffness[0, 1] / stiffness[1, 1])


@dataclass(frozen=True)
class WindUp:
    """The axle under a range of thrusts; arrays of shape (n,) unless said otherwise.

    Parameters
    ----------
    thrust
        Of both wheels [N], + driving, - braking.
    couple
        On the pair of seats [N·mm].
    rotation
        Wind-up [rad], + nose up: the pinion turns by as much.
    rise
        Of the seats against the body [mm]; the body lifts by as much when it is negative.
    bending_change
        What bends the front and the rear half of one spring further, as a load at its eye [N],
        shape (2, n).
    bending_load
        What bends each half in all, as a load at its eye [N], shape (2, n).
    eye_load
        Upward load of one spring's eyes on the body, by statics [N], shape (2, n): with the
        snubber's force they add up to the spring's load. At the front the pin also carries what
        the thrust lifts along the sloping half.
    reversed_eye
        Where a half is bent the other way: the main leaf and the clipped leaves alone carry it,
        and the rotation is more than shown, shape (2, n).
    snubber
        Force at one snubber [N]; 0 where open.
    closed
        Where the snubbers touch.
    """

    thrust: Array
    couple: Array
    rotation: Array
    rise: Array
    bending_change: Array
    bending_load: Array
    eye_load: Array
    reversed_eye: Mask
    snubber: Array
    closed: Mask

    def part(self, part: slice) -> WindUp:
        """Return some of the thrusts."""
        return WindUp(**{each.name: getattr(self, each.name)[..., part] for each in fields(self)})


def wind_up(
    rates: HalfRates,
    thrust: ArrayLike,
    path: Thrust,
    load: float,
    bars: TractionBars | None = None,
    held: Held = "load",
) -> WindUp:
    """Twist the axle, by the springs' stiffness where it stands: for small rotations.

    Parameters
    ----------
    rates
        One spring.
    thrust
        At both contact patches together [N], + driving, - braking (outboard brakes), shape (n,).
    path
        Where the thrust acts.
    load
        On one spring's seat [N].
    bars
        Traction bars.
    held
        "load": the body is free to rise, its weight on the springs stays. "height": the seats are
        kept at ride height, as right after the clutch is let in.
    """
    push = np.atleast_1d(np.asarray(thrust, dtype=float))
    applied = np.outer(path.per_newton, push)
    stiffness = seat_stiffness(rates)
    moved = _solve(stiffness, applied, held)
    snubber = np.zeros_like(push)
    if bars is not None:
        moved, snubber = _with_bars(stiffness, applied, moved, bars, held)
    arms = np.array([[1.0, rates.front_arm], [1.0, -rates.rear_arm]])
    change = np.array([[rates.front], [rates.rear]]) * (arms @ moved)
    bending = load * rates.eye_shares[:, None] + change
    return WindUp(
        thrust=push,
        couple=applied[1],
        rotation=moved[1],
        rise=moved[0],
        bending_change=change,
        bending_load=bending,
        eye_load=np.array([load - snubber - bending[1], bending[1]]),
        reversed_eye=bending < 0,
        snubber=snubber,
        closed=snubber > 0,
    )


def _solve(stiffness: Array, applied: Array, held: Held) -> Array:
    """Displacements (z, θ) under loads, shape (2, n)."""
    if held == "load":
        return solved(stiffness, applied)
    return np.array([np.zeros_like(applied[1]), applied[1] / stiffness[1, 1]])


def _with_bars(
    stiffness: Array, applied: Array, opened: Array, bars: TractionBars, held: Held
) -> tuple[Array, Array]:
    """Displacements and the force at one snubber, closed where the open axle would pass the gap."""
    lever = np.array([1.0, bars.length])
    passes = lever @ opened > bars.gap
    preload = 2 * bars.stiffness * bars.gap * lever
    shut = _solve(stiffness + bar_stiffness(bars), applied + preload[:, None], held)
    moved = np.where(passes, shut, opened)
    force = np.where(passes, bars.stiffness * (lever @ moved - bars.gap), 0.0)
    return moved, force


def closing_thrust(rates: HalfRates, path: Thrust, bars: TractionBars, held: Held) -> float:
    """Thrust at which the snubbers touch [N]: where the torque-rotation curve has its kink.

    Infinite or negative when driving never closes them.

    Parameters
    ----------
    rates
        Of the halves of one spring.
    path
        How a push at the contact patches loads the seats.
    bars
        Those fitted.
    held
        Whether the load on the seats or their height stays.
    """
    unit = _solve(seat_stiffness(rates), path.per_newton[:, None], held)[:, 0]
    closing = unit[0] + bars.length * unit[1]
    return float(bars.gap / closing) if closing else float("inf")
