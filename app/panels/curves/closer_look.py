"""A curve looked at closely: a window of its own, with zoom, shifting and a fine reading."""

from __future__ import annotations

from typing import Any, Final, cast

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible, QPen
from PySide6.QtWidgets import QDialog, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.document.units import number_of, shown, unit_of
from app.drawing.axes import Numbers, range_over, tick_text, ticks_at_most
from app.drawing.chart import Chart, Look, Series
from app.paint.charts import curve_pen
from app.paint.palette import LIGHT, Inks
from app.panels.curves.second_curves import ends_of, seen, with_second
from app.panels.figures import decimal_sign, result_text
from app.panels.widgets import EDGE, FlatButton, head_label, small_label, text_font
from app.qt.border import fenced
from app.qt.spoken import spoken_as
from app.session.session import Session
from app.systems.answers import CAR_WORDS, CarName
from app.systems.curves import KINDS, Driver, curve_chart, least_span
from geometry.catalogue.result import Result

CARS: Final[tuple[Look, ...]] = ("measured", "proposed", "second")
HELP: Final = "Turn the wheel to zoom, drag to shift; with the right button zoom one way."
ROOM: Final = 60  # of a figure along the axis [px]

pg.setConfigOptions(antialias=True)


@fenced
class RoundAxis(pg.AxisItem):  # type: ignore[misc]
    """An axis whose figures stand where those of all charts do."""

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """Return the step and the round figures that there is room for."""
        ticks = list(ticks_at_most(low, high, max(2, int(size // ROOM))))
        return [(ticks[1] - ticks[0] if len(ticks) > 1 else 1.0, ticks)]

    def tickStrings(self, values: list[float], scale: float, step: float) -> list[str]:
        """Return the figures as words, with the user's decimal sign."""
        return [tick_text(value, step, decimal_sign()) for value in values]


@fenced
class CloserLook(QDialog):
    """One result of both cars over its driver; follows the session while it is open."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self.session = session
        self.chosen: Result | None = None
        self.driver: Driver = "travel"
        self.side = 0
        self.chart = Chart()
        self.inks: Inks = LIGHT
        self.resize(720, 560)
        self._add_plot()
        self._lay_out()
        session.curves_changed.connect(self._follow)
        session.bands_changed.connect(self._follow)
        session.second.changed.connect(self._follow)
        session.units_changed.connect(self.show_all)
        session.system_changed.connect(self.close)

    def _add_plot(self) -> None:
        axes = {side: RoundAxis(orientation=side) for side in ("left", "bottom")}
        self.view = pg.PlotWidget(axisItems=axes)
        self.view.setAccessibleName("Curve, closer")
        spoken_as(self.view, QAccessible.Role.Chart)
        self.view.viewport().setFocusPolicy(Qt.FocusPolicy.NoFocus)  # the view itself has it
        self.plot = self.view.getPlotItem()
        self.plot.setMenuEnabled(False)
        self.plot.hideButtons()
        self.plot.showGrid(x=True, y=True, alpha=1.0)
        self.curves: dict[Look, Any] = {}
        for look in CARS:
            self.curves[look] = pg.PlotCurveItem(connect="finite")
            self.curves[look].setSegmentedLineMode("off")  # else dashes begin anew at every pose
            self.plot.addItem(self.curves[look])
        self.level = pg.InfiniteLine(0.0)
        self.level.hide()
        self.plot.addItem(self.level, ignoreBounds=True)
        self.view.scene().sigMouseMoved.connect(self._hover)

    def _lay_out(self) -> None:
        self.title, self.reading = head_label(""), QLabel(textFormat=Qt.TextFormat.PlainText)
        self.reading.setFont(text_font(bold=True))
        whole = FlatButton("Whole curve", "Show all of the curve again")
        whole.clicked.connect(self.show_all)
        head, foot = QHBoxLayout(), QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.reading)
        foot.addWidget(small_label(HELP), 1)
        foot.addWidget(whole)
        rows = QVBoxLayout(self)
        rows.setContentsMargins(EDGE, EDGE, EDGE, EDGE)
        rows.addLayout(head)
        rows.addWidget(self.view, 1)
        rows.addLayout(foot)

    def look_at(self, result: Result, driver: Driver, side: int, inks: Inks) -> None:
        """Show all of a result's curve, of the left wheel 0 or the right one 1."""
        self.chosen, self.driver, self.side = result, driver, side
        wheel = ("left wheel, ", "right wheel, ")[side] if result.scope == "wheel" else ""
        self.title.setText(f"{result.title}, {wheel}over {driver}")
        self.setWindowTitle(result.title)
        self.take_inks(inks)
        self._read(None)
        self.show_all()
        self.show()
        self.activateWindow()

    def take_inks(self, inks: Inks) -> None:
        """Draw with other inks."""
        self.inks = inks
        self.view.setBackground(inks.paper)
        for look, item in self.curves.items():
            pen = QPen(curve_pen(look, inks))
            pen.setCosmetic(True)
            item.setPen(pen)
        self.level.setPen(pg.mkPen(inks.accent))
        for name in ("left", "bottom"):
            axis = self.plot.getAxis(name)
            axis.setPen(pg.mkPen(inks.grid_heavy))
            axis.setTextPen(pg.mkPen(inks.second))
            axis.setTickFont(text_font())
            axis.enableAutoSIPrefix(False)
            axis.setZValue(-1)  # the net lies under the curves

    # What is shown

    def show_all(self) -> None:
        """Show the whole curve."""
        self._follow()
        study = self.session.study
        if study is None or self.chosen is None:
            return
        units = self.session.units
        size = shown(KINDS[self.driver], units).size
        ends = ends_of(self.session, self.driver)
        low, high = (end / size for end in ends)
        values = range_over(self.chart.values, least_span(self.chosen, units))
        across, up = (values, (low, high)) if self.chart.upright else ((low, high), values)
        self.plot.setRange(xRange=across, yRange=up, padding=0.0)

    def _follow(self) -> None:
        """Draw the curves of the study; what is in view stays."""
        if self.chosen is None:
            return
        study = self.session.whole_study()
        if study is None or self.chosen not in study.results:
            self.close()
            return
        units = self.session.units
        session, result, side = self.session, self.chosen, self.side
        chart = curve_chart(study, self.driver, result, units, side, session.in_body)
        self.chart = seen(with_second(chart, session, self.driver, result, side), session)
        series_by_look = {series.look: series for series in self.chart.series}
        for look, item in self.curves.items():
            at, values = joined(series_by_look.get(look))
            item.setData(*((values, at) if self.chart.upright else (at, values)))
        self.level.setAngle(0 if self.chart.upright else 90)
        unit = unit_of(self.chosen.kind, units)
        value = f"{self.chosen.title}, {unit}" if unit else self.chosen.title
        names = f"{self.driver}, {unit_of(KINDS[self.driver], units)}", value
        across, up = reversed(names) if self.chart.upright else names
        self.plot.setLabels(bottom=across, left=up)

    # Reading

    def _hover(self, place: QPointF) -> None:
        box = self.plot.getViewBox()
        if not box.sceneBoundingRect().contains(place):
            self._read(None)
            return
        spot = box.mapSceneToView(place)
        self._read(float(spot.y() if self.chart.upright else spot.x()))

    def _read(self, at: float | None) -> None:
        """Read both cars at a value of the driver."""
        self.level.setVisible(at is not None)
        if at is not None:
            self.level.setValue(at)
        self.reading.setText("" if at is None else self.reading_at(at))

    def reading_at(self, at: float) -> str:
        """Return what is read at a value of the driver as shown: "at 12.0 mm: as built −0.68°"."""
        assert self.chosen is not None
        kind, units = KINDS[self.driver], self.session.units
        inside = at * shown(kind, units).size
        where = number_of(inside, kind, units, decimal=decimal_sign(), plus=True)
        size = shown(self.chosen.kind, units).size
        words = []
        for series in self.chart.series:
            value = series.value_at(at)
            read = result_text(None if value is None else value * size, self.chosen, units)
            is_one = len(self.chart.series) == 1
            is_second = series.look == "second"
            car = "second car" if is_second else CAR_WORDS[cast(CarName, series.look)]
            words.append(read if is_one and not is_second else f"{car} {read}")
        return f"at {where} {unit_of(kind, units)}: {', '.join(words)}"


def joined(series: Series | None) -> tuple[Numbers, Numbers]:
    """Return a curve's places and values with a gap between its pieces."""
    pieces = series.pieces if series is not None else ()
    gap = np.array([np.nan])
    parts = [
        (np.concatenate([series.at[piece], gap]), np.concatenate([series.values[piece], gap]))
        for piece in pieces
        if series is not None
    ]
    if not parts:
        return np.empty(0), np.empty(0)
    at, values = zip(*parts, strict=True)
    return np.concatenate(at), np.concatenate(values)
