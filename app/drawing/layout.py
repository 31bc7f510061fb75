"""Lays a drawing out on a device: simple shapes, and words where there is room for them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from app.drawing.labels import Obstacles, Placed, Request, place_labels
from app.drawing.shapes import (
    ARROW_LENGTH,
    Area,
    Chain,
    Floats,
    Lines,
    Place,
    Ring,
    Shape,
    Solid,
    arrowhead,
    clipped,
    coiled,
    dimensioned,
    hatched,
    marked,
    telescoped,
)
from app.drawing.strokes import (
    Arc,
    Circle,
    Coil,
    Damper,
    Dimension,
    Drawing,
    Handle,
    Hatch,
    Label,
    LineKind,
    Mark,
    OffViewPointer,
    Polyline,
    Side,
    Stroke,
)
from app.drawing.views import Frame

Measure = Callable[[str, bool], tuple[float, float]]  # text, bold -> width, height

HANDLE_BOX: Final = 15.0  # what labels keep off around a handle, in units
POINTER_INSET: Final = 4.0  # arrows end this far inside the edge, in units
SMALL_RING: Final = 12.0  # a smaller one is kept off as a diamond, in units
CORNERS: Final = {many: np.linspace(0.0, 1.0, many + 1) for many in (4, 20)}


@dataclass(frozen=True, slots=True)
class Words:
    """A text that wants a place."""

    key: str
    text: str
    kind: LineKind
    bold: bool
    anchor: Place
    prefer: Side
    priority: int


@dataclass(frozen=True, slots=True)
class Text:
    """A text in its place: the box x, y, w, h, and the leader x1, y1, x2, y2 to its anchor."""

    text: str
    kind: LineKind
    bold: bool
    box: Area
    leader: Area | None = None


@dataclass(frozen=True, slots=True)
class Layout:
    """What a painter paints, in order, and the slots to hand in for the next frame."""

    shapes: tuple[Shape, ...] = ()
    texts: tuple[Text, ...] = ()
    handles: tuple[tuple[Handle, Place], ...] = ()
    slots: Mapping[str, int] = field(default_factory=dict)


def lay_out(
    drawing: Drawing,
    frame: Frame,
    area: Area,
    measure: Measure,
    unit: float = 1.0,
    previous: Mapping[str, int] | None = None,
    keep_off: Iterable[Area] = (),
) -> Layout:
    """Return the drawing as shapes and placed words; words keep off the areas `keep_off`."""
    shapes: list[Shape] = []
    words: list[Words] = []
    for index, stroke in enumerate(drawing.strokes):
        drawn, said = _shaped(stroke, str(index), frame, area, unit)
        shapes += drawn
        words += said
    handles = tuple((s, frame.to_device(s.at)) for s in drawing.strokes if isinstance(s, Handle))
    half = HANDLE_BOX * unit / 2
    boxes = [(x - half, y - half, 2 * half, 2 * half) for _, (x, y) in handles] + list(keep_off)
    obstacles = Obstacles(_segments(shapes, unit), np.array(boxes, dtype=float).reshape(-1, 4))
    requests = [_request(w, measure) for w in words]
    placed = place_labels(requests, obstacles, area, unit, previous)
    texts = tuple(_text(w, placed[w.key], unit) for w in words if w.key in placed)
    slots = {key: place.slot for key, place in placed.items()}
    return Layout(tuple(shapes), texts, handles, slots)


def _shaped(
    stroke: Stroke, key: str, frame: Frame, area: Area, unit: float
) -> tuple[tuple[Shape, ...], tuple[Words, ...]]:
    match stroke:
        case Label():
            return (), (_label_words(stroke, key, frame),)
        case Dimension():
            shapes, anchor = dimensioned(stroke, frame, unit)
            return shapes, (_dimension_words(stroke, key, anchor),)
        case OffViewPointer():
            return _pointed(stroke, key, frame, area, unit)
        case _:
            return _plain_shapes(stroke, frame, area, unit), ()


def _plain_shapes(stroke: Stroke, frame: Frame, area: Area, unit: float) -> tuple[Shape, ...]:
    """Return the shapes of a stroke without words."""
    match stroke:
        case Polyline(points=points) if len(points) == 2:
            start, end = points.tolist()
            seen = clipped((*frame.to_device(start), *frame.to_device(end)), area)
            return (Lines(stroke.kind, np.array([seen])),) if seen else ()
        case Polyline(points=points):
            return (Chain(stroke.kind, frame.map(points), stroke.closed, stroke.filled),)
        case Circle(centre=centre, radius=radius):
            place = frame.to_device(centre)
            return (Ring(stroke.kind, place, radius * frame.scale, stroke.filled),)
        case Arc(centre=centre, radius=radius, start=start, sweep=sweep):
            place = frame.to_device(centre)
            return (Ring(stroke.kind, place, radius * frame.scale, False, start, sweep),)
        case Hatch():
            return hatched(stroke, frame, area, unit)
        case Coil():
            return coiled(stroke, frame)
        case Damper():
            return telescoped(stroke, frame)
        case Mark():
            return marked(stroke, frame, unit)
        case _:
            return ()


def _pointed(
    stroke: OffViewPointer, key: str, frame: Frame, area: Area, unit: float
) -> tuple[tuple[Shape, ...], tuple[Words, ...]]:
    """Return the line to a centre; where it leaves the area an arrow, and the words there."""
    ends = (*frame.to_device(stroke.start), *frame.to_device(stroke.target))
    inset = POINTER_INSET * unit
    x, y, width, height = area
    seen = clipped(ends, (x + inset, y + inset, width - 2 * inset, height - 2 * inset))
    if seen is None:
        return (), ()
    line, tip = Lines(stroke.kind, np.array([seen])), np.array(seen[2:])
    if seen[2:] == ends[2:]:
        return (line,), ()
    length = math.dist(ends[:2], ends[2:])
    direction = np.array([(ends[2] - ends[0]) / length, (ends[3] - ends[1]) / length])
    head = Solid(stroke.kind, arrowhead(tip, direction, unit))
    words = _pointer_words(stroke, key, tip - 1.5 * ARROW_LENGTH * unit * direction)
    return (line, head), words


def _pointer_words(stroke: OffViewPointer, key: str, anchor: Floats) -> tuple[Words, ...]:
    if not stroke.text:
        return ()
    at = float(anchor[0]), float(anchor[1])
    key = stroke.key or key
    return (Words(key, stroke.text, stroke.kind, False, at, "above", stroke.priority),)


def _label_words(stroke: Label, key: str, frame: Frame) -> Words:
    key, at = stroke.key or key, frame.to_device(stroke.at)
    return Words(key, stroke.text, stroke.kind, stroke.bold, at, stroke.prefer, stroke.priority)


def _dimension_words(stroke: Dimension, key: str, anchor: Place) -> Words:
    across, up = stroke.away
    beside: Side = "right" if across > 0 else "left"
    beyond: Side = "above" if up > 0 else "below"
    prefer = beside if abs(across) > abs(up) else beyond
    key = stroke.key or key
    return Words(key, stroke.text, stroke.kind, True, anchor, prefer, stroke.priority)


def _request(words: Words, measure: Measure) -> Request:
    size = measure(words.text, words.bold)
    return Request(words.key, words.anchor, size, words.prefer, words.priority)


def _text(words: Words, place: Placed, unit: float) -> Text:
    leader = _leader(words.anchor, place.box, unit) if place.leader else None
    return Text(words.text, words.kind, words.bold, place.box, leader)


def _leader(anchor: Place, box: Area, unit: float) -> Area:
    """Return the line from the nearest edge of the box to just before the anchor."""
    left, top, width, height = box
    x = min(max(anchor[0], left), left + width)
    if left < anchor[0] < left + width:
        y = top if anchor[1] < top else top + height
    else:
        x += math.copysign(2.0 * unit, anchor[0] - x)
        y = top + height / 2
    length = max(math.hypot(anchor[0] - x, anchor[1] - y), 1e-9)
    short = min(4.0 * unit / length, 1.0)
    return x, y, anchor[0] + short * (x - anchor[0]), anchor[1] + short * (y - anchor[1])


def _segments(shapes: Iterable[Shape], unit: float) -> Floats:
    """Return the straight lines, shape (n, 4), that words keep off; arrowheads are on such."""
    parts = [_outline(shape, unit) for shape in shapes if not isinstance(shape, Solid)]
    return np.concatenate(parts) if parts else np.empty((0, 4))


def _outline(shape: Lines | Chain | Ring, unit: float) -> Floats:
    match shape:
        case Lines(segments=segments, avoid=avoid):
            return segments if avoid is None else avoid
        case Chain(points=points, closed=closed):
            corners = np.concatenate([points, points[:1]]) if closed else points
            return np.concatenate([corners[:-1], corners[1:]], axis=1)
        case Ring(centre=(x, y), radius=radius, start=start, sweep=sweep):
            turns = start + sweep * CORNERS[4 if radius < SMALL_RING * unit else 20]
            edge = np.column_stack([x + radius * np.cos(turns), y - radius * np.sin(turns)])
            return np.concatenate([edge[:-1], edge[1:]], axis=1)
