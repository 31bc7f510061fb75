"""Where the tie rods' inner ends are at a given steer: a rack, or a relay with two arms.

Results are in the mirrored convention of the kernel: axis 0 is (left, right), and the right side's
y is negated, so that both rows look like a left corner.
"""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
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
        across = SIDES[: len(y)] * steer  # one row where both sides are alike
        along = np.zeros_like(across)
        return x + along, y + across, z + along

    def reaches(self, steer: Array) -> Array:
        """Return which steers the rack itself can take: all."""
        return np.ones(np.shape(steer), dtype=bool)

    def refuse_open(self) -> None:
        """Do nothing: a rack is always whole."""


@dataclass(frozen=True)
class Relay:
    """A pitman arm and an idler arm joined by a relay link that carries the inner ends.

    The relay link is rigid and keeps its roll about its own length against the pitman's axis. At
    steer 0 the pitman arm stands as measured; the idler arm follows.

    Parameters
    ----------
    tie_inner
        Inner ends on the link where it was measured, mirrored convention [mm], shape (2, 1).
    pitman_pivot, pitman_end, idler_pivot, idler_end
        Points as bolted up in car axes [mm], scalar components; each end is carried along by its
        pivot.
    axis, idler_axis
        Unit directions of the arms' axes (not mirrored).
    link
        Pitman's and idler's joint where the link was measured [mm]: its length and direction.
    """

    tie_inner: Vector
    pitman_pivot: Vector
    pitman_end: Vector
    idler_pivot: Vector
    idler_end: Vector
    axis: Vector
    idler_axis: Vector
    link: tuple[Vector, Vector]

    def inner_ends(self, steer: Array) -> Vector:
        """Return the inner ends [mm], shape (2, n), at sideways travels of the pitman arm's joint.

        Steers out of reach give the nearest the arms can do; ask :meth:`reaches` which ones.
        """
        pitman, idler = self.arm_ends(steer)
        frame, design_frame = (
            _link_frame(pitman, idler, self.axis),
            _link_frame(*self.link, self.axis),
        )
        x, y, z = self.tie_inner
        offset = subtract((x, SIDES * y, z), self.link[0])
        moved = pitman
        for direction, now in zip(design_frame, frame, strict=True):
            moved = add_scaled(moved, now, dot(offset, direction))
        return moved[0], SIDES * moved[1], moved[2]

    def arm_ends(self, steer: Array) -> tuple[Vector, Vector]:
        """Return the pitman and the idler arm's joints, car axes [mm], shape (n,)."""
        pitman, _ = self._pitman_at(np.atleast_1d(np.asarray(steer, dtype=float)))
        idler, _ = self._idler_at(pitman)
        return pitman, idler

    def reaches(self, steer: Array) -> Array:
        """Return which steers both arms can take."""
        pitman, closes = self._pitman_at(np.atleast_1d(np.asarray(steer, dtype=float)))
        _, open_by = self._idler_at(pitman)
        return np.asarray(closes & (open_by <= 0.0))

    def refuse_open(self) -> None:
        """Raise Unreachable where the link can't be fitted between both arms straight ahead."""
        pitman, _ = self._pitman_at(np.zeros(1))
        idler, open_by = self._idler_at(pitman)
        if (open_by > 0.0).any():
            worst = int(np.argmax(open_by))
            length, distance = norm(subtract(*self.link)), norm(subtract(idler, pitman))[worst]
            stated_length = float(np.broadcast_to(length, open_by.shape)[worst])
            raise Unreachable(
                "front.pitman_end", "front.idler_end", stated_length, float(distance), 0.0
            )

    def _pitman_at(self, steer: Array) -> tuple[Vector, Array]:
        """Joint on the pitman arm's circle whose y has moved by `steer`, and whether it can."""
        foot, out, across = _circle(self.pitman_pivot, self.pitman_end, self.axis)
        share = (out[1] + steer) / np.hypot(out[1], across[1])
        lead = np.arctan2(across[1], out[1])
        # of the two turns keep the one that is zero at straight ahead
        turn = lead - np.copysign(np.arccos(np.clip(share, -1.0, 1.0)), lead)
        joint = add(add_scaled(foot, out, np.cos(turn)), scale(across, np.sin(turn)))
        return joint, np.abs(share) <= 1.0

    def _idler_at(self, pitman: Vector) -> tuple[Vector, Array]:
        """Joint on the idler arm's circle at the link's length, and how far it is open (> 0)."""
        foot, out, across = _circle(self.idler_pivot, self.idler_end, self.idler_axis)
        length = norm(subtract(*self.link))
        towards, radius_2 = subtract(pitman, foot), dot(out, out)
        cosine, sine = dot(towards, out), dot(towards, across)
        share = 0.5 * (dot(towards, towards) + radius_2 - length * length) / np.hypot(cosine, sine)
        # of both meetings keep the side that the link was measured on
        was = subtract(self.link[0], add(foot, subtract(self.link[1], self.idler_end)))
        side = np.arctan2(dot(was, across), dot(was, out))
        turn = np.arctan2(sine, cosine) - np.copysign(np.arccos(np.clip(share, -1.0, 1.0)), side)
        joint = add(add_scaled(foot, out, np.cos(turn)), scale(across, np.sin(turn)))
        return joint, np.abs(share) - 1.0


Steering = Rack | Relay


def _circle(pivot: Vector, end: Vector, axis: Vector) -> tuple[Vector, Vector, Vector]:
    """Return a joint's circle: its centre, and radius vectors at the measured pose and at 90°."""
    arm = subtract(end, pivot)
    foot = add_scaled(pivot, axis, dot(arm, axis))
    out = subtract(end, foot)
    return foot, out, cross(axis, out)


def _link_frame(pitman: Vector, idler: Vector, axis: Vector) -> tuple[Vector, Vector, Vector]:
    along = unit(subtract(idler, pitman))
    upright = unit(add_scaled(axis, along, -dot(axis, along)))
    return along, upright, cross(upright, along)
