"""Small buttons with drawn signs, since fonts don't have them all: copy, up, down, cross, play."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPainterPath, QPaintEvent, QPalette, QPen, QPolygonF
from PySide6.QtWidgets import QToolButton

from app.qt.border import fenced

SIDE: Final = 24  # of a button [px]


def _copy() -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(-5, -2, 7, 7))
    path.addPolygon(QPolygonF([QPointF(-2, -2), QPointF(-2, -5), QPointF(5, -5)]))
    path.addPolygon(QPolygonF([QPointF(5, -5), QPointF(5, 2), QPointF(2, 2)]))
    return path


def _up() -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(-4, -1), QPointF(0, -5), QPointF(4, -1)]))
    path.moveTo(0, -5)
    path.lineTo(0, 5)
    return path


def _down() -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(-4, 1), QPointF(0, 5), QPointF(4, 1)]))
    path.moveTo(0, 5)
    path.lineTo(0, -5)
    return path


def _cross() -> QPainterPath:
    path = QPainterPath()
    path.moveTo(-4, -4)
    path.lineTo(4, 4)
    path.moveTo(4, -4)
    path.lineTo(-4, 4)
    return path


def _play() -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF([QPointF(-3, -5), QPointF(5, 0), QPointF(-3, 5), QPointF(-3, -5)]))
    return path


def _stop() -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(-4, -4, 8, 8))
    return path


SIGNS: Final[dict[str, Callable[[], QPainterPath]]] = {
    "copy": _copy,
    "up": _up,
    "down": _down,
    "cross": _cross,
    "play": _play,
    "stop": _stop,
}


@fenced
class SignButton(QToolButton):
    """A flat square button with a sign drawn in the palette's ink."""

    def __init__(self, sign: str, tip: str) -> None:
        super().__init__()
        self.sign = sign
        self.setToolTip(tip)
        self.setAccessibleName(tip)
        self.setAutoRaise(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFixedSize(SIDE, SIDE)

    def show_sign(self, sign: str) -> None:
        """Draw another sign."""
        self.sign = sign
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the sign, a wash under the pointer, and a ring where the keyboard is."""
        group = QPalette.ColorGroup.Active if self.isEnabled() else QPalette.ColorGroup.Disabled
        palette = self.palette()
        ink = palette.color(group, QPalette.ColorRole.ButtonText)
        with QPainter(self) as painter:
            if self.isEnabled() and (self.underMouse() or self.isDown()):
                painter.fillRect(self.rect(), palette.color(QPalette.ColorRole.AlternateBase))
            if self.hasFocus():
                painter.setPen(QPen(palette.color(QPalette.ColorRole.Accent), 1.5))
                painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.translate(SIDE / 2, SIDE / 2)
            painter.setPen(QPen(ink, 1.4))
            filled = self.sign in ("play", "stop")
            painter.setBrush(ink if filled else Qt.BrushStyle.NoBrush)
            painter.drawPath(SIGNS[self.sign]())

    def sizeHint(self) -> QSize:
        """Return a square."""
        return QSize(SIDE, SIDE)
