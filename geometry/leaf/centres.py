"""Side-view centre, anti-squat and anti-lift of an axle on leaf springs.

The housing takes the wheels' torque, driving (through the crown wheel) and braking (outboard
brakes), so the contact point moves with the housing and one motion serves both.
"""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.axle import LeafPath
from geometry.leaf.wind_up import Thrust
from geometry.vectors import Array

# Pitch per travel below which the centre counts as at infinity [rad/mm]: an arm over 1000 m.
_PARALLEL = 1e-6


@dataclass(frozen=True)
class SideView:
    """The housing's motion in side view, over a path; arrays of shape (n,).

    Parameters
    ----------
    inverse_arm
        1/L_arm [1/mm], + with the centre ahead of the wheel; 0 when it is at infinity.
    centre_x, centre_z
        Instant centre of the housing, body fixed [mm]; infinite where `inverse_arm` is 0.
    anti_squat, anti_lift
        Under drive, and under braking [%].
    """

    inverse_arm: Array
    centre_x: Array
    centre_z: Array
    anti_squat: Array
    anti_lift: Array


def side_view(
    path: LeafPath,
    tyre_radius: float,
    wheelbase: float,
    cg_height: float,
    rear_brake_share: float,
) -> SideView:
    """Read the side-view centre and what it does off a path.

    Parameters
    ----------
    path
        Poses in bounce.
    tyre_radius
        Loaded [mm].
    wheelbase, cg_height
        Of the car [mm].
    rear_brake_share
        Of the braking force, 0 to 1.

    References
    ----------
    Anti-squat = 100·(h_ic/d)/(h/ℓ): Milliken & Milliken, Race Car Vehicle Dynamics, 17.5;
    Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (both from memory of the source). h_ic/d is
    taken as -dx/dz of the contact point locked to the housing (virtual work), which has no
    division by a length that may be infinite.
    """
    level = np.abs(path.pitch_rate) < _PARALLEL
    pitch = np.where(level, np.inf, path.pitch_rate)
    slope = -(path.slope + tyre_radius * path.pitch_rate)
    anti = 100 * slope * wheelbase / cg_height
    far_z = np.where(path.slope >= 0, -np.inf, np.inf)
    return SideView(
        inverse_arm=np.where(level, 0.0, -path.pitch_rate),
        centre_x=np.where(level, np.inf, path.wheel_x - 1 / pitch),
        centre_z=np.where(level, far_z, path.wheel_z + path.slope / pitch),
        anti_squat=anti,
        anti_lift=anti * rear_brake_share,
    )


def anti_squat_from_stiffness(
    inverse_arm: float, path: Thrust, wheelbase: float, cg_height: float
) -> float:
    """Anti-squat of seats that pitch on a given arm [%]: shows what closed traction bars change.

    Parameters
    ----------
    inverse_arm
        1/L_arm [1/mm], from `geometry.leaf.wind_up.pitch_arm_inverse`.
    path
        Height of the main leaf, slope and hinge of the front half's link.
    wheelbase, cg_height
        Of the car [mm].

    References
    ----------
    h_ic/d = h_s/L_arm - tan λ·(1 - h_1/L_arm) (derived).
    """
    support = path.height * inverse_arm - path.slope * (1 - path.hinge * inverse_arm)
    return 100 * support * wheelbase / cg_height
