"""Wind-up with the spring's whole geometry: large turns, arched leaves, a shackle that leans.

Each half is an arc of its own curvature (a load at its eye bends a graduated half to one), the
seat between them is straight, and the shackle closes the loop as in `geometry.leaf.loop`. Thrust
and weight act on the axle where it then is. Bounce is the case of no thrust.

References
----------
Stationary potential energy with the two curvatures as coordinates (derived): K_i·Δκ_i balances the
work of weight, thrust, wheel torque and snubber; K = k·l⁴/4, since the tip of an arc is κ·l²/2 off.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.dataclass import dataclass
from geometry.front.wheel import interpolate
from geometry.leaf.load import HalfRates
from geometry.leaf.loop import LeafLoop, Seat, close_loop, wheel_of
from geometry.leaf.motion import loop_motion
from geometry.leaf.reach import design_seat, design_wheel
from geometry.leaf.wind_up import Thrust, TractionBars, WindUp, closing_thrust, wind_up
from geometry.numeric import quietly, solved
from geometry.vectors import Array

_MOST_STEPS: Final = 40
# Curvature times length by which a half bends in one step at most.
_LONGEST_STEP: Final = 0.1
# Unbalanced share of the work of the weight at which the axle counts as in equilibrium.
_BALANCED: Final = 1e-9
# Thrusts about the one at which small turns close a bar, as shares of it.
_ABOUT: Final = np.linspace(0.0, 2.0, 13)
# The curvatures' directions, front and rear and apart; the last one's second derivative gives the
# mixed one. One batch follows all three.
_WAYS: Final = np.array([[1.0, 0.0], [0.0, 1.0], [1.0, -1.0]])


@dataclass(frozen=True)
class LoadedSpring:
    """One spring with the axle that it carries.

    Parameters
    ----------
    loop
        The spring where it carries its load.
    rates
        Of its halves there.
    load
        At the wheel [N].
    pack_load
        That its leaves bear [N].
    tyre_radius
        Loaded [mm].
    thrust
        How a push at the contact patches loads the seats there.
    bars
        Traction bars.
    """

    loop: LeafLoop
    rates: HalfRates
    load: float
    pack_load: float
    tyre_radius: float
    thrust: Thrust
    bars: TractionBars | None = None

    @property
    def stiffness(self) -> Array:
        """K of the front and the rear half [N·mm²], shape (2, 1)."""
        loop, rates = self.loop, self.rates
        ends = [rates.front * loop.front**4, rates.rear * loop.rear**4]
        return np.array(ends)[:, None] / 4

    @property
    def snubber_ahead(self) -> float:
        """Snubber ahead of the wheel centre [mm]."""
        return 0.0 if self.bars is None else self.bars.length - self.loop.axle[0]


@dataclass(frozen=True)
class _Pose:
    """An axle with its two curvatures; arrays of shape (n,), gradients (2, n), curves (2, 2, n)."""

    seat: Seat
    angle: Array
    wheel: NDArray[np.complex128]
    turn: Array
    turn_curve: Array
    rise: NDArray[np.complex128]
    rise_curve: NDArray[np.complex128]


@quietly
def bent_axle(spring: LoadedSpring, thrust: ArrayLike, opened: int = 0) -> WindUp | None:
    """Twist the axle, its body free to rise under the same weight.

    Parameters
    ----------
    spring
        The spring as it stands.
    thrust
        At both contact patches together [N], + driving, - braking (outboard brakes), shape (n,).
    opened
        How many of the thrusts, the last ones, twist it as without its bars.

    Returns
    -------
    WindUp
        Its `rise` is that of the wheel centres. None where one of the thrusts takes the axle to no
        equilibrium that the shackle reaches.
    """
    push = np.atleast_1d(np.asarray(thrust, dtype=float))
    small = wind_up(spring.rates, push, spring.thrust, spring.pack_load, spring.bars)
    lengths = np.array([[spring.loop.front], [spring.loop.rear]])
    rates = np.array([[spring.rates.front], [spring.rates.rear]])
    bent = small.bending_change
    if spring.bars is not None and opened:
        bare = wind_up(spring.rates, push[-opened:], spring.thrust, spring.pack_load)
        bent = np.hstack([bent[:, :-opened], bare.bending_change])
        stiffness: Any = np.where(np.arange(push.size) < push.size - opened, 1.0, 0.0)
        stiffness = stiffness * spring.bars.stiffness
        spring = replace(spring, bars=replace(spring.bars, stiffness=stiffness))
    change = -2.0 * bent / rates / lengths**2
    balanced = _balanced(spring, push, change)
    if balanced is None:
        return None
    pose, change = balanced
    closing = _closing(spring, pose)
    bending = -rates * change * lengths**2 / 2
    snubber = _snubber(spring, closing)
    total = spring.pack_load * spring.rates.eye_shares[:, None] + bending
    return WindUp(
        thrust=push,
        couple=small.couple,
        rotation=pose.angle,
        rise=pose.wheel.imag,
        bending_change=bending,
        bending_load=total,
        eye_load=_eye_loads(spring, pose, push, snubber),
        reversed_eye=total < 0,
        snubber=snubber,
        closed=snubber > 0,
    )


@quietly
def stiff_axle(spring: LoadedSpring, thrust: ArrayLike) -> WindUp:
    """Twist the axle by the springs' stiffness where it stands, its eye loads by statics there.

    Parameters
    ----------
    spring
        The spring as it stands.
    thrust
        At both contact patches together [N], + driving, - braking (outboard brakes), shape (n,).
    """
    push = np.atleast_1d(np.asarray(thrust, dtype=float))
    small = wind_up(spring.rates, push, spring.thrust, spring.pack_load, spring.bars)
    at_rest = _pose(spring.loop, np.zeros((2, push.size)))
    return replace(small, eye_load=_eye_loads(spring, at_rest, push, small.snubber))


def _balanced(spring: LoadedSpring, push: Array, change: Array) -> tuple[_Pose, Array] | None:
    """Newton's steps to the equilibrium at each thrust; its curvatures' changes, (2, n)."""
    loop = spring.loop
    resting = spring.load * _rise_at_rest(loop)  # what bends the halves with no thrust
    scale = np.abs(resting).max()
    for _ in range(_MOST_STEPS):
        pose = _pose(loop, change)
        miss, slope = _imbalance(spring, pose, push, change, resting)
        reached = np.abs(pose.seat.reach) < 1.0
        if reached.all() and np.abs(miss).max() < _BALANCED * scale:
            stable = (slope[:, 0, 0] > 0) & (np.linalg.det(slope) > 0)
            return (pose, change) if stable.all() else None
        step = -solved(slope, miss.T[..., None])[..., 0].T
        longest = np.abs(step).max(axis=0) * loop.length
        change = change + step * np.minimum(1.0, _LONGEST_STEP / np.maximum(longest, 1e-30))
        if not np.isfinite(change).all():
            return None
    return None


@lru_cache(maxsize=64)
def _rise_at_rest(loop: LeafLoop) -> Array:
    """Return how the wheel rises at design with each half's curvature [mm²], shape (2, 1)."""
    return np.asarray(_pose(loop, np.zeros((2, 1))).rise.imag)


