"""Ink on paper: a painter in millimetres from the paper's top left corner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Final, Literal

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from app.document.plain_text import one_line
from app.paper.faces import DOTS, Face, elided, fitting, font_of, width_of

Align = Literal["left", "right", "centre"]
Place = tuple[float, float]

BLACK: Final = QColor("#000000")
VOID: Final = QColor("#6a6a6a")  # what is struck through
WHITE: Final = QColor("#ffffff")
PALE: Final = QColor("#ececec")  # the inside of a band
GREY: Final = QColor("#8a8a8a")  # rules between rows: no loss when a copier drops them
THIN: Final = 0.18  # [mm]
MIDDLE: Final = 0.35
THICK: Final = 0.6


class Ink:
    """Writes and rules on a page."""

    def __init__(self, painter: QPainter) -> None:
        self.painter = painter
        self._is_voided = False

    @contextmanager
    def voided(self) -> Iterator[None]:
        """Strike what is written through, in grey, and leave boxes out: nobody works by it."""
        self._is_voided = True
        try:
            yield
        finally:
            self._is_voided = False

    def write(
        self,
        x: float,
        baseline: float,
        words: str,
        face: Face,
        align: Align = "left",
        width: float | None = None,
    ) -> None:
        """Write one line; in a `width` it is made to fit, smaller first, then cut off."""
        words = one_line(words)
        if not words:
            return
        if width is not None:
            face = fitting(words, face, width)
            words = elided(words, face, width)
        width = width_of(words, face)
        start = x - {"left": 0.0, "right": 1.0, "centre": 0.5}[align] * width
        self.painter.setFont(font_of(face))
        self.painter.setPen(VOID if self._is_voided else BLACK)
        self.painter.drawText(QPointF(start * DOTS, baseline * DOTS), words)
        if self._is_voided:
            height = baseline - 0.45 * face.rise
            self.rule((start, height), (start + width, height), THIN)

    def rule(self, start: Place, end: Place, weight: float = THIN, ink: QColor = BLACK) -> None:
        """Draw a straight line with square ends that add nothing to its length."""
        self.painter.setPen(_pen(weight, ink))
        self.painter.drawLine(QLineF(*(DOTS * part for part in (*start, *end))))

    def box(self, x: float, y: float, width: float, height: float, weight: float = THIN) -> None:
        """Draw an empty rectangle."""
        if self._is_voided:
            return
        self.painter.setPen(_pen(weight, BLACK))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawRect(QRectF(x * DOTS, y * DOTS, width * DOTS, height * DOTS))

    def circle(
        self, x: float, y: float, radius: float, weight: float = THIN, dashes: Sequence[float] = ()
    ) -> None:
        """Draw a circle; dashes are in line widths."""
        pen = _pen(weight, BLACK)
        if dashes:
            pen.setDashPattern(list(dashes))
        self.painter.setPen(pen)
        self.painter.setBrush(Qt.BrushStyle.NoBrush)
        self.painter.drawEllipse(QPointF(x * DOTS, y * DOTS), radius * DOTS, radius * DOTS)

    def clear(self, x: float, y: float, width: float, height: float) -> None:
        """Clear a rectangle, for words that would overlap lines."""
        area = QRectF(x * DOTS, y * DOTS, width * DOTS, height * DOTS)
        self.painter.fillRect(area, WHITE)

    def wash(self, places: Sequence[Place]) -> None:
        """Fill an area so lightly that what lies on it is read, and a copier may drop it."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(PALE)
        self.painter.drawPolygon(QPolygonF([QPointF(x * DOTS, y * DOTS) for x, y in places]))
        self.painter.setBrush(Qt.BrushStyle.NoBrush)

    def chain(self, places: Sequence[Place], weight: float, dashes: Sequence[float] = ()) -> None:
        """Draw lines through places; dashes are in line widths."""
        pen = _pen(weight, BLACK)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        if dashes:
            pen.setDashPattern(list(dashes))
        self.painter.setPen(pen)
        self.painter.drawPolyline([QPointF(x * DOTS, y * DOTS) for x, y in places])

    @contextmanager
    def inside(self, x: float, y: float, width: float, height: float) -> Iterator[None]:
        """Cut off what is drawn beyond a rectangle."""
        self.painter.save()
        self.painter.setClipRect(QRectF(x * DOTS, y * DOTS, width * DOTS, height * DOTS))
        try:
            yield
        finally:
            self.painter.restore()

    @contextmanager
    def turned(self, x: float, y: float) -> Iterator[None]:
        """Write upwards from a place, which is then the place 0, 0."""
        self.painter.save()
        self.painter.translate(x * DOTS, y * DOTS)
        self.painter.rotate(-90.0)
        try:
            yield
        finally:
            self.painter.restore()


def _pen(weight: float, ink: QColor) -> QPen:
    pen = QPen(ink, weight * DOTS)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    return pen
