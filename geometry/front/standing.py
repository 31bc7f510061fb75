"""A front where it stands: what there is held against the road, and springs that hold it there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from geometry.conventions import GRAVITY
from geometry.front.alignment import tie_length_for_toe
from geometry.front.axle import Front
from geometry.front.parts import with_tie_length
from geometry.front.road import Poses
from geometry.front.springs import free_from_load
from geometry.numeric import quietly
from geometry.standing import Stand, Stands, contact_slope_to_road, turned
from geometry.vectors import Array


@quietly
def to_road(
    front: Front, values: Mapping[str, Array], poses: Poses, stand: Stand | Stands
) -> Mapping[str, Array]:
    """Return results with the side view taken to the road, and travel from where the car stands.

    Angles across the car don't change to first order straight ahead; a wheel on lock leans with the
    pitch, and caster read on turn plates follows it. The side-view centre's height is above the
    road on which the car stands, as the body's z is of a car as measured.

    Parameters
    ----------
    front
        The front.
    values
        Results by key, in body axes, shape (2, n) or (n,); what isn't there stays away.
    poses
        The poses that they are of.
    stand
        Where the car stands, or each pose's car.
    """
    if stand.is_as_measured:
        return values
    at_road = dict(values)
    at_road["wheel_travel"] = values["wheel_travel"] - stand.travel
    hub, contact, pitch = poses.linkage.wheel_centre, poses.contact, stand.pitch
    height = hub[2] - contact[2]
    caster, axle = values["caster"], poses.linkage.axle
    _, lean = turned(axle[0], poses.up(axle), pitch)
    at_road["camber_road"] = np.arcsin(-lean)
    at_road["caster"] = caster - pitch
    if "mechanical_trail" in values:  # the axis keeps its distance from the wheel centre
        offset = (values["mechanical_trail"] - height * np.tan(caster)) * np.cos(caster)
        leaning = caster - pitch
        at_road["mechanical_trail"] = offset / np.cos(leaning) + height * np.tan(leaning)
    if "side_centre_x" in values:
        forward = values["side_centre_x"] - hub[0]
        ahead, above = turned(forward, values["side_centre_z"] - hub[2], pitch)
        at_road["side_centre_x"] = hub[0] + ahead
        at_road["side_centre_z"] = hub[2] - stand.travel + above
        at_road["side_swing_arm_length"] = -ahead
    if "anti_dive" in values:
        at_road |= _anti_dive(front, poses, stand)
    return at_road


def _anti_dive(front: Front, poses: Poses, stand: Stand | Stands) -> dict[str, Array]:
    car, locked, rolling = front.car, poses.contact_rate, poses.hub_rate
    share, leverage = car.brake_share, car.leverage
    assert share is not None  # a car without them has no anti-dive
    assert leverage is not None
    factor = 100.0 * share * leverage
    hub, contact = rolling[0] / rolling[2], locked[0] / locked[2]
    return {
        "anti_dive": factor * contact_slope_to_road(hub, contact, stand.pitch),
        "anti_dive_inboard": factor * contact_slope_to_road(hub, hub, stand.pitch),
    }


def stood(front: Front, stand: Stand | Stands) -> Front:
    """Return a front aligned where it stands, and with springs that hold it there if they must.

    Parameters
    ----------
    front
        The front as bolted up and aligned at the measured height.
    stand
        Where the car stands, or each of many.

    Raises
    ------
    GeometryError
        A wheel can't stand there with its toe.
    """
    car = front.car
    if stand.has_drop and car.leverage is not None and car.wheelbase is not None:
        height = car.wheelbase / car.leverage - stand.drop
        car = replace(car, leverage=car.wheelbase / height)
        front = replace(front, car=car)
    if stand.has_travel and car.reset_toe:
        target = car.design.toe if car.target_toe is None else car.target_toe
        corners = front.axle.corners
        risen = replace(corners.parts, height=corners.parts.height + stand.travel)
        length = tie_length_for_toe(replace(corners, parts=risen), target)
        front = replace(front, axle=replace(front.axle, corners=with_tie_length(corners, length)))
    return front


def held(front: Front, poses: Poses) -> Front:
    """Return a front whose springs carry their load in a pose, whatever they did by themselves.

    Parameters
    ----------
    front
        The front.
    poses
        The pose in which it is held, shape (2, 1).
    """
    car, squeeze = front.car, front.spring_compression(poses.linkage)
    spring, reference = car.spring, front.reference
    if squeeze is None or spring is None or spring.rate is None or car.sprung_mass is None:
        return front
    weight = car.sprung_mass * GRAVITY
    if spring.kind == "torsion bar":
        if reference.compression is None:
            return front
        torque = weight / squeeze.slope - spring.rate * (squeeze.value - reference.compression)
        return replace(front, reference=replace(reference, spring=spring, force=torque))
    free = free_from_load(spring.rate, squeeze, weight)
    return replace(front, reference=replace(reference, spring=spring, free=free))
