"""Rings around points that somebody is asked to look at again."""

from __future__ import annotations

from collections.abc import Collection

from app.drawing.strokes import Drawing, Handle, LineKind, Mark, MarkShape


def ringed(drawing: Drawing, keys: Collection[str]) -> Drawing:
    """Return a drawing with a ring around each handle of these keys."""
    rings = tuple(
        Mark(stroke.at, MarkShape.RING, LineKind.RESULT)
        for stroke in drawing.strokes
        if isinstance(stroke, Handle) and stroke.key in keys and not stroke.far
    )
    return Drawing((*drawing.strokes, *rings), drawing.bounds) if rings else drawing
