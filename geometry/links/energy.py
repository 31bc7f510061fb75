"""Energy of an axle's elastic links over its pose, with gradient and Hessian, batched over poses.

The axle turns by yaw about Z, then roll about X, then pitch about its own line. Rise and roll are
prescribed; the free coordinates are x, y, yaw and pitch.

Poses are the last axis of every array here: numpy then works along whole runs of them, and one
product of matrices turns all ends in all poses.
"""

from __future__ import annotations

from functools import cached_property, lru_cache
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.links.axle import Link, LinkAxle
from geometry.links.one_pose import End
from geometry.vectors import Array, Point


def _places() -> Array:
    """Return where `_add_swinging` puts its sums in the Hessian, and how often, (16, 8)."""
    places = np.zeros((4, 4, 8))
    places[0, 0, 0] = places[1, 1, 0] = places[3, 3, 7] = 1.0
    places[2, 2, 5] = -1.0
    for row, column, part, sign in ((0, 2, 1, -1), (1, 2, 2, 1), (0, 3, 3, 1), (1, 3, 4, 1)):
        places[row, column, part] = places[column, row, part] = sign
    places[2, 3, 6] = places[3, 2, 6] = 1.0
    return places.reshape(16, 8)


_PLACES: Final = _places()


@dataclass(frozen=True, eq=False)
class LinkArrays:
    """The links as arrays, m of them; the same links give the same object.

    Parameters
    ----------
    body
        Body ends [mm], shape (m, 3, 1).
    local
        Axle ends from the axle's centre, s; then the first and second derivative of a turn about
        Y, y x s and y x (y x s) [mm], shape (3m, 3).
    rate, length
        Axial rates [N/mm] and unloaded lengths [mm], shape (m, 1).

    Where each of n poses has an axle of its own, the last axis is n, and `local` is (3m, 3, n).
    """

    body: Array
    local: Array
    rate: Array
    length: Array

    @property
    def count(self) -> int:
        """How many links there are."""
        return len(self.rate)

    @property
    def is_of_one_axle(self) -> bool:
        """Tell whether they are one axle's in all poses, not each pose's own."""
        return self.local.ndim == 2

    @cached_property
    def plain(self) -> list[End]:
        """The links of one axle as plain numbers."""
        rows = (self.body[..., 0], self.local[: self.count], self.rate, self.length)
        return [tuple(row) for row in np.concatenate(rows, axis=1).tolist()]


def link_arrays(axle: LinkAxle) -> LinkArrays:
    """Return the axle's links as arrays."""
    links, centre = tuple(axle.links.values()), axle.centre
    if centre.ndim > 1:
        return _arrays_of(links, centre.T)
    x, y, z = centre.tolist()
    return _arrays(links, (x, y, z))


@lru_cache(maxsize=64)
def _arrays(links: tuple[Link, ...], centre: Point) -> LinkArrays:
    return _arrays_of(links, np.array(centre))


def _arrays_of(links: tuple[Link, ...], centre: Array) -> LinkArrays:
    body = np.array([link.body for link in links], dtype=float)
    ends = np.array([link.axle for link in links], dtype=float)
    measured = np.sqrt(((ends - body) ** 2).sum(axis=1))
    length = [
        length_now if link.length is None else np.broadcast_to(link.length, np.shape(length_now))
        for link, length_now in zip(links, measured, strict=True)
    ]
    local = ends - centre
    turned = np.stack([local[:, 2], np.zeros_like(local[:, 0]), -local[:, 0]], axis=1)
    twice = np.stack([-local[:, 0], np.zeros_like(local[:, 0]), -local[:, 2]], axis=1)
    rates = np.array([link.rate for link in links], dtype=float)
    many = centre.ndim > 1
    return LinkArrays(
        body if many else body[..., None],
        np.concatenate([local, turned, twice]),
        rates if many and rates.ndim > 1 else rates[:, None],
        np.array(length) if many else np.array(length)[:, None],
    )


def rotations(yaw: Array, roll: Array, pitch: Array) -> Array:
    """Return yaw about Z, then roll about X, then pitch about Y, column by column, (3, 3, n).

    The first axis counts the columns: where the axle's own X, Y and Z point in the body.

    Parameters
    ----------
    yaw
        About Z [rad], + to the left, shape (n,).
    roll
        About X [rad], + to the right, shape (n,).
    pitch
        About Y [rad], + nose down, shape (n,).
    """
    angles = np.array([yaw, roll, pitch])
    (c, cr, cp), (s, sr, sp) = np.cos(angles), np.sin(angles)
    ahead, across = np.array([c, s]), np.array([-s, c])
    columns = np.empty((3, 3, len(yaw)))
    columns[0, :2] = ahead * cp + across * (sr * sp)
    columns[1, :2] = across * cr
    columns[2, :2] = ahead * sp - across * (sr * cp)
    columns[0, 2], columns[1, 2], columns[2, 2] = -cr * sp, sr, cr * cp
    return columns


