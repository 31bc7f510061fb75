"""Envelopes of parts in many poses: capsules, cylinders with flat ends, and boxes.

Every envelope is a line between two ends with something about it: a ball that runs along it makes a
capsule, a disc across it a cylinder, a rectangle across it a box. They are convex, and how far one
reaches in a direction is a formula: that is all the search for distances asks.
"""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array


@dataclass(frozen=True)
class Shape:
    """One envelope in n poses; rows are x, y and z in any one set of axes.

    Parameters
    ----------
    start, end
        Ends of its line [mm], shape (n, 3).
    ball
        Radius of the ball that runs along the line [mm]; 0 without.
    disc
        Radius of the disc across the line [mm]; 0 without.
    along
        Unit direction of the line, shape (n, 3); read where there is a disc.
    across
        Half the width and half the height of a box, as vectors [mm], each of shape (n, 3).
    """

    start: Array
    end: Array
    ball: float = 0.0
    disc: float = 0.0
    along: Array | None = None
    across: tuple[Array, ...] = ()

    @property
    def is_line(self) -> bool:
        """Tell whether nothing but a ball is about the line."""
        return not self.disc and not self.across

    @property
    def middle(self) -> Array:
        """The middle of its line [mm], shape (n, 3)."""
        return 0.5 * (self.start + self.end)

    def of(self, poses: Array) -> Shape:
        """Return the envelope in some of its poses."""
        along = None if self.along is None else self.along[poses]
        across = tuple(half[poses] for half in self.across)
        return Shape(self.start[poses], self.end[poses], self.ball, self.disc, along, across)

    def furthest(self, direction: Array) -> Array:
        """Return the point that lies furthest in a direction, without the ball [mm], shape (n, 3).

        Parameters
        ----------
        direction
            Of any length, shape (n, 3).
        """
        is_end = inner(direction, self.end - self.start) > 0.0
        point = np.where(is_end[:, None], self.end, self.start)
        for half in self.across:
            point = point + np.where(inner(direction, half) > 0.0, 1.0, -1.0)[:, None] * half
        if self.disc and self.along is not None:
            flat = direction - inner(direction, self.along)[:, None] * self.along
            length = np.sqrt(inner(flat, flat))
            # straight along the axis every point of the disc is as far as its middle
            is_oblique = length > _STRAIGHT * np.sqrt(inner(direction, direction))
            share = np.where(is_oblique, self.disc / np.where(is_oblique, length, 1.0), 0.0)
            point = point + share[:, None] * flat
        return point


_STRAIGHT = 1e-9  # sine of the angle to an axis below which a direction lies along it


def capsule(start: Array, end: Array, radius: float) -> Shape:
    """Return a line with a ball run along it: a rod, an arm's leg, a half-shaft.

    Parameters
    ----------
    start, end
        Centres of the ball at both ends [mm], shape (n, 3); they may coincide.
    radius
        Of the ball [mm].
    """
    return Shape(start, end, ball=radius)


def cylinder(start: Array, end: Array, radius: float) -> Shape:
    """Return a cylinder with flat ends: a tyre, a coil, a damper's body.

    Parameters
    ----------
    start, end
        Centres of its flat ends [mm], shape (n, 3); they may not coincide.
    radius
        [mm].
    """
    line = end - start
    return Shape(start, end, disc=radius, along=line / np.sqrt(inner(line, line))[:, None])


def box(start: Array, end: Array, across: Array, over: Array) -> Shape:
    """Return a box about a line: a rail, a panel.

    Parameters
    ----------
    start, end
        Middles of two opposite faces [mm], shape (n, 3).
    across, over
        Half its width and half its height, square to the line and to each other [mm], (n, 3).
    """
    return Shape(start, end, across=(across, over))


def box_halves(start: Array, end: Array, width: float, height: float) -> tuple[Array, Array]:
    """Return half the width, which lies level, and half the height of a box about a line [mm].

    Of an upright line the width lies across the car.

    Parameters
    ----------
    start, end
        Ends of its line, z up [mm], shape (n, 3); they may not coincide.
    width, height
        Whole, square to the line [mm].
    """
    line = end - start
    along = line / np.sqrt(inner(line, line))[:, None]
    level = np.stack([-along[:, 1], along[:, 0], np.zeros(len(along))], axis=1)
    length = np.sqrt(inner(level, level))
    is_upright = length < _UPRIGHT
    level = np.where(is_upright[:, None], (0.0, 1.0, 0.0), level)
    across = level / np.where(is_upright, 1.0, length)[:, None]
    across = across - inner(across, along)[:, None] * along  # exact for a line all but upright
    across = across / np.sqrt(inner(across, across))[:, None]
    return 0.5 * width * across, 0.5 * height * np.cross(along, across)


_UPRIGHT = 1e-6  # sine of the angle to the vertical below which a line is upright


def inner(a: Array, b: Array) -> Array:
    """Return scalar products of rows, shape (n,).

    Parameters
    ----------
    a, b
        Shape (n, 3).
    """
    return np.einsum("ij,ij->i", a, b)
