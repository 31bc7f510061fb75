"""What the wheel does: camber, toe, caster, kingpin, scrub, trail, track, and their rates.

All results have shape (2, n): left and right, the right one mirrored so that signs mean the same.
"""

from __future__ import annotations

import numpy as np

from geometry.road import Poses, travel_per_roll
from geometry.steering import SIDES
from geometry.vectors import Array, Scalar, Vector, add_scaled, cross, dot, scale, subtract

Results = dict[str, Array]

AHEAD: Vector = (np.array(1.0), np.array(0.0), np.array(0.0))


def wheel_angles(poses: Poses) -> Results:
    """Return camber (body, road), toe, caster, kingpin inclination and included angle [rad].

    References
    ----------
    Camber: ISO 8855 (from memory). Toe: ISO 8855:2011, 7.1.6. Caster: SAE J670e 6.2.1. Kingpin
    inclination: ISO 8855, 7.2.5.
    """
    axle = poses.linkage.axle
    kingpin = subtract(poses.linkage.upper_ball, poses.linkage.lower_ball)
    camber = np.arcsin(-axle[2])
    inclination = np.arctan2(-kingpin[1], kingpin[2])
    return {
        "camber": camber,
        "camber_road": np.arcsin(-dot(axle, poses.normal)),
        "toe": np.arctan2(axle[0], dot(axle, _across(poses))),
        "caster": np.arctan2(-kingpin[0], kingpin[2]),
        "kingpin_inclination": inclination,
        "included_angle": inclination + camber,
    }


def ground_offsets(poses: Poses) -> Results:
    """Return scrub radius, kingpin offset at the wheel centre and mechanical trail [mm].

    References
    ----------
    ISO 8855, 7.2.6, 7.2.7 (from memory) and 7.2.3; G is where the kingpin axis meets the ground
    plane through the contact centre.
    """
    heading = _heading(poses)
    outboard = cross(poses.normal, heading)
    ground = kingpin_at(poses, poses.contact)
    middle = kingpin_at(poses, poses.linkage.wheel_centre)
    return {
        "scrub_radius": dot(subtract(poses.contact, ground), outboard),
        "kingpin_offset": dot(subtract(poses.linkage.wheel_centre, middle), outboard),
        "mechanical_trail": dot(subtract(ground, poses.contact), heading),
    }


def kingpin_at(poses: Poses, level: Vector) -> Vector:
    """Return where the kingpin axis meets the plane along the road through `level` [mm]."""
    link = poses.linkage
    kingpin = subtract(link.upper_ball, link.lower_ball)
    share = dot(poses.normal, subtract(level, link.lower_ball)) / dot(poses.normal, kingpin)
    return add_scaled(link.lower_ball, kingpin, share)


def wheel_rates(poses: Poses) -> Results:
    """Return camber gain and bump steer [rad/mm] and the slopes in roll (no unit).

    Camber gain is d camber (to the body)/d travel. Roll camber is that of the wheel as the outer
    one: d camber to the road/d roll. Roll steer is the axle's, + understeer.

    References
    ----------
    Milliken & Milliken ch. 17 (from memory): the definitions; the formulas differentiate them.
    """
    axle, across = poses.linkage.axle, _across(poses)
    turn = cross(poses.motion().turning, axle)
    sideways, ahead = dot(axle, across), axle[0]
    toe_rate = (sideways * turn[0] - ahead * dot(turn, across)) / (sideways**2 + ahead**2)
    by_roll = travel_per_roll(poses)
    roll = poses.roll
    turned = (np.zeros((2, 1)), SIDES * np.cos(roll), -np.sin(roll) + np.zeros((2, 1)))
    lean = dot(axle, poses.normal)
    camber_by_roll = -(dot(turned, axle) + dot(poses.normal, turn) * by_roll) / np.sqrt(
        1.0 - lean * lean
    )
    toe_by_roll = toe_rate * by_roll
    steer = 0.5 * (toe_by_roll[0] - toe_by_roll[1])
    return {
        "camber_gain": -turn[2] / np.sqrt(1.0 - axle[2] ** 2),
        "bump_steer": toe_rate,
        "roll_camber": -SIDES * camber_by_roll,
        "roll_steer": np.broadcast_to(steer, toe_rate.shape),
    }


def toe_as_length(toe: Array, diameter: Scalar) -> Array:
    """Return total toe as a length over a diameter [mm], shape (n,); + toe-in.

    References
    ----------
    ISO 8855:2011, 7.1.7: D·(sin toe_L + sin toe_R).
    """
    return np.asarray(diameter * (np.sin(toe[0]) + np.sin(toe[1])))


def caster_from_turn_plates(heading_camber: tuple[Array, Array], angle: float) -> float | None:
    """Return the caster that turn plates would read [rad], None if the steer doesn't reach them.

    Parameters
    ----------
    heading_camber
        Wheel heading (toe) and camber to the road of one wheel over a steer sweep [rad], (n,).
    angle
        Steer each way at which camber is read [rad].

    References
    ----------
    tan caster = (sin camber(+) - sin camber(-))/(2 sin angle): derived; common practice.
    """
    heading, camber = heading_camber
    order = np.argsort(heading)
    heading, camber = heading[order], camber[order]
    if not (heading.size and heading[0] <= -angle and heading[-1] >= angle):
        return None
    toe_in, toe_out = interpolate(heading, camber, angle), interpolate(heading, camber, -angle)
    return float(np.arctan((np.sin(toe_out) - np.sin(toe_in)) / (2.0 * np.sin(angle))))


def interpolate(x: Array, y: Array, at: float) -> float:
    """Return a smooth curve's value by the polynomial through six neighbours; x rises."""
    start = int(np.clip(np.searchsorted(x, at) - 3, 0, max(x.size - 6, 0)))
    near, heights = x[start : start + 6].tolist(), y[start : start + 6].tolist()
    # Neville's scheme
    for width in range(1, len(near)):
        for i in range(len(near) - width):
            j = i + width
            heights[i] = ((at - near[j]) * heights[i] + (near[i] - at) * heights[i + 1]) / (
                near[i] - near[j]
            )
    return float(heights[0])


def _across(poses: Poses) -> Vector:
    """Road's direction to the left in each mirrored row: normal x ahead."""
    return cross(poses.normal, AHEAD)


def _heading(poses: Poses) -> Vector:
    """Return the unit heading of the wheel in the road plane: spin axis x normal."""
    ahead = cross(poses.linkage.axle, poses.normal)
    return scale(ahead, 1.0 / np.sqrt(dot(ahead, ahead)))
