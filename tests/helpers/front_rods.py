"""The same corner as five rods and a prescribed height, for a general root finder.

Unknowns: the three coordinates of the lower ball joint, the upper ball joint and the tie rod's
outer end; equations: the lengths of the arms' four rods and of the tie rod, the upright's three
lengths, and the wheel centre's height. Nothing is shared with the kernel but the points.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.optimize import root

Array = npt.NDArray[np.float64]
Place = tuple[float, float, float]
LOWER, UPPER, OUTER = slice(0, 3), slice(3, 6), slice(6, 9)


def upright_frame(lower: Array, upper: Array, outer: Array) -> Array:
    """Orthonormal columns fixed to the upright: along the kingpin, towards the tie rod, across."""
    along = (upper - lower) / np.linalg.norm(upper - lower)
    towards = outer - lower - along * np.dot(along, outer - lower)
    towards = towards / np.linalg.norm(towards)
    return np.column_stack([along, towards, np.cross(along, towards)])


@dataclass(frozen=True)
class RodCorner:
    """A corner's rods, and where its wheel sits in the upright (``points`` are the design's)."""

    points: Mapping[str, Array]
    lengths: Array
    hub: Array

    @classmethod
    def of(cls, points: Mapping[str, Place]) -> RodCorner:
        place = {name: np.array(at, dtype=float) for name, at in points.items()}
        kingpin = place["upper_ball"] - place["lower_ball"]
        arm = place["tie_outer"] - place["lower_ball"]
        # the wheel centre as a combination of k, t and k x t, which turn with the upright
        basis = np.column_stack([kingpin, arm, np.cross(kingpin, arm)])
        hub = np.linalg.solve(basis, place["wheel_centre"] - place["lower_ball"])
        return cls(place, rod_lengths(place, cls.at_design(place)), hub)

    @staticmethod
    def at_design(place: Mapping[str, Array]) -> Array:
        return np.concatenate([place["lower_ball"], place["upper_ball"], place["tie_outer"]])

    def residual(self, unknown: Array, travel: float, rack: float) -> Array:
        moved = {**self.points, "tie_inner": self.points["tie_inner"] + (0.0, rack, 0.0)}
        short = rod_lengths(moved, unknown) - self.lengths
        height = self.wheel(unknown)[2] - self.points["wheel_centre"][2] - travel
        return np.append(short, height)

    def jacobian(self, unknown: Array, travel: float, rack: float) -> Array:
        lower, upper, outer = unknown[LOWER], unknown[UPPER], unknown[OUTER]
        p = self.points
        matrix = np.zeros((9, 9))
        inner = p["tie_inner"] + (0.0, rack, 0.0)
        fixed = (
            (p["lower_front"], LOWER),
            (p["lower_rear"], LOWER),
            (p["upper_front"], UPPER),
            (p["upper_rear"], UPPER),
            (inner, OUTER),
        )
        for row, (pivot, at) in enumerate(fixed):
            line = unknown[at] - pivot
            matrix[row, at] = line / math.sqrt(line @ line)
        for row, (one, other) in enumerate(((UPPER, LOWER), (OUTER, LOWER), (OUTER, UPPER)), 5):
            line = unknown[one] - unknown[other]
            line = line / math.sqrt(line @ line)
            matrix[row, one], matrix[row, other] = line, -line
        a, b, c = self.hub
        k, t = upper - lower, outer - lower
        # height of L + a·k + b·t + c·(k x t)
        by_k = np.array([c * t[1], -c * t[0], a])
        by_t = np.array([-c * k[1], c * k[0], b])
        matrix[8, UPPER], matrix[8, OUTER] = by_k, by_t
        matrix[8, LOWER] = np.array([0.0, 0.0, 1.0]) - by_k - by_t
        return matrix

    def wheel(self, unknown: Array) -> Array:
        k, t = unknown[UPPER] - unknown[LOWER], unknown[OUTER] - unknown[LOWER]
        a, b, c = self.hub
        cross = (k[1] * t[2] - k[2] * t[1], k[2] * t[0] - k[0] * t[2], k[0] * t[1] - k[1] * t[0])
        return unknown[LOWER] + a * k + b * t + c * np.array(cross)

    def solve(self, start: Array, travel: float, rack: float) -> Array:
        """Solve from a neighbouring pose, by a general root finder with analytic Jacobian."""
        found = root(self.residual, start, (travel, rack), jac=self.jacobian, tol=1e-13)
        miss = np.abs(self.residual(found.x, travel, rack)).max()
        assert miss < 1e-9, f"root finder stopped {miss} mm off"
        return found.x

    def rotation(self, unknown: Array) -> Array:
        """Rotation of the upright from the design pose."""
        now = upright_frame(unknown[LOWER], unknown[UPPER], unknown[OUTER])
        design = self.at_design(self.points)
        then = upright_frame(design[LOWER], design[UPPER], design[OUTER])
        return now @ then.T


def rod_lengths(place: Mapping[str, Array], unknown: Array) -> Array:
    lower, upper, outer = unknown[LOWER], unknown[UPPER], unknown[OUTER]
    lines = (
        lower - place["lower_front"],
        lower - place["lower_rear"],
        upper - place["upper_front"],
        upper - place["upper_rear"],
        outer - place["tie_inner"],
        upper - lower,
        outer - lower,
        outer - upper,
    )
    return np.array([math.sqrt(line @ line) for line in lines])
