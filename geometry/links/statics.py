"""Forces in the links of an axle that stands, drives and brakes: statics of the axle as one body.

The housing takes the wheels' torque, driving through the crown wheel and braking at outboard
brakes, so that the wheels' thrust acts on it at the ground. The propeller shaft's own torque, which
loads one wheel more than the other, side force and the dampers are not in it.

References
----------
Six equations of equilibrium (textbook) for up to five links and two coils; the one that is left
over, which only a load that isn't alike on both sides asks for, by least energy.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from geometry.leaf.car import Drive
from geometry.links.axle import Coil, Link, LinkAxle
from geometry.links.car import LinkCar
from geometry.links.poses import AxlePoses, placed
from geometry.numeric import quietly, solved
from geometry.vectors import Array

Case = Literal["standing", "full drive", "full braking"]
LENGTH: Final = 1e3  # moments are counted per this length, to be of the size of the forces [mm]


@dataclass(frozen=True)
class LinkForces:
    """One axle under one load.

    Parameters
    ----------
    case
        What the car does.
    thrust
        At both contact patches [N], + driving.
    wheel_load
        On both wheels [N], load transfer included.
    links
        Tension of each link [N], - pushed, in the order of `LinkAxle.links`, shape (m,).
    coils
        Compression of the left and the right coil [N], shape (2,).
    """

    case: Case
    thrust: float
    wheel_load: float
    links: Array
    coils: Array


@quietly
def full_link_forces(car: LinkCar, poses: AxlePoses) -> tuple[LinkForces, ...]:
    """Return the forces standing, at full drive and at full braking, as far as they are known.

    Empty where the weight or the coils aren't known, or the links don't hold the axle.

    Parameters
    ----------
    car
        The car.
    poses
        One pose of its axle, shape (1,).

    References
    ----------
    Thrust moves F·h/ℓ of load to the rear (Gillespie, Fundamentals of Vehicle Dynamics, ch. 1, from
    memory of the source): the tyres hold µ·W/(1 - µ·h/ℓ). At the grip of the whole car the brakes
    bring their share of µ·m·g to the rear, whose unloaded tyres hold µ·(W - µ·m·g·h/ℓ).
    """
    weight, standing, sprung = car.weight, car.axle_load, car.load
    if weight is None or standing is None or sprung is None or not car.has_coils:
        return ()
    slope = 0.0
    if car.cg_height and car.wheelbase:
        slope = car.cg_height / car.wheelbase
    cases: list[tuple[Case, float, float]] = [("standing", 0.0, standing)]
    if car.drive is not None:
        push = _full_drive(car.drive, car.axle.tyre_radius, standing, slope)
        cases.append(("full drive", push, standing + push * slope))
        slowing = car.drive.grip * weight
        left = max(standing - slowing * slope, 0.0)
        share = slowing if car.brake_share is None else car.brake_share * slowing
        cases.append(("full braking", -min(share, car.drive.grip * left), left))
    axle_weight = standing - 2.0 * sprung
    forces = [
        LinkForces(case, push, load, *part_forces(car.axle, poses, push, load - axle_weight))
        for case, push, load in cases
    ]
    return tuple(each for each in forces if np.isfinite([*each.links, *each.coils]).all())


def _full_drive(drive: Drive, tyre_radius: float, standing: float, slope: float) -> float:
    torque = drive.engine_torque * drive.gear * drive.final_drive * drive.efficiency
    left = 1.0 - drive.grip * slope
    held = drive.grip * standing / left if left > 0.0 else np.inf
    return float(min(np.divide(torque, tyre_radius), held))


def part_forces(
    axle: LinkAxle, poses: AxlePoses, thrust: float, on_parts: float
) -> tuple[Array, Array]:
    """Return each link's tension (m,) and each coil's compression (2,) [N].

    Parameters
    ----------
    axle
        The axle.
    poses
        One pose of it, shape (1,).
    thrust
        At both contact patches, half at each [N], + driving.
    on_parts
        Load of both wheels less the axle's own weight [N].
    """
    links, coils = list(axle.links.values()), (axle.coil_left, axle.coil_right)
    centre = poses.centre[0]
    columns, rates = [], []
    parts: list[tuple[float, Link | Coil]] = [(1.0, link) for link in links]
    parts += [(-1.0, coil) for coil in coils]
    for sign, part in parts:
        at = placed(poses, part.axle)[0]
        along = np.asarray(part.body) - at
        columns.append(_wrench(sign * along / np.linalg.norm(along), at - centre))
        rates.append(part.rate)
    pushed = np.array([thrust / 2, 0.0, on_parts / 2])
    loads = np.zeros(6)
    for wheel in (axle.wheel_left, axle.wheel_right):
        at = placed(poses, wheel)[0] - np.array([0.0, 0.0, axle.tyre_radius])
        loads += _wrench(pushed, at - centre)
    unit, stiff = np.array(columns).T, np.array(rates)
    forces = stiff * (unit.T @ solved((unit * stiff) @ unit.T, -loads[:, None])[:, 0])
    return forces[: len(links)], forces[len(links) :]


def _wrench(force: Array, at: Array) -> Array:
    """Force and moment about the axle's centre, the moment per `LENGTH`, shape (6,)."""
    return np.concatenate([force, np.cross(at, force) / LENGTH])
