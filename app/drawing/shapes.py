"""Strokes as simple shapes in device units (y down), which a painter draws directly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from app.drawing.strokes import Coil, Damper, Dimension, Hatch, LineKind, Mark, MarkShape
from app.drawing.views import Frame
from geometry.dataclass import dataclass

Floats = NDArray[np.float64]
Place = tuple[float, float]
Ends = tuple[float, float, float, float]  # x1, y1, x2, y2
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
WIDE_RING: Final = 13.0
OFF_CENTRE: Final = 3.0  # of an eccentric, across and up
OFF_RADIUS: Final = 11.0
SHIMS_OFF: Final = (11.5, 14.5)  # bars of a pack of shims, from its pivot: clear of its rings
SHIM_HALF: Final = 5.0
THREAD_STEP: Final = 3.5
MARK_HAIR: Final = 11.0
DOT_RADIUS: Final = 2.6


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """Separate straight lines x1, y1, x2, y2; labels keep off `avoid` where it is given."""

    kind: LineKind
    segments: Sequence[Ends]
    avoid: Sequence[Ends] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """A chain of straight lines through points: an array of shape (n, 2), or a few places."""

    kind: LineKind
    points: Floats | Sequence[Place]
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
    """A small area full of ink: an arrowhead, a dot."""

    kind: LineKind
    points: Sequence[Place]


Shape = Lines | Chain | Ring | Solid


@lru_cache(maxsize=16)
def hatched(stroke: Hatch, frame: Frame, area: Area, unit: float) -> tuple[Shape, ...]:
    """Return the ground line and the hatching under it, as far as they are in the area.

    They are kept, since the ground lies still while other things move.
    """
    (x, y), end = frame.to_device(stroke.start), frame.to_device(stroke.end)
    edge = clipped((x, y, *end), area)
    if edge is None:
        return ()
    along, across = _direction((x, y), end)
    first = (edge[0] - x) * along + (edge[1] - y) * across
    last = (edge[2] - x) * along + (edge[3] - y) * across
    step, long = HATCH_STEP * unit, HATCH_LENGTH * unit
    under = -across * long, along * long
    foot = under[0] - along * long, under[1] - across * long
    steps = [n * step for n in range(math.ceil((first + long) / step), math.ceil(last / step))]
    ticks = [(x + n * along, y + n * across) for n in steps]
    hatching = [(u, v, u + foot[0], v + foot[1]) for u, v in ticks]
    lower = (edge[0] + under[0], edge[1] + under[1], edge[2] + under[0], edge[3] + under[1])
    return (
        Lines(LineKind.DIMENSION, tuple(hatching), avoid=(edge, lower)),
        Lines(stroke.kind, (edge,)),
    )


def _direction(start: Place, end: Place) -> Place:
    """Return the unit vector from a place to another."""
    x, y = end[0] - start[0], end[1] - start[1]
    length = max(math.hypot(x, y), 1e-9)
    return x / length, y / length


def coiled(stroke: Coil, frame: Frame) -> tuple[Shape, ...]:
    """Return a spring seen from the side: strands in front, thinner ones behind, flat ends."""
    start, end = frame.to_device(stroke.start), frame.to_device(stroke.end)
    along, down = _direction(start, end)
    half = stroke.diameter * frame.scale / 2
    across = -down * half, along * half
    turns = 2 * max(2, round(stroke.turns))
    knees = [_knee(start, end, across, place, turns) for place in range(turns + 1)]
    strands = [(*one, *other) for one, other in pairwise(knees)]
    flat_ends = [
        (*_beside(place, across, -1), *_beside(place, across, 1)) for place in (start, end)
    ]
    (a, b, c, d), (e, f, g, h) = flat_ends
    outline = ((a, b, g, h), (g, h, c, d), (c, d, e, f), (e, f, a, b))
    return (
        Lines(LineKind.FAR, tuple(strands[1::2]), avoid=flat_ends),
        Lines(stroke.kind, (*flat_ends, *strands[0::2]), avoid=outline),
    )


def _knee(start: Place, end: Place, across: Place, place: int, turns: int) -> Place:
    """Return the turning points of a coil, alternately left and right of its axis."""
    share, side = place / turns, 1.0 if place % 2 else -1.0
    return (
        start[0] + share * (end[0] - start[0]) + side * across[0],
        start[1] + share * (end[1] - start[1]) + side * across[1],
    )


def _beside(place: Place, step: Place, times: float) -> Place:
    return place[0] + times * step[0], place[1] + times * step[1]


def telescoped(stroke: Damper, frame: Frame) -> tuple[Shape, ...]:
    """Return a damper seen from the side: an eye, the tube, the rod, an eye."""
    body, rod = frame.to_device(stroke.body), frame.to_device(stroke.rod)
    length = max(math.dist(body, rod), 1e-9)
    along = _direction(body, rod)
    half = stroke.diameter * frame.scale / 2
    across = -along[1] * half, along[0] * half
    eye = 0.6 * half
    tube = _beside(body, along, min(stroke.body_length * frame.scale, 0.9 * length))
    narrow = 0.3 * across[0], 0.3 * across[1]
    return (
        Ring(stroke.kind, body, eye, filled=True),
        Ring(stroke.kind, rod, eye, filled=True),
        Chain(stroke.kind, _bar(tube, _beside(rod, along, -eye), narrow), True, True),
        Chain(stroke.kind, _bar(_beside(body, along, eye), tube, across), True, True),
    )


def _bar(start: Place, end: Place, across: Place) -> Sequence[Place]:
    return (
        _beside(start, across, -1),
        _beside(end, across, -1),
        _beside(end, across, 1),
        _beside(start, across, 1),
    )


def marked(stroke: Mark, frame: Frame, unit: float) -> tuple[Shape, ...]:
    """Return the sign at a place, of the same size at every zoom."""
    x, y = frame.to_device(stroke.at)
    hair = MARK_HAIR * unit
    cross = Lines(stroke.kind, ((x - hair, y, x + hair, y), (x, y - hair, x, y + hair)))
    ring = Ring(stroke.kind, (x, y), MARK_RADIUS * unit)
    match stroke.shape:
        case MarkShape.CROSS:
            return (cross,)
        case MarkShape.DOT:
            return (Solid(stroke.kind, _sector(x, y, DOT_RADIUS * unit, 0.0, math.tau)),)
        case MarkShape.SHIMS:
            return (Lines(stroke.kind, _bars(x, y, unit)),)
        case MarkShape.ECCENTRIC:
            off = OFF_CENTRE * unit
            return (Ring(stroke.kind, (x + off, y - off), OFF_RADIUS * unit),)
        case MarkShape.THREAD:
            return (Lines(stroke.kind, _thread(x, y, unit)),)
        case MarkShape.CENTRE:
            return cross, ring
        case MarkShape.RING:
            return (Ring(stroke.kind, (x, y), WIDE_RING * unit),)
        case MarkShape.GRAVITY:
            quarters = (_sector(x, y, ring.radius, turn, math.pi / 2) for turn in (0.0, math.pi))
            return ring, *(Solid(stroke.kind, quarter) for quarter in quarters)


def _bars(x: float, y: float, unit: float) -> tuple[Ends, ...]:
    """Return two bars on either side of a place."""
    half = SHIM_HALF * unit
    offsets = (way * off * unit for way in (-1.0, 1.0) for off in SHIMS_OFF)
    return tuple((x + off, y - half, x + off, y + half) for off in offsets)


def _thread(x: float, y: float, unit: float) -> tuple[Ends, ...]:
    """Return three slanted strokes side by side."""
    half, lean = SHIM_HALF * unit, 2.0 * unit
    places = (x + step * THREAD_STEP * unit for step in (-1.0, 0.0, 1.0))
    return tuple((at - lean, y + half, at + lean, y - half) for at in places)


def _sector(x: float, y: float, radius: float, start: float, sweep: float) -> Sequence[Place]:
    angles = [start + sweep * share / 12 for share in range(13)]
    arc = [(x + radius * math.cos(turn), y - radius * math.sin(turn)) for turn in angles]
    return arc if sweep >= math.tau else [*arc, (x, y)]


def dimensioned(stroke: Dimension, frame: Frame, unit: float) -> tuple[tuple[Shape, ...], Place]:
    """Return extension lines, dimension line and arrows, and where the figure belongs."""
    across, up = stroke.away
    size = math.hypot(across, up)
    away = across / size, -up / size
    along = -away[1], away[0]
    ends = sorted(
        (frame.to_device(stroke.start), frame.to_device(stroke.end)),
        key=lambda place: _dot(place, along),
    )
    level = max(_dot(place, away) for place in ends) + stroke.steps * DIMENSION_STEP * unit
    low, high = (_beside(place, away, level - _dot(place, away)) for place in ends)
    gap, beyond = EXTENSION_GAP * unit, EXTENSION_BEYOND * unit
    extensions = [
        (*_beside(place, away, gap), *_beside(foot, away, beyond))
        for place, foot in zip(ends, (low, high), strict=True)
    ]
    line, heads = _dimension_line(low, high, along, unit)
    arrows = (Solid(stroke.kind, head) for head in heads)
    middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    return (Lines(stroke.kind, (*extensions, line)), *arrows), middle


def _dot(one: Place, other: Place) -> float:
    return one[0] * other[0] + one[1] * other[1]


def _dimension_line(
    low: Place, high: Place, along: Place, unit: float
) -> tuple[Ends, tuple[Sequence[Place], Sequence[Place]]]:
    """Return the line and its two arrowheads, set outside where there is no room between."""
    back = -along[0], -along[1]
    if _dot(high, along) - _dot(low, along) > 3.0 * ARROW_LENGTH * unit:
        return (*low, *high), (arrowhead(low, back, unit), arrowhead(high, along, unit))
    tail = 2.0 * ARROW_LENGTH * unit
    heads = arrowhead(low, along, unit), arrowhead(high, back, unit)
    return (*_beside(low, along, -tail), *_beside(high, along, tail)), heads


def arrowhead(tip: Place, direction: Place, unit: float) -> Sequence[Place]:
    """Return a full arrowhead at `tip` that points along `direction` (a unit vector)."""
    back = _beside(tip, direction, -ARROW_LENGTH * unit)
    half = ARROW_WIDTH * unit / 2
    across = -direction[1] * half, direction[0] * half
    return tip, _beside(back, across, -1), _beside(back, across, 1)


def clipped(ends: Ends, area: Area) -> Ends | None:
    """Return the part of the line x1, y1, x2, y2 inside the rectangle x, y, w, h, if any.

    Liang and Barsky's way, ACM Transactions on Graphics 3 (1984) [from memory].
    """
    left, top, width, height = area
    x, y = ends[0], ends[1]
    across, down = ends[2] - x, ends[3] - y
    first, last = 0.0, 1.0
    for step, to_low, size in ((across, left - x, width), (down, top - y, height)):
        if step == 0.0:
            if not to_low <= 0.0 <= to_low + size:
                return None
            continue
        entry, leave = to_low / step, (to_low + size) / step
        if entry > leave:
            entry, leave = leave, entry
        first, last = max(first, entry), min(last, leave)
    if first >= last:
        return None
    return (
        x + first * across if first > 0.0 else x,
        y + first * down if first > 0.0 else y,
        x + last * across if last < 1.0 else ends[2],
        y + last * down if last < 1.0 else ends[3],
    )
