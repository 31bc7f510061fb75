"""Where places that are fixed to a part of the front go in poses: body, wheel, arms, steering."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from geometry.front.axle import Front
from geometry.front.parts import coordinates
from geometry.front.road import Poses
from geometry.front.springs import ArmName, Seat, measure_seat
from geometry.front.wishbone import combine
from geometry.vectors import Vector, add, add_scaled, cross, scale, subtract

ARMS: Final[dict[str, ArmName]] = {"upper arm": "upper arm", "lower arm": "lower arm"}


def carried(front: Front, poses: Poses, part: str, place: Vector) -> Vector:
    """Return where places are in poses, each fixed to a part where that was measured [mm].

    Parameters
    ----------
    front
        The car bolted up.
    poses
        n poses of it.
    part
        "body", "wheel" (the upright with all that turns on it), "upper arm", "lower arm", or
        "steering": the rack, or the link that carries the tie rods' inner ends.
    place
        In the measured pose, mirrored convention [mm], components of shape (2, 1).

    Returns
    -------
    Vector
        Mirrored convention [mm], components of shape (2, n).
    """
    if part in ARMS:
        return on_arm(front, poses, measure_seat(front.car.design, ARMS[part], place))
    if part == "wheel":
        return _on_upright(front, poses, place)
    if part == "steering":
        return replace(front.axle.steering, tie_inner=place).inner_ends(poses.rack)
    zero = np.zeros_like(poses.travel)
    return place[0] + zero, place[1] + zero, place[2] + zero


def on_arm(front: Front, poses: Poses, seat: Seat) -> Vector:
    """Return where a place on an arm is in poses, mirrored convention [mm], shape (2, n).

    Parameters
    ----------
    front
        The car bolted up.
    poses
        n poses of it.
    seat
        The place on its arm.
    """
    link, corners = poses.linkage, front.axle.corners
    upper = seat.on == "upper arm"
    arm, radius = (
        (corners.upper, link.upper_radius) if upper else (corners.lower, link.lower_radius)
    )
    foot = add_scaled(add_scaled(arm.centre, arm.axis, seat.along), radius, seat.out)
    return add(foot, scale(cross(arm.axis, radius), seat.up))


def _on_upright(front: Front, poses: Poses, place: Vector) -> Vector:
    """Return where a place on the upright is, by its shares of the upright's own basis."""
    made, link = front.car.design, poses.linkage
    kingpin = subtract(made.upper_ball, made.lower_ball)
    steering_arm = subtract(made.tie_outer, made.lower_ball)
    basis = (kingpin, steering_arm, cross(kingpin, steering_arm))
    shares = coordinates(subtract(place, made.lower_ball), basis)
    offset = combine(shares, link.kingpin, link.steering_arm, link.normal)
    return add(link.lower_ball, offset)
