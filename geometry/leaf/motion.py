"""How the loop of a leaf spring moves as its curvature changes: derivatives in closed form.

A place (x, z), or (along, up), is the complex number x + i·z, so that a turn is a product.

References
----------
The chain rule through the loop's triangle (derived); an arc's tip is l·∫ e^(i·κ·l·t) dt over 0..1,
whose moments are spherical Bessel functions (Abramowitz & Stegun 10.1, from memory of the source).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.leaf.loop import LeafLoop, Seat
from geometry.vectors import Array

Complex = NDArray[np.complex128]

# (sin v - v·cos v)/v³ as a series in v², for small v where the difference would lose digits.
_SERIES: Final = (
    1 / 3,
    -1 / 30,
    1 / 840,
    -1 / 45_360,
    1 / 3_991_680,
)
_SMALL: Final = 0.25


@dataclass(frozen=True)
class ArcMotion:
    """End of an arc that starts along the x axis, (along, up), and its derivatives by curvature.

    Parameters
    ----------
    length, offset
        Along the arc, and of the eye's centre off its end [mm]; offset None for 0.
    turn
        Along half of the arc, as a number of size 1.
    swell, bend
        Of the half turn v: sin v/v and (sin v - v·cos v)/v³.
    lag
        i·v·bend.
    """

    length: Array | float
    offset: Array | float | None
    turn: Complex
    swell: Array
    bend: Array
    lag: Complex

    @property
    def tip(self) -> Complex:
        """The end [mm]."""
        tip: Complex = self.length * self.turn * self.swell
        return tip if self.offset is None else tip + 1j * self.offset * self.turn**2

    @property
    def rate(self) -> Complex:
        """Its first derivative [mm²]."""
        rate: Complex = 0.5j * self.length**2 * self.turn * (self.swell + self.lag)
        return rate if self.offset is None else rate - self.length * self.offset * self.turn**2

    @property
    def second(self) -> Complex:
        """Its second derivative [mm³]."""
        moved = self.swell - self.bend + self.lag
        second: Complex = -0.5 * self.length**3 * self.turn * moved
        if self.offset is None:
            return second
        return second - 1j * self.length**2 * self.offset * self.turn**2


def arc_motion(
    curvature: Array, length: Array | float, offset: Array | float | None = None
) -> ArcMotion:
    """Follow the end of an arc; the parameters are those of `geometry.leaf.loop.arc_tip`.

    Parameters
    ----------
    curvature
        [1/mm], + upwards, any shape.
    length
        Along the arc [mm].
    offset
        Of the eye's centre off the end, up [mm]; None for none.
    """
    half = curvature * (length / 2)
    sine, cosine = np.sin(half), np.cos(half)
    bend = _bend(half, sine, cosine)
    # sin v/v without a division
    lag = np.asarray(1j * half * bend, dtype=np.complex128)
    return ArcMotion(length, offset, cosine + 1j * sine, cosine + half**2 * bend, bend, lag)


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
    loop, seat
        What was closed.
    turn
        Of the seat's angle [rad·mm].
    wheel
        Of the wheel centre, (x, z) [mm²].
    """

    loop: LeafLoop
    seat: Seat
    turn: Array
    wheel: Complex
    _arcs: ArcMotion
    _share: Array
    _triangle: _Triangle
    _swing: Complex
    _arm: Complex
    _front: Complex

    @cached_property
    def turn_second(self) -> Array:
        """The second derivative of the seat's angle [rad·mm²]."""
        front, rear = self._share**2 * self._arcs.second
        swing = (-np.conj(rear) - front) / self._triangle.chord - self._swing**2
        second: Array = self._triangle.second(self._swing.real, swing.real) - swing.imag
        return second

    @cached_property
    def wheel_second(self) -> Complex:
        """The second derivative of the wheel centre [mm³]."""
        front = self._share[0] ** 2 * self._arcs.second[0]
        turning = 1j * self.turn_second - self.turn**2
        frame = np.exp(1j * self.seat.angle)
        second: Complex = frame * (turning * self._arm - 2j * self.turn * self._front - front)
        return second


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
    Past the end of the triangle its angle counts as held, as in `geometry.leaf.loop.close_loop`.
    """
    # Both halves, front and rear row: their eyes from the centre bolt, outward and up.
    share = _both(loop.split, change)
    arcs = arc_motion(
        _both(loop.curvatures, change) + share * change,
        _both((loop.front, loop.rear), change),
        _both(loop.eye_offsets, change) if _offset(loop) else None,
    )
    front, rear = arcs.tip + loop.clamp / 2
    front_1, rear_1 = share * arcs.rate
    # From the front eye to the rear eye, in the seat's frame: a chord of changing length and lean.
    chord = -np.conj(rear) - front
    swing = (-np.conj(rear_1) - front_1) / chord
    triangle = _triangle(loop, chord, seat.reach)
    turn = triangle.first(swing.real) - swing.imag
    # The wheel centre is the front eye plus this, turned with the seat.
    arm = loop.axle[0] + 1j * loop.axle[1] - front
    wheel = np.exp(1j * seat.angle) * (1j * turn * arm - front_1)
    return LoopMotion(loop, seat, turn, wheel, arcs, share, triangle, swing, arm, front_1)


def _both(pair: tuple[float, float], change: Array) -> Array:
    """Return a value of the front and of the rear half, to broadcast against changes."""
    if not isinstance(pair[0], float):
        return np.array(pair)
    return np.reshape(pair, (2, *([1] * np.ndim(change))))


def _offset(loop: LeafLoop) -> bool:
    """Tell whether an eye stands off the end of its leaf."""
    front, rear = loop.eye_offsets
    return not isinstance(front, float) or front != 0.0 or rear != 0.0


@dataclass(frozen=True)
class _Triangle:
    """Front eye, rear eye and shackle pivot.

    Parameters
    ----------
    chord
        Eye to eye, in the seat's frame [mm].
    cosine, sine
        Of the angle at the front eye.
    closes
        Whether the triangle does; its angle is held where not.
    near, far
        Shares of the cosine that grow and fall with the chord's length.
    """

    chord: Complex
    cosine: Array
    sine: Array
    closes: NDArray[np.bool_]
    near: Array
    far: Array

    def first(self, growth: Array) -> Array:
        """Return the derivative of the angle where the chord's logarithm grows so much [rad·mm]."""
        return np.where(self.closes, (self.far - self.near) * growth / self.sine, 0.0)

    def second(self, growth: Array, growth_rate: Array) -> Array:
        """Return the second derivative of the angle [rad·mm²]."""
        cosine = (self.near + self.far) * growth**2 + (self.near - self.far) * growth_rate
        bend = cosine + self.cosine * self.first(growth) ** 2
        return np.where(self.closes, -bend / self.sine, 0.0)


def _triangle(loop: LeafLoop, chord: Complex, reach: Array) -> _Triangle:
    """Return the triangle; cos = chord/(2·base) + (base² - shackle²)/(2·base·chord)."""
    base = np.hypot(
        loop.shackle_pivot[0] - loop.front_eye[0], loop.shackle_pivot[1] - loop.front_eye[1]
    )
    length = np.abs(chord)
    closes = np.abs(reach) < 1.0
    return _Triangle(
        chord=chord,
        cosine=reach,
        sine=loop.side * np.sqrt(np.where(closes, 1.0 - reach**2, 1.0)),
        closes=closes,
        near=length / (2 * base),
        far=(base**2 - loop.shackle**2) / (2 * base * length),
    )
