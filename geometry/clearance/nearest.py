"""The least distance of two envelopes in many poses at once, and where on each it is.

Two capsules are measured exactly by their lines. All other pairs are searched: of the differences
of all points of two convex bodies the one nearest to zero is looked for from corner to corner,
until no point of the bodies can be nearer by more than a hundred thousandth of a millimetre.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.clearance.segments import nearest_of_segments
from geometry.clearance.shapes import Shape, inner
from geometry.dataclass import dataclass
from geometry.vectors import Array

NEAR: Final = 1e-5  # what the distance found may be too great by [mm]
_TOUCHING = 1e-7  # distance that is none [mm]
_MOST_STEPS = 200  # a cylinder's rim takes about twenty, corners fewer
_THIN = 1e-12  # of a triangle's or a tetrahedron's measure, against that of its sides
_EDGES = np.array([(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)])
_FACES = np.array([(0, 1, 2), (0, 1, 3), (0, 2, 3), (1, 2, 3)])


@dataclass(frozen=True)
class Nearest:
    """Two envelopes' least distance in n poses.

    Parameters
    ----------
    gap
        [mm], shape (n,); 0 where they touch or lie in each other, however deep.
    on_first, on_second
        Where on each [mm], shape (n, 3); where they touch, a point that both have, or nearly.
    """

    gap: Array
    on_first: Array
    on_second: Array

    def of(self, poses: slice) -> Nearest:
        """Return some of the poses."""
        return Nearest(self.gap[poses], self.on_first[poses], self.on_second[poses])


def nearest(
    first: Shape, second: Shape, among: Array | None = None, error: float = NEAR
) -> Nearest:
    """Return the least distance of two envelopes.

    Parameters
    ----------
    first, second
        In the same n poses and the same axes.
    among
        Numbers from 0 of runs of which only the least distance counts, shape (n,): a pose that
        can't be the nearest of its run is given up, its distance too great. None: all count.
    error
        What a distance may be too great by [mm].
    """
    on_first, on_second = nearest_of_segments((first.start, first.end), (second.start, second.end))
    bodies = np.flatnonzero(~(first.is_line & second.is_line))
    if bodies.size:
        runs = None if among is None else among[bodies]
        searched = _searched(first.of(bodies), second.of(bodies), runs, error)
        on_first[bodies], on_second[bodies] = searched
    return _with_balls(first, second, on_first, on_second)


def _with_balls(first: Shape, second: Shape, on_first: Array, on_second: Array) -> Nearest:
    """Take the balls' radii off the distance of what they run along."""
    line = on_second - on_first
    length = np.sqrt(inner(line, line))
    towards = line / np.maximum(length, _TOUCHING)[:, None]
    gap = length - first.ball - second.ball
    gap = np.where(gap > _TOUCHING, gap, 0.0)
    # where the balls overlap, both points are one inside both
    reach = np.minimum(first.ball, length)
    on_first = on_first + reach[:, None] * towards
    on_second = np.where((gap > 0.0)[:, None], on_second - second.ball[:, None] * towards, on_first)
    return Nearest(gap, on_first, on_second)


def _searched(
    first: Shape, second: Shape, among: Array | None, error: float
) -> tuple[Array, Array]:
    """Search the nearest points of two bodies without their balls, each of shape (n, 3).

    References
    ----------
    E. G. Gilbert, D. W. Johnson, S. S. Keerthi, "A fast procedure for computing the distance
    between complex objects in three-dimensional space", IEEE Journal of Robotics and Automation 4
    (1988) 193-203; the nearest point of a simplex by all its corners, edges and faces.
    """
    count = len(first.start)
    ends = np.empty((2, count, 3))
    at = np.arange(count)
    line = first.middle - second.middle
    least = None if among is None else np.full(int(among.max(initial=0)) + 1, np.inf)
    simplex = _Simplex.from_points(*_support(first, second, -line))
    for _ in range(_MOST_STEPS):
        fresh = _support(first, second, -simplex.near)
        size = inner(simplex.near, simplex.near)
        # no difference of points is nearer to zero than the fresh one along the present direction
        length = np.sqrt(size)
        reach = inner(simplex.near, fresh[0] - fresh[1])
        done = (size <= _TOUCHING**2) | (size - reach <= error * length)
        if among is not None and least is not None:
            balls = first.ball + second.ball
            np.minimum.at(least, among[at], np.maximum(length - balls, 0.0))
            done |= reach > (least[among[at]] + balls) * length
        grown = simplex.grown(*fresh)
        stuck = inner(grown.near, grown.near) >= size * (1.0 - 1e-15)
        done |= stuck
        if done.any():
            ends[:, at[done]] = simplex.of(done).points()
            keep = ~done
            at = at[keep]
            if not at.size:
                return ends[0], ends[1]
            grown, first, second = grown.of(keep), first.of(keep), second.of(keep)
        simplex = grown
    ends[:, at] = simplex.points()
    return ends[0], ends[1]


def _support(first: Shape, second: Shape, direction: Array) -> tuple[Array, Array]:
    """Return the point of the first furthest in a direction, of the second furthest against it."""
    return first.furthest(direction), second.furthest(-direction)


