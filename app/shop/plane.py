"""The plane in which old and new holes lie, and how one looks at it. No Qt.

A template is laid on metal from outboard, or from that end of the car: what is right and up on the
paper is right and up on the metal. All is worked out for the left side; the template of a
right-hand mount is the mirror image.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import acos, degrees, hypot
from typing import Final, Literal

from app.document.address import mirrored
from app.document.ends import END
from app.document.model import Vec
from app.drawing.space import cross, dot, minus, unit
from app.systems.holes import Face
from geometry.dataclass import dataclass

Place = tuple[float, float]
Lie = Literal["lengthwise", "along the pivots", "across", "level", "leaning"]

FLAT: Final = 0.05  # what is nearer to a plane lies in it: no tape tells it [mm]
LEAST_AXIS: Final = 1.0  # pivots nearer to each other than that show no direction [mm]
STEEP: Final = 45.0  # a plane that leans more is laid on from above [degrees]
UP: Final[Vec] = (0.0, 0.0, 1.0)
REARWARD: Final[Vec] = (-1.0, 0.0, 0.0)
INBOARD: Final[Vec] = (0.0, -1.0, 0.0)


@dataclass(frozen=True)
class Plane:
    """A plane through a point of the car: unit vectors right and up on paper, in car axes [mm]."""

    lie: Lie
    origin: Vec
    right: Vec
    up: Vec

    @property
    def normal(self) -> Vec:
        """The direction across it, one way or the other."""
        return cross(self.right, self.up)

    def place(self, point: Vec) -> Place:
        """Return where a point stands on the paper, from the origin [mm]."""
        step = minus(point, self.origin)
        return dot(step, self.right), dot(step, self.up)

    def part_across(self, step: Vec) -> Vec:
        """Return the part of a step that is out of the plane, in car axes [mm]."""
        normal = self.normal
        size = dot(step, normal)
        return size * normal[0], size * normal[1], size * normal[2]

    @property
    def lean(self) -> float:
        """How far it leans from upright [degrees]."""
        return 90.0 - degrees(acos(min(1.0, abs(self.normal[2]))))

    @property
    def yaw(self) -> float:
        """How far an upright plane along the car is turned from the car's centre line [degrees]."""
        return degrees(acos(min(1.0, abs(self.right[0]))))

    @property
    def is_from_above(self) -> bool:
        """Whether it lies more level than upright, so that inboard is up on the paper."""
        return self.lean > STEEP

    def holds(self, points: Sequence[Vec]) -> bool:
        """Tell whether points lie in it."""
        return all(abs(dot(minus(point, self.origin), self.normal)) <= FLAT for point in points)

    @property
    def mirrored(self) -> Plane:
        """The same plane on the right side of the car, looked at from there."""
        right, up = mirrored(self.right), mirrored(self.up)
        return Plane(self.lie, mirrored(self.origin), (-right[0], -right[1], -right[2]), up)


def plane_of(olds: Sequence[Vec], news: Sequence[Vec], face: Face, end: str) -> Plane:
    """Return the plane of a left-hand mount: the first that holds old and new, else the usual."""
    planes = list(_candidates(olds, news, face, end))
    return next((plane for plane in planes if plane.holds([*olds, *news])), planes[0])


def usual_plane(olds: Sequence[Vec], face: Face, end: str) -> Plane:
    """Return the upright plane through a pair's axis, or that in which such a mount lies."""
    if len(olds) == 2:
        x, y = olds[1][0] - olds[0][0], olds[1][1] - olds[0][1]
        if hypot(x, y) >= LEAST_AXIS:
            right = unit((x, y, 0.0))
            is_along = abs(right[1]) < 1e-9
            return Plane("lengthwise" if is_along else "along the pivots", olds[0], right, UP)
    return _face_plane(face, olds[0], end)


def _candidates(olds: Sequence[Vec], news: Sequence[Vec], face: Face, end: str) -> Iterator[Plane]:
    yield usual_plane(olds, face, end)
    if len(olds) == 2:
        yield from _common_planes(olds, news)
    else:
        faces: tuple[Face, ...] = ("lengthwise", "across", "level")
        yield from (_face_plane(other, olds[0], end) for other in faces if other != face)


def _face_plane(face: Face, origin: Vec, end: str) -> Plane:
    """Return the plane along the car, seen from its side, across it, from its end, or level."""
    if face == "level":
        return Plane("level", origin, REARWARD, INBOARD)
    if face == "lengthwise":
        return Plane("lengthwise", origin, REARWARD, UP)
    return Plane("across", origin, (0.0, END[end].rightward, 0.0), UP)


def _common_planes(olds: Sequence[Vec], news: Sequence[Vec]) -> Iterator[Plane]:
    """Yield the plane that a pair's axis and its larger move span, where they span one."""
    axis = minus(olds[1], olds[0])
    steps = [minus(new, old) for old, new in zip(olds, news, strict=True)]
    normal = unit(cross(axis, max(steps, key=lambda step: dot(step, step))))
    if dot(normal, normal) < 0.5:
        return
    from_above = 90.0 - degrees(acos(min(1.0, abs(normal[2])))) > STEEP
    right = unit(axis) if from_above else _turned_to(unit(cross(normal, UP)), REARWARD)
    up = _turned_to(cross(normal, right), INBOARD if from_above else UP)
    lie: Lie = "level" if abs(normal[2]) > 1.0 - 1e-9 else "leaning"
    yield Plane(lie, olds[0], right, up)


def _turned_to(direction: Vec, towards: Vec) -> Vec:
    """Return a direction or its opposite, whichever points more towards another."""
    if dot(direction, towards) >= 0.0:
        return direction
    return -direction[0], -direction[1], -direction[2]
