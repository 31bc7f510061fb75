"""One plot: measured dashed, proposed solid, the pose's dot, marks where a curve breaks off."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetrics, QPen
from PySide6.QtWidgets import QGraphicsItem

from app.document.model import Units
from app.document.units import shown
from app.paint.palette import Inks
from app.panels.curves.curve_data import KINDS, Curve, Driver, range_over, tick_text, ticks
from app.panels.curves.curve_marks import CurveMarks, Spot
from app.panels.figures import decimal_sign
from app.panels.widgets import SMALL, text_font
from geometry.catalogue.front import Result

HEAD: Final = 36  # room above the plot for its title and reading [px]
DASHES: Final = [6.0, 3.0]


def labels(ends: tuple[float, float], fit: Callable[[list[str]], bool]) -> list[tuple[float, str]]:
    """Return the most ticks whose figures fit, two at least where that can be."""
    best: list[tuple[float, str]] = []
    for most in range(7, 1, -1):
        places = ticks(*ends, most)
        step = places[1] - places[0] if len(places) > 1 else 1.0
        best = [(place, tick_text(place, step, decimal_sign())) for place in places]
        if fit([text for _, text in best]):
            break
    return best


class CurvePlot:
    """A plot of one result; upright (result along, driver up) over travel."""

    def __init__(self, layout: Any, row: int, column: int) -> None:
        self.plot = layout.addPlot(row=row, col=column)
        self.measured: Curve | None = None
        self.proposed: Curve | None = None
        self.upright = True
        self.first = column == 0  # of its row: it bears the figures
        self.names_ends = column == 0
        self._range: tuple[float, float] = (-1.0, 1.0)
        self._along: tuple[float, float] = (-1.0, 1.0)
        self._calm()
        self._add_items()

    def _calm(self) -> None:
        """Switch off what a reader doesn't need and a drag can't afford."""
        plot = self.plot
        plot.hideButtons()
        plot.setMenuEnabled(False)
        plot.setMouseEnabled(False, False)
        plot.disableAutoRange()
        plot.getViewBox().setCursor(Qt.CursorShape.CrossCursor)
        plot.layout.setContentsMargins(2, HEAD, 8, 0)
        plot.showAxes((True, False, False, True), showValues=True)
        self.font = text_font(SMALL * 0.95)
        for name in ("left", "bottom"):
            axis = plot.getAxis(name)
            axis.setStyle(tickLength=-3, tickTextOffset=3, tickFont=self.font)
            axis.enableAutoSIPrefix(False)
            axis.setGrid(255)
            axis.setZValue(-1)  # under the curves
            axis.setCacheMode(QGraphicsItem.CacheMode.DeviceCoordinateCache)

    def _add_items(self) -> None:
        self.was = pg.PlotCurveItem(connect="finite")
        self.now = pg.PlotCurveItem(connect="finite")
        for curve in (self.was, self.now):  # else dashes begin anew at every pose, lines get knots
            curve.setSegmentedLineMode("off")
        self.marks = CurveMarks()
        self.zero = pg.InfiniteLine(0.0, angle=90)
        self.level = pg.InfiniteLine(0.0, angle=0)
        self.level.hide()
        self.high = pg.TextItem(anchor=(0, 0))
        self.low = pg.TextItem(anchor=(0, 1))
        for words in (self.high, self.low):
            words.setFont(self.font)
            words.setZValue(-0.5)  # over the grid, under the curves
        for item in (
            self.zero,
            self.was,
            self.now,
            self.marks,
            self.level,
            self.high,
            self.low,
        ):
            self.plot.addItem(item, ignoreBounds=True)

    def take_inks(self, inks: Inks, ratio: float) -> None:
        """Draw with other inks, on a screen with that many pixels for one."""
        second = QPen(inks.colour("second"), 1.1 * ratio)
        second.setCosmetic(True)
        second.setDashPattern(DASHES)
        second.setCapStyle(Qt.PenCapStyle.FlatCap)
        solid = QPen(inks.colour("ink"), 2.0 * ratio)
        solid.setCosmetic(True)
        solid.setCapStyle(Qt.PenCapStyle.RoundCap)
        self.was.setPen(second)
        self.now.setPen(solid)
        self.marks.inks = inks
        self.marks.update()
        for words in (self.high, self.low):
            words.setColor(inks.second)
            words.fill = pg.mkBrush(inks.paper)
        self.zero.setPen(pg.mkPen(inks.soft, width=ratio))
        self.level.setPen(pg.mkPen(inks.accent, width=ratio))
        for name in ("left", "bottom"):
            axis = self.plot.getAxis(name)
            axis.setPen(pg.mkPen(inks.grid_heavy))
            axis.setTickPen(pg.mkPen(inks.grid_heavy))
            axis.setTextPen(pg.mkPen(inks.second))

    def show_curves(self, measured: Curve | None, proposed: Curve | None) -> None:
        """Show other curves on the same paper."""
        self.measured, self.proposed = measured, proposed
        self._draw(self.was, measured if measured is not proposed else None)
        self._draw(self.now, proposed)
        spots = [
            (float(curve.values[place]), float(curve.at[place]))
            for curve in (measured, proposed)
            if curve is not None
            for place in curve.ends
        ]
        self.marks.show_crosses([self._placed(spot) for spot in spots])

    def _draw(self, item: Any, curve: Curve | None) -> None:
        if curve is None:
            item.setData(np.empty(0), np.empty(0))
        elif self.upright:
            item.setData(curve.values, curve.at)
        else:
            item.setData(curve.at, curve.values)

    def _placed(self, spot: Spot) -> Spot:
        """Return a value and its driver as they lie on the paper."""
        return spot if self.upright else (spot[1], spot[0])

    def show_dots(self, was: tuple[float, float] | None, now: tuple[float, float] | None) -> None:
        """Show where the pose lies: a ring for the measured car, a dot for the proposed."""
        ring = None if was is None else self._placed(was)
        self.marks.show_dots(ring, None if now is None else self._placed(now))

    def show_level(self, place: float | None) -> None:
        """Show the line along which the pointer reads."""
        self.level.setVisible(place is not None)
        if place is not None:
            self.level.setValue(place)

    def turn(self, upright: bool) -> None:
        """Let the driver run upwards, or along."""
        self.upright = upright
        self.zero.setAngle(90 if upright else 0)
        self.level.setAngle(0 if upright else 90)

    def rule(self, driver: Driver, result: Result, units: Units, ends: tuple[float, float]) -> None:
        """Choose ranges and ticks anew; `ends` is the driver's range [inside units]."""
        curves = [curve for curve in (self.measured, self.proposed) if curve is not None]
        size = shown(KINDS[driver], units).size
        self._range = range_over(curves, result, units)
        self._along = (ends[0] / size, ends[1] / size)
        across, up = (self._range, self._along) if self.upright else (self._along, self._range)
        self.plot.setRange(xRange=across, yRange=up, padding=0)
        self._name_ends(driver, across[0], up)
        self.number()

    def _name_ends(self, driver: Driver, left: float, up: tuple[float, float]) -> None:
        """Say which way bump and rebound are, in the first plot."""
        for item, text, height in ((self.high, "bump", up[1]), (self.low, "rebound", up[0])):
            item.setVisible(self.names_ends and driver == "travel")
            item.setText(text)
            item.setPos(left, height)

    def number(self) -> None:
        """Put as many figures on the axes as there is room for."""
        box, metrics = self.view_box(), QFontMetrics(self.font)
        across, up = (self._range, self._along) if self.upright else (self._along, self._range)
        lines = min(7, max(2, int(box.height() // (2.2 * metrics.height()))))

        def fit_across(texts: list[str]) -> bool:
            return sum(map(metrics.horizontalAdvance, texts)) + 6 * len(texts) <= box.width()

        nothing = self.measured is None and self.proposed is None
        high = labels(up, lambda texts: len(texts) <= lines)
        low = [] if nothing and self.upright else labels(across, fit_across)
        left, bottom = self.plot.getAxis("left"), self.plot.getAxis("bottom")
        left.setTicks([high])
        bottom.setTicks([low])
        widest = max((metrics.horizontalAdvance(text) for _, text in high), default=0)
        shown = self.first or not self.upright
        left.setStyle(showValues=shown)
        left.setWidth(widest + 8 if shown else 6)
        bottom.setHeight(metrics.height() + 6)

    def view_box(self) -> QRectF:
        """Return the paper of the plot in the scene."""
        box: QRectF = self.plot.getViewBox().sceneBoundingRect()
        return box

    def cell(self) -> QRectF:
        """Return the whole of the plot in the scene."""
        box: QRectF = self.plot.sceneBoundingRect()
        return box

    def driver_at(self, place: QPointF) -> float | None:
        """Return the driver's value under a place of the scene, None outside the paper."""
        view = self.plot.getViewBox()
        if not view.sceneBoundingRect().contains(place):
            return None
        point = view.mapSceneToView(place)
        return float(point.y() if self.upright else point.x())
