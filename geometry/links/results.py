"""Results of an axle on links from its poses: path, roll centre, side view, ride and roll rates.

Signs (ISO 8855 axes): shift and steer + to the left, pinion + nose up, wheelbase + longer, body
roll + to the right as in a left turn, so that roll steer + is understeer. Results of a pose out of
reach are NaN.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import LinkAxle
from geometry.links.motion import (
    AxleMotion,
    Telescopes,
    axle_motions,
    telescopes,
    velocity,
)
from geometry.links.poses import AxlePoses, placed
from geometry.links.ride import Carried
from geometry.links.ride_rates import RideRates, ride_rates
from geometry.numeric import quietly
from geometry.vectors import Array, Scalar

LEAST_PITCH_RATE: Final = 1e-6
"""Pitch per travel below which the side-view centre counts as at infinity [rad/mm]: a kilometre."""

_PARTS: Final = slice(0, 2), slice(2, 4), slice(4, None)  # coils, dampers and links side by side


@dataclass(frozen=True)
class AxlePath:
    """Where the axle is against the measured pose, shapes (n,).

    Parameters
    ----------
    lateral_shift
        Of the axle's centre [mm], + to the left.
    steer
        Heading of the axle [rad], + to the left.
    pinion_angle
        Change of the pinion's angle [rad], + nose up.
    wheelbase_change
        At the axle's centre [mm], + longer.
    """

    lateral_shift: Array
    steer: Array
    pinion_angle: Array
    wheelbase_change: Array


@dataclass(frozen=True)
class RollView:
    """What the axle does per unit of body roll at each pose, shapes (n,).

    Parameters
    ----------
    roll_steer
        From the motion [rad/rad], + understeer: the axle steers with the front wheels.
    roll_steer_by_slope
        The textbook line beside it, from the slopes of the links along the car [rad/rad].
    roll_axis_slope
        Rise of the roll axis towards the front [rad], - when it slopes down to the front.
    crossing
        Where the lateral link's line meets the axle's middle plane [mm], shape (n, 3).
    roll_centre_height
        That point carried along the roll axis to the axle, above the ground [mm].
    roll_centre_height_by_force
        Height at which a side force asks for no roll couple [mm], from the stiffness model. The
        two part when the lateral link is stretched in roll, as by upper links that converge.
    """

    roll_steer: Array
    roll_steer_by_slope: Array
    roll_axis_slope: Array
    crossing: Array
    roll_centre_height: Array
    roll_centre_height_by_force: Array


@dataclass(frozen=True)
class SideView:
    """The axle's motion in bounce seen from the side, at each pose.

    Parameters
    ----------
    centre
        Instant centre (x, z) [mm], NaN where it is at infinity, shape (n, 2).
    support
        Rearward travel of the contact point per rise, wheels locked to the axle (no unit), shape
        (n,): height of the centre above the ground over its distance ahead of the contact point.
    """

    centre: Array
    support: Array


@dataclass(frozen=True)
class PartRatios:
    """Coils or dampers, left and right, shapes (n, 2).

    Parameters
    ----------
    length
        Between its ends [mm].
    bounce_ratio, roll_ratio
        Shortening per rise of its wheel (no unit) when both wheels rise, and when one falls.
    """

    length: Array
    bounce_ratio: Array
    roll_ratio: Array


@dataclass(frozen=True)
class LinkAxleResults:
    """Everything that follows from a batch of poses alone."""

    poses: AxlePoses
    path: AxlePath
    roll: RollView
    side: SideView
    coils: PartRatios
    dampers: PartRatios
    rates: RideRates

    @property
    def carried(self) -> Carried:
        """What coils and links carry of the car, the poses being level."""
        rates = self.rates
        push = rates.wheel_force.sum(axis=1)
        return Carried(self.poses.travel, push, 2.0 * rates.wheel_rate.total)

    def part(self, part: slice) -> LinkAxleResults:
        """Return the results of some of the poses."""
        part_results = _taken(self, part)
        assert isinstance(part_results, LinkAxleResults)
        return part_results


def _taken(value: object, part: slice) -> object:
    """Take some of the poses out of every array; what isn't one is the axle's."""
    if isinstance(value, np.ndarray):
        return value[part]
    if not is_dataclass(value) or isinstance(value, LinkAxle | type):
        return value
    return type(value)(*(_taken(getattr(value, name), part) for name in _names(type(value))))


@cache
def _names(kind: type) -> tuple[str, ...]:
    """Return the names of a dataclass's fields: asking each object takes longer than slicing."""
    return tuple(each.name for each in fields(kind))


@quietly
def link_axle_results(poses: AxlePoses) -> LinkAxleResults:
    """Return all results of the poses."""
    axle, links = poses.axle, list(poses.axle.links.values())
    bounce, roll = axle_motions(poses)
    units = (axle.coil_left, axle.coil_right, axle.damper_left, axle.damper_right)
    both = telescopes(poses, (bounce, roll), (*units, *links))
    coils, dampers, bars = ([each.some(part) for each in both] for part in _PARTS)
    rises = np.stack(
        [velocity(poses, roll, wheel)[:, 2] for wheel in (axle.wheel_left, axle.wheel_right)],
        axis=1,
    )
    return LinkAxleResults(
        poses=poses,
        path=_path(poses),
        roll=_roll_view(poses, roll),
        side=_side_view(poses, bounce),
        coils=_ratios(coils, rises),
        dampers=_ratios(dampers, rises),
        rates=ride_rates(poses, coils, bars, rises),
    )


