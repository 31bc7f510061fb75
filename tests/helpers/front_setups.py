"""Invented fronts as setups: one to start from, a family drawn from a seed, and planar ones."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from app.document.model import Change, FrozenMap, Setup, Vec
from app.systems.front.inputs import measured_car
from geometry.front.axle import Front, build_front
from geometry.front.sweeps import Ask, FrontStudy, study_front
from geometry.front.wishbone import Linkage, close_linkage

Points = dict[str, Vec]

PLAIN: Points = {
    "upper_front": (105.0, 372.0, 585.0),
    "upper_rear": (-118.0, 380.0, 578.0),
    "upper_ball": (-12.0, 628.0, 560.0),
    "lower_front": (420.0, 345.0, 232.0),
    "lower_rear": (-20.0, 262.0, 248.0),
    "lower_ball": (4.0, 684.0, 205.0),
    "tie_inner": (-150.0, 335.0, 262.0),
    "tie_outer": (-146.0, 650.0, 238.0),
    "wheel_centre": (0.0, 742.0, 305.0),
    "spring_body": (-5.0, 470.0, 735.0),
    "spring_arm": (-5.0, 500.0, 553.0),
    "damper_body": (10.0, 455.0, 730.0),
    "damper_arm": (12.0, 510.0, 300.0),
}

VALUES: dict[str, object] = {
    "car.wheelbase": 2560.0,
    "car.mass": 1240.0,
    "car.front_share": 0.54,
    "car.cg_height": 540.0,
    "car.front_brake_share": 0.64,
    "car.front_unsprung": 82.0,
    "front.kind": "double wishbone",
    "front.tyre_radius": 305.0,
    "front.tyre_rate": 190.0,
    "front.camber": math.radians(-0.5),
    "front.toe": math.radians(0.1),
    "front.spring.kind": "coil",
    "front.spring.on": "upper arm",
    "front.spring.rate": 52.0,
    "front.damper.on": "lower arm",
    "front.steering.kind": "rack",
}

RELAY: Points = {
    "pitman_pivot": (-60.0, 330.0, 300.0),
    "pitman_end": (-190.0, 300.0, 268.0),
    "idler_pivot": (-64.0, -322.0, 303.0),
    "idler_end": (-186.0, -310.0, 270.0),
}

DENSE = Ask(
    np.linspace(-80.0, 80.0, 61), np.radians(np.linspace(-6.0, 6.0, 41)), np.linspace(-60, 60, 41)
)


def front_setup(
    points: Mapping[str, Vec] | None = None,
    changes: tuple[Change, ...] = (),
    right: Mapping[str, Vec] | None = None,
    **values: object,
) -> Setup:
    """A setup of the plain car with other points; ``right`` gives that side's own, in car axes.

    Values are given with their dots as double underscores; None takes a value away.
    """
    evidence: dict[str, object] = dict(VALUES)
    evidence |= {key.replace("__", "."): value for key, value in values.items()}
    evidence = {key: value for key, value in evidence.items() if value is not None}
    evidence |= {f"front.{name}": place for name, place in ({**PLAIN, **(points or {})}).items()}
    evidence |= {f"front.right.{name}": place for name, place in (right or {}).items()}
    return Setup(title="invented", evidence=FrozenMap(evidence), changes=changes)


def built(setup: Setup) -> Front:
    """The measured car of a setup, bolted up."""
    return build_front(measured_car(setup))


def swept(setup: Setup, ask: Ask = DENSE) -> FrontStudy:
    """The measured car of a setup, swept."""
    return study_front(built(setup), ask)


def moved(point: Vec, by: Vec) -> Vec:
    return (point[0] + by[0], point[1] + by[1], point[2] + by[2])


def mirrored(points: Mapping[str, Vec]) -> Points:
    """The points of the other side."""
    return {name: (x, -y, z) for name, (x, y, z) in points.items()}


def invented_points(seed: int, spread: float = 25.0) -> Points:
    """One of a family of corners: every point within ``spread`` of the plain car's."""
    random = np.random.default_rng(seed)

    def near(place: Vec) -> Vec:
        x, y, z = np.array(place) + random.uniform(-spread, spread, 3)
        return (float(x), float(y), float(z))

    return {name: near(place) for name, place in PLAIN.items()}


def planar_points(
    lower: tuple[tuple[float, float], tuple[float, float]],
    upper: tuple[tuple[float, float], tuple[float, float]],
    wheel: tuple[float, float],
    size: float = 1.0,
) -> Points:
    """A corner that moves in the front view alone: pivots along X, tie rod beside the lower arm.

    Each arm is given by its pivot and its ball joint, (y, z); ``size`` sets the lengths along X.
    The tie rod has the lower arm's ends, so it turns as the arm does and steers nothing.
    """
    (inner_l, outer_l), (inner_u, outer_u) = lower, upper
    return {
        "lower_front": (100.0 * size, *inner_l),
        "lower_rear": (-100.0 * size, *inner_l),
        "lower_ball": (0.0, *outer_l),
        "upper_front": (100.0 * size, *inner_u),
        "upper_rear": (-100.0 * size, *inner_u),
        "upper_ball": (0.0, *outer_u),
        "tie_inner": (-120.0 * size, *inner_l),
        "tie_outer": (-120.0 * size, *outer_l),
        "wheel_centre": (0.0, *wheel),
    }


def linkage_at(front: Front, angles: object) -> Linkage:
    """Both corners' linkage at lower-arm angles [rad], straight ahead."""
    corner = front.axle.corners
    wide = np.broadcast_to(np.asarray(angles, dtype=float), (2, np.size(angles)))
    return close_linkage(corner, wide, corner.tie_inner)
