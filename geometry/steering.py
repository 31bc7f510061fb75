"""Where the tie rods' inner ends are at a given steer: a rack, or a relay with two arms.

Results are in the mirrored convention of the kernel: axis 0 is (left, right), and the right side's
y is negated, so that both rows look like a left corner.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.errors import Unreachable
from geometry.vectors import (
    Array,
    Vector,
    add,
    add_scaled,
    cross,
    dot,
    norm,
    scale,
    subtract,
    unit,
)

SIDES = np.array([[1.0], [-1.0]])
"""+1 for the left row, -1 for the mirrored right row."""


@dataclass(frozen=True)
class Rack:
    """A rack along Y that carries both inner ends.

    Parameters
    ----------
    tie_inner
        Inner ends, mirrored convention [mm], arrays of shape (2, 1).
    """

    tie_inner: Vector

    def inner_ends(self, steer: Array) -> Vector:
        """Return the inner ends [mm], shape (2, n), at rack travels [mm], + to the car's left."""
        x, y, z = self.tie_inner
        along = np.broadcast_to(0.0 * steer, (2, np.size(steer)))
        return x + along, y + SIDES * steer, z + along


@dataclass(frozen=True)
class Relay:
    """A pitman arm and an idler arm joined by a relay link that carries the inner ends.

    The relay link is rigid and keeps its roll about its own length against the pitman axis.

    Parameters
    ----------
    tie_inner
        Inner ends at straight ahead, mirrored convention [mm], arrays of shape (2, 1).
    pitman_pivot, pitman_end, idler_pivot, idler_end
        Points in car axes [mm], scalar components.
    axis
        Unit direction of both arms' axes (not mirrored).
    """

    tie_inner: Vector
    pitman_pivot: Vector
    pitman_end: Vector
    idler_pivot: Vector
    idler_end: Vector
    axis: Vector

    def inner_ends(self, steer: Array) -> Vector:
        """Return the inner ends [mm], shape (2, n), at sideways travels of the pitman arm's joint.

        Raises
        ------
        Unreachable
            The pitman or the idler arm can't follow.
        """
        pitman, idler = self.arm_ends(steer)
        frame = _link_frame(pitman, idler, self.axis)
        rest = _link_frame(self.pitman_end, self.idler_end, self.axis)
        x, y, z = self.tie_inner
        offset = subtract((x, SIDES * y, z), self.pitman_end)
        moved = pitman
        for direction, now in zip(rest, frame, strict=True):
            moved = add_scaled(moved, now, dot(offset, direction))
        return moved[0], SIDES * moved[1], moved[2]

    def arm_ends(self, steer: Array) -> tuple[Vector, Vector]:
        """Return the pitman and the idler arm's joints, car axes [mm], shape (n,).

        Raises
        ------
        Unreachable
            The pitman or the idler arm can't follow.
        """
        pitman = self._pitman_at(np.atleast_1d(np.asarray(steer, dtype=float)))
        return pitman, self._idler_at(pitman)

    def _pitman_at(self, steer: Array) -> Vector:
        """Joint on the pitman arm's circle whose y has moved by `steer`."""
        foot, out, across = _circle(self.pitman_pivot, self.pitman_end, self.axis)
        wanted = out[1] + steer
        reach = np.hypot(out[1], across[1])
        if np.any(np.abs(wanted) > reach):
            far = float(np.abs(wanted).max())
            raise Unreachable("pitman_pivot", "pitman_end", float(reach), far, 0.0, rack=far)
        lead = np.arctan2(across[1], out[1])
        turn = np.arccos(wanted / reach)
        # of the two turns keep the one that is zero at straight ahead
        turn = lead + np.where(lead > 0, -1.0, 1.0) * turn
        return add(add_scaled(foot, out, np.cos(turn)), scale(across, np.sin(turn)))

    def _idler_at(self, pitman: Vector) -> Vector:
        """Joint on the idler arm's circle at the relay link's length from the pitman joint."""
        foot, out, across = _circle(self.idler_pivot, self.idler_end, self.axis)
        length = norm(subtract(self.idler_end, self.pitman_end))
        towards = subtract(pitman, foot)
        radius_2 = dot(out, out)
        cosine, sine = dot(towards, out), dot(towards, across)
        reach = np.hypot(cosine, sine)
        wanted = 0.5 * (dot(towards, towards) + radius_2 - length * length)
        if np.any(np.abs(wanted) > reach):
            nearest = np.sqrt(np.maximum(dot(towards, towards) + radius_2 - 2 * reach, 0.0))
            raise Unreachable("pitman_end", "idler_end", float(length), float(np.max(nearest)), 0.0)
        lead, turn = np.arctan2(sine, cosine), np.arccos(wanted / reach)
        choices = np.stack([lead + turn, lead - turn])
        choices = (choices + np.pi) % (2 * np.pi) - np.pi
        angle = np.take_along_axis(choices, np.abs(choices).argmin(axis=0)[None], axis=0)[0]
        return add(add_scaled(foot, out, np.cos(angle)), scale(across, np.sin(angle)))


Steering = Rack | Relay


def _circle(pivot: Vector, end: Vector, axis: Vector) -> tuple[Vector, Vector, Vector]:
    arm = subtract(end, pivot)
    foot = add_scaled(pivot, axis, dot(arm, axis))
    out = subtract(end, foot)
    return foot, out, cross(axis, out)


def _link_frame(pitman: Vector, idler: Vector, axis: Vector) -> tuple[Vector, Vector, Vector]:
    along = unit(subtract(idler, pitman))
    upright = unit(add_scaled(axis, along, -dot(axis, along)))
    return along, upright, cross(upright, along)
