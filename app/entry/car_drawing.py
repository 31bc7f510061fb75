"""The drawing of the car being measured, with the points known so far."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from app.document.address import SIDES, keyed, named
from app.document.ends import key_in
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
from app.entry.part import GuidePart

_LEAST = {
    View.FRONT: (910.0, 660.0),
    View.SIDE: (680.0, 660.0),
    View.TOP: (910.0, 640.0),
}


def growing(view: View, setup: Setup, part: GuidePart, decimal: str = ".") -> Drawing:
    """Return what can be drawn of one end of the car; with both sides measured, both."""
    end = part.system.key
    points = {key: point_in(setup.readings, key) for key in points_of(setup, end)}
    left, right = (named(end, side, points) for side in SIDES)
    strokes = _zero_lines(view)
    if right and view is not View.SIDE:
        strokes += part.strokes(view, setup, right)
    strokes += part.strokes(view, setup, left)
    shown = keyed(end, "left", left)
    if view is not View.SIDE:
        shown |= keyed(end, "right", right)
    strokes += [_handle(view, setup, key, at, decimal) for key, at in shown.items()]
    return Drawing(tuple(strokes), _bounds(view, shown, part))


def _zero_lines(view: View) -> list[Stroke]:
    """Return the ground, and the line that the shown width or length counts from."""
    upright = Polyline(np.array([(0.0, -2000.0), (0.0, 2000.0)]), LineKind.CENTRELINE)
    if view is View.TOP:
        level = Polyline(np.array([(-2000.0, 0.0), (2000.0, 0.0)]), LineKind.CENTRELINE)
        return [upright, level]
    return [Hatch((-6000.0, 0.0), (2000.0, 0.0)), upright]


def _handle(view: View, setup: Setup, key: str, at: Vec, decimal: str) -> Handle:
    shape = HandleShape.CIRCLE if KEYS[key].on_part else HandleShape.SQUARE
    place_words = format_point(at, setup.units, decimal=decimal)
    return Handle(key, view.place(at), shape, point_title(key, setup.readings), place_words)


def _bounds(view: View, points: Mapping[str, Vec], part: GuidePart) -> Bounds:
    """Return what to show: about as much as a usual car's end, and all points."""
    wide, high = _LEAST[view]
    u, v = view.place(points.get(key_in(part.system.key, "wheel_centre"), part.about))
    left = -60.0 if view.value[0] == 1 else u - wide / 2
    low = v - high / 2 if view is View.TOP else -20.0
    bounds = Bounds(left, low, left + wide, low + high)
    for at in points.values():
        u, v = view.place(at)
        bounds = bounds.joined(Bounds(u, v, u, v))
    return bounds
