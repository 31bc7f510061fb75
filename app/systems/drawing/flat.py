"""A view's way of laying places on paper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import field
from operator import itemgetter
from typing import Final

from app.drawing.space import Vec
from app.drawing.strokes import LineKind, Place, Polyline
from app.drawing.views import View
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class Flat:
    """A view's way of laying places on paper."""

    view: View
    place: Callable[[Vec], Place] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "place", itemgetter(*self.view.value))

    def line(self, kind: LineKind, *places: Vec) -> Polyline:
        """Return a chain of lines through places."""
        return Polyline(tuple(map(self.place, places)), kind)


FLATS: Final = {view: Flat(view) for view in View}
ENDLESS: Final = 1e6  # how far off a centre at infinity is drawn [mm]
RING: Final = 34.0  # radius of a ring around a joint [mm]
