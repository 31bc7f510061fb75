"""Results of an axle on leaf springs in level poses, of one car or of one car a pose."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from geometry.conventions import GRAVITY
from geometry.front.springs import ride_frequency, ride_rate
from geometry.leaf.axle import LeafPath
from geometry.leaf.car import LeafCar
from geometry.leaf.centres import side_view
from geometry.leaf.loop import LeafLoop, Scalar
from geometry.leaf.ride import SpringOnCar
from geometry.leaf.snubbers import Snubbers, added_in_roll, in_level_poses
from geometry.leaf.steer import roll_centres, roll_steer
from geometry.vectors import Array

Results = dict[str, Array]


def level_results(car: LeafCar, loop: LeafLoop, path: LeafPath) -> Results:
    """Return what a level axle's path says, by key, shape (n,).

    Parameters
    ----------
    car
        Its numbers; arrays of shape (n,) where each pose has a car of its own.
    loop, path
        One spring and its poses.
    """
    steer = roll_steer(loop, path)
    gillespie, leaf_line = roll_centres(loop, path, car.tyre_radius)
    values: Results = {
        "wheelbase_change": path.wheelbase_change,
        "pinion_angle": path.pinion,
        "shackle_angle": path.shackle_to_leaf,
        "roll_steer": steer.kinematic,
        "roll_steer_textbook": steer.eyes_line,
        "roll_centre_height": gillespie,
        "roll_centre_other": leaf_line,
        "axle_steer": np.zeros_like(path.travel),
        "axle_shift": np.zeros_like(path.travel),
    }
    return values | _side_results(car, path)


def _side_results(car: LeafCar, path: LeafPath) -> Results:
    wheelbase = 1.0 if car.wheelbase is None else car.wheelbase
    height = 1.0 if car.cg_height is None else car.cg_height
    share = 0.0 if car.brake_share is None else car.brake_share
    view = side_view(path, car.tyre_radius, wheelbase, height, share)
    arm = np.where(view.inverse_arm == 0.0, np.nan, view.inverse_arm)
    values: Results = {
        "side_centre_x": _finite(view.centre_x),
        "side_centre_z": _finite(view.centre_z),
        "side_swing_arm_length": 1.0 / arm,
    }
    if car.wheelbase is not None and car.cg_height is not None:
        values["anti_squat"] = view.anti_squat
        if car.brake_share is not None:
            values["anti_lift"] = view.anti_lift
    return values


def ride_results(car: LeafCar, springs: Sequence[SpringOnCar]) -> Results:
    """Return load and rates by key, shape (n,), of springs by both models (see `load.Model`).

    Parameters
    ----------
    car
        The car, which may have no load.
    springs
        The spring on this car in n poses by the common model, then with its tips.
    """
    if car.load is None or not springs:
        return {}
    common, tips = springs
    values: Results = {
        "spring_load": common.load,
        "wheel_rate": common.rate,
        "wheel_rate_tips": tips.rate,
        "wheel_rate_pack": common.pack_rate,
        "wheel_rate_shackle": common.shackle_rate,
    }
    rate = values["wheel_rate"]
    if car.tyre_rate is not None:
        rate = values["ride_rate"] = ride_rate(rate, car.tyre_rate)
    values["ride_frequency"] = ride_frequency(rate, car.load / GRAVITY)
    return values


def with_snubbers(
    values: Results,
    springs: Sequence[SpringOnCar],
    snubbers: Snubbers,
    path: LeafPath,
    base_share: Scalar,
) -> list[SpringOnCar]:
    """Return the springs with what closed snubbers add at the wheel, and set what else they do.

    Parameters
    ----------
    values
        Results of level poses, shape (n,): the pinion's angle and the rate in roll are changed.
    springs
        By both models, empty where the load isn't known.
    snubbers
        Of the traction bars.
    path
        Poses of the springs alone.
    base_share
        Square of spring base over track.
    """
    added = in_level_poses(snubbers, path)
    in_roll = added_in_roll(snubbers, added.closed, added.closed)
    values["pinion_angle"] = values["pinion_angle"] + added.turn
    values["roll_wheel_rate"] = values["roll_wheel_rate"] + base_share * in_roll
    if springs:
        values["wheel_rate_bars"] = added.rate
    return [
        replace(spring, load=spring.load + added.load, rate=spring.rate + added.rate)
        for spring in springs
    ]


def _finite(value: Array) -> Array:
    return np.where(np.isfinite(value), value, np.nan)
