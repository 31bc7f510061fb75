"""Forces in the links of an axle that stands, drives and brakes: statics of the axle as one body.

The housing takes the wheels' torque, driving through the crown wheel and braking at outboard
brakes, so that the wheels' thrust acts on it at the ground. The propeller shaft's own torque, which
loads one wheel more than the other, side force and the dampers are not in it.

References
----------
Six equations of equilibrium (textbook) for up to five links and two coils; the one that is left
over by least energy of the change from what links and coils carry in their pose.
"""

from __future__ import annotations

from typing import Final, Literal

import numpy as np

from geometry.dataclass import dataclass
from geometry.full_loads import full_braking, full_drive
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


def bolt_shear(links: Array, diameter: float) -> Array:
    """Return the mean shear in each link's bolts, held on both sides [N/mm²], shape (m,).

    Parameters
    ----------
    links
        Tension of each link [N], shape (m,).
    diameter
        Of its bolts [mm].

    References
    ----------
    Double shear: F/(2·π·d²/4) (textbook). Bending of the bolt and play in the bracket aren't in it.
    """
    return np.asarray(np.abs(links) / (2.0 * np.pi * diameter**2 / 4.0))


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
    """
    weight, standing, sprung = car.weight, car.axle_load, car.load
    if weight is None or standing is None or sprung is None or not car.has_coils:
        return ()
    slope = 1.0 / car.leverage if car.leverage else 0.0
    cases: list[tuple[Case, float, float]] = [("standing", 0.0, standing)]
    drive, braking = full_drive(car), full_braking(car)
    if drive is not None:
        cases.append(("full drive", drive.force, standing + drive.force * slope))
    if braking is not None and car.drive is not None and car.drive.grip is not None:
        left = max(standing - car.drive.grip * weight * slope, 0.0)
        cases.append(("full braking", -braking.force, left))
    axle_weight = standing - 2.0 * sprung
    forces = [
        LinkForces(case, push, load, *part_forces(car.axle, poses, push, load - axle_weight))
        for case, push, load in cases
    ]
    return tuple(each for each in forces if np.isfinite([*each.links, *each.coils]).all())


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
    in_pose = [link.rate * more for link, more in zip(links, poses.stretch[0], strict=True)]
    parts: list[tuple[float, Link | Coil]] = [(1.0, link) for link in links]
    parts += [(-1.0, coil) for coil in coils]
    for sign, part in parts:
        at = placed(poses, part.axle)[0]
        along = np.asarray(part.body) - at
        length = float(np.linalg.norm(along))
        columns.append(_wrench(sign * along / length, at - centre))
        rates.append(part.rate)
        if isinstance(part, Coil):
            in_pose.append(part.rate * (part.free_length - length))
    pushed = np.array([thrust / 2, 0.0, on_parts / 2])
    loads = np.zeros(6)
    for wheel in (axle.wheel_left, axle.wheel_right):
        at = placed(poses, wheel)[0] - np.array([0.0, 0.0, axle.tyre_radius])
        loads += _wrench(pushed, at - centre)
    unit, stiff, before = np.array(columns).T, np.array(rates), np.array(in_pose)
    lacking = -loads - unit @ before
    forces = before + stiff * (unit.T @ solved((unit * stiff) @ unit.T, lacking[:, None])[:, 0])
    return forces[: len(links)], forces[len(links) :]


def _wrench(force: Array, at: Array) -> Array:
    """Force and moment about the axle's centre, the moment per `LENGTH`, shape (6,)."""
    return np.concatenate([force, np.cross(at, force) / LENGTH])
