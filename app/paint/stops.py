"""Paints the stops of points that may move: arrow heads at which they can be taken hold of."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from app.drawing.stops import sign_place, sign_way
from app.drawing.strokes import Stop
from app.drawing.views import Frame
from app.paint.handles import Attention
from app.paint.pens import Pens

HALF: Final = 4.0  # half the width of a head, in units
LONG: Final = 5.0
RING: Final = 8.5


def paint_stops(
    painter: QPainter, stops: Iterable[Stop], frame: Frame, pens: Pens, attention: Attention
) -> None:
    """Paint all stops: heads that point outwards; under pointer or keyboard in the first ink."""
    for stop in stops:
        at = QPointF(*sign_place(stop, frame))
        is_near = stop.key in (attention.hovered, attention.focused)
        if is_near:
            dashed = QPen(pens.plain("ink", 1.25))
            dashed.setDashPattern([3.0, 2.2])
            painter.setPen(dashed if stop.key == attention.focused else Qt.PenStyle.NoPen)
            painter.setBrush(pens.colour("ink", 0.14))
            painter.drawEllipse(at, RING * pens.unit, RING * pens.unit)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pens.colour("ink" if is_near else "second"))
        painter.drawPolygon(_head(at, *sign_way(stop), pens.unit))


def _head(at: QPointF, right: float, down: float, unit: float) -> QPolygonF:
    """Return a triangle whose foot stands at a place."""
    along, across = QPointF(right, down) * (LONG * unit), QPointF(-down, right) * (HALF * unit)
    return QPolygonF([at + across, at - across, at + along])
