"""Where the parts of the front are in poses of any travel and steer."""

from __future__ import annotations

from typing import Any, Final

import numpy as np

from app.document.address import mirrored
from app.document.model import Setup, Vec
from app.document.moves import measured_points, proposed_points
from app.systems.answers import Ranges
from app.systems.clearance.placing import Placing
from app.systems.front.places import BODY_POINTS, MOVING
from app.systems.front.study import FrontAnswers
from geometry.front.axle import Front
from geometry.front.carried import carried, on_arm
from geometry.front.grid import level_poses
from geometry.front.road import Poses
from geometry.front.steering import Relay
from geometry.vectors import Array, Vector, vector

_STRUTS: Final = {"spring_arm": "spring", "damper_arm": "damper"}
_RELAY: Final = {"pitman_pivot", "pitman_end", "idler_pivot", "idler_end"}


class FrontPlacing(Placing):
    """A front in poses over its travel and its steer.

    A wheel of independent suspension knows its own travel and the rack alone: all poses of a
    leaning car are among these.
    """

    def __init__(self, setup: Setup, front: Front, poses: Poses, proposed: bool) -> None:
        self.setup, self.front, self.poses, self.proposed = setup, front, poses, proposed
        self.travel: Array = poses.travel.mean(axis=0)
        self.driven: Array = poses.rack
        self.reached: Array = poses.reached

    def point(self, name: str) -> Array:
        """Return where a point of the car is."""
        front, link = self.front, self.poses.linkage
        if name in MOVING:
            return self._in_car(getattr(link, name))
        if name in BODY_POINTS:
            return self._in_car(getattr(front.car.body, name))
        if name in _RELAY:
            return self._of_relay(name)
        if name in _STRUTS:
            strut = getattr(front, _STRUTS[name])
            if strut is not None:
                return self._in_car(on_arm(front, self.poses, strut.seat))
            return self._in_car(carried(front, self.poses, "lower arm", front.car.seats[name]))
        if name == "strut_joint":
            return self._in_car(carried(front, self.poses, "lower arm", self._strut_joint()))
        return self._in_car(front.car.seats[name])

    def carried(self, part: str, place: Vec) -> Array:
        """Return where a place goes that is fixed to a part."""
        rows = vector([[[value], [value]] for value in place])  # the kernel's right looks left
        return self._in_car(carried(self.front, self.poses, part, rows))

    def wheel(self) -> tuple[Array, Array]:
        """Return the wheels' centres and axes."""
        link = self.poses.linkage
        return self._in_car(link.wheel_centre), self._in_car(link.axle)

    def _in_car(self, places: Vector) -> Array:
        """Return the kernel's vectors, (2, n) or (2, 1), in car axes: the right one mirrored."""
        shape = self.poses.travel.shape
        x, y, z = (np.broadcast_to(part, shape) for part in places)
        return np.stack([x, y * np.array([[1.0], [-1.0]]), z], axis=-1)

    def _strut_joint(self) -> Vector:
        points_of = proposed_points if self.proposed else measured_points
        left, right = (points_of(self.setup, "front", side).made for side in ("left", "right"))
        sides = zip(left["strut_joint"], mirrored(right["strut_joint"]), strict=True)
        return vector([[[a], [b]] for a, b in sides])

    def _of_relay(self, name: str) -> Array:
        """Return a joint of pitman or idler arm: one place, whichever side asks."""
        steering = self.front.axle.steering
        if not isinstance(steering, Relay):  # which these points are there for
            raise KeyError(name)
        place: Any = getattr(steering, name)
        if name.endswith("_end"):
            place = steering.arm_ends(self.poses.rack)[0 if name == "pitman_end" else 1]
        shape = self.poses.travel.shape
        return np.stack([np.broadcast_to(part, shape) for part in place], axis=-1)


def front_placing(
    setup: Setup, car: FrontAnswers, ranges: Ranges, shares: tuple[Array, Array], proposed: bool
) -> FrontPlacing:
    """Return the front at shares of its travel and of its steer, from least to most."""
    (low, high, _), (right, left, _) = ranges.travel, ranges.steer
    travel, steer = (
        start + share * (end - start)
        for share, start, end in zip(shares, (low, right), (high, left), strict=True)
    )
    return FrontPlacing(setup, car.front, level_poses(car.front, travel, steer), proposed)
