"""The parts of a rear between its known points: springs, shackles, links, axle, wheels."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import Final

import numpy as np

from app.document.model import Vec
from app.drawing.strokes import (
    Circle,
    Coil,
    Damper,
    LineKind,
    Mark,
    MarkShape,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.entry.front.members import COIL, TUBE, WIDTH, wheel_strokes

TUBE_RADIUS: Final = 38.0  # mm, an axle tube's that isn't measured
_LINKS: Final = (
    ("lower_body", "lower_axle"),
    ("upper_body", "upper_axle"),
    ("lateral_body", "lateral_axle"),
    ("bar_axle", "bar_snubber"),
)
_THIN: Final = (("rear_eye", "shackle_body"), ("gearbox_joint", "pinion"))
_ARC: Final = np.linspace(0.0, 1.0, 13)


def rear_strokes(
    view: View, points: Mapping[str, Vec], radius: float | None, width: float | None = None
) -> list[Stroke]:
    """Return the parts whose ends are known, the far ones first."""
    strokes = wheel_strokes(view, points, radius, width or WIDTH)
    strokes += _axle(view, points)
    strokes += _springs(view, points)
    strokes += [
        Polyline(np.array([view.place(points[a]), view.place(points[b])]), kind)
        for pairs, kind in ((_THIN, LineKind.PROPOSED_THIN), (_LINKS, LineKind.PROPOSED))
        for a, b in pairs
        if a in points and b in points
    ]
    return strokes


def _axle(view: View, points: Mapping[str, Vec]) -> list[Stroke]:
    """Return the tube: a circle from the side, a line to the middle from the front."""
    centre = points.get("axle_centre", points.get("wheel_centre"))
    if centre is None:
        return []
    if view is View.SIDE:
        return [Circle(view.place(centre), TUBE_RADIUS, LineKind.PROPOSED_THIN)]
    hub = points.get("wheel_centre", centre)
    ends = np.array([view.place((centre[0], 0.0, centre[2])), view.place(hub)])
    mark = Mark(view.place(centre), MarkShape.CROSS, LineKind.WHEEL)
    return [Polyline(ends, LineKind.PROPOSED), mark]


def _springs(view: View, points: Mapping[str, Vec]) -> list[Stroke]:
    strokes: list[Stroke] = []
    if all(name in points for name in ("front_eye", "centre_bolt", "rear_eye")):
        strokes.append(_leaf(view, points))
    ends = [points.get(name) for name in ("damper_body", "damper_axle")]
    if ends[0] is not None and ends[1] is not None:
        body, axle = view.place(ends[0]), view.place(ends[1])
        long = 0.55 * hypot(body[0] - axle[0], body[1] - axle[1])
        strokes.append(Damper(body, axle, TUBE, long))
    ends = [points.get(name) for name in ("spring_body", "spring_axle")]
    if ends[0] is not None and ends[1] is not None:
        body, axle = view.place(ends[0]), view.place(ends[1])
        if hypot(body[0] - axle[0], body[1] - axle[1]) > COIL:
            strokes.append(Coil(body, axle, COIL, 6.0))
    return strokes


def _leaf(view: View, points: Mapping[str, Vec]) -> Stroke:
    """Return the main leaf as the parabola through both eyes and the centre bolt."""
    front, bolt, rear = (
        np.array(points[name]) for name in ("front_eye", "centre_bolt", "rear_eye")
    )
    share = float((bolt[0] - front[0]) / (rear[0] - front[0])) if rear[0] != front[0] else 0.5
    share = min(max(share, 0.1), 0.9)
    chord = front + _ARC[:, None] * (rear - front)
    sag = bolt - (front + share * (rear - front))
    bow = _ARC * (1.0 - _ARC) / (share * (1.0 - share))
    curve = chord + bow[:, None] * sag
    return Polyline(
        np.array([view.place((x, y, z)) for x, y, z in curve.tolist()]), LineKind.PROPOSED
    )
