"""Paints the points that can be taken hold of, and what has the user's attention."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.drawing.shapes import Place
from app.drawing.strokes import Handle, HandleShape
from app.paint.pens import Pens
from app.paint.stamps import Stamps
from geometry.dataclass import dataclass

HALF: Final = 4.25  # half the width of a handle, in units
MOVED_RING: Final = 8.5
SELECTED_RING: Final = 8.5
HOVER_DISC: Final = 12.0
FOCUS_RING: Final = 12.5
CORNERS: Final = 9.0  # half the width of the square that a result's corners stand in, in units
CORNER: Final = 3.5


@dataclass(frozen=True)
class Attention:
    """Keys of handles and grips: selected, under the pointer, and taking the keyboard."""

    selected: frozenset[str] = frozenset()
    hovered: str | None = None
    focused: str | None = None


def paint_handles(
    painter: QPainter,
    handles: Iterable[tuple[Handle, Place]],
    pens: Pens,
    attention: Attention,
    stamps: Stamps | None = None,
) -> None:
    """Paint all handles, each with the rings that tell its state; on a screen by stamps."""
    plain = stamps if painter.deviceTransform().m11() == 1.0 else None  # or they would blur
    for handle, place in handles:
        odd = handle.locked or handle.wrong or handle.key in (attention.hovered, attention.focused)
        paint = partial(_paint_handle, handle=handle, pens=pens, attention=attention)
        if plain is None or odd:
            paint(painter, QPointF(*place))
        else:
            look = (handle.shape, handle.moved, handle.key in attention.selected)
            plain.put(painter, look, place, paint)


def _paint_handle(
    painter: QPainter, at: QPointF, handle: Handle, pens: Pens, attention: Attention
) -> None:
    _paint_rings(painter, handle, at, pens, attention)
    _paint_body(painter, handle, at, pens, handle.key in attention.selected)
    if handle.locked:
        _paint_padlock(painter, at, pens)


def _paint_rings(
    painter: QPainter, handle: Handle, at: QPointF, pens: Pens, attention: Attention
) -> None:
    """Hovered: disc. Selected: thick ring. Moved: thin accent ring. Keyboard: dashed ring."""
    unit = pens.unit
    if handle.key == attention.hovered:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pens.colour("ink", 0.14))
        painter.drawEllipse(at, HOVER_DISC * unit, HOVER_DISC * unit)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if handle.key in attention.selected:
        pen = pens.plain("accent" if handle.moved else "ink", 2.5)
        _ring(painter, at, SELECTED_RING * unit, pen)
    elif handle.moved:
        _ring(painter, at, MOVED_RING * unit, pens.plain("accent", 1.25))
    if handle.key == attention.focused:
        dashed = QPen(pens.plain("ink", 1.25))
        dashed.setDashPattern([3.0, 2.2])
        _ring(painter, at, FOCUS_RING * unit, dashed)


def _ring(painter: QPainter, at: QPointF, radius: float, pen: QPen) -> None:
    painter.setPen(pen)
    painter.drawEllipse(at, radius, radius)


def _paint_body(painter: QPainter, handle: Handle, at: QPointF, pens: Pens, selected: bool) -> None:
    """Square: fixed to the body. Circle: a joint. Full when selected, crossed when wrong.

    A result has its mark already: corners about it say that it can be taken hold of.
    """
    if handle.shape is HandleShape.RESULT:
        painter.setPen(pens.plain("accent", 1.25))
        _paint_corners(painter, at, CORNERS * pens.unit, CORNER * pens.unit)
        return
    ink = "accent" if handle.moved or handle.wrong else "ink"
    painter.setPen(pens.plain(ink, 1.75))
    painter.setBrush(pens.colour(ink if selected else "paper"))
    half = HALF * pens.unit
    if handle.shape is HandleShape.SQUARE:
        half *= 0.94
        painter.drawRect(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
    else:
        painter.drawEllipse(at, half, half)
    if handle.wrong:
        _paint_cross(painter, at, 2.4 * half)


def _paint_corners(painter: QPainter, at: QPointF, half: float, long: float) -> None:
    for right in (-1.0, 1.0):
        for down in (-1.0, 1.0):
            corner = at + QPointF(right * half, down * half)
            painter.drawLine(corner, corner - QPointF(right * long, 0.0))
            painter.drawLine(corner, corner - QPointF(0.0, down * long))


def _paint_cross(painter: QPainter, at: QPointF, half: float) -> None:
    painter.drawLine(at - QPointF(half, half), at + QPointF(half, half))
    painter.drawLine(at - QPointF(half, -half), at + QPointF(half, -half))


def _paint_padlock(painter: QPainter, at: QPointF, pens: Pens) -> None:
    """Paint a small padlock at the lower right of a handle."""
    unit = pens.unit
    left, top = at.x() + 5.5 * unit, at.y() + 5.5 * unit
    painter.setPen(pens.plain("ink", 1.25))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawArc(QRectF(left + 1.5 * unit, top - 3 * unit, 4 * unit, 6 * unit), 0, 180 * 16)
    painter.fillRect(QRectF(left, top, 7 * unit, 5 * unit), pens.colour("ink"))
