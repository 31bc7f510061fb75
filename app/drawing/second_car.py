"""A second car over the one that is shown: its outlines in lines of their own, nothing to hold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from app.drawing.strokes import (
    Arc,
    Bounds,
    Circle,
    Coil,
    Damper,
    Drawing,
    Hatch,
    LineKind,
    Mark,
    MarkShape,
    Polyline,
    Stroke,
)

OUTLINES: Final = frozenset(
    {
        LineKind.PROPOSED,
        LineKind.PROPOSED_THIN,
        LineKind.FAR,
        LineKind.WHEEL,
        LineKind.SPRING,
        LineKind.DAMPER,
    }
)
"""What a line of a drawing must be to be an outline of the car itself."""


def outlined(drawing: Drawing) -> Drawing:
    """Return the outlines of a car, its centres and its road, as they lie under another car."""
    return Drawing(tuple(_outlines(drawing)), drawing.bounds)


def _outlines(drawing: Drawing) -> Iterator[Stroke]:
    kind = LineKind.SECOND_CAR
    for stroke in drawing.strokes:
        if isinstance(stroke, Hatch):
            yield Polyline((stroke.start, stroke.end), kind)
        elif isinstance(stroke, Mark) and stroke.shape is MarkShape.CENTRE:
            yield replace(stroke, kind=kind)
        elif isinstance(stroke, Polyline | Circle) and stroke.kind in OUTLINES:
            yield replace(stroke, kind=kind, filled=False)
        elif isinstance(stroke, Arc | Coil | Damper) and stroke.kind in OUTLINES:
            yield replace(stroke, kind=kind)


def laid_over(first: Drawing, second: Drawing) -> Drawing:
    """Return a car's drawing over that of a second car; what fits is both.

    What is filled comes first: it would cover the second car's lines.
    """
    filled = [stroke for stroke in first.strokes if getattr(stroke, "filled", False)]
    lines = [stroke for stroke in first.strokes if not getattr(stroke, "filled", False)]
    strokes = (*filled, *second.strokes, *lines)
    return Drawing(strokes, joined(first.bounds, second.bounds))


def joined(one: Bounds | None, other: Bounds | None) -> Bounds | None:
    """Return the smallest rectangle around both; the other one where one isn't there."""
    if one is None or other is None:
        return one or other
    return one.joined(other)
