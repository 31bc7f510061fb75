"""What the wheel does: camber, toe, caster, kingpin, scrub, trail, track, and their rates.

All results have shape (2, n): left and right, the right one mirrored so that signs mean the same.
"""

from __future__ import annotations

import numpy as np

from geometry.front.road import Poses, travel_per_roll
from geometry.front.steering import SIDES
from geometry.vectors import Array, Scalar, Vector, add_scaled, subtract

Results = dict[str, Array]


def wheel_angles(poses: Poses) -> Results:
    """Return camber (body, road), toe, caster, kingpin inclination and included angle [rad].

    References
    ----------
    Camber: ISO 8855 (from memory). Toe: ISO 8855:2011, 7.1.6. Caster: SAE J670e 6.2.1. Kingpin
    inclination: ISO 8855, 7.2.5.
    """
    axle, kingpin = poses.linkage.axle, poses.linkage.kingpin
    camber = np.arcsin(-axle[2])
    inclination = np.arctan2(-kingpin[1], kingpin[2])
    return {
        "camber": camber,
        "camber_road": np.arcsin(-poses.up(axle)),
        "toe": np.arctan2(axle[0], poses.outward(axle)),
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
    link = poses.linkage
    # the wheel's heading in the road plane is (spin axis) x (normal): by components along the road
    ahead, aside = poses.outward(link.axle), -link.axle[0]
    long = 1.0 / np.sqrt(ahead * ahead + aside * aside)
    ahead, aside = ahead * long, aside * long
    ground = subtract(poses.contact, kingpin_at(poses, poses.contact))
    middle = subtract(link.wheel_centre, kingpin_at(poses, link.wheel_centre))
    outward = poses.outward(ground)
    return {
        "scrub_radius": outward * ahead - ground[0] * aside,
        "kingpin_offset": poses.outward(middle) * ahead - middle[0] * aside,
        "mechanical_trail": -ground[0] * ahead - outward * aside,
    }


def kingpin_at(poses: Poses, level: Vector) -> Vector:
    """Return where the kingpin axis meets the plane along the road through `level` [mm].

    Parameters
    ----------
    poses
        Solved poses of both wheels, shape (2, n).
    level
        A point at the height asked for [mm], components of shape (2, n).
    """
    link = poses.linkage
    share = poses.up(subtract(level, link.lower_ball)) / poses.up(link.kingpin)
    return add_scaled(link.lower_ball, link.kingpin, share)


def wheel_rates(poses: Poses) -> Results:
    """Return camber gain and bump steer [rad/mm] and the slopes in roll (no unit).

    Camber gain is d camber (to the body)/d travel. Roll camber is that of the wheel as the outer
    one: d camber to the road/d roll. Roll steer is the axle's, + understeer.

    References
    ----------
    Milliken & Milliken ch. 17 (from memory): the definitions; the formulas differentiate them.
    """
    axle, turn = poses.linkage.axle, poses.axle_rate
    sideways, ahead = poses.outward(axle), axle[0]
    level = 1.0 / (sideways * sideways + ahead * ahead)
    toe_rate = (sideways * turn[0] - ahead * poses.outward(turn)) * level
    by_roll, lean = travel_per_roll(poses), poses.up(axle)
    _, across, above = poses.normal_rate
    leaning = across * axle[1] + above * axle[2] + poses.up(turn) * by_roll
    # the road turns under a steered wheel, too
    toe_by_roll = toe_rate * by_roll + SIDES * (ahead * lean * level)
    steer = 0.5 * (toe_by_roll[0] - toe_by_roll[1])
    return {
        "camber_gain": -turn[2] / np.sqrt(1.0 - axle[2] ** 2),
        "bump_steer": toe_rate,
        "roll_camber": SIDES * (leaning / np.sqrt(1.0 - lean * lean)),
        "roll_steer": steer,
    }


def toe_as_length(toe: Array, diameter: Scalar) -> Array:
    """Return total toe as a length over a diameter [mm], shape (n,); + toe-in.

    Parameters
    ----------
    toe
        Of both wheels [rad], + toe-in, shape (2, n).
    diameter
        At which it is measured [mm].

    References
    ----------
    ISO 8855:2011, 7.1.7: D·(sin toe_L + sin toe_R).
    """
    return np.asarray(diameter * (np.sin(toe[0]) + np.sin(toe[-1])))


def caster_from_turn_plates(
    wheel: tuple[Array, Array, Array], locks: tuple[float, float]
) -> float | None:
    """Return the caster that turn plates would read [rad], None if the steer doesn't reach them.

    Parameters
    ----------
    wheel
        Heading (toe), camber to the road and kingpin inclination of one wheel over a steer sweep
        [rad], shape (n,) each.
    locks
        Steer at which camber is read, toe-out and toe-in [rad], both above zero.

    References
    ----------
    Derived: a wheel keeps its angle to the kingpin, so that
    tan caster·(sin out + sin in) = sin camber(out) - sin camber(in)
    + tan inclination·(cos out - cos in), cosines of cambers taken as 1. With equal locks it is
    common practice.
    """
    order = np.argsort(wheel[0])
    heading, camber, inclination = (values[order] for values in wheel)
    out, inward = locks
    if not (heading.size and heading[0] <= -out and heading[-1] >= inward):
        return None
    toe_in, toe_out = interpolate(heading, camber, inward), interpolate(heading, camber, -out)
    upright = interpolate(heading, inclination, 0.0)
    return caster_from_locks((out, -inward), (toe_out, toe_in), upright)


def caster_from_locks(
    locks: tuple[float, float], cambers: tuple[float, float], inclination: float
) -> float:
    """Return the caster of a wheel whose camber was read at two locks [rad].

    Parameters
    ----------
    locks
        Where the wheel stood [rad], + toe-out.
    cambers
        Read there [rad], + top leans out.
    inclination
        Of the kingpin [rad]; it counts where the locks are unequal.

    References
    ----------
    As `caster_from_turn_plates`.
    """
    (first, second), (camber, other) = locks, cambers
    lean = np.tan(inclination) * (np.cos(first) - np.cos(second))
    apart = np.sin(camber) - np.sin(other) + lean
    return float(np.arctan(apart / (np.sin(first) - np.sin(second))))


def interpolate(x: Array, y: Array, at: float) -> float:
    """Return a smooth curve's value by the polynomial through six neighbours; x rises.

    Parameters
    ----------
    x
        Rising, shape (n,).
    y
        Values there, shape (n,).
    at
        Where the value is wanted, in the unit of x.
    """
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
