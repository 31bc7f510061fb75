"""One plot of the panel: measured dashed, proposed solid, the pose's dot, the net under them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QFontMetrics, QPainter, QPen

from app.document.model import Units
from app.document.units import shown
from app.drawing.axes import Axis, range_over, ticks_at_most
from app.drawing.chart import (
    Chart,
    Field,
    Frame,
    Net,
    Rule,
    Series,
    Spot,
    net_of,
    pose_marks,
    strokes_of,
)
from app.paint.charts import paint_marks, paint_rules, paint_strokes
from app.paint.palette import Inks
from app.panels.figures import decimal_sign
from app.systems.curves import KINDS, Driver, least_span
from geometry.catalogue.result import Result

HEAD: Final = 36  # room above the plot for its title and reading [px]
LEFT: Final = 2  # free paper beside a plot [px]
RIGHT: Final = 8
BEYOND: Final = 8  # by which a figure may stand beyond the plot's corners [px]
APART: Final = 9  # between figures along [px]
END: Final = 3.5  # radius of the ring at a curve's end, under the pointer [px]
MOST_FIGURES: Final = 7  # of an axis


def ticks_that_fit(
    ends: tuple[float, float], fit: Callable[[tuple[str, ...]], bool]
) -> tuple[float, ...]:
    """Return the most ticks whose figures fit, two at least where that can be."""
    ticks: tuple[float, ...] = ()
    for most in range(MOST_FIGURES, 1, -1):
        ticks = ticks_at_most(*ends, most)
        if fit(Axis(*ends, ticks).figures(decimal_sign())):
            break
    return ticks


class CurvePlot:
    """A plot of one result; upright (result along, driver up) over travel."""

    def __init__(self) -> None:
        self.chart = Chart(upright=True)
        self.cell = QRectF()
        self.frame: Frame | None = None
        self.net = Net()
        self.large = True  # it bears units and the figures of an upright driver
        self.drawn = True  # or there is room for its head alone
        self.units = ("", "")  # of the driver and of the result
        self.ends: tuple[str, str] | None = None  # what the upper and the lower edge are called
        self.level: float | None = None  # the driver's value at which the pointer reads
        self.ring: Spot | None = None
        self.dot: Spot | None = None
        self.other: Spot | None = None  # of a second car that is laid over
        self._driver: tuple[float, float] = (-1.0, 1.0)
        self._value: tuple[float, float] = (-1.0, 1.0)
        self._top, self._bottom = 0.0, 1.0
        self._up = Axis(-1.0, 1.0)

    def series(self, car: str) -> Series | None:
        """Return a car's curve; the measured car's is the proposed one's where nothing changed."""
        series_by_look = {series.look: series for series in self.chart.series}
        if car == "second":
            return series_by_look.get("second")
        return series_by_look.get(
            "measured" if car == "measured" else "proposed", series_by_look.get("proposed")
        )

    def rule(self, driver: Driver, result: Result, units: Units, ends: tuple[float, float]) -> None:
        """Choose the ranges anew; `ends` is the driver's range [inside units]."""
        size = shown(KINDS[driver], units).size
        self._driver = (ends[0] / size, ends[1] / size)
        self._value = range_over(self.chart.values, least_span(result, units))

    def rise(self, top: float, bottom: float, metrics: QFontMetrics) -> float:
        """Lay the upright axis between two heights, and return the room that is left of it."""
        above = HEAD + (metrics.height() + 4 if self.large else 0)
        self._top, self._bottom = top + above, bottom - metrics.height() - 6
        ends = self._driver if self.chart.upright else self._value
        lines = int((self._bottom - self._top) // (2.2 * metrics.height()))
        lines = min(MOST_FIGURES, max(2, lines))
        self._up = Axis(*ends, ticks_that_fit(ends, lambda texts: len(texts) <= lines))
        if not self._bears:
            return LEFT + 6
        texts = (*self._up.figures(decimal_sign()), self._unit_up)
        return LEFT + 8 + max(map(metrics.horizontalAdvance, texts))

    def spread(self, left: float, right: float, metrics: QFontMetrics) -> None:
        """Lay the other axis between two edges, with as many figures as there is room for."""
        upright, high = self.chart.upright, max(self._bottom - self._top, 1.0)
        field = Field(left, self._top, max(right - left, 1.0), high)

        unit = metrics.horizontalAdvance(self._unit_along)
        most = field.right + RIGHT - unit - 6 if unit else field.right + BEYOND

        def fits(texts: tuple[str, ...]) -> bool:
            return sum(map(metrics.horizontalAdvance, texts)) + APART * len(texts) <= field.width

        ends = self._value if upright else self._driver
        nothing = not self.chart.series and upright
        along = Axis(*ends, () if nothing else ticks_that_fit(ends, fits))
        driver, value = (self._up, along) if upright else (along, self._up)
        self.frame = Frame(field, driver, value, upright)
        net = net_of(self.frame, decimal_sign())
        rules = tuple(rule if _is_of_value(rule, upright) else _plain(rule) for rule in net.rules)

        def stands_free(x: float, text: str) -> bool:
            half = metrics.horizontalAdvance(text) / 2
            return field.x - BEYOND <= x - half and x + half <= most

        across = tuple(figure for figure in net.across if stands_free(*figure))
        self.net = Net(rules, across, net.up if self._bears else ())

    @property
    def _bears(self) -> bool:
        """Tell whether the plot bears the figures of its upright axis."""
        return self.large or not self.chart.upright

    @property
    def _unit_up(self) -> str:
        """Return the unit of the upright axis, which a large plot names."""
        return self.units[0 if self.chart.upright else 1] if self.large else ""

    @property
    def _unit_along(self) -> str:
        return self.units[1 if self.chart.upright else 0] if self.large else ""

    def driver_at(self, place: QPointF) -> float | None:
        """Return the driver's value under a place, None outside the paper of the plot."""
        return None if self.frame is None else self.frame.driver_at(place.x(), place.y())

    def end_places(self) -> list[tuple[float, QPointF]]:
        """Return the driver at both ends of the curve as built, as shown, and their pixels."""
        series, frame = self.series("proposed"), self.frame
        known = [] if series is None else np.flatnonzero(np.isfinite(series.values)).tolist()
        if series is None or frame is None or len(known) < 2:
            return []
        ends = [(float(series.at[n]), float(series.values[n])) for n in (known[0], known[-1])]
        return [(at, QPointF(*frame.place(at, value))) for at, value in ends]

    @property
    def box(self) -> QRectF:
        """Return the paper of the plot."""
        if self.frame is None:
            return QRectF()
        field = self.frame.field
        return QRectF(field.x, field.y, field.width, field.height)

    # Painting

    def paint_net(self, painter: QPainter, inks: Inks, metrics: QFontMetrics) -> None:
        """Paint what stays while curves change: rules, figures, and which end is which."""
        box = self.box
        paint_rules(painter, self.net.rules, inks)
        painter.setPen(QPen(inks.colour("grid_heavy"), 1))
        painter.drawLine(box.topLeft(), box.bottomLeft())
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        painter.setPen(inks.colour("second"))
        for x, text in self.net.across:
            half = metrics.horizontalAdvance(text) / 2
            painter.drawText(QPointF(x - half, box.bottom() + 3 + metrics.ascent()), text)
        for y, text in self.net.up:
            left = box.left() - 5 - metrics.horizontalAdvance(text)
            painter.drawText(QPointF(left, y + metrics.ascent() / 2 - 1), text)
        under = box.bottom() + 3 + metrics.ascent()
        along = metrics.horizontalAdvance(self._unit_along)
        painter.drawText(QPointF(box.right() + RIGHT - along, under), self._unit_along)
        up = metrics.horizontalAdvance(self._unit_up)
        painter.drawText(QPointF(box.left() - 5 - up, box.top() - 8), self._unit_up)
        for index, words in enumerate(self.ends or ()):
            place = self._free_corner(words, index == 1, metrics)
            painter.fillRect(place.adjusted(-2, 0, 2, 0), inks.paper)
            painter.drawText(place.bottomLeft() - QPointF(0, metrics.descent()), words)

    def _free_corner(self, words: str, is_low: bool, metrics: QFontMetrics) -> QRectF:
        """Return a place for the name of an edge: in the corner from which the curves stay away."""
        box, wide, high = self.box, metrics.horizontalAdvance(words), metrics.height()
        top = box.bottom() - high - 2 if is_low else box.top() + 2
        left, right = (QRectF(x, top, wide, high) for x in (box.left() + 4, box.right() - 4 - wide))
        assert self.frame is not None
        traces = strokes_of(self.chart, self.frame).traces
        places = [QPointF(*place) for trace in traces for place in trace.places]

        def crossings(corner: QRectF) -> int:
            return sum(corner.adjusted(-4, -4, 4, 4).contains(place) for place in places)

        return right if crossings(right) < crossings(left) else left

    def paint_curves(self, painter: QPainter, inks: Inks) -> None:
        """Paint the curves, the pose's marks, and the line along which the pointer reads."""
        if self.frame is None:
            return
        painter.setClipRect(self.box.adjusted(-1, -1, 1, 1))
        paint_strokes(painter, strokes_of(self.chart, self.frame), inks)
        paint_marks(painter, pose_marks(self.frame, self.ring, self.dot, self.other), inks)
        if self.level is None:
            return
        painter.setPen(QPen(inks.colour("accent"), 1.5))
        painter.setBrush(inks.colour("paper"))
        for _, end in self.end_places():  # they can be taken hold of
            painter.drawEllipse(end, END, END)
        painter.setPen(QPen(inks.colour("accent"), 1))
        box = self.box
        if self.chart.upright:
            y = round(self.frame.y_of(self.level)) + 0.5
            painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))
        else:
            x = round(self.frame.x_of(self.level)) + 0.5
            painter.drawLine(QPointF(x, box.top()), QPointF(x, box.bottom()))


def _is_of_value(rule: Rule, upright: bool) -> bool:
    """Tell whether a rule stands for a value, not for a place of the driver."""
    return (rule.start[0] == rule.end[0]) == upright


def _plain(rule: Rule) -> Rule:
    return Rule(rule.start, rule.end)
