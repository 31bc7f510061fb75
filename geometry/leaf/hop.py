"""Hop, tramp and wind-up of an axle on leaf springs: what holds it in four freedoms.

The freedoms are fore-aft x [m], bounce z [m], roll φ [rad] (+ left side up) and wind-up θ [rad]
(+ nose up) of its mass centre; a spring keeps it from yaw, and its sideways motion is left out.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.load import HalfRates
from geometry.leaf.wind_up import TractionBars
from geometry.modes.dampers import lever
from geometry.modes.modes import HeldAxle
from geometry.vectors import Array, Point

_FREEDOMS: Final = 4


@dataclass(frozen=True)
class HopAxle:
    """The axle, what it stands on and what holds it.

    Parameters
    ----------
    mass
        Of the axle with its wheels [kg].
    roll_inertia, pitch_inertia
        About its mass centre, along and across the car [kg·mm²]; the pitch inertia with wheels if
        they are locked or driven, without if they roll.
    rates
        One spring.
    spring_base, track
        [mm].
    tyre_rate
        Of one tyre [N/mm].
    seat
        Centre bolt from the axle's mass centre, (forward, up) [mm].
    fore_aft_rate
        Of one front eye's bush and leaf along the car [N/mm].
    slope, hinge
        tan λ of the front half's link, + when it falls to the front, and its hinge ahead of the
        bolt [mm].
    bars
        Traction bars with their snubbers closed; None where they are open.
    grip_slope, axle_load, tyre_radius
        Fall of friction with slip speed [s/m], load on both tyres [N], loaded radius [mm]: adds
        negative damping where the tyres slip; 0 leaves it out.
    """

    mass: float
    roll_inertia: float
    pitch_inertia: float
    rates: HalfRates
    spring_base: float
    track: float
    tyre_rate: float
    seat: tuple[float, float] = (0.0, 0.0)
    fore_aft_rate: float = 2000.0
    slope: float = 0.0
    hinge: float = 0.0
    bars: TractionBars | None = None
    grip_slope: float = 0.0
    axle_load: float = 0.0
    tyre_radius: float = 0.0

    @property
    def masses(self) -> Array:
        """Of (x, z, φ, θ) [kg, kg, kg·m², kg·m²], shape (4,)."""
        inertias = np.array([self.roll_inertia, self.pitch_inertia]) / 1e6
        return np.concatenate([[self.mass, self.mass], inertias])


def stiffness_matrix(axle: HopAxle) -> Array:
    """K of (x, z, φ, θ) in N, m and rad, shape (4, 4)."""
    levers, rates = zip(*_spring_levers(axle), strict=True)
    u = np.array(levers)
    stiffness: Array = (u.T * (1e3 * np.array(rates))) @ u
    return stiffness


def _spring_levers(axle: HopAxle) -> list[tuple[Array, float]]:
    """Every spring's lever and rate [N/mm]."""
    up = (0.0, 0.0, 1.0)
    forward, height = axle.seat
    springs = []
    for side in (1.0, -1.0):
        y = side * axle.spring_base / 2
        front = (forward + axle.rates.front_arm, y, height)
        rear = (forward - axle.rates.rear_arm, y, height)
        link = (forward + axle.hinge, y, height)
        springs += [
            (_lever(front, up), axle.rates.front),
            (_lever(rear, up), axle.rates.rear),
            (_lever((0.0, side * axle.track / 2, 0.0), up), axle.tyre_rate),
            (_lever(link, (1.0, 0.0, -axle.slope)), axle.fore_aft_rate),
        ]
        if axle.bars is not None:
            snubber = (forward + axle.bars.length, y, height)
            springs.append((_lever(snubber, up), axle.bars.stiffness))
    return springs


def _lever(at: Point, towards: Point) -> Array:
    return lever(at, towards)[:_FREEDOMS]


def _slipping(axle: HopAxle) -> Array:
    """Return what falling friction makes of C, below zero: it feeds the motion."""
    slip = _lever((0.0, 0.0, -axle.tyre_radius), (1.0, 0.0, 0.0))
    falling: Array = -axle.grip_slope * axle.axle_load * np.outer(slip, slip)
    return falling


def held_axle(axle: HopAxle) -> HeldAxle:
    """Return the axle as its modes are worked out from it."""
    return HeldAxle(
        axle.masses, stiffness_matrix(axle), pure_motions(axle), axle.track, _slipping(axle)
    )


def pure_motions(axle: HopAxle) -> Array:
    """Motions that the modes are named by, in the order of `MODE_NAMES`.

    Those of the axle without dampers, with springs that don't couple bounce with wind-up: bounce,
    roll, and two of fore-aft with wind-up, since the axle turns about its seats. Columns in
    (x, z, φ, θ) times the root of the masses, of size 1, shape (4, 4).
    """
    root = np.sqrt(axle.masses)
    held = np.ix_([0, 3], [0, 3])
    _, shapes = np.linalg.eigh((stiffness_matrix(axle) / np.outer(root, root))[held])
    if abs(shapes[1, 0]) > abs(shapes[1, 1]):
        shapes = shapes[:, ::-1]
    motions = np.eye(4)
    motions[held] = shapes
    return motions
