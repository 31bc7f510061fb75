"""Where the parts of the rear are in poses of either wheel anywhere between its stops."""

from __future__ import annotations

from typing import Final

import numpy as np

from app.document.address import SIDES, mirrored
from app.document.model import Setup, Vec
from app.systems.answers import Ranges
from app.systems.clearance.placing import Placing
from app.systems.rear.answers import RearAnswers
from app.systems.rear.inputs import rear_points
from app.systems.rear.places import is_on_axle
from geometry.dampers import HousingMove, carried
from geometry.errors import ShackleOutOfReach
from geometry.leaf.poses import LeafPoses
from geometry.links.poses import AxlePoses, solve_poses
from geometry.vectors import Array, Vector

_LEAF_ENDS: Final = {"centre_bolt": ("seat_x", "seat_z"), "rear_eye": ("eye_x", "eye_z")}


class RearPlacing(Placing):
    """A rigid axle in poses over both wheels' travel; `leaf` or `links` is where it is."""

    def __init__(
        self,
        setup: Setup,
        car: RearAnswers,
        poses: tuple[LeafPoses | None, AxlePoses | None, Array],
        proposed: bool,
    ) -> None:
        self.car = car
        self.leaf, self.links, self.reached = poses
        self.sides = [rear_points(setup, proposed, side) for side in SIDES]
        left, right = made = [side.made["wheel_centre"] for side in self.sides]
        x, y, z = (0.5 * (a + b) for a, b in zip(left, right, strict=True))
        self.middle: Vector = (x, y, z)
        self.driven: Array = np.asarray((self.leaf or self.links).roll)  # type: ignore[union-attr]
        rises = [self._on_axle(place)[..., 2] - place[2] for place in made]
        self.travel: Array = 0.5 * (rises[0] + rises[1])

    def point(self, name: str) -> Array:
        """Return where a point of the car is."""
        if name in _LEAF_ENDS and self.leaf is not None:
            return self._of_leaves(self.leaf, name)
        if is_on_axle(name):
            return np.stack([self._on_axle(side.made[name]) for side in self.sides])
        return np.stack([self._fixed(side.bolted[name]) for side in self.sides])

    def carried(self, part: str, place: Vec) -> Array:
        """Return where a place goes that is fixed to a part."""
        go = self._on_axle if part == "axle" else self._fixed
        return np.stack([go(place), go(mirrored(place))])

    def wheel(self) -> tuple[Array, Array]:
        """Return the wheels' centres and axes; the axle's own pitch turns neither."""
        poses = self.leaf or self.links
        assert poses is not None  # one of both is fitted
        zero = np.zeros_like(poses.roll)
        turn = HousingMove((zero, zero, zero), zero, -poses.roll, poses.steer)
        spins = [
            _rows(carried((0.0, out, 0.0), (0.0, 0.0, 0.0), turn), zero) for out in (1.0, -1.0)
        ]
        return self.point("wheel_centre"), np.stack(spins)

    def _on_axle(self, place: Vec) -> Array:
        """Return where a place of the axle goes, shape (n, 3)."""
        if self.links is not None:
            arm = np.subtract(place, self.middle)
            return np.asarray(self.links.centre + self.links.rotation @ arm)
        leaf = self.leaf
        assert leaf is not None
        assert self.car.leaf is not None
        step = (leaf.x - self.middle[0], leaf.shift, leaf.z - self.middle[2])
        turn = leaf.pinion - self.car.leaf.car.pinion
        move = HousingMove(step, turn, -leaf.roll, leaf.steer)
        return _rows(carried(place, self.middle, move), leaf.x)

    def _fixed(self, place: Vec) -> Array:
        return np.broadcast_to(np.array(place), (self.reached.size, 3))

    def _of_leaves(self, leaf: LeafPoses, name: str) -> Array:
        """Return the centre bolts or the rear eyes, which go with the leaves."""
        x, z = (getattr(leaf, part) for part in _LEAF_ENDS[name])
        if name == "centre_bolt":
            y = [self._on_axle(side.made[name])[:, 1] for side in self.sides]
        else:
            y = [self._fixed(side.bolted["shackle_body"])[:, 1] for side in self.sides]
        return np.stack([x, np.stack(y), z], axis=-1)


def _rows(places: Vector, like: Array) -> Array:
    return np.stack([np.broadcast_to(part, like.shape) for part in places], axis=-1)


def rear_placing(
    setup: Setup, car: RearAnswers, ranges: Ranges, shares: tuple[Array, Array], proposed: bool
) -> RearPlacing:
    """Return the rear at shares of the left and of the right wheel's travel, least to most."""
    low, high, _ = ranges.travel
    left, right = (low + share * (high - low) for share in shares)
    travel, roll = 0.5 * (left + right), np.arcsin((right - left) / car.track)
    return RearPlacing(setup, car, _poses(car, travel, roll), proposed)


def _poses(
    car: RearAnswers, travel: Array, roll: Array
) -> tuple[LeafPoses | None, AxlePoses | None, Array]:
    """Return the axle on leaves or on links, and which poses it reaches."""
    if car.leaf is None:
        assert car.links is not None  # one of both is fitted
        links = solve_poses(car.links.car.axle, travel, roll)
        return None, links, links.reachable
    try:
        leaf, reached = car.leaf.leant(roll, travel)
    except ShackleOutOfReach:
        leaf, _ = car.leaf.leant(np.zeros_like(roll), np.zeros_like(travel))
        return leaf, None, np.zeros(travel.shape, dtype=bool)
    return leaf, None, reached
