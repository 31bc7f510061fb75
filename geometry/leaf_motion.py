"""How the loop of a leaf spring moves as its curvature changes: derivatives in closed form.

A place (x, z), or (along, up), is the complex number x + i·z, so that a turn is a product.

References
----------
The chain rule through the loop's triangle (derived); an arc's tip is l·∫ e^(i·κ·l·t) dt over 0..1,
whose moments are spherical Bessel functions (Abramowitz & Stegun 10.1, from memory of the source).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.leaf_loop import LeafLoop, Seat

Array = NDArray[np.float64]
Complex = NDArray[np.complex128]

# (sin v - v·cos v)/v³ as a series in v², for small v where the difference would lose digits.
_SERIES: Final = (
    1 / 3,
    -1 / 30,
    1 / 840,
    -1 / 45_360,
    1 / 3_991_680,
    -1 / 518_918_400,
    1 / 93_405_312_000,
)
_SMALL: Final = 0.5


@dataclass(frozen=True)
class ArcMotion:
    """End of an arc that starts along the x axis, and its derivatives by curvature.

    Parameters
    ----------
    tip
        (along, up) [mm].
    rate, second
        First and second derivative [mm², mm³].
    """

    tip: Complex
    rate: Complex
    second: Complex


def arc_motion(
    curvature: Array, length: Array | float, offset: Array | float | None = None
) -> ArcMotion:
    """Follow the end of an arc; the parameters are those of `geometry.leaf_loop.arc_tip`."""
    half = curvature * (length / 2)
    sine, cosine = np.sin(half), np.cos(half)
    bend = _bend(half, sine, cosine)
    swell = cosine + half**2 * bend  # sin(half)/half, without a division
    turn = cosine + 1j * sine
    lag = 1j * half * bend
    tip = length * turn * swell
    rate = 0.5j * length**2 * turn * (swell + lag)
    second = -0.5 * length**3 * turn * (swell - bend + lag)
    if offset is not None:
        whole = offset * turn**2
        tip, rate, second = (
            tip + 1j * whole,
            rate - length * whole,
            second - 1j * length**2 * whole,
        )
    return ArcMotion(tip, rate, second)


def _bend(half: Array, sine: Array, cosine: Array) -> Array:
    """(sin v - v·cos v)/v³: the first spherical Bessel function over v."""
    square = half**2
    series = np.full_like(square, _SERIES[-1])
    for factor in _SERIES[-2::-1]:
        series = series * square + factor
    large = np.abs(half) > _SMALL
    if not large.any():
        return series
    apart = np.where(large, half, 1.0)
    return np.where(large, (sine - half * cosine) / apart**3, series)


@dataclass(frozen=True)
class LoopMotion:
    """Derivatives of a pose by the change of curvature, all of one shape.

    Parameters
    ----------
    turn
        Of the seat's angle [rad·mm].
    wheel, wheel_second
        First and second of the wheel centre, (x, z) [mm², mm³].
    """

    turn: Array
    wheel: Complex
    wheel_second: Complex


def loop_motion(loop: LeafLoop, change: Array, seat: Seat) -> LoopMotion:
    """Differentiate a closed loop by its curvature.

    Parameters
    ----------
    loop
        The loop.
    change
        Of the curvature from design [1/mm], any shape.
    seat
        The loop closed there.

    Notes
    -----
    Past the end of the triangle its angle counts as held, as in `geometry.leaf_loop.close_loop`.
    """
    (front, rear), (front_1, rear_1), (front_2, rear_2) = _eyes(loop, change)
    # From the front eye to the rear eye, in the seat's frame: a chord of changing length and lean.
    chord = -np.conj(rear) - front
    swing = (-np.conj(rear_1) - front_1) / chord
    swing_rate = (-np.conj(rear_2) - front_2) / chord - swing**2
    lean, lean_rate = _triangle(loop, np.abs(chord), seat.reach, swing.real, swing_rate.real)
    turn, turn_rate = lean - swing.imag, lean_rate - swing_rate.imag
    # The wheel centre is the front eye plus this, turned with the seat.
    arm = complex(*loop.axle) - front
    frame = np.exp(1j * seat.angle)
    return LoopMotion(
        turn=turn,
        wheel=frame * (1j * turn * arm - front_1),
        wheel_second=frame * ((1j * turn_rate - turn**2) * arm - 2j * turn * front_1 - front_2),
    )


def _eyes(loop: LeafLoop, change: Array) -> tuple[Complex, Complex, Complex]:
    """Eyes from the centre bolt, outward and up, and derivatives by the change, (2, …): front, rear."""

    def both(pair: tuple[float, float]) -> Array:
        return np.reshape(pair, (2, *([1] * np.ndim(change))))

    share = both(loop.split)
    arc = arc_motion(
        both(loop.curvatures) + share * change,
        both((loop.front, loop.rear)),
        both(loop.eye_offsets) if any(loop.eye_offsets) else None,
    )
    return arc.tip + loop.clamp / 2, share * arc.rate, share**2 * arc.second


def _triangle(
    loop: LeafLoop, chord: Array, reach: Array, growth: Array, growth_rate: Array
) -> tuple[Array, Array]:
    """Derivatives of the triangle's angle at the front eye.

    Parameters
    ----------
    loop
        The loop.
    chord
        Eye to eye [mm].
    reach
        Cosine of the angle.
    growth, growth_rate
        Of the chord's logarithm by curvature [mm, mm²].
    """
    base = np.hypot(
        loop.shackle_pivot[0] - loop.front_eye[0], loop.shackle_pivot[1] - loop.front_eye[1]
    )
    # cos = chord/(2·base) + (base² - shackle²)/(2·base·chord)
    far = (base**2 - loop.shackle**2) / (2 * base * chord)
    near = chord / (2 * base)
    cosine_1 = (near - far) * growth
    cosine_2 = (near + far) * growth**2 + (near - far) * growth_rate
    closes = np.abs(reach) < 1.0
    sine = loop.side * np.sqrt(np.where(closes, 1.0 - reach**2, 1.0))
    angle_1 = np.where(closes, -cosine_1 / sine, 0.0)
    angle_2 = np.where(closes, -(cosine_2 + reach * angle_1**2) / sine, 0.0)
    return angle_1, angle_2
