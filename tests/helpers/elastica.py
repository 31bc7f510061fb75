"""A leaf spring as a non-linear elastica: large deflections, any stiffness along the halves.

Each half is an inextensible beam shot from the clamp's edge to its eye with the eye's force known;
equilibrium of seat and shackle closes the problem. Nothing here knows arcs or links. Side view,
(x, z) with x forward, mm and N.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

STEPS = 160


@dataclass(frozen=True)
class Elastica:
    """A spring: points (x, z), half-lengths from the clamp's edge, free curvature, E·I(s).

    `stiffness` gives E·I of the front and the rear half at a share 0..1 of its length from the eye.
    """

    front_eye: tuple[float, float]
    pivot: tuple[float, float]
    shackle: float
    front: float
    rear: float
    clamp: float
    free_curvature: float
    stiffness: tuple[Callable[[float], float], Callable[[float], float]]


@dataclass(frozen=True)
class Equilibria:
    """Seats in equilibrium, free to turn; arrays of shape (n,)."""

    x: np.ndarray
    z: np.ndarray
    angle: np.ndarray
    eye_x: np.ndarray
    eye_z: np.ndarray
    load: np.ndarray


def _shoot(spring, end, start_x, start_z, angle, tip_x, tip_z, force_x, force_z):
    """End of one half in a frame whose x points from the seat to its eye, by the midpoint rule."""
    length = (spring.front, spring.rear)[end]
    stiffness = spring.stiffness[end]
    step = length / STEPS
    x, z, phi = start_x, start_z, angle
    for i in range(STEPS):
        bend = stiffness(1 - (i + 0.5) / STEPS)
        inner_phi = phi + step / 2 * spring.free_curvature
        middle_x, middle_z = x + step / 2 * np.cos(inner_phi), z + step / 2 * np.sin(inner_phi)
        moment = (tip_x - middle_x) * force_z - (tip_z - middle_z) * force_x
        curvature = spring.free_curvature + moment / bend
        middle_phi = phi + step / 2 * curvature
        x, z = x + step * np.cos(middle_phi), z + step * np.sin(middle_phi)
        phi = phi + step * curvature
    return x, z


def residuals(spring, z, unknown):
    x, angle, force_x, force_z, pull, lean = unknown
    scaled = 1e3  # forces are unknown in kN, so that the unknowns are of one size
    force_x, force_z, pull = force_x * scaled, force_z * scaled, pull * scaled
    half = spring.clamp / 2
    front_tip = _shoot(
        spring,
        0,
        x + half * np.cos(angle),
        z + half * np.sin(angle),
        angle,
        *spring.front_eye,
        force_x,
        force_z,
    )
    eye_x = spring.pivot[0] - spring.shackle * np.sin(lean)
    eye_z = spring.pivot[1] - spring.shackle * np.cos(lean)
    rear_x, rear_z = pull * np.sin(lean), pull * np.cos(lean)
    rear_tip = _shoot(
        spring,
        1,
        -(x - half * np.cos(angle)),
        z - half * np.sin(angle),
        -angle,
        -eye_x,
        eye_z,
        -rear_x,
        rear_z,
    )
    moment = (spring.front_eye[0] - x) * force_z - (spring.front_eye[1] - z) * force_x
    moment = moment + (eye_x - x) * rear_z - (eye_z - z) * rear_x
    return np.array(
        [
            front_tip[0] - spring.front_eye[0],
            front_tip[1] - spring.front_eye[1],
            -rear_tip[0] - eye_x,
            rear_tip[1] - eye_z,
            (force_x + rear_x) / scaled,
            moment / scaled / 100,
        ]
    )


def equilibria(spring: Elastica, z: np.ndarray, load_guess: float) -> Equilibria:
    """Solve seats at given heights, stepping out from the first."""
    arm = spring.front + spring.clamp / 2
    rear_share = arm / (spring.front + spring.rear + spring.clamp)
    unknown = np.array(
        [
            spring.front_eye[0] - arm + 5,
            0.0,
            0.0,
            -load_guess * (1 - rear_share) / 1e3,
            -load_guess * rear_share / 1e3,
            0.1,
        ]
    )
    found = []
    for height in z:
        unknown = _newton(spring, height, unknown)
        found.append(unknown)
    x, angle, _, force_z, pull, lean = np.array(found).T
    return Equilibria(
        x=x,
        z=np.asarray(z, float),
        angle=angle,
        eye_x=spring.pivot[0] - spring.shackle * np.sin(lean),
        eye_z=spring.pivot[1] - spring.shackle * np.cos(lean),
        load=-1e3 * (force_z + pull * np.cos(lean)),
    )


def _newton(spring, z, unknown):
    nudge = np.array([1e-3, 1e-6, 1e-5, 1e-5, 1e-5, 1e-6])
    for _ in range(30):
        batch = unknown[:, None] + np.column_stack([np.zeros(6), np.diag(nudge)])
        residual = residuals(spring, z, batch)
        jacobian = (residual[:, 1:] - residual[:, :1]) / nudge
        change = np.linalg.solve(jacobian, -residual[:, 0])
        unknown = unknown + change * min(1.0, 0.1 / np.abs(change[[1, 5]]).max())
        if np.abs(residual[:, 0]).max() < 1e-8:
            return unknown
    raise AssertionError(f"the elastica found no equilibrium at {z} mm")
