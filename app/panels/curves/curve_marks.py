"""The small marks of a plot in one cheap item: the pose's dots, and where a curve breaks off."""

from __future__ import annotations

from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QStyleOptionGraphicsItem, QWidget

from app.paint.palette import LIGHT, Inks
from app.qt.border import fenced

Spot = tuple[float, float]
RADIUS = 4.0  # [px]


@fenced
class CurveMarks(pg.GraphicsObject):  # type: ignore[misc]
    """Ring: measured; dot: proposed; cross: here a curve can't go on. Places are the plot's."""

    def __init__(self) -> None:
        super().__init__()
        self.inks: Inks = LIGHT
        self.ring: Spot | None = None
        self.dot: Spot | None = None
        self.crosses: list[Spot] = []

    def show_dots(self, ring: Spot | None, dot: Spot | None) -> None:
        """Show the pose of the measured and of the proposed car."""
        if (ring, dot) != (self.ring, self.dot):
            self.ring, self.dot = ring, dot
            self.update()

    def show_crosses(self, crosses: list[Spot]) -> None:
        """Show where curves break off."""
        if crosses != self.crosses:
            self.crosses = crosses
            self.update()

    def boundingRect(self) -> QRectF:
        """Return all that is in view, with room for a mark at the edge."""
        view: Any = self.viewRect()
        return QRectF() if view is None else QRectF(view)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Paint the marks in pixels."""
        places = painter.transform()
        painter.resetTransform()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)

        def pixel(spot: Spot) -> QPointF:
            return places.map(QPointF(*spot))

        painter.setPen(QPen(self.inks.colour("accent"), 1.5))
        for spot in self.crosses:
            at, arm = pixel(spot), RADIUS - 0.5
            painter.drawLine(at + QPointF(-arm, -arm), at + QPointF(arm, arm))
            painter.drawLine(at + QPointF(-arm, arm), at + QPointF(arm, -arm))
        if self.ring is not None:
            painter.setPen(QPen(self.inks.colour("second"), 1.5))
            painter.setBrush(QColor(self.inks.paper))
            painter.drawEllipse(pixel(self.ring), RADIUS, RADIUS)
        if self.dot is not None:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self.inks.colour("ink"))
            painter.drawEllipse(pixel(self.dot), RADIUS + 0.5, RADIUS + 0.5)
