"""Putting leaf springs together: the measured loop, what is changed on it, where it then stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import dist
from typing import Final

from geometry.errors import DegenerateGeometry, Flaw
from geometry.leaf.axle import leaf_path
from geometry.leaf.car import LeafCar, LeafPoints, Place
from geometry.leaf.fit import (
    eye_height,
    loop_from_points,
    with_block,
    with_raised_eye,
    with_rates,
    with_shackle,
    with_wedge,
)
from geometry.leaf.helper_contact import bearing_stage
from geometry.leaf.load import (
    HalfRates,
    Model,
    PackStages,
    pack_stages,
)
from geometry.leaf.loop import LeafLoop, Point
from geometry.leaf.reach import check_stands, design_seat, design_wheel
from geometry.leaf.rear import LeafRear
from geometry.leaf.reference import LeafReference
from geometry.leaf.ride import (
    arch,
    deflection_per_curvature,
    free_change,
    settled,
)
from geometry.numeric import quietly, refuse_far_points

_APART: Final = 1.0  # mm, that the front eye and the shackle's body pin are at least


@quietly
def held_leaf(rear: LeafRear, travel: float) -> LeafRear:
    """Return the axle with springs set so that they carry their load at a travel.

    The loop takes no other way for it: more or less arch only says how much load is where.

    Parameters
    ----------
    rear
        The axle on the springs that it has.
    travel
        Of the axle from the measured height [mm], + sits lower.

    Raises
    ------
    ShackleOutOfReach
        It can't be there.
    """
    if rear.reference.free is None:
        return rear
    change = leaf_path(rear.loop, [travel], rear.reference.datum).curvature_change[0]
    return replace(rear, loop=replace(rear.loop, sag=rear.loop.sag + float(change)))


@quietly
def build_leaf(car: LeafCar, reference: LeafReference | None = None) -> LeafRear:
    """Put a car's leaf axle together; the measured car makes its own reference.

    Parameters
    ----------
    car
        The car as measured, or as proposed.
    reference
        What the measured car has; None for the measured car itself.

    Raises
    ------
    GeometryError
        The points define no loop, or the pack can't be.
    """
    for points in (car.points, car.moved):
        _check_points(points)
    stages = pack_stages(car.pack)
    loop = measured_loop(car.points, car.pack.clamp, car.pinion)
    if reference is None:
        loop, stage = _bearing(stages, car.load, lambda rates: with_rates(loop, rates))
        check_stands(loop)
        free = None
        if car.load is not None:
            free = free_change(stages, loop, car.load, Model.COMMON_CURVATURE)
        seat = design_seat(loop)
        free_arch = _free_arch(car, loop, free)
        own_reference = LeafReference(
            design_wheel(loop), free, free_arch, float(seat.z[0]), float(seat.angle[0])
        )
        rates = stages.halves[stage][Model.COMMON_CURVATURE]
        return LeafRear(car, stages, loop, own_reference, stage, _right_loop(car, rates))
    changed = _changed(loop, car, car.moved)
    loop, stage = _bearing(
        stages, car.load, lambda rates: _settled(stages, with_rates(changed, rates), car, reference)
    )
    rates = stages.halves[stage][Model.COMMON_CURVATURE]
    check_stands(loop, reference.datum[1])
    return LeafRear(car, stages, loop, reference, stage, _right_loop(car, rates))


def _right_loop(car: LeafCar, rates: HalfRates) -> LeafLoop | None:
    """Return the right-hand spring: by its own points, or the left one's twin on its holes."""
    if car.right is None:
        return None
    points = car.right.points if car.right.is_own else car.points
    loop = measured_loop(points, car.pack.clamp, car.pinion)
    return with_rates(_changed(loop, car, car.right.moved), rates)


def _bearing(
    stages: PackStages, load: float | None, stand: Callable[[HalfRates], LeafLoop]
) -> tuple[LeafLoop, int]:
    """Return a loop where it stands and the stage in which its pack then is.

    A stage's rates shape the loop, and the loop says which stage it is: the last that bears there.
    """
    last = len(stages.halves) - 1 if load is not None else 0
    for stage in range(last, -1, -1):
        loop = stand(stages.halves[stage][Model.COMMON_CURVATURE])
        if stage == 0 or load is None or bearing_stage(stages, loop, load) >= stage:
            break
    return loop, stage


def _free_arch(car: LeafCar, loop: LeafLoop, free: float | None) -> float | None:
    """Return the measured pack's free arch [mm]: as given, else as it carries its load."""
    if car.pack.free_arch is not None or free is None:
        return car.pack.free_arch
    return arch(loop, free)


def _settled(
    stages: PackStages, loop: LeafLoop, car: LeafCar, reference: LeafReference
) -> LeafLoop:
    """Return a proposed loop where its pack carries the load, as it is where that isn't known."""
    if reference.free is None or car.load is None:
        return loop
    free, given = reference.free, car.pack.free_arch
    if given is not None and reference.arch is not None:
        free += (given - reference.arch) / deflection_per_curvature(loop)
    return settled(stages, loop, free, car.load, Model.COMMON_CURVATURE, reference.datum[1])


def measured_loop(points: LeafPoints, clamp: float, pinion: float = 0.0) -> LeafLoop:
    """Return the loop of a spring through its points, its halves taken as alike.

    Parameters
    ----------
    points
        As measured.
    clamp
        Length of the straight seat [mm].
    pinion
        Pinion angle measured [rad], + nose up.

    Raises
    ------
    GeometryError
        The points define no loop.
    """
    _check_points(points)
    loop, _ = loop_from_points(
        _flat(points.front_eye),
        _flat(points.centre_bolt),
        _flat(points.rear_eye),
        _flat(points.shackle_body),
        _flat(points.wheel_centre),
        clamp,
        pinion,
    )
    return loop


def _changed(loop: LeafLoop, car: LeafCar, moved: LeafPoints) -> LeafLoop:
    """Bolt the measured spring to moved holes, with what is fitted now."""
    before, now = car.measured_fit, car.fit
    loop = replace(
        loop,
        front_eye=_flat(moved.front_eye),
        shackle_pivot=_flat(moved.shackle_body),
    )
    if now.shackle is not None:
        loop = with_shackle(loop, now.shackle - (before.shackle or loop.shackle))
    if now.block != before.block:
        loop = with_block(loop, now.block - before.block)
    if now.wedge != before.wedge:
        loop = with_wedge(loop, now.wedge - before.wedge)
    for end in (0, 1):
        if now.eyes[end] != before.eyes[end]:
            then, since = (
                eye_height(fit.eyes[end], now.eye, car.pack.main.thickness) for fit in (before, now)
            )
            loop = with_raised_eye(loop, end, since - then)
    return loop


def _check_points(points: LeafPoints) -> None:
    refuse_far_points(vars(points), "rear.")
    if dist(_flat(points.front_eye), _flat(points.shackle_body)) < _APART:
        raise DegenerateGeometry("rear.front_eye", "rear.shackle_body", Flaw.NOTHING_HANGS)


def _flat(place: Place) -> Point:
    return place[0], place[2]
