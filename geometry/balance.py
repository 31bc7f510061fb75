"""Lateral load transfer of a cornering car: through the linkage, the springs, and the wheels' mass.

Figures here count from one wheel to the other of an axle. Accelerations are shares of the
acceleration of free fall (0.6 for 0.6 g).

References
----------
Barton & Fieldhouse, Automotive Chassis Engineering, p. 174 (worked example); Gillespie ch. 6 (from
memory).
"""

from __future__ import annotations

import numpy as np

from geometry.conventions import GRAVITY
from geometry.dataclass import dataclass
from geometry.vectors import Scalar


@dataclass(frozen=True)
class AxleTransfer:
    """Load that goes from the inner to the outer wheel of an axle [N], by its way.

    Parameters
    ----------
    geometric
        Through the linkage: side force of the sprung mass, at the roll centre.
    elastic
        Through springs and bars, by roll.
    unsprung
        Of the wheels' own mass.
    """

    geometric: Scalar
    elastic: Scalar
    unsprung: Scalar

    @property
    def total(self) -> Scalar:
        """All three together [N]."""
        return self.geometric + self.elastic + self.unsprung


def side_moment_transfer(
    mass: Scalar, acceleration: Scalar, height: Scalar, track: Scalar
) -> Scalar:
    """Return the load that a mass's side force moves at a height [N]: m·a·h/t.

    Parameters
    ----------
    mass
        Sprung mass on this axle, or its unsprung mass [kg].
    acceleration
        Share of g.
    height
        Of the roll centre, or of the unsprung mass [mm].
    track
        [mm].
    """
    return mass * GRAVITY * acceleration * height / track


def roll_gradient(sprung_mass: Scalar, arm: Scalar, stiffness: Scalar) -> Scalar:
    """Return the body's roll per g [rad]: m·g·h/(K - m·g·h), its own lean counted.

    Parameters
    ----------
    sprung_mass
        Of the whole car [kg].
    arm
        Height of its centre of gravity above the roll axis [mm].
    stiffness
        Roll stiffness of both axles [N·mm/rad].
    """
    moment = sprung_mass * GRAVITY * arm
    return moment / (stiffness - moment)


def shared_lean(free: Scalar, own: Scalar, other: Scalar) -> Scalar:
    """Return the body's lean where an axle's springs alone would have it lean by another [rad].

    Statics (derived): one couple M turns the body against the other axle, M = K'·φ, and what is
    left of the free lean is what M takes from this axle's springs, M = K·(free - φ).

    Parameters
    ----------
    free
        Lean at which both springs of the axle carry their own load [rad].
    own, other
        Roll stiffness of this axle and of the other one [N·mm/rad].
    """
    return free * np.divide(own, own + other)


def elastic_transfer(roll: Scalar, stiffness: Scalar, track: Scalar) -> Scalar:
    """Return the load that springs and bars of an axle move at a roll [rad]: K·roll/t [N].

    Parameters
    ----------
    roll
        Body roll [rad].
    stiffness
        Roll stiffness of this axle [N·mm/rad].
    track
        [mm].
    """
    return stiffness * roll / track


def roll_stiffness(wheel_rate: Scalar, track: Scalar) -> Scalar:
    """Return the roll stiffness that two wheel rates [N/mm] give an axle [N·mm/rad]: K·t²/2.

    Parameters
    ----------
    wheel_rate
        At each wheel in roll [N/mm], any shape.
    track
        Between the wheels [mm].
    """
    return 0.5 * wheel_rate * track * track