@dataclass(frozen=True)
class _Simplex:
    """Up to four differences of points in n poses, and the point of them nearest to zero.

    `corners` are points of the first less points of the second, `on_first` those of the first,
    (n, 4, 3); `shares` of them make the nearest point, (n, 4), 0 of a corner that isn't needed.
    """

    corners: Array
    on_first: Array
    shares: Array
    near: Array

    @classmethod
    def from_points(cls, on_first: Array, on_second: Array) -> _Simplex:
        """Return the simplex of one corner."""
        corner = on_first - on_second
        shares = np.zeros((len(corner), 4))
        shares[:, 0] = 1.0
        every = np.repeat(corner[:, None], 4, axis=1), np.repeat(on_first[:, None], 4, axis=1)
        return cls(*every, shares, corner)

    def of(self, poses: Array) -> _Simplex:
        """Return some of the poses."""
        parts = (self.corners, self.on_first, self.shares, self.near)
        return _Simplex(*(part[poses] for part in parts))

    def points(self) -> Array:
        """Return the nearest points of both bodies, shape (2, n, 3)."""
        on_first = np.einsum("ij,ijk->ik", self.shares, self.on_first)
        return np.stack([on_first, on_first - self.near])

    def grown(self, on_first: Array, on_second: Array) -> _Simplex:
        """Return the simplex with one more corner, reduced to those that are needed."""
        is_used = self.shares > 0.0
        rows, free = np.arange(len(is_used)), np.argmin(is_used, axis=1)
        corners, firsts = self.corners.copy(), self.on_first.copy()
        corners[rows, free], firsts[rows, free] = on_first - on_second, on_first
        is_used = is_used.copy()
        is_used[rows, free] = True
        shares = _nearest_shares(corners, is_used)
        return _Simplex(corners, firsts, shares, np.einsum("ij,ijk->ik", shares, corners))


def _nearest_shares(corners: Array, is_used: Array) -> Array:
    """Return the shares of corners, (n, 4), whose sum is the nearest to zero of all they span."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        parts = [_of_corners, _of_edges, _of_faces, _of_whole]
        options = np.concatenate([part(corners) for part in parts], axis=1)
    is_known = np.isfinite(options).all(axis=2) & (options >= 0.0).all(axis=2)
    is_known &= ((options == 0.0) | is_used[:, None]).all(axis=2)
    options = np.where(is_known[:, :, None], options, 0.0)
    points = np.einsum("ioc,ick->iok", options, corners)
    sizes = np.where(is_known, np.einsum("iok,iok->io", points, points), np.inf)
    return np.take_along_axis(options, sizes.argmin(axis=1)[:, None, None], axis=1)[:, 0]


def _of_corners(corners: Array) -> Array:
    return np.broadcast_to(np.eye(4), (len(corners), 4, 4))


def _of_edges(corners: Array) -> Array:
    """Return the shares of each edge's point nearest to zero, on the line through it."""
    start, end = corners[:, _EDGES[:, 0]], corners[:, _EDGES[:, 1]]
    line = end - start
    share = -_product(start, line) / _product(line, line)
    options = np.zeros((len(corners), 6, 4))
    places = np.arange(6)
    options[:, places, _EDGES[:, 0]] = 1.0 - share
    options[:, places, _EDGES[:, 1]] = share
    return options


def _of_faces(corners: Array) -> Array:
    """Return the shares of each face's point nearest to zero, in the plane through it."""
    a, b, c = (corners[:, _FACES[:, place]] for place in range(3))
    u, v = b - a, c - a
    uu, uv, vv = _product(u, u), _product(u, v), _product(v, v)
    au, av = -_product(a, u), -_product(a, v)
    area = uu * vv - uv * uv
    area = np.where(area > _THIN * uu * vv, area, np.nan)
    second, third = (au * vv - av * uv) / area, (av * uu - au * uv) / area
    options = np.zeros((len(corners), 4, 4))
    places = np.arange(4)
    for corner, share in enumerate((1.0 - second - third, second, third)):
        options[:, places, _FACES[:, corner]] = share
    return options


def _of_whole(corners: Array) -> Array:
    """Return the shares of all four corners that make zero itself, inside where none is below 0."""
    a = corners[:, 0]
    u, v, w = (corners[:, place] - a for place in (1, 2, 3))
    vw = _crossed(v, w)
    volume = inner(u, vw)
    size = np.sqrt(inner(u, u) * inner(v, v) * inner(w, w))
    volume = np.where(np.abs(volume) > _THIN * size, volume, np.nan)
    second = -inner(a, vw) / volume
    third = -inner(u, _crossed(a, w)) / volume
    fourth = -inner(u, _crossed(v, a)) / volume
    shares = [1.0 - second - third - fourth, second, third, fourth]
    return np.stack(shares, axis=1)[:, None]


def _product(a: Array, b: Array) -> Array:
    return np.einsum("iok,iok->io", a, b)


def _crossed(a: Array, b: Array) -> Array:
    """Return vector products of rows; numpy's own takes longer to begin than these to end."""
    (ax, ay, az), (bx, by, bz) = a.T, b.T
    return np.stack([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx], axis=1)
