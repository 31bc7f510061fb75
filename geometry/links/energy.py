"""Energy of an axle's elastic links over its pose, with gradient and Hessian, batched over poses.

The axle turns by yaw about Z, then roll about X, then pitch about its own line. Rise and roll are
prescribed; the free coordinates are x, y, yaw and pitch.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import Link, LinkAxle
from geometry.vectors import Array, Point

ABOUT_Y: Final = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])
ABOUT_Z: Final = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 0.0]])


@dataclass(frozen=True, eq=False)
class LinkArrays:
    """The links as arrays, m of them; the same links give the same object.

    Parameters
    ----------
    body
        Body ends [mm], shape (3, m).
    local
        Axle ends from the axle's centre, s; then the first and second derivative of a turn about
        Y, y x s and y x (y x s) [mm], shape (3, 3m).
    rate, length
        Axial rates [N/mm] and unloaded lengths [mm], shape (m,).

    Where each pose has an axle of its own, the shapes have n before them.
    """

    body: Array
    local: Array
    rate: Array
    length: Array


def link_arrays(axle: LinkAxle) -> LinkArrays:
    """Return the axle's links as arrays."""
    links, centre = tuple(axle.links.values()), axle.centre
    if centre.ndim > 1:
        return _arrays_of(links, centre)
    x, y, z = centre.tolist()
    return _arrays(links, (x, y, z))


@lru_cache(maxsize=64)
def _arrays(links: tuple[Link, ...], centre: Point) -> LinkArrays:
    return _arrays_of(links, np.array(centre))


def _arrays_of(links: tuple[Link, ...], centre: Array) -> LinkArrays:
    body = np.array([link.body for link in links]).T
    ends = np.array([link.axle for link in links]).T
    measured = np.sqrt(((ends - body) ** 2).sum(axis=-2)).T
    length = [
        length_now if link.length is None else np.broadcast_to(link.length, length_now.shape)
        for link, length_now in zip(links, measured, strict=True)
    ]
    local = ends - centre[..., None]
    turned = ABOUT_Y @ local
    stack = np.concatenate([local, turned, ABOUT_Y @ turned], axis=-1)
    return LinkArrays(body, stack, np.array([link.rate for link in links]).T, np.array(length).T)


def turned(yaw: Array, roll: Array, pitch: Array) -> Array:
    """Return yaw about Z, then roll about X, then pitch about Y as matrices, shape (n, 3, 3).

    Parameters
    ----------
    yaw
        About Z [rad], + to the left, shape (n,).
    roll
        About X [rad], + to the right, shape (n,).
    pitch
        About Y [rad], + nose down, shape (n,).
    """
    (c, s), (cr, sr), (cp, sp) = ((np.cos(a), np.sin(a)) for a in (yaw, roll, pitch))
    matrix = np.empty((len(yaw), 3, 3))
    matrix[:, 0, 0], matrix[:, 1, 0] = c * cp - s * sr * sp, s * cp + c * sr * sp
    matrix[:, 0, 1], matrix[:, 1, 1], matrix[:, 2, 1] = -s * cr, c * cr, sr
    matrix[:, 0, 2], matrix[:, 1, 2] = c * sp + s * sr * cp, s * sp - c * sr * cp
    matrix[:, 2, 0], matrix[:, 2, 2] = -cr * sp, cr * cp
    return matrix


def end_dot(a: Array, b: Array) -> Array:
    """Return the scalar products of vectors at link ends, (n, 3, m) by (n, 3, m) to (n, m).

    Parameters
    ----------
    a, b
        Vectors at the ends of m links in n poses, shape (n, 3, m).
    """
    return np.asarray(np.einsum("nij,nij->nj", a, b))  # twice as fast as a product and a sum


def split_ends(stack: Array) -> tuple[Array, Array, Array]:
    """Split (n, 3, 3m) into the ends and their two derivatives by pitch, each (n, 3, m)."""
    count = stack.shape[2] // 3
    return stack[:, :, :count], stack[:, :, count : 2 * count], stack[:, :, 2 * count :]


