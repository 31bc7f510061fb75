"""What a system tells of where its parts are in many poses, for the envelopes about them."""

from __future__ import annotations

from abc import abstractmethod
from typing import Protocol

from app.document.model import Vec
from geometry.vectors import Array


class Placing(Protocol):
    """One car's parts in n poses, both sides; places in car axes [mm], shape (2, n, 3)."""

    travel: Array
    """Mean of both wheels from the measured height [mm], + bump, (n,)."""

    driven: Array
    """Steer [mm] of a front, body roll [rad] of a rear, (n,)."""

    reached: Array
    """Which poses can be taken, (n,)."""

    @abstractmethod
    def point(self, name: str) -> Array:
        """Return where a point of the car is, by its bare name."""

    @abstractmethod
    def carried(self, part: str, place: Vec) -> Array:
        """Return where a place goes that is fixed to a part; given as measured on the left [mm]."""

    @abstractmethod
    def wheel(self) -> tuple[Array, Array]:
        """Return the wheels' centres, and their axes as unit directions outboard."""
