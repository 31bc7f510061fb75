"""How an axle on links moves from a pose: first and second derivatives by travel and by roll.

The free coordinates q = (x, y, yaw, pitch) follow from the energy's gradient G(q, h) = 0, h being
the travel or the roll: H·q' = -G' with the path's own coordinates held, and H·q'' = -G'' along the
straight path of rates (q', 1), where H is the Hessian by q (implicit function theorem).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import Link, Strut
from geometry.links.energy import (
    ABOUT_Y,
    ABOUT_Z,
    LinkArrays,
    end_dot,
    link_arrays,
    moments,
    split_ends,
)
from geometry.links.poses import AxlePoses, from_centre, turned_by
from geometry.numeric import solved
from geometry.vectors import Array, Point

Drive = Literal["travel", "roll"]


@dataclass(frozen=True)
class AxleMotion:
    """Motion of the axle per unit of a drive, [mm] or [rad] per mm of travel or rad of body roll.

    Parameters
    ----------
    steer, pitch
        First derivatives of yaw and of the turn about the axle's line, shape (n,).
    centre, centre_second
        First and second derivatives of the axle's centre, shape (n, 3).
    rotation, rotation_second
        First and second derivatives of the rotation, shape (n, 3, 3).
    """

    steer: Array
    pitch: Array
    centre: Array
    centre_second: Array
    rotation: Array
    rotation_second: Array


@dataclass(frozen=True)
class Telescopes:
    """Parts between body and axle in n poses, m of them, [mm] and per mm of travel or rad of roll.

    Parameters
    ----------
    length, rate, second
        Length and its first and second derivatives along a motion, shape (n, m).
    """

    length: Array
    rate: Array
    second: Array

    def some(self, parts: slice) -> Telescopes:
        """Return some of the parts."""
        return Telescopes(self.length[:, parts], self.rate[:, parts], self.second[:, parts])


def axle_motions(poses: AxlePoses) -> tuple[AxleMotion, AxleMotion]:
    """Return the motion per mm of travel with roll held, and per rad of roll with travel held."""
    links = link_arrays(poses.axle)
    still = _stance(poses, links)
    return _motion(still, poses.hessian, "travel"), _motion(still, poses.hessian, "roll")


def bounce_motion(poses: AxlePoses) -> AxleMotion:
    """Return the motion per mm of travel with roll held."""
    return _motion(_stance(poses, link_arrays(poses.axle)), poses.hessian, "travel")


def velocity(poses: AxlePoses, motion: AxleMotion, point: Point) -> Array:
    """Return the first derivative of a point of the axle along a motion, shape (n, 3).

    Parameters
    ----------
    poses
        n poses of the axle.
    motion
        Derivatives of the axle's pose along one way of moving.
    point
        A point of the axle as measured in the datum pose [mm].
    """
    return np.asarray(motion.centre + turned_by(motion.rotation, from_centre(poses, point)))


def telescopes(
    poses: AxlePoses, motions: Sequence[AxleMotion], parts: Sequence[Link | Strut]
) -> list[Telescopes]:
    """Return the lengths of parts between body and axle, and their derivatives by each motion.

    Parameters
    ----------
    poses
        n poses of the axle.
    motions
        The ways of moving by which the lengths are derived.
    parts
        Links or struts, each with a point on the body and one on the axle [mm].
    """
    local = np.stack([from_centre(poses, part.axle) for part in parts], axis=-1)
    body = np.array([part.body for part in parts]).T
    reach = poses.rotation @ local + poses.centre[:, :, None] - body
    length = np.sqrt(end_dot(reach, reach))
    by_motion = []
    for motion in motions:
        speed = motion.rotation @ local + motion.centre[:, :, None]
        second = motion.rotation_second @ local + motion.centre_second[:, :, None]
        rate = end_dot(reach, speed) / length
        bend = end_dot(speed, speed) + end_dot(reach, second) - rate * rate
        by_motion.append(Telescopes(length, rate, bend / length))
    return by_motion


@dataclass(frozen=True)
class _Rates:
    """Rates of the six coordinates, each shape (n,): shift (n, 3), yaw, roll of the axle, pitch."""

    shift: Array
    yaw: Array
    roll: Array
    pitch: Array


@dataclass(frozen=True)
class _Stance:
    """Poses and their link ends, with what every straight path from them shares."""

    poses: AxlePoses
    links: LinkArrays
    roll_axis: Array
    roll_axis_rate: Array
    placed: Array
    spun: Array
    reach: Array
    length: Array
    arm: Array
    share: Array


def _stance(poses: AxlePoses, links: LinkArrays) -> _Stance:
    placed, spun, _ = split_ends(poses.rotation @ links.local)
    reach = placed + poses.centre[:, :, None] - links.body
    length, cosine, sine = np.sqrt(end_dot(reach, reach)), np.cos(poses.steer), np.sin(poses.steer)
    return _Stance(
        poses=poses,
        links=links,
        roll_axis=_about(cosine, sine),
        roll_axis_rate=_about(-sine, cosine),
        placed=placed,
        spun=spun,
        reach=reach,
        length=length,
        arm=moments(reach, placed, spun, 1.0),
        share=(1.0 - links.length / length)[:, None],
    )


def _motion(still: _Stance, hessian: Array, drive: Drive) -> AxleMotion:
    poses, rates = still.poses, _driven(len(still.poses.travel), drive)
    turning, _ = _rotation_rates(still, rates)
    first = _free_rates(hessian, _first_push(still, _path(still, rates, turning)))
    rates.shift[:, :2] = first[:, :2]
    rates = _Rates(rates.shift, first[:, 2], rates.roll, first[:, 3])
    rotation, spin = _rotation_rates(still, rates)
    second = _free_rates(hessian, _second_push(still, _path(still, rates, rotation), spin))
    spin += second[:, 2, None, None] * (ABOUT_Z @ poses.rotation)
    spin += second[:, 3, None, None] * (poses.rotation @ ABOUT_Y)
    centre_second = np.zeros_like(rates.shift)
    centre_second[:, :2] = second[:, :2]
    return AxleMotion(rates.yaw, rates.pitch, rates.shift, centre_second, rotation, spin)


def _free_rates(hessian: Array, push: Array) -> Array:
    """Return the free coordinates' rates that keep the gradient at zero against a push, (n, 4)."""
    return np.asarray(-solved(hessian, push[:, :, None])[:, :, 0], dtype=float)