def turned_ends(local: Array, columns: Array) -> Array:
    """Return places of the axle, (k, 3), turned by each of n rotations, shape (k, ..., 3, n).

    Parameters
    ----------
    local
        Places from the axle's centre [mm], shape (k, 3), or (k, 3, n) where each pose has its own.
    columns
        Rotation matrices or their derivatives, column by column, shape (3, ..., 3, n).
    """
    if local.ndim == 2:
        return np.asarray((local @ columns.reshape(3, -1)).reshape(len(local), *columns.shape[1:]))
    shape = (len(local), *(1,) * (columns.ndim - 2), local.shape[-1])
    x, y, z = (local[:, axis].reshape(shape) for axis in range(3))
    return np.asarray(x * columns[0] + y * columns[1] + z * columns[2])


def end_dot(a: Array, b: Array) -> Array:
    """Return the scalar products of vectors at link ends, (..., 3, n) by (..., 3, n) to (..., n).

    Parameters
    ----------
    a, b
        Vectors at the ends of links in n poses, shape (..., 3, n).
    """
    return np.asarray(np.add.reduce(a * b, axis=-2))


def moments(vectors: Array, placed: Array, spun: Array, shift: float) -> Array:
    """Return vectors at points · how the points move by the four free coordinates.

    Parameters
    ----------
    vectors
        One a point, shape (m, ..., 3, n).
    placed, spun
        Points from the axle's centre and their derivative by pitch [mm], of a shape that goes with
        it.
    shift
        1 for the derivative itself, 0 for its derivatives along a motion.

    Returns
    -------
    Array
        By (x, y, yaw, pitch), shape (m, ..., 4, n).
    """
    x, y = vectors[..., 0, :], vectors[..., 1, :]
    about = y * placed[..., 0, :] - x * placed[..., 1, :]
    sums = np.empty((*about.shape[:-1], 4, about.shape[-1]))
    sums[..., :2, :] = vectors[..., :2, :] * shift
    sums[..., 2, :] = about
    sums[..., 3, :] = end_dot(vectors, spun)
    return sums


@dataclass(frozen=True)
class LinkEnergy:
    """The links' energy around n states: gradient and Hessian by (x, y, yaw, pitch), N and mm.

    Parameters
    ----------
    centre
        The axle's centre [mm], shape (3, n).
    columns
        Its rotation, column by column, shape (3, 3, n).
    stretch
        Of each link [mm], shape (m, n).
    gradient, hessian
        Shapes (4, n) and (4, 4, n).
    """

    centre: Array
    columns: Array
    stretch: Array
    gradient: Array
    hessian: Array


def link_energy(
    links: LinkArrays, origin: Array, state: Array, heave: Array, roll: Array
) -> LinkEnergy:
    """Differentiate the links' energy Σ k·stretch²/2 at states (x, y, yaw, pitch), shape (4, n).

    Parameters
    ----------
    links
        The links' ends, rates and lengths.
    origin
        The axle's centre as measured [mm], shape (3, 1) or (3, n).
    state
        x and y of the centre [mm], yaw and pitch of the axle [rad], shape (4, n).
    heave
        Rise of the centre [mm], shape (n,).
    roll
        The axle's own, about X [rad], shape (n,).
    """
    centre = origin + np.array([state[0], state[1], heave])
    columns = rotations(state[2], roll, state[3])
    placed, spun, spun_twice = turned_ends(links.local, columns).reshape(3, -1, *centre.shape)
    offset = centre - links.body
    reach = placed + offset
    length = np.sqrt(end_dot(reach, reach))
    stretch = length - links.length
    tension = stretch * links.rate
    drawn = moments(reach / length[:, None], placed, spun, 1.0)
    gradient = (drawn * tension[:, None]).sum(axis=0)
    swing = tension / length
    along_line = (drawn * (links.rate - swing)[:, None])[:, :, None] * drawn[:, None]
    hessian = along_line.sum(axis=0)
    _add_swinging(hessian, swing, (placed, spun, spun_twice), offset, reach)
    return LinkEnergy(centre, columns, stretch, gradient, hessian)


def _add_swinging(
    hessian: Array, swing: Array, ends: tuple[Array, Array, Array], offset: Array, reach: Array
) -> None:
    """Add what tensions do as the links swing and their ends turn on, by tension/length.

    Σ swing·(how ends move)·(how ends move) + Σ swing·reach·(how that changes); the ends' own arms
    cancel in what two turns make, which leaves the centre's `offset` from the body end.
    """
    placed, spun, spun_twice = ends
    (x, y), (a, b) = (placed[:, 0], placed[:, 1]), (offset[:, 0], offset[:, 1])
    parts = np.empty((len(swing), 8, swing.shape[-1]))
    parts[:, 0] = 1.0
    parts[:, 1], parts[:, 2] = y, x
    parts[:, 3:5] = spun[:, :2]
    parts[:, 5] = x * a + y * b
    parts[:, 6] = b * spun[:, 0] - a * spun[:, 1]
    parts[:, 7] = end_dot(spun, spun) + end_dot(reach, spun_twice)
    hessian += (_PLACES @ (parts * swing[:, None]).sum(axis=0)).reshape(hessian.shape)
