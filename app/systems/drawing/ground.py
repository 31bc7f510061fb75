"""The road under the wheels and the car's centreline, as strokes."""

from __future__ import annotations

from typing import Final

import numpy as np

from app.drawing.space import Vec, plus_scaled, unit
from app.drawing.strokes import Bounds, Grip, Hatch, Label, LineKind, Mark, MarkShape, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.drawing.wheel import Wheel

BESIDE: Final = 60.0  # ground and centrelines run this far beyond what stands on them [mm]
FOOT: Final = 24.0  # the centreline ends so far below the road: figures stand there [mm]


def ground_strokes(
    flat: Flat, bounds: Bounds, left: Wheel, right: Wheel, middle: float, roll: str | None
) -> list[Stroke]:
    """Return the road and the centreline; in top view the axle's too, at X = `middle` [mm].

    `roll` are the words of the road's grip, None for a road that can't be taken hold of.
    """
    if flat.view is View.TOP:
        return [
            _centreline(flat, (bounds.bottom, 0.0, 0.0), (bounds.top, 0.0, 0.0)),
            _centreline(flat, (middle, bounds.left, 0.0), (middle, bounds.right, 0.0)),
            _name(bounds),
        ]
    if flat.view is View.SIDE:
        ends = ((bounds.left, 0.0, left.contact[2]), (bounds.right, 0.0, left.contact[2]))
        return _road(flat, left, ends, roll)
    along = unit((0.0, left.contact[1] - right.contact[1], left.contact[2] - right.contact[2]))
    reach = bounds.right - left.contact[1]
    ends = plus_scaled(right.contact, along, -reach), plus_scaled(left.contact, along, reach)
    foot = min(left.contact[2], right.contact[2]) - FOOT
    return [
        *_road(flat, left, ends, roll),
        _centreline(flat, (0.0, 0.0, foot), (0.0, 0.0, bounds.top)),
        _name(bounds),
    ]


def _road(flat: Flat, left: Wheel, ends: tuple[Vec, Vec], roll: str | None) -> list[Stroke]:
    start, end = (flat.place(place) for place in ends)
    contact = flat.place(left.contact)
    strokes: list[Stroke] = [Hatch(start, end), Mark(contact, MarkShape.DOT, LineKind.GROUND)]
    if roll is not None:
        strokes.append(Grip("ground:", np.array([start, end]), "Ground", roll))
    return strokes


def _centreline(flat: Flat, start: Vec, end: Vec) -> Stroke:
    return flat.line(LineKind.CENTRELINE, start, end)


def _name(bounds: Bounds) -> Label:
    return Label("centreline", (0.0, bounds.top), LineKind.CENTRELINE, "centreline", 0)
