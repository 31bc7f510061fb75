"""The drawing of the car being measured, with the points known so far."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from app.document.address import SIDES, keyed, named
from app.document.keys import KEYS, points_of
from app.document.model import Setup, Vec
from app.document.moves import point_in
from app.document.point_names import point_title
from app.document.units import format_point
from app.drawing.strokes import (
    Bounds,
    Drawing,
    Handle,
    HandleShape,
    Hatch,
    LineKind,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.entry.members import build_of, car_strokes

_LEAST = {
    View.FRONT: Bounds(-60.0, -20.0, 850.0, 640.0),
    View.SIDE: Bounds(-340.0, -20.0, 340.0, 640.0),
    View.TOP: Bounds(-60.0, -320.0, 850.0, 320.0),
}


def growing(view: View, setup: Setup, decimal: str = ".") -> Drawing:
    """Return what can be drawn of the car; with both sides measured, both."""
    points = {key: point_in(setup.readings, key) for key in points_of(setup, "front")}
    left, right = (named("front", side, points) for side in SIDES)
    build = build_of(setup)
    radius, width = (_number(setup, f"front.tyre_{name}") for name in ("radius", "width"))
    strokes = _zero_lines(view)
    if right and view is not View.SIDE:
        strokes += car_strokes(view, right, build, radius, width)
    strokes += car_strokes(view, left, build, radius, width)
    shown = keyed("front", "left", left)
    if view is not View.SIDE:
        shown |= keyed("front", "right", right)
    strokes += [_handle(view, setup, key, at, decimal) for key, at in shown.items()]
    return Drawing(tuple(strokes), _bounds(view, shown))


def _number(setup: Setup, key: str) -> float | None:
    value = setup.readings.get(key)
    return float(value) if isinstance(value, int | float) else None


def _zero_lines(view: View) -> list[Stroke]:
    """Return the ground, and the line that the shown width or length counts from."""
    upright = Polyline(np.array([(0.0, -2000.0), (0.0, 2000.0)]), LineKind.CENTRELINE)
    if view is View.TOP:
        level = Polyline(np.array([(-2000.0, 0.0), (2000.0, 0.0)]), LineKind.CENTRELINE)
        return [upright, level]
    return [Hatch((-2000.0, 0.0), (2000.0, 0.0)), upright]


def _handle(view: View, setup: Setup, key: str, at: Vec, decimal: str) -> Handle:
    shape = HandleShape.CIRCLE if KEYS[key].on_part else HandleShape.SQUARE
    place_words = format_point(at, setup.units, decimal=decimal)
    return Handle(key, view.place(at), shape, point_title(key, setup.readings), place_words)


def _bounds(view: View, points: Mapping[str, Vec]) -> Bounds:
    """Return the part to show: a usual car's, and more where points lie outside it."""
    bounds = _LEAST[view]
    for at in points.values():
        u, v = view.place(at)
        bounds = bounds.joined(Bounds(u, v, u, v))
    return bounds
