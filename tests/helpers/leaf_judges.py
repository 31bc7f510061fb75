"""Figures of leaf springs by rules of their own, which judge what the kernel works out."""

from __future__ import annotations

import numpy as np

from geometry.leaf.fit import eye_height, with_raised_eye
from geometry.leaf.hop import HopAxle, held_axle
from geometry.leaf.loop import LeafLoop
from geometry.leaf.shape import bent_line
from geometry.modes.dampers import Damper
from geometry.modes.modes import Modes, modes_of
from geometry.vectors import Array


def pitch_per_g(
    support_slope: float,
    wheelbase: float,
    cg_height: float,
    weight: float,
    front_rate: float,
    rear_rate: float,
) -> float:
    """Pitch of the body per g of acceleration by the rear wheels [rad], + nose up.

    Parameters
    ----------
    support_slope
        h_ic/d of the rear axle.
    wheelbase, cg_height
        [mm].
    weight
        Of the car [N].
    front_rate, rear_rate
        Of each axle, both wheels together [N/mm].

    References
    ----------
    Zero at e/d = (h/ℓ)·(1 + k_r/k_f): Barton & Fieldhouse, Automotive Chassis Engineering, p. 197.
    """
    transfer = weight * cg_height / wheelbase
    squat = (transfer - weight * support_slope) / rear_rate
    return (transfer / front_rate + squat) / wheelbase


def shackle_factor(
    length: float, static_deflection: float, shackle_lean: float, arch: float = 0.0
) -> float:
    """Factor by which a leaning shackle changes the rate of a nearly symmetrical spring.

    Parameters
    ----------
    length
        Eye to eye [mm].
    static_deflection
        From free [mm].
    shackle_lean
        ψ, from the vertical [rad], + with the spring's end rearward of the body pivot.
    arch
        Height of the line of the eyes above the main leaf at the bolt there [mm]; 0 when flat.

    References
    ----------
    1 + (8/3)·((δ_s - 2·arch)/L)·tan ψ (derived, first order; the loop gives it in full).
    """
    return 1 + 8 / 3 * (static_deflection - 2 * arch) / length * float(np.tan(shackle_lean))


def with_reversed_eye(loop: LeafLoop, bore: float, thickness: float, end: int = 0) -> LeafLoop:
    """Return the loop with an upturned eye rolled under the leaf instead: the car comes down.

    Parameters
    ----------
    loop
        The loop, fitted with the eyes as measured.
    bore, thickness
        Of the eye and of the main leaf [mm].
    end
        0 for the front eye, 1 for the rear.
    """
    drop = eye_height("downturned", bore, thickness) - eye_height("upturned", bore, thickness)
    return with_raised_eye(loop, end, drop)


def undamped_motion(first: Damper, second: Damper) -> Array:
    """Return the motion (z, φ, θ) that neither of two dampers resists, in m and rad, shape (3,).

    Scaled to θ = 1, or to its largest part where it has no wind-up. Upright dampers on one side
    give (-x_d, 0, 1), staggered ones (0, -x_d/y_d, 1) (derived).
    """
    motion = np.cross(first.lever[1:4], second.lever[1:4])
    size = motion[2] if abs(motion[2]) > 1e-9 else motion[int(np.argmax(np.abs(motion)))]
    if abs(size) < 1e-12:
        return np.array([0.0, 0.0, 1.0])  # one place for both: wind-up about it, among others
    scaled: Array = motion / size
    return scaled


def spring_line(loop: LeafLoop, change: float = 0.0, angle: float = 0.0, points: int = 24) -> Array:
    """Middle of the main leaf from front eye to rear eye.

    Parameters
    ----------
    loop
        The loop.
    change
        Of curvature from design [1/mm].
    angle
        Of the seat in that pose [rad], + nose up.
    points
        For each half.

    Returns
    -------
    Array
        (x, z) [mm], shape (2·points, 2).
    """
    front, rear = np.array(loop.curvatures) + np.array(loop.split) * change
    line = bent_line(loop, (float(front), float(rear)), angle, points)
    hung: Array = line - line[0] + np.array(loop.front_eye)
    return hung


def modes(axle: HopAxle, dampers: tuple[Damper, ...]) -> Modes:
    """Return the modes of an axle with one set of dampers."""
    found = modes_of(held_axle(axle), (dampers,))
    assert found is not None
    return found[0]
