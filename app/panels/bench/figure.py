"""A small figure: curves over one quantity, measured dashed, proposed solid, with a band and marks.

For curves that a study gives as a whole, in shown units; painted, so that it costs a drag little.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.paint.palette import PALETTES, Inks
from app.panels.curves.curve_data import tick_text, ticks
from app.panels.figures import decimal_sign
from app.panels.writing import Faces, Writing
from app.qt.border import fenced

Numbers = NDArray[np.float64]
Style = Literal["measured", "proposed", "faint"]
TOP: Final = 20  # for the upright axis' title [px]
AIR: Final = 0.05  # of the range, beyond the curves
PROBES: Final = 41  # places along at which words keep off the curves
PER_TICK: Final = (52, 26)  # least room of a tick, along and up [px]


@dataclass(frozen=True, eq=False)
class Trace:
    """A curve."""

    x: Numbers
    y: Numbers
    style: Style = "proposed"


@dataclass(frozen=True, eq=False)
class Spread:
    """A band between two curves."""

    x: Numbers
    low: Numbers
    high: Numbers


@dataclass(frozen=True)
class Note:
    """A place on a curve with words; `style` as that of its curve."""

    x: float
    y: float
    text: str
    style: Style = "proposed"


@dataclass(frozen=True, eq=False)
class Plot:
    """All that a figure shows; without traces, `empty` says why."""

    along: str = ""
    up: str = ""
    traces: tuple[Trace, ...] = ()
    spreads: tuple[Spread, ...] = ()
    notes: tuple[Note, ...] = ()
    empty: str = ""
    spoken: str = ""

    @property
    def bounds(self) -> QRectF:
        """Return the ranges that hold everything, zero included, with some air upwards."""
        x = np.concatenate([[0.0], *(trace.x for trace in self.traces)])
        edges = [edge for band in self.spreads for edge in (band.low, band.high)]
        y = np.concatenate([[0.0], *(trace.y for trace in self.traces), *edges])
        wide, high = max(float(np.ptp(x)), 1e-9), max(float(np.ptp(y)), 1e-9)
        low = float(y.min()) - (AIR * high if y.min() < 0 else 0.0)
        return QRectF(float(x.min()), low, wide, float(y.max()) + AIR * high - low)


@dataclass
class Frame:
    """Where the ranges lie on the widget."""

    box: QRectF
    bounds: QRectF
    across: list[float] = field(default_factory=list)
    upright: list[float] = field(default_factory=list)

    def at(self, x: float, y: float) -> QPointF:
        """Return the pixel of a place."""
        along = (x - self.bounds.left()) / self.bounds.width()
        up = (y - self.bounds.top()) / self.bounds.height()
        return QPointF(
            self.box.left() + along * self.box.width(), self.box.bottom() - up * self.box.height()
        )

    def x_at(self, pixel: float) -> float:
        """Return the place along of a pixel."""
        share = (pixel - self.box.left()) / self.box.width()
        return self.bounds.left() + share * self.bounds.width()


@fenced
class Figure(QWidget):
    """Shows a plot, and reads its curves under the pointer."""

    def __init__(self, name: str, high: int = 190) -> None:
        super().__init__()
        self.name, self.high = name, high
        self.inks: Inks = PALETTES["light"]
        self.faces = Faces()
        self.plot = Plot()
        self.hovered: float | None = None
        self.setMouseTracking(True)
        self.setAccessibleName(name)
        self.setMinimumSize(160, 120)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_plot(self, plot: Plot) -> None:
        """Show other curves."""
        self.plot = plot
        self.setAccessibleDescription(plot.spoken or plot.empty)
        self.update()

    def take_inks(self, inks: Inks) -> None:
        """Draw in other inks."""
        self.inks = inks
        self.update()

    def reading(self, x: float) -> tuple[tuple[Style, float], ...]:
        """Return what each curve reads at a place along."""
        found = []
        for trace in self.plot.traces:
            order = np.argsort(trace.x)
            value = float(np.interp(x, trace.x[order], trace.y[order], np.nan, np.nan))
            if np.isfinite(value):
                found.append((trace.style, value))
        return tuple(found)

    # Painting

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint axes, band, curves, notes and what is read."""
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), self.inks.colour("paper"))
            if not self.plot.traces:
                self._paint_empty(painter)
                return
            frame = self.frame()
            words = Writing(self.faces)
            self._paint_axes(painter, frame, words)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.save()
            painter.setClipRect(frame.box.adjusted(-1, -1, 1, 1))
            self._paint_spreads(painter, frame)
            self._paint_traces(painter, frame)
            painter.restore()
            self._paint_notes(painter, frame, words)
            self._paint_reading(painter, frame, words)
            words.write(painter, self.inks)

    def frame(self) -> Frame:
        """Lay the ranges out."""
        bounds, line = self.plot.bounds, self.faces.small_line
        high = self.height() - TOP - 2 * line - 8
        upright = ticks(bounds.top(), bounds.bottom(), max(int(high / PER_TICK[1]), 2))
        wide = max((self.faces.width("small", text) for text in _texts(upright)), default=20)
        box = QRectF(wide + 12, TOP, self.width() - wide - 26, high)
        across = ticks(bounds.left(), bounds.right(), max(int(box.width() / PER_TICK[0]), 2))
        return Frame(box, bounds, across, upright)

    def _paint_empty(self, painter: QPainter) -> None:
        painter.setFont(self.faces.fonts["small"])
        painter.setPen(self.inks.colour("second"))
        area = self.rect().adjusted(14, 8, -14, -8)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignCenter
        painter.drawText(area, int(flags), self.plot.empty)

    def _paint_axes(self, painter: QPainter, frame: Frame, words: Writing) -> None:
        line, box = self.faces.small_line, frame.box
        for places, texts, flat in (
            (frame.across, _texts(frame.across), False),
            (frame.upright, _texts(frame.upright), True),
        ):
            for place, text in zip(places, texts, strict=True):
                spot = frame.at(0, place) if flat else frame.at(place, 0)
                heavy = place == 0
                painter.setPen(QPen(self.inks.colour("soft" if heavy else "grid_heavy"), 1))
                if flat:
                    y = round(spot.y())
                    painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
                    words.put_right("small", "second", int(box.left()) - 5, y + line // 3, text)
                else:
                    x = round(spot.x())
                    painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))
                    half = self.faces.width("small", text) // 2
                    words.put("small", "second", x - half, int(box.bottom()) + line, text)
        words.put("small bold", "second", 6, line, self.plot.up)
        words.put_right(
            "small bold", "second", int(box.right()), int(box.bottom()) + 2 * line, self.plot.along
        )

    def _paint_spreads(self, painter: QPainter, frame: Frame) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self.inks.colour("grid_heavy"))
        for band in self.plot.spreads:
            there = [frame.at(x, y) for x, y in zip(band.x, band.low, strict=True)]
            back = [frame.at(x, y) for x, y in zip(band.x[::-1], band.high[::-1], strict=True)]
            painter.drawPolygon(QPolygonF([*there, *back]))

    def _paint_traces(self, painter: QPainter, frame: Frame) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for trace in self.plot.traces:
            painter.setPen(self._pen(trace.style))
            points = zip(trace.x, trace.y, strict=True)
            painter.drawPolyline(QPolygonF([frame.at(x, y) for x, y in points]))

    def _pen(self, style: Style) -> QPen:
        if style == "proposed":
            return QPen(self.inks.colour("ink"), 2.2)
        pen = QPen(self.inks.colour("second"), 1.3)
        pen.setDashPattern([6.0, 3.0] if style == "measured" else [1.5, 2.5])
        return pen

    def _paint_notes(self, painter: QPainter, frame: Frame, words: Writing) -> None:
        taken: list[QRectF] = []
        line, lines = self.faces.small_line, self._lines(frame)
        for note in self.plot.notes:
            spot = frame.at(note.x, note.y)
            ink: Literal["ink", "second"] = "second" if note.style == "measured" else "ink"
            painter.setPen(QPen(self.inks.colour(ink), 1.5))
            painter.setBrush(self.inks.colour("paper"))
            painter.drawEllipse(spot, 3.2, 3.2)
            wide = self.faces.width("small", note.text)
            box = _free_place(spot, wide, line, frame.box, taken, lines)
            taken.append(box)
            words.put("small", ink, int(box.left()), int(box.bottom()) - 3, note.text)

    def _lines(self, frame: Frame) -> list[QRectF]:
        """Return small boxes along the curves, for words to keep off."""
        boxes = []
        for x in np.linspace(frame.bounds.left(), frame.bounds.right(), PROBES):
            for _, y in self.reading(float(x)):
                spot = frame.at(float(x), y)
                boxes.append(QRectF(spot.x() - 2, spot.y() - 2, 4, 4))
        return boxes

    def _paint_reading(self, painter: QPainter, frame: Frame, words: Writing) -> None:
        if self.hovered is None or not 0 <= self.hovered - frame.box.left() <= frame.box.width():
            return
        x = frame.x_at(self.hovered)
        painter.setPen(QPen(self.inks.colour("accent"), 1))
        place = round(self.hovered)
        painter.drawLine(QPointF(place, frame.box.top()), QPointF(place, frame.box.bottom()))
        read = [_figure(value, frame.bounds.height()) for _, value in self.reading(x)]
        text = f"at {_figure(x, frame.bounds.width())}: {' and '.join(read)}"
        words.put_right("small bold", "accent", int(frame.box.right()), TOP - 6, text)

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


def _texts(places: list[float]) -> list[str]:
    step = places[1] - places[0] if len(places) > 1 else 1.0
    return [tick_text(place, step, decimal_sign()) for place in places]


def _figure(value: float, span: float) -> str:
    """Return a figure with the decimals that make sense over such a span."""
    step = 10.0 ** np.floor(np.log10(span) - 2) if span > 0 else 1.0
    return tick_text(value, min(float(step), 1.0), decimal_sign())


def _free_place(
    spot: QPointF, wide: int, high: int, inside: QRectF, words: list[QRectF], lines: list[QRectF]
) -> QRectF:
    """Return the best box for words beside a spot: inside, off other words, then off the curves."""
    choices = [
        QRectF(spot.x() + dx, spot.y() + dy, wide, high)
        for dy in (4.0, -high - 4.0, -high / 2, 4.0 + high, -2.0 * high - 4, 4 + 2.0 * high)
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
