"""A leaf spring as a non-linear elastica under thrust at the road, its axle free to rise and turn.

Weight on the seat, thrust at the road below it: the wheels are locked to the housing, whose torque
is thrust times the wheel's radius. Nothing here knows arcs or links.
"""

from dataclasses import dataclass

import numpy as np

from tests.helpers.elastica import Elastica, equilibria, residuals

SCALE = 1e3  # forces are unknown in kN, so that the unknowns are of one size


@dataclass(frozen=True)
class Pushed:
    """Seat [mm, rad] and the upward loads of the eyes on the body [N]."""

    x: float
    z: float
    angle: float
    front_eye: float
    rear_eye: float
    pivot_lean: float


def pushed(spring: Elastica, near_z: float, load: float, pushes, radius: float) -> list[Pushed]:
    """Solve one spring under its load and each thrust in turn, from none on, in mm and N."""
    rest = equilibria(spring, np.array([near_z]), load)
    lean = np.arcsin((spring.pivot[0] - rest.eye_x[0]) / spring.shackle)
    rear = load * (spring.front + spring.clamp / 2) / (spring.front + spring.rear + spring.clamp)
    start = [rest.x[0], rest.angle[0], 0.0, -(load - rear) / SCALE, -rear / SCALE, lean, near_z]
    unknown = np.array(start)
    found = []
    for push in (0.0, *pushes):
        unknown = _newton(spring, load, push, radius, unknown)
        x, angle, _, front, pull, lean, z = unknown
        rear_eye = -SCALE * pull * np.cos(lean)
        found.append(Pushed(x, z, angle, -SCALE * front, rear_eye, lean))
    return found


def _balance(spring, load, push, radius, unknown):
    held, z = unknown[:6], unknown[6]
    miss = residuals(spring, z, held)
    miss[4] = miss[4] + push / SCALE
    miss[5] = miss[5] + push * radius / SCALE / 100
    _, _, _, front, pull, lean = held
    return np.concatenate([miss, [front + pull * np.cos(lean) + load / SCALE]])


def _newton(spring, load, push, radius, unknown):
    nudge = np.array([1e-3, 1e-6, 1e-5, 1e-5, 1e-5, 1e-6, 1e-3])
    for _ in range(60):
        here = _balance(spring, load, push, radius, unknown)
        if np.abs(here).max() < 1e-8:
            return unknown
        columns = [
            (_balance(spring, load, push, radius, unknown + step) - here) / size
            for step, size in zip(np.diag(nudge), nudge, strict=True)
        ]
        change = np.linalg.solve(np.column_stack(columns), -here)
        unknown = unknown + change * min(1.0, 0.1 / np.abs(change[[1, 5]]).max())
    raise AssertionError(f"the elastica found no equilibrium at {push} N")