def moments(vectors: Array, placed: Array, spun: Array, shift: float) -> Array:
    """Return vectors at points · how the points move by the four free coordinates.

    Parameters
    ----------
    vectors
        One a point, shape (n, 3, m).
    placed, spun
        Points from the axle's centre and their derivative by pitch [mm], shape (n, 3, m).
    shift
        1 for the derivative itself, 0 for its derivatives along a motion.

    Returns
    -------
    Array
        By (x, y, yaw, pitch), shape (n, 4, m).
    """
    sums = np.empty((len(vectors), 4, vectors.shape[2]))
    sums[:, :2] = vectors[:, :2] * shift
    sums[:, 2] = vectors[:, 1] * placed[:, 0] - vectors[:, 0] * placed[:, 1]
    sums[:, 3] = end_dot(vectors, spun)
    return sums


@dataclass(frozen=True)
class LinkEnergy:
    """The links' energy around n states: gradient and Hessian by (x, y, yaw, pitch), N and mm.

    Parameters
    ----------
    centre, rotation
        The axle's pose, shapes (n, 3) and (n, 3, 3).
    stretch
        Of each link [mm], shape (n, m).
    gradient, hessian
        Shapes (n, 4) and (n, 4, 4).
    """

    centre: Array
    rotation: Array
    stretch: Array
    gradient: Array
    hessian: Array


def link_energy(
    links: LinkArrays, origin: Array, state: Array, heave: Array, roll: Array
) -> LinkEnergy:
    """Differentiate the links' energy Σ k·stretch²/2 at states (x, y, yaw, pitch), shape (n, 4).

    ``roll`` is the axle's own, about X [rad]; ``origin`` its centre as measured [mm], shape (3,).

    Parameters
    ----------
    links
        The links' ends, rates and lengths.
    origin
        The axle's centre as measured [mm], shape (3,) or (n, 3).
    state
        x and y of the centre [mm], yaw and pitch of the axle [rad], shape (n, 4).
    heave
        Rise of the centre [mm], shape (n,).
    roll
        The axle's own, about X [rad], shape (n,).
    """
    centre = origin + np.stack([state[:, 0], state[:, 1], heave], axis=1)
    rotation = turned(state[:, 2], roll, state[:, 3])
    placed, spun, spun_twice = split_ends(rotation @ links.local)
    reach = placed + centre[:, :, None] - links.body
    length = np.sqrt(end_dot(reach, reach))
    along = reach / length[:, None]
    stretch = length - links.length
    tension = stretch * links.rate
    drawn = moments(along, placed, spun, 1.0)
    gradient = (drawn @ tension[:, :, None])[:, :, 0]
    swing = tension / length
    hessian = (drawn * (links.rate - swing)[:, None]) @ drawn.transpose(0, 2, 1)
    hessian += _swing_stiffness(swing, placed, spun)
    pull = along * tension[:, None]
    hessian[:, 2, 2] -= end_dot(pull[:, :2], placed[:, :2]).sum(axis=1)
    twist = (pull[:, 1] * spun[:, 0] - pull[:, 0] * spun[:, 1]).sum(axis=1)
    hessian[:, 2, 3] += twist
    hessian[:, 3, 2] += twist
    hessian[:, 3, 3] += end_dot(pull, spun_twice).sum(axis=1)
    return LinkEnergy(centre, rotation, stretch, gradient, hessian)


def _swing_stiffness(swing: Array, placed: Array, spun: Array) -> Array:
    """Return Σ swing·(how ends move)·(how ends move), shape (n, 4, 4); swing is tension/length."""
    count, _, links = placed.shape
    moved = np.zeros((count, 4, 3, links))
    moved[:, 0, 0] = moved[:, 1, 1] = 1.0
    moved[:, 2, 0], moved[:, 2, 1] = -placed[:, 1], placed[:, 0]
    moved[:, 3] = spun
    flat = moved.reshape(count, 4, 3 * links)
    return np.asarray((flat * np.tile(swing, 3)[:, None]) @ flat.transpose(0, 2, 1))
