"""Paints what a view says in words of its own: its title, notes, banners, an empty sheet."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from app.paint.lettering import Lettering
from app.paint.palette import Inks

PADDING: Final = 9.0
NOTE: Final = 280.0  # most width of a note's words [px]
NOTE_EDGE: Final = 4.0  # from it to the view's edges [px]
WRAPPED: Final = int(Qt.TextFlag.TextWordWrap)


def title_box(title: str, lettering: Lettering, left: float) -> QRectF:
    """Return the rectangle of a view's title."""
    width, height = lettering.measure(title, True)
    return QRectF(left + 7, 6, width + 8, height + 4)


def paint_title(
    painter: QPainter, title: str, box: QRectF, inks: Inks, lettering: Lettering
) -> None:
    """Paint the title on a scrap of paper that keeps the grid out of it."""
    painter.fillRect(box, inks.colour("paper"))
    painter.setFont(lettering.bold)
    painter.setPen(inks.colour("second"))
    painter.drawStaticText(box.topLeft() + QPointF(4, 2), lettering.set_up(title, True))


def banner_box(text: str, area: QRectF, lettering: Lettering) -> QRectF:
    """Return the rectangle of a banner along the lower edge."""
    size = _wrapped(text, lettering.bold, min(area.width() - 4 * PADDING, 460.0))
    box = QRectF(0, 0, size.width() + 2 * PADDING, size.height() + 1.4 * PADDING)
    box.moveCenter(QPointF(area.center().x(), 0))
    box.moveBottom(area.bottom() - PADDING)
    return box


def paint_banner(
    painter: QPainter, text: str, box: QRectF, inks: Inks, lettering: Lettering
) -> None:
    """Paint a sentence in a frame: what the greyed drawing can't reach."""
    _paint_card(painter, box, inks, "accent", 1.5)
    painter.setFont(lettering.bold)
    painter.drawText(
        box.adjusted(PADDING, 0, -PADDING, 0), WRAPPED | int(Qt.AlignmentFlag.AlignCenter), text
    )


def paint_note(
    painter: QPainter, text: str, at: QPointF, area: QRectF, inks: Inks, lettering: Lettering
) -> None:
    """Paint a note beside a place."""
    box = note_box(text, at, area, lettering)
    _paint_card(painter, box, inks, "soft", 1.0)
    painter.setFont(lettering.plain)
    inner = box.adjusted(PADDING, 0.7 * PADDING, -PADDING, 0)
    painter.drawText(inner, WRAPPED | int(Qt.AlignmentFlag.AlignLeft), text)


def note_box(text: str, at: QPointF, area: QRectF, lettering: Lettering) -> QRectF:
    """Return the rectangle of a note: where there is room for it, and no wider than the view."""
    room = area.width() - 2 * (PADDING + NOTE_EDGE)
    size = _wrapped(text, lettering.plain, min(NOTE, room))
    box = QRectF(QPointF(), size + QSizeF(2 * PADDING, 1.4 * PADDING))
    box.moveTopLeft(at + QPointF(16, 14))
    if box.right() > area.right() - NOTE_EDGE:
        box.moveRight(at.x() - 16)
    if box.bottom() > area.bottom() - NOTE_EDGE:
        box.moveBottom(at.y() - 14)
    box.moveLeft(max(box.left(), area.left() + NOTE_EDGE))
    box.moveTop(max(box.top(), area.top() + NOTE_EDGE))
    return box


def paint_empty(
    painter: QPainter, text: str, area: QRectF, inks: Inks, lettering: Lettering
) -> None:
    """Paint what to do with an empty sheet, in the middle of it."""
    size = _wrapped(text, lettering.plain, min(area.width() - 60.0, 320.0))
    box = QRectF(QPointF(), size + QSizeF(4, 4))
    box.moveCenter(area.center())
    painter.fillRect(box.adjusted(-12, -8, 12, 8), inks.colour("paper"))
    painter.setFont(lettering.plain)
    painter.setPen(inks.colour("second"))
    painter.drawText(box, WRAPPED | int(Qt.AlignmentFlag.AlignCenter), text)


def _paint_card(painter: QPainter, box: QRectF, inks: Inks, edge: str, width: float) -> None:
    """Paint a framed slip of paper and leave the ink for words in the pen."""
    painter.setPen(QPen(inks.colour(edge), width))
    painter.setBrush(inks.colour("paper"))
    painter.drawRoundedRect(box, 3, 3)
    painter.setPen(inks.colour("ink"))


def _wrapped(text: str, font: QFont, width: float) -> QSizeF:
    """Return the room for a text; wrapped to a little less, since painting needs a little more."""
    room = QRectF(0, 0, max(width, 60.0) - PADDING, 10000)
    return QFontMetricsF(font).boundingRect(room, WRAPPED, text).size() + QSizeF(PADDING, 0)
