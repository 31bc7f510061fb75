"""Envelopes of parts in many poses: capsules, cylinders with flat ends, and boxes.

Every envelope is a line between two ends with something about it: a ball that runs along it makes a
capsule, a disc across it a cylinder, a rectangle across it a box. They are convex, and how far one
reaches in a direction is a formula: that is all the search for distances asks. So envelopes of all
kinds stand in one batch.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array


@dataclass(frozen=True)
class Shape:
    """Envelopes, one a row; x, y and z in any one set of axes.

    Parameters
    ----------
    start, end
        Ends of each line [mm], shape (n, 3).
    ball
        Radius of the ball that runs along it [mm], shape (n,); 0 without.
    disc
        Radius of the disc across it [mm], shape (n,); 0 without.
    across, over
        Half the width and half the height of a box, as vectors [mm], shape (n, 3); 0 without.
    """

    start: Array
    end: Array
    ball: Array
    disc: Array
    across: Array
    over: Array

    @property
    def is_line(self) -> Array:
        """Which have nothing but a ball about the line, shape (n,)."""
        is_flat = (self.across == 0.0).all(axis=1) & (self.over == 0.0).all(axis=1)
        return np.asarray((self.disc == 0.0) & is_flat)

    @property
    def middle(self) -> Array:
        """The middles of the lines [mm], shape (n, 3)."""
        return np.asarray(0.5 * (self.start + self.end))

    @property
    def parts(self) -> tuple[Array, ...]:
        """All that they are made of, in the order of the fields."""
        return (self.start, self.end, self.ball, self.disc, self.across, self.over)

    def of(self, rows: Array) -> Shape:
        """Return some of them."""
        return Shape(*(part[rows] for part in self.parts))

    def furthest(self, direction: Array) -> Array:
        """Return the point that lies furthest in a direction, without the ball [mm], shape (n, 3).

        Parameters
        ----------
        direction
            Of any length, shape (n, 3).
        """
        line = self.end - self.start
        ahead = inner(direction, line)
        point = np.where((ahead > 0.0)[:, None], self.end, self.start)
        for half in (self.across, self.over):
            point = point + np.where(inner(direction, half) > 0.0, 1.0, -1.0)[:, None] * half
        if not self.disc.any():
            return point
        length_2 = np.maximum(inner(line, line), _POINT)
        flat = direction - (ahead / length_2)[:, None] * line
        size = inner(flat, flat)
        # straight along the axis every point of the disc is as far as its middle
        is_oblique = size > _STRAIGHT * inner(direction, direction)
        share = np.where(is_oblique, self.disc / np.sqrt(np.where(is_oblique, size, 1.0)), 0.0)
        return np.asarray(point + share[:, None] * flat)


_POINT = 1e-12  # squared length of a line that is a point [mm²]
_STRAIGHT = 1e-18  # squared sine of the angle to an axis below which a direction lies along it


def joined(shapes: Sequence[Shape]) -> Shape:
    """Return the rows of shapes one behind the other, of whatever kinds."""
    return Shape(*(np.concatenate(part) for part in zip(*(s.parts for s in shapes), strict=True)))


def capsule(start: Array, end: Array, radius: float) -> Shape:
    """Return a line with a ball run along it: a rod, an arm's leg, a half-shaft.

    Parameters
    ----------
    start, end
        Centres of the ball at both ends [mm], shape (n, 3); they may coincide.
    radius
        Of the ball [mm].
    """
    none = np.zeros_like(start)
    return Shape(start, end, np.full(len(start), radius), none[:, 0], none, none)


def cylinder(start: Array, end: Array, radius: float) -> Shape:
    """Return a cylinder with flat ends: a tyre, a coil, a damper's body.

    Parameters
    ----------
    start, end
        Centres of its flat ends [mm], shape (n, 3); they may not coincide.
    radius
        [mm].
    """
    none = np.zeros_like(start)
    return Shape(start, end, none[:, 0], np.full(len(start), radius), none, none)


def box(start: Array, end: Array, across: Array, over: Array) -> Shape:
    """Return a box about a line: a rail, a panel.

    Parameters
    ----------
    start, end
        Middles of two opposite faces [mm], shape (n, 3).
    across, over
        Half its width and half its height, square to the line and to each other [mm], (n, 3).
    """
    none = np.zeros(len(start))
    return Shape(start, end, none, none, across, over)


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
