"""All curves on one sheet: one graphics widget, so that a drag costs one repaint."""

from __future__ import annotations

from typing import Final

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QEvent, QPointF, QTimer, Signal
from PySide6.QtGui import QPixmapCache, QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.units import number_of, shown, unit_of
from app.paint.palette import Inks
from app.panels.asked import find_result, results_asked
from app.panels.curves.curve_data import KINDS, Curve, Driver, curve_of
from app.panels.curves.curve_head import CurveHead
from app.panels.curves.curve_plot import HEAD, CurvePlot
from app.panels.figures import decimal_sign
from app.qt.border import fenced
from app.session.between_frames import in_its_turn
from app.session.session import TRAIL, Session
from app.systems.answers import Pose, value_in
from geometry.catalogue.result import CURVES_SHOWN, Result, plotted_first

ROOMY: Final = 118  # width of a plot from which all may stand in one row [px]
NARROW: Final = 84  # least width of a plot [px]
LOW: Final = HEAD + 90  # least height of a plot [px]
CACHE: Final = 65536  # KB; less thrashes with several cached axes at this window's size

pg.setConfigOptions(antialias=True, mouseRateLimit=-1)


@fenced
class CurveSheet(QWidget):
    """The plots of the chosen results, their heads, and what is read under the pointer."""

    read_at = Signal(str)  # where the pointer reads, in words; "" where it doesn't

    def __init__(self, session: Session, driver: Driver, inks: Inks) -> None:
        super().__init__()
        self.session, self.driver, self.inks = session, driver, inks
        self.side = 0
        self.hovered: float | None = None
        QPixmapCache.setCacheLimit(max(CACHE, QPixmapCache.cacheLimit()))
        self.canvas = pg.GraphicsLayoutWidget()
        self.canvas.setAccessibleName("Curves")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.canvas)
        self.chosen: dict[str, list[str]] = {}  # by axle
        self.results = self._results()
        self.layout_ = (len(self.results), len(self.results))
        self._add_plots()
        self._dots = QTimer(self, singleShot=True, interval=TRAIL)
        self._dots.timeout.connect(lambda: in_its_turn(self._show_pose))
        self.canvas.scene().sigMouseMoved.connect(self._hover)
        self.canvas.viewport().installEventFilter(self)
        session.curves_changed.connect(self._follow)
        session.study_changed.connect(self._follow_pose)
        self.take_inks(inks)
        self.show_over(driver)

    def _add_plots(self) -> None:
        inner = self.canvas.ci
        inner.layout.setContentsMargins(4, 0, 4, 2)
        inner.layout.setSpacing(2)
        self.plots = [CurvePlot(self.canvas, 0, place) for place in range(len(self.results))]
        self.heads = [CurveHead(self.session, result, self.canvas) for result in self.results]
        for place, head in enumerate(self.heads):
            head.chosen.connect(lambda key, place=place: self.show_result(place, key))

    # What is shown

    def take_inks(self, inks: Inks) -> None:
        """Draw with other inks."""
        self.inks = inks
        self.canvas.setBackground(inks.paper)
        for plot in self.plots:
            plot.take_inks(inks, self.devicePixelRatioF())
        for head in self.heads:
            head.inks = inks
            head.update()
        self._show_pose()

    def show_over(self, driver: Driver) -> None:
        """Plot over travel (upright), roll or steer."""
        self.driver = driver
        self.hovered = None
        for plot in self.plots:
            plot.turn(driver == "travel")
        self._follow()

    def show_side(self, side: int) -> None:
        """Plot the left wheel or the right one."""
        self.side = side
        self._follow()

    def show_result(self, place: int, key: str) -> None:
        """Plot another result in a place."""
        self._chosen_keys()[place] = key
        self._follow()

    def _results(self) -> list[Result]:
        """Return the results to plot: those chosen for the axle, others where it hasn't them."""
        found = [find_result(self.session, key) for key in self._chosen_keys()]
        others = (each for each in results_asked(self.session) if each.scope != "car")
        spare = (each for each in others if each not in found)
        return [each if each is not None else next(spare) for each in found]

    def _chosen_keys(self) -> list[str]:
        first = plotted_first(results_asked(self.session))[:CURVES_SHOWN]
        return self.chosen.setdefault(self.session.system.key, [result.key for result in first])

    def _take_results(self) -> None:
        """Head each plot with its result."""
        results = self._results()
        if results != self.results:
            self.results = results
            for head, result in zip(self.heads, results, strict=True):
                head.show_result(result)

    def _follow(self) -> None:
        """Draw the curves of the study; while a drag lasts the ranges stay."""
        units, travels = self.session.units, self.driver == "travel"
        study = self.session.study if travels else self.session.whole_study()
        if study is None:
            return
        self._take_results()
        steady = self.session.preview_setup is not None
        low, high, _ = getattr(study.ranges, self.driver)
        for plot, result in zip(self.plots, self.results, strict=True):
            measured = curve_of(study.measured, self.driver, result, units, self.side)
            proposed = measured
            if study.changed:
                proposed = curve_of(study.proposed, self.driver, result, units, self.side)
            missing = result.key in study.missing
            plot.show_curves(*((None, None) if missing else (measured, proposed)))
            if not steady:
                plot.rule(self.driver, result, units, (low, high))
        self._dots.stop()
        self._show_pose()

    def _follow_pose(self) -> None:
        """Let the dots trail a pose; while points are dragged they come with the curves."""
        if self.session.preview_setup is None and not self._dots.isActive():
            self._dots.start()

    def _show_pose(self) -> None:
        """Put the dots where the pose is, and read the values there."""
        for place, plot in enumerate(self.plots):
            was, now = self._spot(place, "measured"), self._spot(place, "proposed")
            changed = self.session.study is not None and self.session.study.changed
            plot.show_dots(was if changed else None, now)
        self._read()

    def _spot(self, place: int, car: str) -> tuple[float, float] | None:
        """Return a pose's value and driver as shown, None where it is not on the curve."""
        value = self._posed(place, car)
        if value is None or not self._is_on_curve():
            return None
        units, result = self.session.units, self.results[place]
        at: float = getattr(self.session.pose, self.driver)
        if car == "proposed" and self.driver == "travel" and self.session.settles:
            at += self.session.settled_travel() or 0.0
        return value / shown(result.kind, units).size, at / shown(KINDS[self.driver], units).size

    def _is_on_curve(self) -> bool:
        """Tell whether only this sheet's driver is away from zero."""
        pose = self.session.pose
        others = Pose(**{**pose.__dict__, self.driver: 0.0})
        settled = self.session.settles and self.driver != "travel"
        return others == Pose() and not settled

    def _posed(self, place: int, car: str) -> float | None:
        sweep, study = getattr(self.session, car), self.session.study
        result = self.results[place]
        if sweep is None or study is None or result.key in study.missing:
            return None
        return value_in(sweep, result, self.side)

    # Reading

    def _hover(self, place: QPointF) -> None:
        found = (plot.driver_at(place) for plot in self.plots[: self.layout_[1]])
        self._read_at(next((value for value in found if value is not None), None))

    def _read_at(self, at: float | None) -> None:
        if at != self.hovered:
            self.hovered = at
            for plot in self.plots:
                plot.show_level(at)
            self._read()
            self.read_at.emit(self.place_words())

    def _read(self) -> None:
        for place, (plot, head) in enumerate(zip(self.plots, self.heads, strict=True)):
            if self.hovered is None:
                head.read(self._posed(place, "measured"), self._posed(place, "proposed"))
            else:
                size = shown(self.results[place].kind, self.session.units).size
                head.read(
                    *(_read(each, self.hovered, size) for each in (plot.measured, plot.proposed))
                )

    def place_words(self) -> str:
        """Return where the pointer reads: "at 40.0 mm of travel"; empty where it doesn't."""
        if self.hovered is None:
            return ""
        kind, units = KINDS[self.driver], self.session.units
        inside = self.hovered * shown(kind, units).size
        number = number_of(inside, kind, units, decimal=decimal_sign(), plus=True)
        return f"at {number} {unit_of(kind, units)} of {self.driver}"

    def eventFilter(self, watched: object, event: QEvent) -> bool:
        """Stop reading when the pointer leaves."""
        if event.type() == QEvent.Type.Leave:
            self._read_at(None)
        return False

    def event(self, event: QEvent) -> bool:
        """Draw for the screen that the sheet has come to."""
        if event.type() in (QEvent.Type.DevicePixelRatioChange, QEvent.Type.Show):
            self.take_inks(self.inks)
        return super().event(event)

    # Laying out

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the plots out for the new size."""
        super().resizeEvent(event)
        self._arrange(*arrangement(self.width(), self.height(), len(self.plots)))
        QTimer.singleShot(0, self._settle)

    def _arrange(self, columns: int, shown: int) -> None:
        """Put the first plots into columns; the others are put away."""
        if (columns, shown) == self.layout_:
            return
        self.layout_ = (columns, shown)
        for plot in self.plots:
            if plot.plot.scene() is not None:
                self.canvas.removeItem(plot.plot)
        for head in self.heads[shown:]:
            head.hide()
        for place, plot in enumerate(self.plots[:shown]):
            self.heads[place].show()
            plot.first = place % columns == 0
            self.canvas.addItem(plot.plot, row=place // columns, col=place % columns)

    def _settle(self) -> None:
        """Lay heads over their plots, and number the axes for the room there is."""
        self.canvas.ci.layout.activate()
        for plot, head in zip(self.plots[: self.layout_[1]], self.heads, strict=False):
            plot.number()
            cell = plot.cell().toRect()
            head.setGeometry(cell.x() + 2, cell.y(), max(cell.width() - 4, 20), HEAD - 2)


def arrangement(width: int, height: int, count: int) -> tuple[int, int]:
    """Return the number of columns, and how many of the plots are shown; few that can be read."""
    fitting = max(1, min(count, width // NARROW))
    if height < 2 * LOW or width >= ROOMY * count:
        return fitting, fitting
    columns = min(fitting, (count + 1) // 2)
    return columns, min(count, 2 * columns)


def _read(curve: Curve | None, at: float, size: float) -> float | None:
    value = curve.value_at(at) if curve is not None else None
    return None if value is None or not np.isfinite(value) else value * size
