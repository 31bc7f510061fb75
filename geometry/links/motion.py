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
from geometry.links.energy import LinkArrays, end_dot, link_arrays, moments, turned_ends
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
    bounce, roll = _motions(poses, ("travel", "roll"))
    return bounce, roll


def bounce_motion(poses: AxlePoses) -> AxleMotion:
    """Return the motion per mm of travel with roll held."""
    (bounce,) = _motions(poses, ("travel",))
    return bounce


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
    local = np.array([from_centre(poses, part.axle) for part in parts])
    body = np.array([part.body for part in parts], dtype=float)
    many = local.ndim == 3
    local = local.transpose(0, 2, 1) if many else local
    rotations = [poses.rotation, *(motion.rotation for motion in motions)]
    rotations += [motion.rotation_second for motion in motions]
    columns = np.array(rotations).transpose(3, 0, 2, 1)
    reach, speed, second = np.split(
        turned_ends(local, np.ascontiguousarray(columns)), [1, 1 + len(motions)], axis=1
    )
    centres = np.array([[each.centre, each.centre_second] for each in motions])
    reach = reach + (poses.centre.T - (body if many else body[..., None]))[:, None]
    length = np.sqrt(end_dot(reach, reach))
    speed = speed + centres[:, 0].transpose(0, 2, 1)
    second = second + centres[:, 1].transpose(0, 2, 1)
    rate = end_dot(reach, speed) / length
    bend = (end_dot(speed, speed) + end_dot(reach, second) - rate * rate) / length
    return [
        Telescopes(length[:, 0].T, rate[:, place].T, bend[:, place].T)
        for place in range(len(motions))
    ]


@dataclass(frozen=True)
class _Rates:
    """Rates of the six coordinates along d ways of moving.

    Shift of the centre (d, 3, n); yaw, roll of the axle and pitch, each (d, n).
    """

    shift: Array
    yaw: Array
    roll: Array
    pitch: Array


@dataclass(frozen=True)
class _Stance:
    """Poses and their link ends, with what every straight path from them shares.

    Poses are the last axis, as in `geometry.links.energy`; at the ends the ways of moving come
    after the links, (m, 1, ..., n).
    """

    links: LinkArrays
    columns: Array
    roll_axis: Array
    placed: Array
    spun: Array
    reach: Array
    length: Array
    arm: Array
    share: Array
    rate: Array
    unloaded: Array


def _stance(poses: AxlePoses, links: LinkArrays) -> _Stance:
    columns = np.ascontiguousarray(poses.rotation.transpose(2, 1, 0))[:, None]
    placed, spun, _ = _split(turned_ends(links.local, columns))
    reach = placed + (poses.centre.T - links.body)[:, None]
    length = np.sqrt(end_dot(reach, reach))
    unloaded = links.length[:, None]
    return _Stance(
        links=links,
        columns=columns,
        roll_axis=np.array([np.cos(poses.steer), np.sin(poses.steer)]),
        placed=placed,
        spun=spun,
        reach=reach,
        length=length,
        arm=moments(reach, placed, spun, 1.0),
        share=(1.0 - unloaded / length)[:, :, None],
        rate=links.rate[:, None, None],
        unloaded=unloaded,
    )


def _split(ends: Array) -> Array:
    """Split ends and their two derivatives by pitch, (3m, ...) to (3, m, ...)."""
    return ends.reshape(3, -1, *ends.shape[1:])


def _motions(poses: AxlePoses, drives: tuple[Drive, ...]) -> list[AxleMotion]:
    still, hessian = _stance(poses, link_arrays(poses.axle)), poses.hessian
    rates = _driven(len(poses.travel), drives)
    turning, _ = _rotation_rates(still, rates, False)
    first = _free_rates(hessian, _first_push(still, _path(still, rates, turning)))
    rates.shift[:, :2] = first[:, :2]
    rates = _Rates(rates.shift, first[:, 2], rates.roll, first[:, 3])
    rotation, spin = _rotation_rates(still, rates, True)
    second = _free_rates(hessian, _second_push(still, _path(still, rates, rotation), spin))
    about_z, about_y = _about_z(still.columns), _about_y(still.columns)
    spin += second[:, 2][:, None] * about_z + second[:, 3][:, None] * about_y
    centre_second = np.zeros_like(rates.shift)
    centre_second[:, :2] = second[:, :2]
    return [
        AxleMotion(
            rates.yaw[way],
            rates.pitch[way],
            rates.shift[way].T,
            centre_second[way].T,
            rotation[:, way].transpose(2, 1, 0),
            spin[:, way].transpose(2, 1, 0),
        )
        for way in range(len(drives))
    ]


