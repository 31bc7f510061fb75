"""A wheel, and its tyre and rim as they are seen."""

from __future__ import annotations

from typing import Final

import numpy as np

from app.drawing.space import Vec, dot
from app.drawing.strokes import Points
from app.systems.drawing.flat import Flat
from geometry.dataclass import dataclass

SHOULDER: Final = 22.0  # radius of a tyre's shoulder [mm]
SEEN: Final = 3.0  # a measured wheel that stands nearer is not drawn again [mm]
TYRE_WIDTH: Final = 165.0  # drawn where none is given [mm]
RIM: Final = 0.62  # rim radius over loaded radius
TURNS: Final = np.linspace(0.0, 2.0 * np.pi, 97)[:-1]
DIRECTIONS: Final = np.column_stack([np.cos(TURNS), np.sin(TURNS)])


@dataclass(frozen=True, slots=True)
class Wheel:
    """A wheel: its centre, axis and foot.

    `spin` points outboard, `down` lies in the wheel's plane and points at the road, `heading`
    along the wheel, forward; all unit. `kingpin` is where the kingpin axis meets the road.
    """

    centre: Vec
    radius: float
    spin: Vec
    down: Vec
    heading: Vec
    contact: Vec
    kingpin: Vec


def tyre_outline(wheel: Wheel, width: float, flat: Flat) -> Points:
    """Return the outline of a tyre as seen: a disc with thickness and round shoulders, (n, 2).

    The farthest place in each direction u is H·(h·u) + D·(d·u) over their root sum of squares for
    the disc, plus the half width along the axis, plus the shoulder along u.
    """
    half = 0.5 * width - SHOULDER
    across = np.array(flat.place(wheel.spin))
    side = np.sign(DIRECTIONS @ across)[:, None] * across * half
    outline: Points = _disc(wheel, wheel.radius - SHOULDER, flat) + side + SHOULDER * DIRECTIONS
    return outline


def rim_outline(wheel: Wheel, flat: Flat) -> Points:
    """Return the rim's edge as seen, shape (n, 2)."""
    return _disc(wheel, RIM * wheel.radius, flat)


def _disc(wheel: Wheel, radius: float, flat: Flat) -> Points:
    axes = np.array([flat.place(wheel.heading), flat.place(wheel.down)])
    share = DIRECTIONS @ axes.T
    size = np.hypot(share[:, 0], share[:, 1])
    edge: Points = share @ axes * (radius / np.maximum(size, 1e-9))[:, None]
    edge += np.array(flat.place(wheel.centre))
    return edge


def tyre_reach(wheel: Wheel, axis: int, width: float) -> tuple[float, float]:
    """Return the least and the greatest coordinate of a tyre along a car axis [mm]."""
    unit_axis = tuple(1.0 if i == axis else 0.0 for i in range(3))
    lean = abs(dot(wheel.spin, unit_axis))  # type: ignore[arg-type]
    half = wheel.radius * max(1.0 - lean * lean, 0.0) ** 0.5 + 0.5 * width * lean
    return wheel.centre[axis] - half, wheel.centre[axis] + half
