"""Drawings that fit around a few strokes."""

from __future__ import annotations

import numpy as np

from app.drawing.strokes import (
    Arc,
    Bounds,
    Circle,
    Coil,
    Damper,
    Dimension,
    Drawing,
    Grip,
    Handle,
    Hatch,
    Label,
    Mark,
    OffViewPointer,
    Points,
    Polyline,
    Stroke,
)


def drawing_of(*strokes: Stroke) -> Drawing:
    """Return a drawing that fits around its strokes."""
    return Drawing(strokes, bounds_of(strokes))


def bounds_of(strokes: tuple[Stroke, ...]) -> Bounds | None:
    """Return the rectangle around the strokes; far centres don't count, only what starts here."""
    places = [_extent(stroke) for stroke in strokes]
    points = np.concatenate(places) if places else np.empty((0, 2))
    if not len(points):
        return None
    (left, bottom), (right, top) = points.min(axis=0), points.max(axis=0)
    return Bounds(float(left), float(bottom), float(right), float(top))


def _extent(stroke: Stroke) -> Points:
    match stroke:
        case Polyline(points=points):
            return np.asarray(points)
        case Grip(outline=points):
            return points
        case Circle(centre=(u, v), radius=r) | Arc(centre=(u, v), radius=r):
            return np.array([(u - r, v - r), (u + r, v + r)])
        case Hatch(start=a, end=b) | Coil(start=a, end=b) | Dimension(start=a, end=b):
            return np.array([a, b])
        case Damper(body=a, rod=b):
            return np.array([a, b])
        case OffViewPointer(start=a):
            return np.array([a])
        case Label(at=a) | Mark(at=a) | Handle(at=a):
            return np.array([a])
