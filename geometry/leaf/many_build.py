"""Many leaf springs put together at once, each as `geometry.leaf.build` puts one together.

Points are complex here, x + i·z, so that a turn is a product. Whatever is odd about a car (points
that make no loop, a shackle at its end) is left to the one that builds it by itself.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final, cast

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.leaf.car import LeafCar, LeafPoints
from geometry.leaf.fit import EYE_HEIGHTS, with_rates
from geometry.leaf.load import HalfRates, Model
from geometry.leaf.loop import LeafLoop, arc_tip, close_loop, wheel_of
from geometry.leaf.many_packs import ManyPacks, Places
from geometry.leaf.motion import loop_motion
from geometry.leaf.ride import LEAST_SLOPE, MOST_STEPS, SETTLED, deflection_per_curvature
from geometry.numeric import FARTHEST
from geometry.vectors import Array

Complex = Any  # an array of complex numbers
Mask = NDArray[np.bool_]

_APART: Final = 1.0  # mm, as of one spring: between eye and body pin, and of a shackle
_SECANTS: Final = 20
_ALIKE: Final = 1e-13  # rad


@dataclass(frozen=True)
class Start:
    """Springs in their design poses, arrays (m,).

    Parameters
    ----------
    x, z
        Wheel centre [mm].
    slope, second
        How its height changes with curvature, twice [mm², mm³].
    seat_z, seat_angle
        Of the seat [mm], [rad], + nose up.
    closes
        Whether the loop closes there, and more arch lowers the wheel.
    """

    x: Array
    z: Array
    slope: Array
    second: Array
    seat_z: Array
    seat_angle: Array
    closes: Mask


@dataclass(frozen=True)
class Springs:
    """Leaf springs on their cars; every number an array of shape (m,).

    Parameters
    ----------
    loop, start
        One spring of each, and its design pose.
    stage, rates
        The stage of each pack at ride, and its halves there.
    datum
        Wheel centre at zero travel, (x, z) [mm].
    free, arch, seat_height, seat_angle
        As of `geometry.leaf.rear.LeafReference`.
    right_loop
        The right-hand springs where they aren't the left ones' mirrors.
    """

    loop: LeafLoop
    start: Start
    stage: Places
    rates: HalfRates
    datum: tuple[Array, Array]
    free: Array | None
    arch: Array | None
    seat_height: Array
    seat_angle: Array
    right_loop: LeafLoop | None


def measured_springs(car: LeafCar, packs: ManyPacks) -> tuple[Springs, Mask]:
    """Return the springs of measured cars, and which of them are sound.

    Parameters
    ----------
    car
        The m cars as one.
    packs
        Theirs.
    """
    plain, sound = _through(car.points, packs.clamp, car.pinion)
    sound &= _apart(car.moved)

    def stand(rates: HalfRates) -> tuple[LeafLoop, Mask]:
        return with_rates(plain, rates), np.ones_like(sound)

    loop, stage, _ = _bearing(packs, car.load, stand)
    start, rates = start_of(loop), packs.halves(stage)
    free = arch = None
    if car.load is not None:
        free = free_changes(packs, loop, start, car.load, Model.COMMON_CURVATURE)
        arch = _arch(loop, free)
    return Springs(
        loop=loop,
        start=start,
        stage=stage,
        rates=rates,
        datum=(start.x, start.z),
        free=free,
        arch=arch if packs.free_arch is None else packs.free_arch,
        seat_height=start.seat_z,
        seat_angle=start.seat_angle,
        right_loop=_right_loop(car, packs, rates),
    ), sound & start.closes


def changed_springs(car: LeafCar, packs: ManyPacks, measured: Springs) -> tuple[Springs, Mask]:
    """Return the springs of proposed cars where they carry their load, and which are sound.

    Parameters
    ----------
    car
        The m cars as one.
    packs
        Theirs.
    measured
        The springs of the same cars as measured.
    """
    plain, sound = _through(car.points, packs.clamp, car.pinion)
    sound &= _apart(car.moved)
    changed = _changed(plain, car, car.moved, packs)

    def stand(rates: HalfRates) -> tuple[LeafLoop, Mask]:
        loop = with_rates(changed, rates)
        if measured.free is None or car.load is None:
            return loop, np.ones_like(sound)
        free = measured.free
        if packs.free_arch is not None and measured.arch is not None:
            free = free + (packs.free_arch - measured.arch) / deflection_per_curvature(loop)
        return _settled(packs, loop, free, car.load)

    loop, stage, settles = _bearing(packs, car.load, stand)
    start, rates = start_of(loop), packs.halves(stage)
    right = _right_loop(car, packs, rates)
    return replace(
        measured,
        loop=loop,
        start=start,
        stage=stage,
        rates=rates,
        right_loop=right,
    ), sound & settles & start.closes


def start_of(loop: LeafLoop) -> Start:
    """Return the design poses of m loops."""
    zero = np.zeros(np.shape(loop.curvature))
    seat = close_loop(loop, zero)
    motion = loop_motion(loop, zero, seat)
    x, z = wheel_of(loop, seat.x, seat.z, seat.angle)
    slope, second = motion.wheel.imag, motion.wheel_second.imag
    closes = (np.abs(seat.reach) < 1.0) & (slope < 0.0)
    return Start(x, z, slope, second, seat.z, seat.angle, closes)


def free_changes(packs: ManyPacks, loop: LeafLoop, start: Start, load: Any, model: Model) -> Array:
    """Return changes of curvature at which springs are free: `geometry.leaf.ride.free_change`.

    Parameters
    ----------
    packs, loop, start
        The springs.
    load
        That each carries in its design pose [N], (m,).
    model
        How the leaves share the load.
    """
    lever = deflection_per_curvature(loop)
    return packs.deflections(load * start.slope / -lever, model) / lever


def _through(points: LeafPoints, clamp: Array, pinion: Any) -> tuple[LeafLoop, Mask]:
    """Fit loops through points, and tell where they make one: `fit.loop_from_points`."""
    front_eye, seat, rear_eye = points.front_eye, points.centre_bolt, points.rear_eye
    front_from, rear_from = _flat(front_eye) - _flat(seat), _flat(rear_eye) - _flat(seat)
    pivot = _flat(points.shackle_body)
    angle = _seat_angle(front_from, rear_from, clamp)
    frame = np.exp(-1j * angle)
    front, curvature = _arc_through(front_from * frame - clamp / 2)
    rear, _ = _arc_through(-np.conj(rear_from * frame) - clamp / 2)
    axle = (_flat(points.wheel_centre) - _flat(seat)) * frame
    base, hung = pivot - _flat(front_eye), _flat(rear_eye) - _flat(front_eye)
    shackle: Any = np.abs(_flat(rear_eye) - pivot)
    is_loop = (rear_from.real + clamp / 2 < 0.0) & (front_from.real - clamp / 2 > 0.0)
    one, none = np.ones_like(front), np.zeros_like(front)
    numbers: dict[str, Any] = {
        "front_eye": _pair(front_eye),
        "shackle_pivot": _pair(points.shackle_body),
        "shackle": shackle,
        "front": front,
        "rear": rear,
        "clamp": clamp,
        "curvature": curvature,
        "axle": (axle.real, axle.imag),
        "pinion": pinion - angle,
        "side": np.where((np.conj(base) * hung).imag >= 0.0, 1.0, -1.0),
        "split": (one, one),
        "eye_offsets": (none, none),
        "sag": none,
    }
    loop = LeafLoop(**numbers)
    return loop, np.asarray(is_loop & (shackle >= _APART) & _apart(points))


def _flat(place: Any) -> Complex:
    return np.asarray(place[0] + 1j * place[2], dtype=np.complex128)


def _pair(place: Any) -> tuple[Any, Any]:
    return place[0], place[2]


def _apart(points: LeafPoints) -> Mask:
    """Tell where points lie on one car, and eye and pin hold something between them."""
    places = np.array([getattr(points, name) for name in LeafPoints.__dataclass_fields__])
    near = np.ptp(places, axis=0).max(axis=0) < 0.5 * FARTHEST
    hangs = np.abs(_flat(points.front_eye) - _flat(points.shackle_body)) >= _APART
    return np.asarray(near & hangs)


def _arc_through(tip: Complex) -> tuple[Array, Array]:
    """Lengths and curvatures of arcs that leave along the seat and end at along + i·up."""
    chord, half = np.abs(tip), np.angle(tip)
    bent = np.where(half == 0.0, 1.0, half)
    return chord * np.where(half == 0.0, 1.0, bent / np.sin(bent)), 2.0 * np.sin(half) / chord


def _seat_angle(front: Complex, rear: Complex, clamp: Array) -> Array:
    """Angles of seats at which both halves are arcs of one curvature [rad], by secant steps."""

    def difference(angle: Array) -> Array:
        frame = np.exp(-1j * angle)
        bends = [
            _arc_through(tip - clamp / 2)[1] for tip in (front * frame, -np.conj(rear * frame))
        ]
        return bends[0] - bends[1]

    first = np.angle(front - rear)
    second = first + 1e-3
    at_first, at_second = difference(first), difference(second)
    for _ in range(_SECANTS):
        moving = ~((np.abs(second - first) < _ALIKE) | (at_second == at_first))
        if not moving.any():
            break
        step = at_second * (second - first) / np.where(moving, at_second - at_first, 1.0)
        first, at_first = np.where(moving, second, first), np.where(moving, at_second, at_first)
        second = np.where(moving, second - step, second)
        at_second = np.where(moving, difference(second), at_second)
    return second


def _changed(loop: LeafLoop, car: LeafCar, moved: LeafPoints, packs: ManyPacks) -> LeafLoop:
    """Bolt measured springs to moved holes, with what is fitted now: `build._changed`."""
    before, now = car.measured_fit, car.fit
    shackle: Any = loop.shackle
    if now.shackle is not None:
        shackle = shackle + (
            now.shackle - (loop.shackle if before.shackle is None else before.shackle)
        )
    along, up = cast("tuple[Array, Array]", loop.axle)
    block, wedge = now.block - before.block, now.wedge - before.wedge
    axle = (along + 1j * (up + np.where(up >= 0.0, block, -block))) * np.exp(1j * wedge)
    bores = now.eye + packs.thickness
    offsets: list[Any] = [
        (EYE_HEIGHTS[is_now] - EYE_HEIGHTS[was]) * bores
        for is_now, was in zip(now.eyes, before.eyes, strict=True)
    ]
    return replace(
        loop,
        front_eye=_pair(moved.front_eye),
        shackle_pivot=_pair(moved.shackle_body),
        shackle=shackle,
        axle=(axle.real, axle.imag),
        pinion=loop.pinion + wedge,
        eye_offsets=(offsets[0], offsets[1]),
    )


def _right_loop(car: LeafCar, packs: ManyPacks, rates: HalfRates) -> LeafLoop | None:
    if car.right is None:
        return None
    points = car.right.points if car.right.is_own else car.points
    loop, _ = _through(points, packs.clamp, car.pinion)
    return with_rates(_changed(loop, car, car.right.moved, packs), rates)


def _bearing(
    packs: ManyPacks, load: Any, stand: Callable[[HalfRates], tuple[LeafLoop, Mask]]
) -> tuple[LeafLoop, Places, Mask]:
    """Return loops where they stand, the stage of each pack there, and which are sound.

    A stage's rates shape the loop, and the loop says which stage it is: the last that bears there.
    """
    last = packs.last if load is not None else np.zeros_like(packs.last)
    found: tuple[LeafLoop, Places, Mask] | None = None
    for number in range(int(last.max()), -1, -1):
        stage = np.minimum(last, number)
        loop, sound = stand(packs.halves(stage))
        bears = np.ones(stage.size, dtype=bool)
        if number and load is not None:
            start = start_of(loop)
            carried = load * start.slope / -deflection_per_curvature(loop)
            reached = packs.stages(packs.deflections(carried, Model.COMMON_CURVATURE))
            bears = (stage == 0) | (reached >= stage)
        if found is None:
            found, decided = (loop, stage, sound), bears
            continue
        kept, stages, sounds = found
        found = (
            _where(decided, kept, loop),
            np.where(decided, stages, stage),
            np.where(decided, sounds, sound),
        )
        decided = decided | bears
    assert found is not None  # there is a first stage
    return found


def _where(keep: Mask, loop: LeafLoop, other: LeafLoop) -> LeafLoop:
    """Return loops, others where they aren't kept; what a stage shapes is split and sag."""
    split: Any = tuple(np.where(keep, *pair) for pair in zip(loop.split, other.split, strict=True))
    sag: Any = np.where(keep, loop.sag, other.sag)
    return replace(loop, split=split, sag=sag)


