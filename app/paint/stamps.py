"""Handles as small pictures: on a screen a copy costs a fifth of painting one anew."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap

from app.drawing.shapes import Place

REACH: Final = 12  # half the side of a stamp [px]
PARTS: Final = 4  # stamps stand at quarters of a pixel, as smoothed lines stand between pixels


class Stamps:
    """Pictures by what they look like; each is painted once for every part of a pixel."""

    def __init__(self) -> None:
        self._made: dict[object, QPixmap] = {}

    def put(
        self,
        painter: QPainter,
        look: object,
        place: Place,
        paint: Callable[[QPainter, QPointF], None],
    ) -> None:
        """Copy the picture of a look to a place, painting it first if it is new."""
        across, right = divmod(round(place[0] * PARTS), PARTS)
        down, below = divmod(round(place[1] * PARTS), PARTS)
        key = (look, right, below)
        stamp = self._made.get(key)
        if stamp is None:
            middle = QPointF(REACH + right / PARTS, REACH + below / PARTS)
            stamp = self._made[key] = _stamp(middle, paint)
        painter.drawPixmap(across - REACH, down - REACH, stamp)


def _stamp(middle: QPointF, paint: Callable[[QPainter, QPointF], None]) -> QPixmap:
    stamp = QPixmap(2 * REACH, 2 * REACH)
    stamp.fill(Qt.GlobalColor.transparent)
    with QPainter(stamp) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint(painter, middle)
    return stamp
