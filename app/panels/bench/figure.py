"""A small figure: curves over one quantity, measured dashed, proposed solid, with a band and marks.

For curves that a study gives as a whole, in shown units; painted, so that it costs a drag little.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final, Literal

import numpy as np
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QAccessible, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.drawing.axes import Axis, tick_text, ticks_at_most
from app.drawing.chart import Chart, Field, Frame, Look, net_of, strokes_of
from app.paint.charts import paint_marks, paint_rules, paint_strokes
from app.paint.palette import PALETTES, Inks
from app.panels.figures import decimal_sign
from app.panels.writing import Faces, Writing
from app.qt.border import fenced
from app.qt.spoken import spoken_as

TOP: Final = 20  # for the upright axis' title [px]
AIR: Final = 0.05  # of the range, beyond the curves
PROBES: Final = 41  # places along at which words keep off the curves
PER_TICK: Final = (52, 26)  # least room of a tick, along and up [px]


def ranges_of(chart: Chart) -> tuple[Axis, Axis]:
    """Return the axes that hold everything, zero included, with some air upwards."""
    x, y = np.append(chart.drivers, 0.0), np.append(chart.values, 0.0)
    wide, high = max(float(np.ptp(x)), 1e-9), max(float(np.ptp(y)), 1e-9)
    low = float(y.min()) - (AIR * high if y.min() < 0 else 0.0)
    along = Axis(float(x.min()), float(x.min()) + wide)
    return along, Axis(low, float(y.max()) + AIR * high)


@fenced
class Figure(QWidget):
    """Shows a plot, and reads its curves under the pointer."""

    def __init__(self, name: str, high: int = 190) -> None:
        super().__init__()
        self.name, self.high = name, high
        self.inks: Inks = PALETTES["light"]
        self.faces = Faces()
        self.chart = Chart()
        self.hovered: float | None = None
        self.setMouseTracking(True)
        self.setAccessibleName(name)
        spoken_as(self, QAccessible.Role.Chart)
        self.setMinimumSize(160, 120)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_chart(self, chart: Chart) -> None:
        """Show other curves."""
        self.chart = chart
        self.setAccessibleDescription(chart.spoken or chart.empty)
        self.update()

    def take_inks(self, inks: Inks) -> None:
        """Draw in other inks."""
        self.inks = inks
        self.update()

    def reading(self, at: float) -> tuple[tuple[Look, float], ...]:
        """Return what each curve reads at a place along."""
        read = ((series.look, series.value_at(at)) for series in self.chart.series)
        return tuple((look, value) for look, value in read if value is not None)

    # Painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint axes, band, curves, notes and what is read."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self.inks.colour("paper"))
            if not self.chart.series:
                self._paint_empty(painter)
                return
            frame = self.frame()
            strokes, words = strokes_of(self.chart, frame), Writing(self.faces)
            self._paint_axes(painter, frame, words)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.save()
            painter.setClipRect(_box(frame).adjusted(-1, -1, 1, 1))
            paint_strokes(painter, replace(strokes, marks=()), self.inks)
            painter.restore()
            paint_marks(painter, strokes.marks, self.inks)
            self._place_notes(frame, words)
            self._paint_reading(painter, frame, words)
            words.write(painter, self.inks)

    def frame(self) -> Frame:
        """Lay the ranges out."""
        (along, up), line = ranges_of(self.chart), self.faces.small_line
        high = self.height() - TOP - 2 * line - 8
        up = with_ticks(up, int(high / PER_TICK[1]))
        texts = up.figures(decimal_sign())
        wide = max((self.faces.width("small", text) for text in texts), default=20)
        field = Field(wide + 12, TOP, self.width() - wide - 26, high)
        return Frame(field, with_ticks(along, int(field.width / PER_TICK[0])), up)

    def _paint_empty(self, painter: QPainter) -> None:
        painter.setFont(self.faces.fonts["small"])
        painter.setPen(self.inks.colour("second"))
        area = self.rect().adjusted(14, 8, -14, -8)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignCenter
        painter.drawText(area, int(flags), self.chart.empty)

    def _paint_axes(self, painter: QPainter, frame: Frame, words: Writing) -> None:
        line, box, net = self.faces.small_line, frame.field, net_of(frame, decimal_sign())
        paint_rules(painter, net.rules, self.inks)
        right, bottom = int(box.right), int(box.bottom)
        for x, text in net.across:
            half = self.faces.width("small", text) // 2
            words.put("small", "second", round(x) - half, bottom + line, text)
        for y, text in net.up:
            words.put_right("small", "second", int(box.x) - 5, round(y) + line // 3, text)
        words.put("small bold", "second", 6, line, self.chart.up)
        words.put_right("small bold", "second", right, bottom + 2 * line, self.chart.along)

    def _place_notes(self, frame: Frame, words: Writing) -> None:
        taken: list[QRectF] = []
        line, lines = self.faces.small_line, self._lines(frame)
        for note in self.chart.notes:
            ink: Literal["ink", "second"] = "second" if note.look == "measured" else "ink"
            wide = self.faces.width("small", note.text)
            spot = QPointF(*frame.place(note.at, note.value))
            box = _free_place(spot, wide, line, _box(frame), taken, lines)
            taken.append(box)
            words.put("small", ink, int(box.left()), int(box.bottom()) - 3, note.text)

    def _lines(self, frame: Frame) -> list[QRectF]:
        """Return small boxes along the curves and the axes, for words to keep off."""
        box, boxes = _box(frame), []
        x, y = frame.place(0.0, 0.0)
        boxes += [QRectF(x - 1, box.y(), 2, box.height()), QRectF(box.x(), y - 1, box.width(), 2)]
        for at in np.linspace(frame.driver.low, frame.driver.high, PROBES):
            for _, value in self.reading(float(at)):
                x, y = frame.place(float(at), value)
                boxes.append(QRectF(x - 2, y - 2, 4, 4))
        return boxes

    def _paint_reading(self, painter: QPainter, frame: Frame, words: Writing) -> None:
        box = frame.field
        if self.hovered is None or not 0 <= self.hovered - box.x <= box.width:
            return
        at = frame.driver.value_at((self.hovered - box.x) / box.width)
        painter.setPen(QPen(self.inks.colour("accent"), 1))
        place = round(self.hovered)
        painter.drawLine(QPointF(place, box.y), QPointF(place, box.bottom))
        read = [_figure(value, frame.value.span) for _, value in self.reading(at)]
        text = f"at {_figure(at, frame.driver.span)}: {' and '.join(read)}"
        words.put_right("small bold", "accent", int(box.right), TOP - 6, text)

    # The hand

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read the curves under the pointer."""
        self.hovered = event.position().x()
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Stop reading."""
        self.hovered = None
        self.update()

    def sizeHint(self) -> QSize:
        """Return a comfortable size."""
        return QSize(320, self.high)


def with_ticks(axis: Axis, most: int) -> Axis:
    """Return an axis with at most so many round figures, two where it has no room."""
    return Axis(axis.low, axis.high, ticks_at_most(axis.low, axis.high, max(most, 2)))


def _box(frame: Frame) -> QRectF:
    field = frame.field
    return QRectF(field.x, field.y, field.width, field.height)


def _figure(value: float, span: float) -> str:
    """Return a figure with the decimals that make sense over such a span."""
    step = 10.0 ** np.floor(np.log10(span) - 2) if span > 0 else 1.0
    return tick_text(value, min(float(step), 1.0), decimal_sign())


def _free_place(
    spot: QPointF, wide: int, high: int, inside: QRectF, words: list[QRectF], lines: list[QRectF]
) -> QRectF:
    """Return the best box for words beside a spot: inside, off other words, then off the curves."""
    rises = (4.0, -high - 4.0, -high / 2, 4.0 + high, -2.0 * high - 4, 4 + 2.0 * high)
    choices = [
        QRectF(spot.x() + dx, spot.y() + dy, wide, high)
        for dy in (*rises, -2.7 * high, -3.4 * high)
        for dx in (7.0, -wide - 7.0, -wide / 2, 20.0, -wide - 20.0)
    ]

    def cost(box: QRectF) -> float:
        outside = 0.0 if inside.contains(box) else 100.0
        on_words = 10.0 * any(box.intersects(other) for other in words)
        return outside + on_words + sum(box.intersects(other) for other in lines)

    best, least = choices[0], cost(choices[0])
    for box in choices[1:]:
        if least == 0.0:
            break
        if (price := cost(box)) < least:
            best, least = box, price
    return best
