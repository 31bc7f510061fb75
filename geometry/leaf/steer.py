"""Roll steer and roll centre of an axle on leaf springs, read off poses in bounce.

Steer of the axle is + to the left and roll + when the body leans to its right, so steer per roll is
+ for understeer.
"""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.axle import LeafPath
from geometry.leaf.loop import LeafLoop
from geometry.leaf.motion import arc_motion
from geometry.vectors import Array


@dataclass(frozen=True)
class RollSteer:
    """Steer of the axle per roll of the body, + for understeer; arrays of shape (n,), no unit.

    Parameters
    ----------
    kinematic
        From the loop, the seats kept from turning by the housing.
    eyes_line
        Slope of the line through the eyes: the textbook's simplification.
    front_slope
        tan λ of the front half's equivalent link, + when it falls to the front.
    hinge
        That link's hinge ahead of the centre bolt, h_1 [mm].
    """

    kinematic: Array
    eyes_line: Array
    front_slope: Array
    hinge: float


def roll_steer(loop: LeafLoop, path: LeafPath) -> RollSteer:
    """Read roll steer off poses in bounce.

    Parameters
    ----------
    loop
        The loop.
    path
        Its poses.

    References
    ----------
    Slope of the eyes' line: Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory of the
    source). The rest is derived: both seats are on one stiff housing, so in roll they move without
    turning, and steer per roll is dx/dz of a seat whose angle is kept. That is the slope of the
    equivalent link; the factor (1 - h_1/L_arm) of bounce, where the seats turn, isn't in it.
    """
    seat = path.seat
    # The front half bends and the front eye stays: the seat goes the other way.
    bend = loop.curvatures[0] + loop.split[0] * path.curvature_change
    eye = np.exp(1j * seat.angle) * arc_motion(bend, loop.front, loop.eye_offsets[0]).rate
    hinge = loop.front_arm - 0.75 * loop.front
    hinge_x = seat.x + hinge * np.cos(seat.angle)
    hinge_z = seat.z + hinge * np.sin(seat.angle)
    eye_x, eye_z = loop.front_eye
    return RollSteer(
        kinematic=eye.real / eye.imag,
        eyes_line=(seat.eye_z - eye_z) / (eye_x - seat.eye_x),
        front_slope=(hinge_z - eye_z) / (eye_x - hinge_x),
        hinge=hinge,
    )


def eyes_line_height(loop: LeafLoop, seat_x: Array, eye_x: Array, eye_z: Array) -> Array:
    """Height of the line from front eye to rear eye over the axle, body fixed [mm].

    Parameters
    ----------
    loop
        The loop of the spring.
    seat_x
        Of the centre bolt [mm], shape (n,).
    eye_x, eye_z
        Of the rear eye [mm], shape (n,).

    References
    ----------
    Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory of the source): side force is
    taken at the front eye and at the spring's eye on the shackle; read at the axle,
    h = (b·z_front + a·z_rear)/L.
    """
    front_x, front_z = loop.front_eye
    along = (front_x - seat_x) / (front_x - eye_x)
    height: Array = front_z + along * (eye_z - front_z)
    return height


def roll_centres(loop: LeafLoop, path: LeafPath, tyre_radius: float) -> tuple[Array, Array]:
    """Height of the roll centre above ground by both views, the ends of its band [mm].

    Parameters
    ----------
    loop
        The loop.
    path
        Its poses in bounce.
    tyre_radius
        Loaded [mm].

    Returns
    -------
    tuple
        By the line of the eyes (Gillespie), and at the main leaf over the axle, shape (n,) each.
    """
    ground = path.wheel_z - tyre_radius
    seat = path.seat
    return eyes_line_height(loop, seat.x, seat.eye_x, seat.eye_z) - ground, seat.z - ground