def axle_frame(poses: AxlePoses) -> tuple[Array, Array, Array]:
    """Return unit vectors forward, along the axle to the left, and up from the road, (n, 3)."""
    zero = np.zeros_like(poses.steer)
    forward = np.stack([np.cos(poses.steer), np.sin(poses.steer), zero], axis=1)
    along = poses.rotation[:, :, 1]
    lean, drop = along[:, 2], np.cos(poses.roll)
    up = np.stack([forward[:, 1] * lean, -forward[:, 0] * lean, drop], axis=1)
    return forward, along, up


def nose_to_ground(poses: AxlePoses, pinion: Scalar) -> Array:
    """Angle of the pinion to the road [rad], + nose up, shape (n,).

    Parameters
    ----------
    poses
        n poses of the axle.
    pinion
        Its angle as measured [rad], a number or (n,).

    References
    ----------
    Derived: the road carries both wheels and the body doesn't pitch on it, so that its normal is
    across the axle's line and the body's forward axis.
    """
    cosine, sine = np.asarray(np.cos(pinion)), np.asarray(np.sin(pinion))
    nose = poses.rotation[:, :, 0] * cosine[..., None] + poses.rotation[:, :, 2] * sine[..., None]
    along = poses.rotation[:, :, 1]
    above = along[:, 1] * nose[:, 2] - along[:, 2] * nose[:, 1]
    return np.asarray(np.arcsin(above / np.hypot(along[:, 1], along[:, 2])))


def _path(poses: AxlePoses) -> AxlePath:
    axle = poses.axle
    shift = poses.centre - axle.centre
    return AxlePath(
        lateral_shift=shift[:, 1],
        steer=poses.steer,
        pinion_angle=-poses.pitch,
        wheelbase_change=-shift[:, 0],
    )


def _roll_view(poses: AxlePoses, roll: AxleMotion) -> RollView:
    """Read the roll axis: the line in the axle's middle plane whose points move only in it.

    Per unit of body roll the axle turns by -1 about its forward line and by the roll steer about Z.
    The height by force is where a point of the axle has no sideways motion in roll: a side force
    there does no work in it, so it asks for no couple (virtual work; Maxwell-Betti reciprocity).
    """
    forward, along, up = axle_frame(poses)
    slope = -roll.steer * np.cos(poses.roll)
    crossing = _crossing(poses, along)
    offset = crossing - poses.centre
    carried = _dot(offset, up) - slope * _dot(offset, forward)
    return RollView(
        roll_steer=roll.steer,
        roll_steer_by_slope=roll_steer_by_slope(poses),
        roll_axis_slope=np.arctan(slope),
        crossing=crossing,
        roll_centre_height=poses.axle.tyre_radius + carried,
        roll_centre_height_by_force=poses.axle.tyre_radius - _dot(roll.centre, along),
    )


def _crossing(poses: AxlePoses, along: Array) -> Array:
    """Return where the lateral link's line meets the axle's middle plane [mm], shape (n, 3)."""
    start = np.array(poses.axle.lateral.body).T
    reach = placed(poses, poses.axle.lateral.axle) - start
    share = _dot(poses.centre - start, along) / _dot(reach, along)
    return np.asarray(start + share[:, None] * reach)


def roll_steer_by_slope(poses: AxlePoses) -> Array:
    """Return Σ k·y²·cos²γ·tan γ / Σ k·y²·cos²γ over the links along the car [rad/rad], shape (n,).

    γ is a link's side-view slope, + down to the front, and y its axle end's distance from the
    axle's centre. For links that are parallel in plan view at no roll; least energy of the links
    against yaw in roll.
    """
    top = bottom = np.zeros(len(poses.travel))
    links = [link for name, link in poses.axle.links.items() if name != "lateral link"]
    for link in links:
        end = placed(poses, link.axle)
        ahead, drop = link.body[0] - end[:, 0], end[:, 2] - link.body[2]
        weight = link.rate * (end[:, 1] - poses.centre[:, 1]) ** 2 / (ahead**2 + drop**2)
        bottom = bottom + weight * ahead**2
        top = top + weight * ahead * drop
    return np.asarray(top / bottom)


def _side_view(poses: AxlePoses, bounce: AxleMotion) -> SideView:
    """Return the side-view centre and the slope from the contact point to it, from the motion."""
    forward, along, up = axle_frame(poses)
    radius = poses.axle.tyre_radius
    # the contact point is the axle's centre less radius·up, turning with yaw and pitch
    turning = bounce.pitch * forward[:, 0] - bounce.steer * up[:, 1]
    pitch = bounce.pitch * along[:, 1]
    near = np.abs(pitch) >= LEAST_PITCH_RATE
    distance = np.where(near, 1.0, np.nan) / np.where(near, pitch, 1.0)
    centre = poses.centre[:, ::2] + np.stack([distance, -bounce.centre[:, 0] * distance], axis=1)
    return SideView(centre=centre, support=radius * turning - bounce.centre[:, 0])


def _ratios(parts: Sequence[Telescopes], rises: Array) -> PartRatios:
    bounce, roll = parts
    return PartRatios(bounce.length, -bounce.rate, -roll.rate / rises)


def _dot(a: Array, b: Array) -> Array:
    return np.asarray((a * b).sum(axis=1))
