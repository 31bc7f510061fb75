"""The three views: how a place on the car falls on paper, and how paper falls on a device."""

from __future__ import annotations

from dataclasses import replace
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from app.drawing.strokes import Bounds, Place
from geometry.dataclass import dataclass


class View(Enum):
    """A view in drawing arrangement; the value is the car axes that run right and up on paper."""

    FRONT = (1, 2)  # on the nose: the car's left is on the right of the paper
    SIDE = (0, 2)  # forward is to the right
    TOP = (1, 0)  # forward is up

    @property
    def title(self) -> str:
        """The view's title in words."""
        return f"{self.name.capitalize()} view"

    def place(self, point: tuple[float, float, float]) -> Place:
        """Return the paper place of one car point."""
        right, up = self.value
        return point[right], point[up]

    def lift(self, du: float, dv: float) -> tuple[float, float, float]:
        """Return the car displacement of a displacement on paper."""
        moved = [0.0, 0.0, 0.0]
        right, up = self.value
        moved[right], moved[up] = du, dv
        return moved[0], moved[1], moved[2]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where paper lies on a device: `scale` device units per mm, and the device place of (0, 0)."""

    scale: float
    x: float
    y: float

    def to_device(self, place: Place) -> tuple[float, float]:
        """Return the device place (y down) of a paper place."""
        return self.x + self.scale * place[0], self.y - self.scale * place[1]

    def to_paper(self, x: float, y: float) -> Place:
        """Return the paper place at a device place."""
        return (x - self.x) / self.scale, (self.y - y) / self.scale

    def map(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return device places of paper places, both of shape (…, 2)."""
        return points * (self.scale, -self.scale) + (self.x, self.y)

    def moved(self, dx: float, dy: float) -> Frame:
        """Return the frame shifted by device units."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def zoomed(self, factor: float, x: float, y: float) -> Frame:
        """Return the frame zoomed about a device place."""
        return Frame(self.scale * factor, x + factor * (self.x - x), y + factor * (self.y - y))


def fitting_scale(bounds: Bounds, width: float, height: float) -> float:
    """Return the largest scale at which the bounds fit in a device area."""
    across = max(bounds.right - bounds.left, 1.0)
    up = max(bounds.top - bounds.bottom, 1.0)
    return min(width / across, height / up)


def centred_frame(bounds: Bounds, scale: float, width: float, height: float) -> Frame:
    """Return the frame that puts the middle of the bounds in the middle of a device area."""
    middle_u, middle_v = (bounds.left + bounds.right) / 2, (bounds.bottom + bounds.top) / 2
    return Frame(scale, width / 2 - scale * middle_u, height / 2 + scale * middle_v)