def _imbalance(
    spring: LoadedSpring, pose: _Pose, push: Array, change: Array, resting: Array
) -> tuple[Array, Array]:
    """Gradient of the potential energy, (2, n), and its derivative, (n, 2, 2)."""
    half = push / 2  # per spring
    ahead, radius = spring.snubber_ahead, spring.tyre_radius
    closing, closed = pose.rise.imag + ahead * pose.turn, _closing(spring, pose)
    stiffness = spring.stiffness
    force = _snubber(spring, closed)
    miss = resting + stiffness * change - spring.load * pose.rise.imag
    miss = miss - half * (pose.rise.real + radius * pose.turn) + force * closing
    slope = -spring.load * pose.rise_curve.imag
    slope = slope - half * (pose.rise_curve.real + radius * pose.turn_curve)
    slope = slope + force * (pose.rise_curve.imag + ahead * pose.turn_curve)
    slope = slope + np.eye(2)[:, :, None] * stiffness[:, None, :]
    if spring.bars is not None:
        slope = slope + spring.bars.stiffness * (force > 0) * closing[:, None] * closing[None]
    return miss, np.moveaxis(slope, 2, 0)


def _closing(spring: LoadedSpring, pose: _Pose) -> Array:
    """Return how far the snubber's place on the axle has risen [mm]."""
    return pose.wheel.imag + spring.snubber_ahead * pose.angle


def _snubber(spring: LoadedSpring, closing: Array) -> Array:
    """Force at one snubber [N]."""
    if spring.bars is None:
        return np.zeros_like(closing)
    return spring.bars.stiffness * np.maximum(closing - spring.bars.gap, 0.0)


def _pose(loop: LeafLoop, change: Array) -> _Pose:
    """Close the loop with changes of the two curvatures from design, shape (2, n)."""
    front, rear = (bend + part for bend, part in zip(loop.curvatures, change, strict=True))
    seat = close_loop(_along(loop, front, rear, _WAYS[0]), np.zeros_like(front))
    along = _along(loop, front, rear, _WAYS)
    motion = loop_motion(along, np.zeros((len(_WAYS), front.size)), seat)
    x, z = wheel_of(loop, seat.x, seat.z, seat.angle)
    x_0, z_0 = design_wheel(loop)
    wheel = x - x_0 + 1j * (z - z_0)
    return _Pose(
        seat=seat,
        angle=seat.angle - float(design_seat(loop).angle[0]),
        wheel=wheel,
        turn=motion.turn[:2],
        turn_curve=_curve(*motion.turn_second),
        rise=motion.wheel[:2],
        rise_curve=_curve(*motion.wheel_second),
    )


