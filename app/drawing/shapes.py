"""Strokes as simple shapes in device units (y down): what a painter can draw without thinking."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.drawing.strokes import Coil, Damper, Dimension, Hatch, LineKind, Mark, MarkShape
from app.drawing.views import Frame

Floats = NDArray[np.float64]
Place = tuple[float, float]
Area = tuple[float, float, float, float]  # x, y, width, height

# Sizes in units: one unit is a pixel on the screen and the width of a thin line on paper.
ARROW_LENGTH: Final = 9.0
ARROW_WIDTH: Final = 5.0
DIMENSION_STEP: Final = 24.0
EXTENSION_GAP: Final = 4.0
EXTENSION_BEYOND: Final = 4.0
HATCH_STEP: Final = 9.0
HATCH_LENGTH: Final = 7.0
MARK_RADIUS: Final = 5.5
MARK_HAIR: Final = 11.0
DOT_RADIUS: Final = 2.6


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Separate straight lines, shape (n, 4); labels keep off `avoid` where it is given."""

    kind: LineKind
    segments: Floats
    avoid: Floats | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """A chain of straight lines through points, shape (n, 2)."""

    kind: LineKind
    points: Floats
    closed: bool = False
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle, or a part of one from `start` through `sweep` [rad, anticlockwise as seen]."""

    kind: LineKind
    centre: Place
    radius: float
    filled: bool = False
    start: float = 0.0
    sweep: float = math.tau


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """A small area full of ink, points (n, 2): an arrowhead, a dot."""

    kind: LineKind
    points: Floats


Shape = Lines | Chain | Ring | Solid


def hatched(stroke: Hatch, frame: Frame, area: Area, unit: float) -> tuple[Shape, ...]:
    """Return the ground line and the hatching under it, as far as they are in the area."""
    start, end = np.array(frame.to_device(stroke.start)), np.array(frame.to_device(stroke.end))
    seen = clipped((*start.tolist(), *end.tolist()), area)
    if seen is None:
        return ()
    edge = np.array([seen])
    along = (end - start) / max(float(np.linalg.norm(end - start)), 1e-9)
    under = np.array([-along[1], along[0]])
    lower = edge + np.tile(HATCH_LENGTH * unit * under, 2)
    ticks = _ticks(edge[0], start, along, unit)
    feet = ticks + HATCH_LENGTH * unit * (under - along)
    hatching = np.hstack([ticks, feet])
    avoid = np.vstack([edge, lower])
    return Lines(LineKind.DIMENSION, hatching, avoid), Lines(stroke.kind, edge)


def _ticks(edge: Floats, start: Floats, along: Floats, unit: float) -> Floats:
    """Return where the hatching meets the edge; it stays with the ground when the view moves."""
    first, last = float((edge[:2] - start) @ along), float((edge[2:] - start) @ along)
    step = HATCH_STEP * unit
    steps = np.arange(math.ceil((first + HATCH_LENGTH * unit) / step), last / step) * step
    ticks: Floats = start + steps[:, None] * along
    return ticks


def coiled(stroke: Coil, frame: Frame) -> tuple[Shape, ...]:
    """Return a spring seen from the side: strands in front, thinner ones behind, flat ends."""
    start, end = np.array(frame.to_device(stroke.start)), np.array(frame.to_device(stroke.end))
    axis = end - start
    across = np.array([-axis[1], axis[0]]) / max(float(np.linalg.norm(axis)), 1e-9)
    across = across * stroke.diameter * frame.scale / 2
    turns = max(2, round(stroke.turns))
    heights = np.linspace(0.0, 1.0, 2 * turns + 1)[:, None]
    sides = np.where(np.arange(2 * turns + 1) % 2, 1.0, -1.0)[:, None]
    knees = start + heights * axis + sides * across
    strands = np.hstack([knees[:-1], knees[1:]])
    flat_ends = np.array([[*(p - across), *(p + across)] for p in (start, end)])
    outline = np.array([start - across, end + across, start + across, end - across, start - across])
    outline = np.hstack([outline[:-1], outline[1:]])
    return (
        Lines(LineKind.FAR, strands[1::2], avoid=flat_ends),
        Lines(stroke.kind, np.vstack([flat_ends, strands[0::2]]), avoid=outline),
    )


def telescoped(stroke: Damper, frame: Frame) -> tuple[Shape, ...]:
    """Return a damper seen from the side: an eye, the tube, the rod, an eye."""
    body, rod = np.array(frame.to_device(stroke.body)), np.array(frame.to_device(stroke.rod))
    length = max(float(np.linalg.norm(rod - body)), 1e-9)
    along = (rod - body) / length
    across = np.array([-along[1], along[0]]) * stroke.diameter * frame.scale / 2
    eye = 0.3 * stroke.diameter * frame.scale
    tube = min(stroke.body_length * frame.scale, 0.9 * length)
    rod_outline = _bar(body + tube * along, rod - eye * along, across * 0.3)
    return (
        Ring(stroke.kind, (body[0], body[1]), eye, filled=True),
        Ring(stroke.kind, (rod[0], rod[1]), eye, filled=True),
        Chain(stroke.kind, rod_outline, closed=True, filled=True),
        Chain(stroke.kind, _bar(body + eye * along, body + tube * along, across), True, True),
    )


def _bar(start: Floats, end: Floats, across: Floats) -> Floats:
    return np.array([start - across, end - across, end + across, start + across])


def marked(stroke: Mark, frame: Frame, unit: float) -> tuple[Shape, ...]:
    """Return the sign at a place, of the same size at every zoom."""
    x, y = frame.to_device(stroke.at)
    hair = MARK_HAIR * unit
    cross = Lines(stroke.kind, np.array([[x - hair, y, x + hair, y], [x, y - hair, x, y + hair]]))
    ring = Ring(stroke.kind, (x, y), MARK_RADIUS * unit)
    match stroke.shape:
        case MarkShape.CROSS:
            return (cross,)
        case MarkShape.DOT:
            return (Solid(stroke.kind, _sector(x, y, DOT_RADIUS * unit, 0.0, math.tau)),)
        case MarkShape.CENTRE:
            return cross, ring
        case MarkShape.GRAVITY:
            quarters = (_sector(x, y, ring.radius, turn, math.pi / 2) for turn in (0.0, math.pi))
            return ring, *(Solid(stroke.kind, quarter) for quarter in quarters)


def _sector(x: float, y: float, radius: float, start: float, sweep: float) -> Floats:
    angles = start + np.linspace(0.0, sweep, 13)
    arc = np.column_stack([x + radius * np.cos(angles), y - radius * np.sin(angles)])
    return arc if sweep >= math.tau else np.vstack([arc, [[x, y]]])


def dimensioned(stroke: Dimension, frame: Frame, unit: float) -> tuple[tuple[Shape, ...], Place]:
    """Return extension lines, dimension line and arrows, and where the figure belongs."""
    away = np.array([stroke.away[0], -stroke.away[1]]) / math.hypot(*stroke.away)
    along = np.array([-away[1], away[0]])
    ends = [np.array(frame.to_device(p)) for p in (stroke.start, stroke.end)]
    ends.sort(key=lambda p: float(p @ along))
    level = max(float(p @ away) for p in ends) + stroke.steps * DIMENSION_STEP * unit
    feet = [p + (level - p @ away) * away for p in ends]
    gap, beyond = EXTENSION_GAP * unit * away, EXTENSION_BEYOND * unit * away
    extensions = [[*(p + gap), *(foot + beyond)] for p, foot in zip(ends, feet, strict=True)]
    line, heads = _dimension_line(feet, along, unit)
    middle = (feet[0] + feet[1]) / 2
    lines = Lines(stroke.kind, np.array([*extensions, line]))
    arrows = tuple(Solid(stroke.kind, head) for head in heads)
    return (lines, *arrows), (float(middle[0]), float(middle[1]))


def _dimension_line(
    feet: list[Floats], along: Floats, unit: float
) -> tuple[list[float], list[Floats]]:
    """Return the line and its two arrowheads, set outside where there is no room between."""
    low, high = feet
    if float((high - low) @ along) > 3.0 * ARROW_LENGTH * unit:
        return [*low, *high], [arrowhead(low, -along, unit), arrowhead(high, along, unit)]
    tail = 2.0 * ARROW_LENGTH * unit * along
    heads = [arrowhead(low, along, unit), arrowhead(high, -along, unit)]
    return [*(low - tail), *(high + tail)], heads


def arrowhead(tip: Floats, direction: Floats, unit: float) -> Floats:
    """Return a full arrowhead at `tip` that points along `direction` (a unit vector)."""
    back = tip - ARROW_LENGTH * unit * direction
    across = np.array([-direction[1], direction[0]]) * ARROW_WIDTH * unit / 2
    return np.array([tip, back - across, back + across])


def clipped(ends: Area, area: Area) -> Area | None:
    """Return the part of the line x1, y1, x2, y2 inside the rectangle x, y, w, h, if any.

    Liang and Barsky's way, ACM Transactions on Graphics 3 (1984) [from memory].
    """
    x, y, width, height = area
    first, last = 0.0, 1.0
    for start, end, low, high in (
        (ends[0], ends[2], x, x + width),
        (ends[1], ends[3], y, y + height),
    ):
        step = end - start
        if step == 0.0:
            if not low <= start <= high:
                return None
            continue
        entry, leave = sorted(((low - start) / step, (high - start) / step))
        first, last = max(first, entry), min(last, leave)
    if first >= last:
        return None
    across, down = ends[2] - ends[0], ends[3] - ends[1]
    return (
        ends[0] + first * across if first > 0.0 else ends[0],
        ends[1] + first * down if first > 0.0 else ends[1],
        ends[0] + last * across if last < 1.0 else ends[2],
        ends[1] + last * down if last < 1.0 else ends[3],
    )
