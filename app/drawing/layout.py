"""Lays a drawing out on a device: simple shapes, and words where there is room for them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import field
from itertools import pairwise
from typing import Final

import numpy as np

from app.drawing.labels import Obstacles, Placed, Request, place_labels, places_of, slots_of
from app.drawing.shapes import (
    ARROW_LENGTH,
    Area,
    Chain,
    Ends,
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
from geometry.dataclass import dataclass

Measure = Callable[[str, bool], tuple[float, float]]  # text, bold -> width, height

HANDLE_BOX: Final = 15.0  # what labels keep off around a handle, in units
POINTER_INSET: Final = 4.0  # arrows end this far inside the edge, in units
SMALL_RING: Final = 12.0  # a smaller one is kept off as a diamond, in units
CORNERS: Final = 20  # of a larger ring or arc


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
    trusting: bool = False,
    moving: bool = False,
) -> Layout:
    """Return the drawing as shapes and placed words; words keep off the areas `keep_off`.

    Trusting, words take the `previous` slots as they are, which halves the time; while the drawing
    is `moving`, they are disentangled no further than a frame has time for.
    """
    sheet = _Sheet(frame, area, unit)
    for index, stroke in enumerate(drawing.strokes):
        sheet.take(stroke, str(index))
    requests = [_request(word, measure) for word in sheet.words]
    placed = places_of(requests, previous or {}, area, unit) if trusting else None
    if placed is None:
        placed = place_labels(requests, sheet.obstacles(keep_off), area, unit, previous, moving)
    texts = tuple(_text(w, placed[w.key], unit) for w in sheet.words if w.key in placed)
    slots = slots_of(requests, placed)
    return Layout(tuple(sheet.shapes), texts, tuple(sheet.handles), slots)


class _Sheet:
    """What strokes come to on a device."""

    def __init__(self, frame: Frame, area: Area, unit: float) -> None:
        self.frame, self.area, self.unit = frame, area, unit
        self.shapes: list[Shape] = []
        self.words: list[Words] = []
        self.handles: list[tuple[Handle, Place]] = []

    def take(self, stroke: Stroke, key: str) -> None:
        """Add a stroke; `key` names its words where the stroke doesn't."""
        match stroke:
            case Polyline():
                self._polyline(stroke)
            case Handle():
                self.handles.append((stroke, self.frame.to_device(stroke.at)))
            case Label():
                self.words.append(_label_words(stroke, key, self.frame))
            case Dimension():
                shapes, anchor = dimensioned(stroke, self.frame, self.unit)
                self.shapes += shapes
                self.words.append(_dimension_words(stroke, key, anchor))
            case OffViewPointer():
                self._pointer(stroke, key)
            case _:
                self.shapes += _plain_shapes(stroke, self.frame, self.area, self.unit)

    def obstacles(self, keep_off: Iterable[Area]) -> Obstacles:
        """Return what words keep off: lines, handles, and areas."""
        half = HANDLE_BOX * self.unit / 2
        boxes = [(x - half, y - half, 2 * half, 2 * half) for _, (x, y) in self.handles]
        boxes += keep_off
        lines = _segments(self.shapes, self.unit)
        return Obstacles(lines, np.array(boxes, dtype=float).reshape(-1, 4))

    def _polyline(self, stroke: Polyline) -> None:
        points, place = stroke.points, self.frame.to_device
        if len(points) == 2:
            start, end = points.tolist() if isinstance(points, np.ndarray) else points
            piece = clipped((*place(start), *place(end)), self.area)
            if piece is not None:
                self._line(stroke.kind, piece)
            return
        mapped: Floats | list[Place]
        if isinstance(points, np.ndarray):
            mapped = self.frame.map(points)
        else:
            mapped = [place(corner) for corner in points]
        self.shapes.append(Chain(stroke.kind, mapped, stroke.closed, stroke.filled))

    def _line(self, kind: LineKind, ends: Ends) -> None:
        """Add a line, to those of its kind where some were the last to be added."""
        last = self.shapes[-1] if self.shapes else None
        if isinstance(last, Lines) and last.kind is kind and isinstance(last.segments, list):
            last.segments.append(ends)
        else:
            self.shapes.append(Lines(kind, [ends]))

    def _pointer(self, stroke: OffViewPointer, key: str) -> None:
        """Add the line to a centre; where it leaves the area an arrow, and the words there."""
        start, target = self.frame.to_device(stroke.start), self.frame.to_device(stroke.target)
        inset = POINTER_INSET * self.unit
        x, y, width, height = self.area
        inner = (x + inset, y + inset, width - 2 * inset, height - 2 * inset)
        piece = clipped((*start, *target), inner)
        if piece is None:
            return
        self.shapes.append(Lines(stroke.kind, (piece,)))
        if piece[2:] == target:
            return
        length = math.dist(start, target)
        across, down = (target[0] - start[0]) / length, (target[1] - start[1]) / length
        head = arrowhead(piece[2:], (across, down), self.unit)
        self.shapes.append(Solid(stroke.kind, head))
        in_view = x <= target[0] <= x + width and y <= target[1] <= y + height
        if stroke.text and not in_view:  # a centre in view has a label of its own
            back = 1.5 * ARROW_LENGTH * self.unit
            anchor = piece[2] - back * across, piece[3] - back * down
            self.words.append(_pointer_words(stroke, key, anchor))


def _plain_shapes(stroke: Stroke, frame: Frame, area: Area, unit: float) -> tuple[Shape, ...]:
    """Return the shapes of a stroke without words."""
    match stroke:
        case Circle():
            place = frame.to_device(stroke.centre)
            return (Ring(stroke.kind, place, stroke.radius * frame.scale, stroke.filled),)
        case Arc():
            place, radius = frame.to_device(stroke.centre), stroke.radius * frame.scale
            return (Ring(stroke.kind, place, radius, False, stroke.start, stroke.sweep),)
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


def _pointer_words(stroke: OffViewPointer, key: str, anchor: Place) -> Words:
    key = stroke.key or key
    return Words(key, stroke.text, stroke.kind, False, anchor, "above", stroke.priority)


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
    lines: list[Ends] = []
    chains: list[Floats] = []
    for shape in shapes:
        match shape:
            case Lines():
                lines += shape.segments if shape.avoid is None else shape.avoid
            case Ring():
                lines += _around(shape, unit)
            case Chain(points=points) if isinstance(points, np.ndarray):
                corners = np.concatenate([points, points[:1]]) if shape.closed else points
                chains.append(np.hstack([corners[:-1], corners[1:]]))
            case Chain(points=points):
                places = [*points, points[0]] if shape.closed else points
                lines += [(*one, *other) for one, other in pairwise(places)]
    return np.concatenate([np.array(lines, dtype=float).reshape(-1, 4), *chains])


def _around(ring: Ring, unit: float) -> Iterable[Ends]:
    """Return a ring as a diamond where it is small, else with many corners."""
    (x, y), r = ring.centre, ring.radius
    if r < SMALL_RING * unit:
        return (
            (x + r, y, x, y - r),
            (x, y - r, x - r, y),
            (x - r, y, x, y + r),
            (x, y + r, x + r, y),
        )
    turns = (ring.start + ring.sweep * corner / CORNERS for corner in range(CORNERS + 1))
    edge = ((x + r * math.cos(turn), y - r * math.sin(turn)) for turn in turns)
    return [(*one, *other) for one, other in pairwise(edge)]
