"""Where a rigid axle's dampers take hold of it: their levers, and the four ways to lay them out."""

from __future__ import annotations

from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.vectors import Array, Point


@dataclass(frozen=True)
class Damper:
    """One damper.

    Parameters
    ----------
    at
        Lower eye from the axle's mass centre, (forward, left, up) [mm].
    towards
        Direction to the body's eye, any length, (forward, left, up).
    rate
        [N·s/mm], mean of both directions.
    """

    at: Point
    towards: Point = (0.0, 0.0, 1.0)
    rate: float = 0.0

    @property
    def lever(self) -> Array:
        """Its shortening per unit of (x, z, φ, θ, y, χ), in m and rad, shape (6,)."""
        return lever(self.at, self.towards)


def lever(at: Point, towards: Point) -> Array:
    """Movement of a point of the axle along a direction per unit of the axle's freedoms.

    They are fore-aft x [m], bounce z [m], roll φ [rad] (+ left side up), wind-up θ [rad] (+ nose
    up), sideways y [m] (+ to the left) and yaw χ [rad] (+ to the left), in this order, shape (6,).

    Parameters
    ----------
    at
        Point from the axle's mass centre, (forward, left, up) [mm].
    towards
        Direction, any length, (forward, left, up).
    """
    x, y, z = (value / 1e3 for value in at)
    size = sum(value * value for value in towards) ** 0.5
    e_x, e_y, e_z = (value / size for value in towards)
    # φ moves the point by (0, -z, y), θ by (-z, 0, x), χ by (-y, x, 0).
    turns = e_z * y - e_y * z, e_z * x - e_x * z, e_y * x - e_x * y
    return np.array([e_x, e_z, turns[0], turns[1], e_y, turns[2]])


def damper_arm(dampers: tuple[Damper, ...]) -> float:
    """Return the arm from the middle on which dampers work in roll [mm], their lean counted.

    At this distance from the middle upright dampers that resist bounce as much would resist roll
    as much: the root of Σ c·u_φ² over Σ c·u_z².
    """
    by_rise, by_roll = (
        sum(damper.rate * float(damper.lever[place]) ** 2 for damper in dampers) for place in (1, 2)
    )
    return 1e3 * float(np.sqrt(by_roll / max(by_rise, 1e-30)))


LAYOUTS: Final = ("both ahead", "both behind", "one ahead, one behind", "at the axle")


def damper_layouts(left: Damper, right: Damper) -> tuple[tuple[Damper, Damper], ...]:
    """Put a car's two dampers into the four layouts of `LAYOUTS`.

    Distance from the axle and fore-aft lean are mirrored with the damper; the staggered layout has
    the left one behind, as the right one stays ahead.

    Parameters
    ----------
    left, right
        The dampers as they are.
    """
    ahead = (_placed(left, 1.0), _placed(right, 1.0))
    behind = (_placed(left, -1.0), _placed(right, -1.0))
    return (ahead, behind, (behind[0], ahead[1]), (_placed(left, 0.0), _placed(right, 0.0)))


def _placed(damper: Damper, sign: float) -> Damper:
    """Return the damper ahead (+1) of the axle, behind it (-1), or at it (0)."""
    x, y, z = damper.at
    lean, across, up = damper.towards
    turn = sign if x >= 0 else -sign
    return Damper((sign * abs(x), y, z), (turn * lean, across, up), damper.rate)
