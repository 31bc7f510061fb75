"""Paints a laid-out drawing with a QPainter: on a view, a page or a picture."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from functools import lru_cache
from itertools import groupby, pairwise
from operator import attrgetter
from typing import Any, Final

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QPolygonF
from shiboken6 import VoidPtr

from app.drawing.layout import Layout, Text, lay_out
from app.drawing.shapes import Area, Chain, Floats, Lines, Place, Ring, Shape, Solid
from app.drawing.strokes import Drawing, LineKind
from app.drawing.views import Frame
from app.paint.handles import Attention, paint_handles
from app.paint.lettering import Lettering
from app.paint.palette import Inks
from app.paint.pens import STYLES, THIN, Pens
from app.paint.stamps import Stamps
from geometry.dataclass import dataclass

MM_PER_UNIT: Final = 0.25  # a thin line on paper
MANY: Final = 20  # from so many lines of a shape on they are kept


@dataclass(frozen=True)
class Medium:
    """What is painted on: inks, lettering, and the size of a unit in device units."""

    inks: Inks
    lettering: Lettering
    unit: float = 1.0
    on_screen: bool = False  # then what often comes again is kept as pictures
    pens: Pens = field(init=False, compare=False, repr=False)
    stamps: Stamps | None = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "pens", Pens(self.inks, self.unit))
        object.__setattr__(self, "stamps", Stamps() if self.on_screen else None)


def paper_medium(
    inks: Inks, dots_per_mm: float, text_height: float = 12.0, font: QFont | None = None
) -> Medium:
    """Return the medium of a page: thin lines are 0.25 mm, words `text_height` units high."""
    unit = MM_PER_UNIT * dots_per_mm
    return Medium(inks, Lettering(unit, text_height, font), unit)


def paint_drawing(
    painter: QPainter,
    drawing: Drawing,
    frame: Frame,
    area: Area,
    medium: Medium,
    attention: Attention | None = None,
    previous: Mapping[str, int] | None = None,
    keep_off: Iterable[Area] = (),
    trusting: bool = False,
    moving: bool = False,
) -> Layout:
    """Lay out and paint a drawing, cut off at the area, and return its layout."""
    measure = medium.lettering.measure
    unit, kept = medium.unit, previous
    layout = lay_out(drawing, frame, area, measure, unit, kept, keep_off, trusting, moving)
    painter.save()
    painter.setClipRect(QRectF(*area))
    paint_layout(painter, layout, medium, attention or Attention())
    painter.restore()
    return layout


def paint_layout(painter: QPainter, layout: Layout, medium: Medium, attention: Attention) -> None:
    """Paint shapes, then words, then handles."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for kind, shapes in groupby(layout.shapes, _kind):
        _paint_run(painter, kind, shapes, medium.pens)
    for text in layout.texts:
        _paint_text(painter, text, medium)
    paint_handles(painter, layout.handles, medium.pens, attention, medium.stamps)


_kind: Final = attrgetter("kind")


def _paint_run(painter: QPainter, kind: LineKind, shapes: Iterable[Shape], pens: Pens) -> None:
    """Paint shapes of one kind that follow each other: plain lines in one go, solids last."""
    style, lines, solids = STYLES[kind], [], []
    painter.setPen(pens.of(kind))
    for shape in shapes:
        if isinstance(shape, Lines):
            lines += _lines(shape)
        elif isinstance(shape, Solid):
            solids.append(shape)
        elif isinstance(shape, Chain) and not (shape.filled or style.dashes or _is_many(shape)):
            lines += _links(shape)
        else:
            if lines:
                painter.drawLines(lines)  # what is filled covers what comes before it
                lines = []
            _paint_area(painter, shape, pens)
    if lines:
        painter.drawLines(lines)
    if solids:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pens.colour(style.ink))
        for solid in solids:
            painter.drawConvexPolygon([QPointF(x, y) for x, y in solid.points])


def _lines(shape: Lines) -> list[QLineF]:
    segments = shape.segments
    return [QLineF(*ends) for ends in segments] if len(segments) < MANY else _kept_lines(shape)


@lru_cache(maxsize=16)
def _kept_lines(shape: Lines) -> list[QLineF]:
    """Return many lines, such as the hatching of the ground: the same shape often comes again."""
    return [QLineF(*ends) for ends in shape.segments]


def _links(chain: Chain) -> list[QLineF]:
    """Return a chain line by line: a wide one is painted so in a fifth of the time."""
    points = chain.points
    places = points.tolist() if isinstance(points, np.ndarray) else points
    ends = pairwise([*places, places[0]] if chain.closed else places)
    return [QLineF(*one, *other) for one, other in ends]


def _is_many(chain: Chain) -> bool:
    return isinstance(chain.points, np.ndarray)


def _paint_area(painter: QPainter, shape: Chain | Ring, pens: Pens) -> None:
    if isinstance(shape, Ring):
        _paint_ring(painter, shape, pens)
    else:
        _paint_chain(painter, shape, pens)


def _paint_chain(painter: QPainter, chain: Chain, pens: Pens) -> None:
    """Paint a chain: filled, dashed, or one of many links."""
    style, outline = STYLES[chain.kind], _polygon(chain.points)
    if chain.filled:
        _wash(painter, outline, pens)
        painter.setPen(pens.of(chain.kind))
    if style.width > THIN and not style.dashes:
        painter.drawLines(_links(chain))
        return
    if chain.closed:
        outline.append(outline.first())
    painter.drawPolyline(outline)


def _wash(painter: QPainter, outline: QPolygonF, pens: Pens) -> None:
    """Fill an area faintly; its edge is under a line, so it needs no smoothing."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(pens.colour("wash"))
    painter.drawPolygon(outline)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)


def _paint_ring(painter: QPainter, ring: Ring, pens: Pens) -> None:
    (x, y), radius = ring.centre, ring.radius
    painter.setBrush(pens.colour("wash") if ring.filled else Qt.BrushStyle.NoBrush)
    if ring.sweep == math.tau:
        painter.drawEllipse(QPointF(x, y), radius, radius)
        return
    box = QRectF(x - radius, y - radius, 2 * radius, 2 * radius)
    painter.drawArc(box, *(round(math.degrees(turn) * 16) for turn in (ring.start, ring.sweep)))


def _paint_text(painter: QPainter, text: Text, medium: Medium) -> None:
    """Paint words on a scrap of paper that keeps the grid out of them."""
    (x, y, width, height), pens = text.box, medium.pens
    scrap = QRectF(x - medium.unit, y, width + 2 * medium.unit, height)
    painter.fillRect(scrap, pens.colour("paper", 0.8))
    painter.setPen(pens.plain(STYLES[text.kind].words, 0.75))
    if text.leader:
        painter.drawLine(QLineF(*text.leader))
    painter.setFont(medium.lettering.font(text.bold))
    if medium.on_screen:
        painter.drawStaticText(QPointF(x, y), medium.lettering.set_up(text.text, text.bold))
    else:
        painter.drawText(QPointF(x, y + medium.lettering.ascent(text.bold)), text.text)


def _polygon(points: Floats | Sequence[Place]) -> QPolygonF:
    """Return points for Qt; those of an array are copied as a whole, since each counts."""
    if not isinstance(points, np.ndarray):
        return QPolygonF([QPointF(x, y) for x, y in points])
    polygon = QPolygonF()
    polygon.resize(len(points))
    first: Any = polygon.data()  # the stubs say a point; it is where the first one is kept
    memory: Any = VoidPtr(first, points.nbytes, True)  # type: ignore[call-arg]
    np.frombuffer(memory, dtype=float).reshape(-1, 2)[:] = points
    return polygon
