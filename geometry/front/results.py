"""Every result of a front in solved poses, or only those that are asked for."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Final

import numpy as np

from geometry.conventions import GRAVITY
from geometry.front.centres import anti_dive, centre_results, force_height
from geometry.front.joints import joint_swings
from geometry.front.road import Poses
from geometry.front.springs import arm_rates, ride_frequency, ride_rate, strut_compression
from geometry.front.turning import shares_over_steer
from geometry.front.wheel import (
    ground_offsets,
    kingpin_at,
    toe_as_length,
    wheel_angles,
    wheel_rates,
)
from geometry.vectors import Array, Scalar

if TYPE_CHECKING:
    from geometry.front.axle import Front

Results = dict[str, Array]

OFFSETS: Final = frozenset({"scrub_radius", "kingpin_offset", "mechanical_trail"})
RATES: Final = frozenset(
    {"camber_gain", "bump_steer", "bump_steer_length", "roll_camber", "roll_steer"}
)
CENTRES: Final = frozenset(
    {
        "instant_centre_y",
        "instant_centre_z",
        "swing_arm_length",
        "side_centre_x",
        "side_centre_z",
        "side_swing_arm_length",
        "roll_centre_height",
        "roll_centre_lateral",
        "roll_centre_construction",
        "roll_centre_construction_lateral",
        "roll_centre_force",
    }
)
SWINGS: Final = frozenset(
    {"upper_ball_swing", "lower_ball_swing", "tie_outer_swing", "tie_inner_swing"}
)
SPRINGS: Final = frozenset(
    {
        "damper_length",
        "damper_motion_ratio",
        "spring_length",
        "bar_twist",
        "spring_motion_ratio",
        "bar_motion_ratio",
        "wheel_rate_spring",
        "spring_force",
        "bar_torque",
        "wheel_rate_geometry",
        "wheel_rate",
        "ride_rate",
        "ride_frequency",
        "roll_centre_force",
    }
)
TURNING: Final = frozenset({"ackermann_steer", "ackermann_track_steer"})
DIVE: Final = frozenset({"anti_dive", "anti_dive_inboard"})


def front_results(front: Front, poses: Poses, keys: Collection[str] | None = None) -> Results:
    """Return the results of a front in poses, by key, (2, n) or (n,).

    Parameters
    ----------
    front
        The front; with one car a pose, (2, n), where many are solved together.
    poses
        Solved poses.
    keys
        Results that are needed: what belongs to none of them is left out. None gives them all.

    Notes
    -----
    Where a front has one row, since both sides are alike, so have the results of a wheel.
    """

    def is_asked(group: frozenset[str]) -> bool:
        return keys is None or not group.isdisjoint(keys)

    car, reference, contact = front.car, front.reference, poses.contact
    values: Results = wheel_angles(poses)
    toe = values["toe"]
    values["toe_total"] = toe[0] + toe[-1]
    values["toe_length"] = toe_as_length(toe, car.toe_diameter)
    values["steer_angle_inner"], values["steer_angle_outer"] = -toe[0], toe[-1]
    if car.wheelbase is not None and is_asked(TURNING):
        values |= _ackermann(values, poses, car.wheelbase)
    if is_asked(OFFSETS):
        values |= ground_offsets(poses)
    if is_asked(RATES):
        values |= wheel_rates(poses)
        values["bump_steer_length"] = car.toe_diameter * np.cos(toe) * values["bump_steer"]
    if is_asked(CENTRES):
        values |= centre_results(front.axle.corners, poses)
    if is_asked(SWINGS):
        values |= joint_swings(front.axle, front.joints, poses)
    loads = None
    if is_asked(SPRINGS):
        springs, loads = _spring_results(front, poses)
        values |= springs
    if "line_slope" in values:
        slope = values.pop("line_slope")
        shares = np.ones_like(poses.travel) if loads is None else loads
        values["roll_centre_force"] = force_height(poses, slope, shares)
    if car.brake_share is not None and car.leverage is not None and is_asked(DIVE):
        values |= anti_dive(poses, car.brake_share, car.leverage)
    values["track_change"] = contact[1] - reference.contact_y
    values["wheelbase_change"] = poses.linkage.wheel_centre[0] - reference.hub_x
    values["half_track"] = contact[1]
    values["wheel_travel"] = poses.travel
    values["body_height_change"] = poses.body_height - reference.body_height
    return values


def _ackermann(values: Results, poses: Poses, wheelbase: Scalar) -> Results:
    across, contact = kingpin_at(poses, poses.contact)[1], poses.contact[1]
    headings = values["steer_angle_inner"], values["steer_angle_outer"]
    between, track = across[0] + across[-1], contact[0] + contact[-1]
    by_kingpins, by_track = shares_over_steer(headings, between, track, wheelbase)
    return {"ackermann_steer": by_kingpins, "ackermann_track_steer": by_track}


def _spring_results(front: Front, poses: Poses) -> tuple[Results, Array]:
    """Spring, damper and ride; and the wheels' loads for sharing side force."""
    values: Results = {}
    car, loads = front.car, np.ones_like(poses.travel)
    link = poses.linkage
    rates = arm_rates(front.axle, link)
    if front.damper is not None:
        damper = strut_compression(front.axle, link, front.damper, rates)
        values["damper_length"] = -damper.value
        values["damper_motion_ratio"] = damper.slope
    squeeze = front.spring_compression(link, rates)
    if squeeze is None or car.spring is None:
        return values, loads
    coil = car.spring.kind == "coil"
    values["spring_length" if coil else "bar_twist"] = (
        -squeeze.value if coil else squeeze.value - _twist_at_rest(front)
    )
    values["spring_motion_ratio" if coil else "bar_motion_ratio"] = squeeze.slope
    rate = car.spring.rate
    if rate is None:
        return values, loads
    values["wheel_rate_spring"] = rate * squeeze.slope**2
    spring = front.fitted_spring()
    if spring is None:
        return values, loads
    values["spring_force" if coil else "bar_torque"] = spring.force(squeeze)
    stiff, changing = spring.wheel_rate(squeeze)
    values["wheel_rate_geometry"], values["wheel_rate"] = changing, stiff + changing
    _add_ride(front, values)
    hub = 0.0 if car.unsprung_mass is None else car.unsprung_mass * GRAVITY
    return values, np.maximum(spring.load(squeeze) + hub, 1.0)


def _twist_at_rest(front: Front) -> Array:
    at_rest = front.reference.compression
    return at_rest if at_rest is not None else np.zeros((2, 1))


def _add_ride(front: Front, values: Results) -> None:
    rate, car = values["wheel_rate"], front.car
    if car.tyre_rate is not None:
        rate = values["ride_rate"] = ride_rate(rate, car.tyre_rate)
    if car.sprung_mass is not None:
        values["ride_frequency"] = ride_frequency(rate, car.sprung_mass)
