"""Rates and forces of an axle's coils and links, from the energy that they store."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import Link, Strut
from geometry.links.motion import Telescopes, bounce_motion, telescopes
from geometry.links.poses import AxlePoses
from geometry.numeric import quietly
from geometry.vectors import Array


@dataclass(frozen=True)
class RateParts:
    """Second derivative of the stored energy along a motion, by its parts, shapes (n,).

    Parameters
    ----------
    by_coil
        Coil rates, K·MR².
    by_force
        Coil forces through the change of the motion ratio, F·dMR/dz.
    by_links
        The bushes, which bind.
    """

    by_coil: Array
    by_force: Array
    by_links: Array

    @property
    def total(self) -> Array:
        """All three together."""
        return self.by_coil + self.by_force + self.by_links


@dataclass(frozen=True)
class RideRates:
    """Rates and forces of coils and links; the coils' forces don't shift the axle in its bushes.

    Parameters
    ----------
    coil_force
        Left and right [N], shape (n, 2); below zero the coil is off its seat and the rates are not
        valid.
    wheel_force
        Load that each wheel carries, unsprung weight left out [N], shape (n, 2).
    wheel_rate
        Of each wheel when both rise, by its parts [N/mm].
    roll_stiffness
        Of the axle, without tyres and stabiliser bars, by its parts [N·mm/rad].
    roll_wheel_rate
        The roll stiffness as a rate at each wheel [N/mm], shape (n,).
    link_force
        Tension of each link from its stretch in the pose [N], shape (n, m).
    link_force_per_roll
        Its derivative by body roll [N/rad], shape (n, m).
    """

    coil_force: Array
    wheel_force: Array
    wheel_rate: RateParts
    roll_stiffness: RateParts
    roll_wheel_rate: Array
    link_force: Array
    link_force_per_roll: Array


def ride_rates(
    poses: AxlePoses,
    coils: Sequence[Telescopes],
    links: Sequence[Telescopes],
    rises: Array,
) -> RideRates:
    """Differentiate the energy of coils and links along bounce and roll.

    Parameters
    ----------
    poses
        n poses of the axle.
    coils, links
        Along bounce and along roll.
    rises
        Of both wheels per rad of roll [mm], shape (n, 2).
    """
    axle, carried = poses.axle, _carried(poses, coils[0].length)
    pairs = zip(coils, links, strict=True)
    (push, bounce), (couple, roll) = (_along(carried, coil, link) for coil, link in pairs)
    return RideRates(
        coil_force=carried.force,
        wheel_force=_wheel_force(push, couple, rises),
        wheel_rate=RateParts(0.5 * bounce.by_coil, 0.5 * bounce.by_force, 0.5 * bounce.by_links),
        roll_stiffness=roll,
        roll_wheel_rate=roll.total / (0.5 * axle.track**2),
        link_force=carried.tension,
        link_force_per_roll=carried.link_rates * links[1].rate,
    )


class _Carried(NamedTuple):
    """Rates and forces of coils, (n, 2), and of links, (n, k): pushes and pulls [N]."""

    coil_rates: Array
    force: Array
    link_rates: Array
    tension: Array


def _carried(poses: AxlePoses, coil_length: Array) -> _Carried:
    axle = poses.axle
    pair = (axle.coil_left, axle.coil_right)
    coil_rates = np.array([coil.rate for coil in pair]).T
    force = coil_rates * (np.array([coil.free_length for coil in pair]).T - coil_length)
    link_rates = np.array([link.rate for link in axle.links.values()]).T
    return _Carried(coil_rates, force, link_rates, link_rates * poses.stretch)


def _along(carried: _Carried, coils: Telescopes, links: Telescopes) -> tuple[Array, RateParts]:
    """Differentiate the energy of coils and links along a motion, once and twice, (n,)."""
    push = (carried.tension * links.rate).sum(axis=1) - (carried.force * coils.rate).sum(axis=1)
    bent = links.rate**2 * carried.link_rates + carried.tension * links.second
    return push, RateParts(
        by_coil=(coils.rate**2 * carried.coil_rates).sum(axis=1),
        by_force=-(carried.force * coils.second).sum(axis=1),
        by_links=bent.sum(axis=1),
    )


@quietly
def push_and_rate(poses: AxlePoses) -> tuple[Array, Array]:
    """Return what coils and links carry of the car [N], and how fast that grows [N/mm], (n,).

    They are those of all results, which cost twice as much: of both wheels together, per mm of
    their travel.

    Parameters
    ----------
    poses
        n poses of the axle.
    """
    axle = poses.axle
    parts: list[Link | Strut] = [axle.coil_left, axle.coil_right, *axle.links.values()]
    (bounce,) = telescopes(poses, (bounce_motion(poses),), parts)
    coils, links = bounce.some(slice(0, 2)), bounce.some(slice(2, None))
    push, rate = _along(_carried(poses, coils.length), coils, links)
    return push, rate.total


def _wheel_force(push: Array, couple: Array, rises: Array) -> Array:
    """Return the upward force on each wheel whose work in bounce and roll is the energy's, (n, 2).

    Virtual work: left + right = push, and each force times its wheel's rise in roll = couple.
    """
    left = (couple - push * rises[:, 1]) / (rises[:, 0] - rises[:, 1])
    return np.stack([left, push - left], axis=1)
