"""What pictures of all points share: the ground, the zero lines, one point with its measures."""

from __future__ import annotations

import numpy as np

from app.document.address import is_right
from app.document.keys import KEYS
from app.document.model import Vec
from app.drawing.strokes import (
    Dimension,
    Handle,
    HandleShape,
    Hatch,
    Label,
    LineKind,
    Polyline,
    Stroke,
)
from app.drawing.views import View


def zero_lines(view: View, axle: str = "axle line") -> list[Stroke]:
    """Return the ground, and the line that the shown width or length counts from."""
    name = "centreline" if view is View.FRONT else axle
    line = Polyline(np.array([(0.0, -60.0), (0.0, 790.0)]), LineKind.CENTRELINE)
    ground = Hatch((-2000.0, 0.0), (2000.0, 0.0))
    return [ground, line, Label(name, (0.0, 778.0), LineKind.CENTRELINE, "zero", 1, "right")]


def shown_point(view: View, key: str, at: Vec, axis: int | None, title: str) -> list[Stroke]:
    """Return a point with its dimensions; that of the axis that is being typed is in the accent."""
    place = view.place(at)
    across = view.value[0]
    outward = -1.0 if is_right(key) and view is View.FRONT else 1.0
    shape = HandleShape.CIRCLE if KEYS[key].on_part else HandleShape.SQUARE
    return [
        Handle(key, place, shape, title, moved=True),
        _measure(place, (0.0, place[1]), across, axis, (0.0, 1.0)),
        _measure(place, (place[0], 0.0), 2, axis, (outward, 0.0)),
    ]


def _measure(
    place: tuple[float, float],
    foot: tuple[float, float],
    axis: int,
    typed: int | None,
    away: tuple[float, float],
) -> Stroke:
    """Return the dimension of one axis, as near to the point as can be read."""
    kind = LineKind.MOVE if typed in (None, axis) else LineKind.DIMENSION
    return Dimension(foot, place, away, "xyz"[axis], kind, f"axis {axis}", 9, 1.0)
