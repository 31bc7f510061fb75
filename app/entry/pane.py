"""A pane with a drawing that always fits it: the pictures, and the car measured so far."""

from __future__ import annotations

from math import hypot
from typing import Final

import numpy as np
from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from app.drawing.strokes import Bounds, Drawing, Handle
from app.drawing.views import Frame, centred_frame, fitting_scale
from app.paint.handles import Attention
from app.paint.lettering import screen_lettering
from app.paint.painter import Medium, paint_drawing
from app.paint.palette import PALETTES
from app.qt.border import fenced

MARGIN: Final = 14.0  # px around a fitted drawing
NEAR: Final = 12.0  # px, how near a press must be to a point
RULES: Final = (("grid_middle", 0.5), ("grid_heavy", 1.0))  # inks and steps of the ruling


@fenced
class Pane(QWidget):
    """Paper with a drawing on it; a press on a point tells its key."""

    picked = Signal(str)

    def __init__(self, title: str, parent: QWidget | None = None, plain: bool = False) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.title = title
        self.drawing = Drawing()
        self._plain = plain
        self._step = 100.0  # mm
        self._attention = Attention()
        self._medium = Medium(PALETTES["light"], screen_lettering())

    def show_drawing(self, drawing: Drawing, selected: str = "", words: str = "") -> None:
        """Show a drawing with one point marked; `words` are what a screen reader says of it."""
        self.drawing = drawing
        self._attention = Attention(frozenset({selected} if selected else ()))
        self.setAccessibleName(words or self.title)
        self.update()

    def set_palette_name(self, name: str) -> None:
        """Take the inks of a paper."""
        self._medium = Medium(PALETTES[name], self._medium.lettering)
        self.update()

    def set_step(self, step: float) -> None:
        """Rule the paper at steps in mm."""
        self._step = step
        self.update()

    def sizeHint(self) -> QSize:
        """Return a comfortable size."""
        return QSize(280, 200)

    def minimumSizeHint(self) -> QSize:
        """Return the least size at which a drawing can be read."""
        return QSize(110, 90)

    def frame(self) -> Frame:
        """Return where the paper lies in the pane."""
        bounds = self.drawing.bounds or Bounds(0.0, 0.0, 800.0, 600.0)
        width, height = self.width() - 2 * MARGIN, self.height() - 2 * MARGIN
        scale = fitting_scale(bounds, max(width, 1.0), max(height, 1.0))
        return centred_frame(bounds, scale, self.width(), self.height())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Tell which point was pressed."""
        frame, at = self.frame(), event.position()
        handles = [stroke for stroke in self.drawing.strokes if isinstance(stroke, Handle)]
        places = [(frame.to_device(handle.at), handle.key) for handle in handles]
        near = [(hypot(x - at.x(), y - at.y()), key) for (x, y), key in places]
        if near and min(near)[0] < NEAR:
            self.picked.emit(min(near)[1])

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint paper, ruling, drawing and title."""
        inks, frame = self._medium.inks, self.frame()
        box = QRectF(self.rect())
        with QPainter(self) as painter:
            painter.fillRect(box, inks.colour("paper"))
            if not self._plain:
                self._paint_ruling(painter, frame)
            title = self._title_box()
            area = (box.x(), box.y(), box.width(), box.height())
            keep_off = [(title.x(), title.y(), title.width(), title.height())]
            paint_drawing(
                painter, self.drawing, frame, area, self._medium, self._attention, None, keep_off
            )
            painter.setFont(self._medium.lettering.small)
            painter.setPen(inks.colour("second"))
            painter.drawText(title, Qt.AlignmentFlag.AlignVCenter, self.title)
            painter.setPen(QPen(inks.colour("grid_heavy"), 1))
            painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))

    def _title_box(self) -> QRectF:
        width, height = self._medium.lettering.measure(self.title, False)
        return QRectF(8, 5, width, height)

    def _paint_ruling(self, painter: QPainter, frame: Frame) -> None:
        left, top = frame.to_paper(0, 0)
        right, bottom = frame.to_paper(self.width(), self.height())
        for ink, share in RULES:
            step = share * self._step
            painter.setPen(QPen(self._medium.inks.colour(ink), 1))
            us = np.arange(np.ceil(left / step), np.floor(right / step) + 1) * step
            vs = np.arange(np.ceil(bottom / step), np.floor(top / step) + 1) * step
            lines = [self._upright(frame.to_device((u, 0.0))[0]) for u in us.tolist()]
            lines += [self._level(frame.to_device((0.0, v))[1]) for v in vs.tolist()]
            painter.drawLines(lines)

    def _upright(self, x: float) -> QLineF:
        return QLineF(QPointF(round(x) + 0.5, 0), QPointF(round(x) + 0.5, self.height()))

    def _level(self, y: float) -> QLineF:
        return QLineF(QPointF(0, round(y) + 0.5), QPointF(self.width(), round(y) + 0.5))