def _driven(count: int, drive: Drive) -> _Rates:
    """Return the rates with the free coordinates held; body roll turns the axle the other way."""
    shift = np.zeros((count, 3))
    shift[:, 2] = 1.0 if drive == "travel" else 0.0
    roll = np.full(count, 0.0 if drive == "travel" else -1.0)
    return _Rates(shift, np.zeros(count), roll, np.zeros(count))


def _rotation_rates(still: _Stance, rates: _Rates) -> tuple[Array, Array]:
    """Return the first and second derivatives of the rotation at steady rates, (n, 3, 3)."""
    poses = still.poses
    yaw, roll, pitch = (rate[:, None, None] for rate in (rates.yaw, rates.roll, rates.pitch))
    turn = yaw * ABOUT_Z + roll * still.roll_axis
    first = turn @ poses.rotation + pitch * (poses.rotation @ ABOUT_Y)
    second = turn @ first + pitch * (first @ ABOUT_Y)
    second += (yaw * roll * still.roll_axis_rate) @ poses.rotation
    return first, second


def _about(x: Array, y: Array) -> Array:
    """Return the cross-product matrices of level vectors (x, y, 0), shape (n, 3, 3)."""
    matrix = np.zeros((len(x), 3, 3))
    matrix[:, 0, 2], matrix[:, 2, 0] = y, -y
    matrix[:, 1, 2], matrix[:, 2, 1] = -x, x
    return matrix


def _first_push(still: _Stance, path: _Path) -> Array:
    """Return the first derivative of the energy's gradient at steady rates, shape (n, 4).

    The gradient is Σ k·s·m with s = 1 - (unloaded length)/length and m = reach · (way of its end).
    """
    return _summed(path.share_1 * still.arm + still.share * path.arm_1, still.links)


def _second_push(still: _Stance, path: _Path, spin: Array) -> Array:
    """Return the second derivative of the energy's gradient at steady rates, shape (n, 4)."""
    links, length, length_1 = still.links, still.length, path.length_1
    bend, bend_spun, _ = split_ends(spin @ links.local)
    arm_2 = moments(bend, still.placed, still.spun, 1.0)
    arm_2 += 2.0 * moments(path.speed, path.placed_1, path.spun_1, 0.0)
    arm_2 += moments(still.reach, bend, bend_spun, 0.0)
    length_2 = (end_dot(path.speed, path.speed) + end_dot(still.reach, bend) - length_1**2) / length
    share_2 = (links.length * (length_2 - 2.0 * length_1**2 / length) / length**2)[:, None]
    second = share_2 * still.arm + 2.0 * path.share_1 * path.arm_1 + still.share * arm_2
    return _summed(second, links)


def _summed(parts: Array, links: LinkArrays) -> Array:
    """Sum parts of a gradient, (n, 4, m), over the links by their rates."""
    rate = links.rate
    return parts @ rate if rate.ndim == 1 else (parts @ rate[..., None])[..., 0]


@dataclass(frozen=True)
class _Path:
    """Derivatives of the link ends, their lengths and arms along a straight path of the poses."""

    placed_1: Array
    spun_1: Array
    speed: Array
    length_1: Array
    arm_1: Array
    share_1: Array


def _path(still: _Stance, rates: _Rates, turning: Array) -> _Path:
    links, reach = still.links, still.reach
    placed_1, spun_1, _ = split_ends(turning @ links.local)
    speed = placed_1 + rates.shift[:, :, None]
    length_1 = end_dot(reach, speed) / still.length
    arm_1 = moments(speed, still.placed, still.spun, 1.0) + moments(reach, placed_1, spun_1, 0.0)
    share_1 = (links.length * length_1 / still.length**2)[:, None]
    return _Path(placed_1, spun_1, speed, length_1, arm_1, share_1)