def _along(loop: LeafLoop, front: Array, rear: Array, ways: Array) -> LeafLoop:
    """Return loops of given curvatures, (n,), whose change is along directions of the two.

    One direction, (2,), gives n loops; several, (m, 2), give (m, n).
    """
    by_front, by_rear = (share[..., None] for share in ways.T)
    # What the two halves differ by is the sag, so that curvature + share·sag is each half's own.
    sag = (front - rear) / (by_front - by_rear)
    shared = front - by_front * sag
    return replace(loop, curvature=shared, sag=sag, split=(by_front, by_rear))


def _curve(front: Array, rear: Array, apart: Array) -> Array:
    """Second derivatives by the two curvatures, (2, 2, n), from those along three directions."""
    mixed = (front + rear - apart) / 2
    return np.array([[front, mixed], [mixed, rear]])


def _eye_loads(spring: LoadedSpring, pose: _Pose, push: Array, snubber: Array) -> Array:
    """Upward loads of the eyes on the body by statics: moments about the front eye, (2, n)."""
    loop, seat = spring.loop, pose.seat
    x_0, z_0 = design_wheel(loop)
    eye_x, eye_z = loop.front_eye
    behind = eye_x - x_0 - pose.wheel.real  # the wheel behind the front eye
    under = eye_z - z_0 - pose.wheel.imag + spring.tyre_radius  # the road below it
    at_snubber = behind - spring.snubber_ahead
    moment = spring.load * behind - push / 2 * under - snubber * at_snubber
    # The shackle's pull goes along it: what it has of length counts through its lean.
    lean = (seat.eye_x - loop.shackle_pivot[0]) / (seat.eye_z - loop.shackle_pivot[1])
    arm = eye_x - seat.eye_x + lean * (seat.eye_z - eye_z)
    rear = moment / arm
    return np.array([spring.load - snubber - rear, rear])


@quietly
def bent_with_and_without(
    spring: LoadedSpring, thrust: Array, last: float
) -> tuple[WindUp | None, tuple[float, float] | None]:
    """Twist the axle, and say when its snubbers touch and where it would be with no bars.

    Parameters
    ----------
    spring
        The spring as it stands, with its bars if it has some.
    thrust
        At both contact patches together [N], shape (n,).
    last
        Thrust at which the rise without bars is asked for [N].

    Returns
    -------
    tuple
        As of `bent_axle`; then the thrust at which the snubbers touch [N] and the axle's rise with
        no bars [mm], None of a spring without bars. The thrust is 0 where they touch at rest,
        infinite or negative when driving never closes them.
    """
    bars = spring.bars
    if bars is None:
        return bent_axle(spring, thrust), None
    opened = replace(spring, bars=None)
    near = 0.0 if bars.gap <= 0.0 else closing_thrust(spring.rates, spring.thrust, bars, "load")
    # The small turn's answer is near: the thrust over the gap taken up is smooth about it.
    pushes = near * _ABOUT if np.isfinite(near) and near > 0.0 else np.empty(0)
    # Until they touch the axle turns as without bars, so one batch of thrusts answers all.
    every, more = np.concatenate([thrust, pushes, [last]]), pushes.size + 1
    together = bent_axle(spring, every, more)
    if together is not None:
        bent, bare = together.part(slice(0, -more)), together.part(slice(-more, None))
        return bent, _touching(spring, bars, near, pushes, bare, float(bare.rise[-1]))
    # one of the thrusts takes the axle to no equilibrium, or each of them
    alone = bent_axle(opened, [last]) or stiff_axle(opened, [last])
    at = bent_axle(opened, pushes) if pushes.size else None
    rise = float(alone.rise[0])
    return bent_axle(spring, thrust), _touching(spring, bars, near, pushes, at, rise)


def _touching(
    spring: LoadedSpring,
    bars: TractionBars,
    near: float,
    pushes: Array,
    bare: WindUp | None,
    rise: float,
) -> tuple[float, float]:
    """Return the thrust that takes up the gap of an axle without bars, read off some, and a rise.

    `near` stands for it where they don't lie about it.
    """
    if bare is None or not pushes.size:
        return near, rise
    taken = (bare.rise + spring.snubber_ahead * bare.rotation)[: pushes.size]
    is_between = taken[0] < bars.gap < taken[-1] and (np.diff(taken) > 0.0).all()
    return (interpolate(taken, pushes, bars.gap) if is_between else near), rise