def _free_rates(hessian: Array, push: Array) -> Array:
    """Return the free coordinates' rates that keep the gradient at zero, (d, 4, n)."""
    return np.asarray(-solved(hessian, push.transpose(2, 1, 0)).transpose(2, 1, 0), dtype=float)


def _driven(count: int, drives: tuple[Drive, ...]) -> _Rates:
    """Return the rates with the free coordinates held; body roll turns the axle the other way."""
    shift, (yaw, roll, pitch) = np.zeros((len(drives), 3, count)), np.zeros((3, len(drives), count))
    for way, drive in enumerate(drives):
        if drive == "travel":
            shift[way, 2] = 1.0
        else:
            roll[way] = -1.0
    return _Rates(shift, yaw, roll, pitch)


def _rotation_rates(still: _Stance, rates: _Rates, twice: bool) -> tuple[Array, Array]:
    """Return the first and, if asked for, second derivatives of the rotation at steady rates.

    Column by column, (3, d, 3, n). The axle's roll is about a level axis, which yaw turns.
    """
    yaw, roll, pitch = rates.yaw, rates.roll, rates.pitch[:, None]
    (c, s), columns = still.roll_axis, still.columns
    first = _turning(roll * c, roll * s, yaw, columns) + pitch * _about_y(columns)
    if not twice:
        return first, first
    second = _turning(roll * c, roll * s, yaw, first) + pitch * _about_y(first)
    swung = yaw * roll
    second += _turning(-swung * s, swung * c, None, columns)
    return first, second


def _turning(x: Array, y: Array, z: Array | None, columns: Array) -> Array:
    """Return the vector products of turning (x, y, z), each (d, n), with columns, (3, d, 3, n)."""
    a, b, c = columns[:, :, 0], columns[:, :, 1], columns[:, :, 2]
    across, along = y * c, -x * c
    turned = np.empty((3, across.shape[1], 3, across.shape[2]))
    turned[:, :, 0] = across if z is None else across - z * b
    turned[:, :, 1] = along if z is None else along + z * a
    turned[:, :, 2] = x * b - y * a
    return turned


def _about_z(columns: Array) -> Array:
    """Return how columns turn with yaw, of the same shape."""
    turned = np.zeros_like(columns)
    turned[:, :, 0], turned[:, :, 1] = -columns[:, :, 1], columns[:, :, 0]
    return turned


def _about_y(columns: Array) -> Array:
    """Return how columns turn with pitch, which is about the axle's own line."""
    turned = np.zeros_like(columns)
    turned[0], turned[2] = -columns[2], columns[0]
    return turned


def _first_push(still: _Stance, path: _Path) -> Array:
    """Return the first derivative of the energy's gradient at steady rates, shape (d, 4, n).

    The gradient is Σ k·s·m with s = 1 - (unloaded length)/length and m = reach · (way of its end).
    """
    return _summed(path.share_1 * still.arm + still.share * path.arm_1, still)


def _second_push(still: _Stance, path: _Path, spin: Array) -> Array:
    """Return the second derivative of the energy's gradient at steady rates, shape (d, 4, n)."""
    length, length_1 = still.length, path.length_1
    bend, bend_spun, _ = _split(turned_ends(still.links.local, spin))
    arm_2 = moments(bend, still.placed, still.spun, 1.0)
    arm_2 += 2.0 * moments(path.speed, path.placed_1, path.spun_1, 0.0)
    arm_2 += moments(still.reach, bend, bend_spun, 0.0)
    length_2 = (end_dot(path.speed, path.speed) + end_dot(still.reach, bend) - length_1**2) / length
    share_2 = still.unloaded * (length_2 - 2.0 * length_1**2 / length) / length**2
    second = share_2[:, :, None] * still.arm + 2.0 * path.share_1 * path.arm_1
    second += still.share * arm_2
    return _summed(second, still)


def _summed(parts: Array, still: _Stance) -> Array:
    """Sum parts of a gradient, (m, d, 4, n), over the links by their rates."""
    return np.asarray((parts * still.rate).sum(axis=0))


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
    reach = still.reach
    placed_1, spun_1, _ = _split(turned_ends(still.links.local, turning))
    speed = placed_1 + rates.shift
    length_1 = end_dot(reach, speed) / still.length
    arm_1 = moments(speed, still.placed, still.spun, 1.0) + moments(reach, placed_1, spun_1, 0.0)
    share_1 = (still.unloaded * length_1 / still.length**2)[:, :, None]
    return _Path(placed_1, spun_1, speed, length_1, arm_1, share_1)