def _settled(packs: ManyPacks, loop: LeafLoop, free: Array, load: Any) -> tuple[LeafLoop, Mask]:
    """Return loops where packs carry their load, and which got there: `ride.settled`."""
    lever: Any = deflection_per_curvature(loop)
    sag: Any = np.zeros_like(free)
    moving, sound = np.ones(free.size, dtype=bool), np.ones(free.size, dtype=bool)
    for _ in range(MOST_STEPS):
        start = start_of(replace(loop, sag=sag))
        sound &= start.closes | ~moving
        deflection = packs.deflections(-load * start.slope / lever, Model.COMMON_CURVATURE)
        rate = packs.rates_at(deflection, Model.COMMON_CURVATURE)
        closer = 1.0 - load * start.second / (lever**2 * rate)
        step = free - sag - deflection / lever
        step = np.where(closer > LEAST_SLOPE, step / closer, step)
        sag = np.where(moving, sag + step, sag)
        moving &= ~(np.abs(step) * loop.length**2 < SETTLED)
        if not (moving & sound).any():
            break
    return replace(loop, sag=sag), sound & ~moving


def _arch(loop: LeafLoop, change: Array) -> Array:
    """Height of the eyes' line above the leaf at the bolt, at the seat [mm]: `ride.arch`."""
    tips = [
        arc_tip(bend + split * change, length, offset)
        for bend, split, length, offset in zip(
            loop.curvatures, loop.split, (loop.front, loop.rear), loop.eye_offsets, strict=True
        )
    ]
    (front, front_up), (rear, rear_up) = ((along + loop.clamp / 2, up) for along, up in tips)
    return np.asarray((front_up * rear + rear_up * front) / (front + rear))
