"""Paints charts on the screen: the net, curves with their bands, and marks."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise
from typing import Final

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.drawing.chart import DASHES, Look, Mark, Place, Rule, Strokes, Trace
from app.paint.palette import Inks

WIDTHS: Final[dict[Look, float]] = {
    "measured": 1.1,
    "proposed": 2.0,
    "bound": 1.3,
    "edge": 1.0,
    "second": 1.6,
}
INKS: Final[dict[Look, str]] = {"proposed": "ink", "second": "other"}  # the rest: the second ink
DOTTED: Final = (1.5, 2.5)  # the other limit: on paper it is a thin line, here there is more ink
RADIUS: Final = 4.0  # of marks [px]
SEEN_THROUGH: Final[dict[Look, int]] = {"measured": 20, "proposed": 38, "bound": 38, "edge": 38}
"""How much a band covers, of 255."""
STOP: Final = 5.0  # half the bar at a stop [px]


def paint_rules(painter: QPainter, rules: Iterable[Rule], inks: Inks) -> None:
    """Paint the net, on whole pixels; that of nought stronger, over the others."""
    for zero, ink in ((False, "grid_heavy"), (True, "soft")):
        painter.setPen(QPen(inks.colour(ink), 1))
        lines = [_crisp(rule) for rule in rules if rule.zero == zero]
        painter.drawLines(lines)


def paint_strokes(painter: QPainter, strokes: Strokes, inks: Inks) -> None:
    """Paint bands, curves and marks."""
    painter.setPen(Qt.PenStyle.NoPen)
    for area in strokes.areas:
        painter.setBrush(band_ink(area.look, inks))
        painter.drawPolygon(_polygon(area.places))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for trace in strokes.traces:
        _paint_trace(painter, trace, inks)
    paint_marks(painter, strokes.marks, inks)


def paint_marks(painter: QPainter, marks: Iterable[Mark], inks: Inks) -> None:
    """Paint marks of constant size."""
    for mark in marks:
        ink = inks.colour({"measured": "second", "second": "other"}.get(mark.look, "ink"))
        at = QPointF(*mark.at)
        if mark.sign == "cross":
            _paint_cross(painter, at, inks)
        elif mark.sign == "stop":  # a wheel's travel runs upwards
            painter.setPen(QPen(ink, 1.5))
            painter.drawLine(at - QPointF(STOP, 0.0), at + QPointF(STOP, 0.0))
        elif mark.sign == "dot":
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(ink)
            painter.drawEllipse(at, RADIUS + 0.5, RADIUS + 0.5)
        else:
            painter.setPen(QPen(ink, 1.5))
            painter.setBrush(inks.colour("paper"))
            radius = RADIUS if mark.sign == "ring" else RADIUS - 0.8
            painter.drawEllipse(at, radius, radius)


@lru_cache(maxsize=32)
def band_ink(look: Look, inks: Inks) -> QColor:
    """Return the ink of a band, through which the net and the other car's band are seen."""
    ink = QColor(inks.colour("ink"))
    ink.setAlpha(SEEN_THROUGH[look])
    return ink


@lru_cache(maxsize=32)
def curve_pen(look: Look, inks: Inks) -> QPen:
    """Return the pen of a curve: flat ends where it is dashed, square ones where it isn't."""
    pen = QPen(inks.colour(INKS.get(look, "second")), WIDTHS[look])
    dashes = DOTTED if look == "bound" else DASHES[look]
    pen.setCapStyle(Qt.PenCapStyle.FlatCap if dashes else Qt.PenCapStyle.SquareCap)
    if dashes:
        pen.setDashPattern(list(dashes))
    return pen


def _paint_trace(painter: QPainter, trace: Trace, inks: Inks) -> None:
    """Paint a curve; one without dashes link by link, which is painted several times as fast."""
    pen = curve_pen(trace.look, inks)
    painter.setPen(pen)
    if pen.style() == Qt.PenStyle.SolidLine:
        painter.drawLines([QLineF(*start, *end) for start, end in pairwise(trace.places)])
    else:
        painter.drawPolyline(_polygon(trace.places))


def _paint_cross(painter: QPainter, at: QPointF, inks: Inks) -> None:
    arm = RADIUS - 0.5
    painter.setPen(QPen(inks.colour("accent"), 1.5))
    painter.drawLine(at + QPointF(-arm, -arm), at + QPointF(arm, arm))
    painter.drawLine(at + QPointF(-arm, arm), at + QPointF(arm, -arm))


def _polygon(places: Iterable[Place]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in places])


def _crisp(rule: Rule) -> QLineF:
    (x, y), (right, bottom) = rule.start, rule.end
    if x == right:
        return QLineF(round(x), y, round(x), bottom)
    return QLineF(x, round(y), right, round(y))
