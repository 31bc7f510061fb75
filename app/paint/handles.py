"""Paints the points that can be taken hold of, and what has the user's attention."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.drawing.shapes import Place
from app.drawing.strokes import Handle, HandleShape
from app.paint.palette import Inks

HALF: Final = 4.25  # half the width of a handle, in units
MOVED_RING: Final = 8.5
SELECTED_RING: Final = 8.5
HOVER_DISC: Final = 12.0
FOCUS_RING: Final = 12.5


@dataclass(frozen=True)
class Attention:
    """Keys of handles and grips: selected, under the pointer, and taking the keyboard."""

    selected: frozenset[str] = frozenset()
    hovered: str | None = None
    focused: str | None = None


def paint_handles(
    painter: QPainter,
    handles: Iterable[tuple[Handle, Place]],
    inks: Inks,
    unit: float,
    attention: Attention,
) -> None:
    """Paint all handles, each with the rings that tell its state."""
    for handle, (x, y) in handles:
        place = QPointF(x, y)
        _paint_rings(painter, handle, place, inks, unit, attention)
        _paint_body(painter, handle, place, inks, unit, handle.key in attention.selected)
        if handle.locked:
            _paint_padlock(painter, place, inks, unit)


def _paint_rings(
    painter: QPainter, handle: Handle, at: QPointF, inks: Inks, unit: float, attention: Attention
) -> None:
    """Hovered: disc. Selected: thick ring. Moved: thin accent ring. Keyboard: dashed ring."""
    accent, ink = inks.colour("accent"), inks.colour("ink")
    if handle.key == attention.hovered:
        halo = inks.colour("ink")
        halo.setAlphaF(0.14)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(halo)
        painter.drawEllipse(at, HOVER_DISC * unit, HOVER_DISC * unit)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if handle.key in attention.selected:
        _ring(painter, at, SELECTED_RING * unit, QPen(accent if handle.moved else ink, 2.5 * unit))
    elif handle.moved:
        _ring(painter, at, MOVED_RING * unit, QPen(accent, 1.25 * unit))
    if handle.key == attention.focused:
        dashed = QPen(ink, 1.25 * unit, Qt.PenStyle.CustomDashLine)
        dashed.setDashPattern([3.0, 2.2])
        _ring(painter, at, FOCUS_RING * unit, dashed)


def _ring(painter: QPainter, at: QPointF, radius: float, pen: QPen) -> None:
    painter.setPen(pen)
    painter.drawEllipse(at, radius, radius)


def _paint_body(
    painter: QPainter, handle: Handle, at: QPointF, inks: Inks, unit: float, selected: bool
) -> None:
    """Square: fixed to the body. Circle: a joint. Full when selected, crossed when wrong."""
    ink = inks.colour("accent" if handle.moved or handle.wrong else "ink")
    painter.setPen(QPen(ink, 1.75 * unit))
    painter.setBrush(ink if selected else inks.colour("paper"))
    half = HALF * unit
    if handle.shape is HandleShape.SQUARE:
        half *= 0.94
        painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
    else:
        painter.drawEllipse(at, half, half)
    if handle.wrong:
        _paint_cross(painter, at, 2.4 * half)


def _paint_cross(painter: QPainter, at: QPointF, half: float) -> None:
    painter.drawLine(at - QPointF(half, half), at + QPointF(half, half))
    painter.drawLine(at - QPointF(half, -half), at + QPointF(half, -half))


def _paint_padlock(painter: QPainter, at: QPointF, inks: Inks, unit: float) -> None:
    """Paint a small padlock at the lower right of a handle."""
    left, top = at.x() + 5.5 * unit, at.y() + 5.5 * unit
    ink = inks.colour("ink")
    painter.setPen(QPen(ink, 1.25 * unit))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawArc(QRectF(left + 1.5 * unit, top - 3 * unit, 4 * unit, 6 * unit), 0, 180 * 16)
    painter.fillRect(QRectF(left, top, 7 * unit, 5 * unit), ink)
