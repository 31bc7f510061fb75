"""All curves on one sheet, painted as strokes: a drag costs one quick repaint."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QFontMetrics,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPixmap,
    QRegion,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from app.document.units import number_of, shown, unit_of
from app.drawing.chart import Series, Spot
from app.paint.palette import Inks
from app.panels.curves.curve_head import CurveHead
from app.panels.curves.curve_places import places_for
from app.panels.curves.curve_plot import HEAD, RIGHT, CurvePlot
from app.panels.curves.end_hand import EndHand, is_escape
from app.panels.curves.plotted import Plotted
from app.panels.curves.second_curves import ends_of, second_value, seen, with_second
from app.panels.figures import decimal_sign
from app.panels.widgets import SMALL, text_font
from app.qt.border import fenced
from app.qt.spoken import spoken_as
from app.session.between_frames import in_its_turn
from app.session.session import TRAIL, Session
from app.systems.answers import Pose, Study, value_in
from app.systems.curves import KINDS, Driver, curve_chart

if TYPE_CHECKING:
    from app.panels.curves.closer_look import CloserLook

READ: Final = ("measured", "proposed", "second")
ALL, FIRST, LATE = slice(None), slice(3), slice(3, None)
"""All plots, and the parts that are drawn one by one in a drag, with frames between them."""


@fenced
class CurveSheet(QWidget):
    """The plots of the chosen results, their heads, and what is read under the pointer."""

    read_at = Signal(str)  # where the pointer reads, in words; "" where it doesn't

    def __init__(self, session: Session, driver: Driver, inks: Inks) -> None:
        super().__init__()
        self.hand = EndHand(session)
        self.session, self.driver, self.inks = session, driver, inks
        self.side = 0
        self.hovered: float | None = None
        self.font_ = text_font(SMALL * 0.95)
        self.metrics = QFontMetrics(self.font_)
        self.setAccessibleName("Curves")
        spoken_as(self, QAccessible.Role.Chart)
        self.setMouseTracking(True)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.plotted = Plotted(session)
        self.results = self.plotted.results()
        self._pressed: int | None = None  # the plot under the press
        self.closer: CloserLook | None = None
        self._net: QPixmap | None = None  # what stays while curves change
        self._add_plots()
        self._dots = QTimer(self, singleShot=True, interval=TRAIL)
        self._dots.timeout.connect(lambda: self._in_parts(self._show_pose))
        self._late = QTimer(self, singleShot=True, interval=0)
        self._late.timeout.connect(lambda: in_its_turn(lambda: self._draw_part(LATE)))
        self._draw_part: Callable[[slice], None] = self._draw_again
        session.curves_changed.connect(self._follow)
        session.bands_changed.connect(self._follow)
        session.second.changed.connect(self._follow)
        session.study_changed.connect(self._follow_pose)
        self.take_inks(inks)
        self.show_over(driver)

    def _add_plots(self) -> None:
        self.plots = [CurvePlot() for _ in self.results]
        self.heads = [CurveHead(self.session, result, self) for result in self.results]
        for place, head in enumerate(self.heads):
            head.chosen.connect(lambda key, place=place: self.show_result(place, key))
            head.closer_asked.connect(lambda place=place: self.look_closer(place))
            head.large_asked.connect(lambda place=place: self.show_large(place))
            head.show_large(place == 0)

    # What is shown

    def take_inks(self, inks: Inks) -> None:
        """Draw with other inks."""
        self.inks = inks
        for head in self.heads:
            head.inks = inks
        if self.closer is not None:
            self.closer.take_inks(inks)
        self._show_pose()
        self._paint_anew()

    def show_over(self, driver: Driver) -> None:
        """Plot over travel (upright), roll or steer."""
        self.driver = driver
        self.hovered = None
        for plot in self.plots:
            plot.level = None
        self._follow()

    def show_side(self, side: int) -> None:
        """Plot the left wheel or the right one."""
        self.side = side
        self._follow()

    def show_result(self, place: int, key: str) -> None:
        """Plot another result in a place."""
        self.plotted.choose(place, key)
        self._follow()

    def show_large(self, place: int) -> None:
        """Exchange a small plot for the large one."""
        self.plotted.enlarge(place)
        self._follow()

    def _take_results(self) -> bool:
        """Head each plot with its result, and tell whether another one is plotted."""
        results = self.plotted.results()
        if results == self.results:
            return False
        self.results = results
        for head, result in zip(self.heads, results, strict=True):
            head.show_result(result)
        return True

    def _follow(self) -> None:
        """Draw the curves of the study; while a drag lasts the ranges stay."""
        travels = self.driver == "travel"
        study = self.session.study if travels else self.session.whole_study()
        if study is None:
            return
        turned = self._take_results() or self.plots[0].chart.upright != travels
        self._dots.stop()
        self._late.stop()
        if not turned and self.session.preview_setup is not None:
            self._in_parts(self._draw_again)
            return
        self._draw(study, ALL, ends_of(self.session, self.driver))
        self._number()
        self._show_pose()
        self._paint_curves()

    def _in_parts(self, draw_part: Callable[[slice], None]) -> None:
        """Draw some plots in this turn and some in the next: a frame may come between them."""
        self._draw_part = draw_part
        in_its_turn(lambda: draw_part(FIRST))
        self._late.start()

    def _draw_again(self, part: slice) -> None:
        """Give a part of the plots new curves in ranges that stay."""
        study = self.session.study if self.driver == "travel" else self.session.whole_study()
        if study is not None:
            self._draw(study, part)
            self._show_pose(part)
            self._paint_curves(part)

    def _draw(
        self, study: Study[Any], part: slice, ends: tuple[float, float] | None = None
    ) -> None:
        """Give a part of the plots the curves of a study; with `ends` their ranges are anew."""
        units = self.session.units
        for plot, result in zip(self.plots[part], self.results[part], strict=True):
            chart = curve_chart(study, self.driver, result, units, self.side, self.session.in_body)
            plot.chart = with_second(chart, self.session, self.driver, result, self.side)
            plot.units = unit_of(KINDS[self.driver], units), unit_of(result.kind, units)
            if ends is not None:
                plot.rule(self.driver, result, units, ends)
            plot.chart = seen(plot.chart, self.session)

    def _follow_pose(self) -> None:
        """Move the dots to the pose; while points are dragged they move with the curves."""
        if self.session.preview_setup is None and not self._dots.isActive():
            self._dots.start()

    def _show_pose(self, part: slice = ALL) -> None:
        """Put the dots of a part of the plots where the pose is, and read the values there."""
        changed = self.session.study is not None and self.session.study.changed
        shows_first = self.session.second.shows_first
        for place, plot in [*enumerate(self.plots)][part]:
            ring = self._spot(place, "measured") if changed and shows_first else None
            dot = self._spot(place, "proposed") if shows_first else None
            other = self._spot(place, "second")
            if (ring, dot, other) != (plot.ring, plot.dot, plot.other):
                plot.ring, plot.dot, plot.other = ring, dot, other
                self.update(plot.box.toAlignedRect())
        self._read(part)

    def _spot(self, place: int, car: str) -> Spot | None:
        """Return a pose's driver and value as shown, None where it is not on the curve."""
        value = self._posed(place, car)
        if value is None or not self._is_on_curve():
            return None
        units, result = self.session.units, self.results[place]
        at: float = getattr(self.session.pose, self.driver)
        return at / shown(KINDS[self.driver], units).size, value / shown(result.kind, units).size

    def _is_on_curve(self) -> bool:
        """Tell whether only this sheet's driver is away from zero."""
        pose = self.session.pose
        return Pose(**{**pose.__dict__, self.driver: 0.0}) == Pose()

    def _posed(self, place: int, car: str) -> float | None:
        result = self.results[place]
        if car == "second":
            return second_value(self.session, result, self.side)
        sweep, study = getattr(self.session, car), self.session.study
        if sweep is None or study is None or result.key in study.missing:
            return None
        return value_in(sweep, result, self.side)

    # Reading

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Read every curve where the pointer is in one of them."""
        self.hand.move(event.position(), event.modifiers())
        drivers = (plot.driver_at(event.position()) for plot in self.shown_plots())
        self._read_at(next((value for value in drivers if value is not None), None))
        self.setCursor(self._cursor_at(event.position()))

    def _cursor_at(self, place: QPointF) -> Qt.CursorShape:
        plot = self._plot_at(place)
        if self.hand.is_held or (plot is not None and self._has_end_at(plot, place)):
            upright = self.driver == "travel"
            return Qt.CursorShape.SizeHorCursor if upright else Qt.CursorShape.SizeVerCursor
        return Qt.CursorShape.PointingHandCursor if plot else Qt.CursorShape.CrossCursor

    def _has_end_at(self, plot: int, place: QPointF) -> bool:
        return self.hand.end_at(self.plots[plot], place) is not None

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember which plot the press is on: when it is let go, another may stand there."""
        self._pressed = self._plot_at(event.position())
        if self._pressed is not None and event.button() == Qt.MouseButton.LeftButton:
            place, at = self._pressed, event.position()
            self.hand.press(self.plots[place], self.results[place], self.driver, self.side, at)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Show a small plot large that was clicked."""
        place = self._plot_at(event.position())
        if self.hand.release():
            self._pressed = None
            return
        if place and place == self._pressed and event.button() == Qt.MouseButton.LeftButton:
            self._pressed = 0  # so a second click looks closer at it
            self.show_large(place)

    def leaveEvent(self, event: QEvent) -> None:
        """Stop reading when the pointer leaves."""
        self._read_at(None)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Look closer at the curve under the pointer."""
        place = self._plot_at(event.position()) if self._pressed is None else self._pressed
        self._pressed = None
        if place is not None:
            self.look_closer(place)

    def look_closer(self, place: int) -> None:
        """Open a plot in a window of its own, with zoom: the plotting library is loaded now."""
        from app.panels.curves.closer_look import CloserLook

        if self.closer is None:
            self.closer = CloserLook(self.session, self)
        self.closer.look_at(self.results[place], self.driver, self.side, self.inks)

    def shown_plots(self) -> list[CurvePlot]:
        """Return the plots that there is room for."""
        return [plot for plot in self.plots if plot.drawn]

    def _plot_at(self, place: QPointF) -> int | None:
        cells = (plot.drawn and plot.cell.contains(place) for plot in self.plots)
        return next((index for index, inside in enumerate(cells) if inside), None)

    def _read_at(self, at: float | None) -> None:
        if at != self.hovered:
            self.hovered = at
            for plot in self.plots:
                plot.level = at
            self._paint_curves()
            self._read()
            self.read_at.emit(self.place_words())

    def _read(self, part: slice = ALL) -> None:
        for place, (plot, head) in [*enumerate(zip(self.plots, self.heads, strict=True))][part]:
            if self.hovered is None:
                head.read(*(self._posed(place, car) for car in READ))
            else:
                size = shown(self.results[place].kind, self.session.units).size
                curves = (plot.series(car) for car in READ)
                head.read(*(_read(series, self.hovered, size) for series in curves))

    def place_words(self) -> str:
        """Return where the pointer reads: "at 40.0 mm of travel"; empty where it doesn't."""
        if self.hovered is None:
            return ""
        kind, units = KINDS[self.driver], self.session.units
        inside = self.hovered * shown(kind, units).size
        number = number_of(inside, kind, units, decimal=decimal_sign(), plus=True)
        return f"at {number} {unit_of(kind, units)} of {self.driver}"

    def event(self, event: QEvent) -> bool:
        """Draw for the screen that the sheet has come to."""
        if self.hand.is_drawing and is_escape(event):
            self.hand.cancel()
            event.accept()
            return True
        if event.type() in (QEvent.Type.DevicePixelRatioChange, QEvent.Type.Show):
            self._paint_anew()
        return super().event(event)

    # Laying out

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the plots out for the new size."""
        super().resizeEvent(event)
        self._number()

    def _number(self) -> None:
        """Share the paper out, and number the axes for the room there is."""
        places = places_for(self.width(), self.height(), len(self.plots))
        boxes = (places.large, *places.small)
        for place, (plot, head) in enumerate(zip(self.plots, self.heads, strict=True)):
            plot.large, is_placed = place == 0, place < len(boxes)
            plot.drawn = plot.large or (is_placed and places.plotted)
            head.setVisible(is_placed)
            if is_placed:
                left, top, wide, _ = boxes[place]
                head.setGeometry(left + 2, top, max(wide - 4, 20), HEAD - 2)
        self._lay([QRectF(*box) for box in boxes])
        self._paint_anew()

    def _lay(self, cells: list[QRectF]) -> None:
        """Lay the plots into their cells; those of a column begin at the same place."""
        rooms: dict[float, float] = {}  # left of the plots of a column
        for place, plot in enumerate(self.plots):
            is_upright = self.driver == "travel"
            plot.ends = ("bump", "rebound") if place == 0 and is_upright else None
            if plot.drawn:
                plot.cell = cell = cells[place]
                room = plot.rise(cell.top(), cell.bottom(), self.metrics)
                rooms[cell.left()] = max(rooms.get(cell.left(), 0.0), room)
        for plot in self.shown_plots():
            cell = plot.cell
            left, right = cell.left() + rooms[cell.left()], cell.right() - RIGHT
            plot.spread(left, max(right, left + 1.0), self.metrics)

    # Painting

    def _paint_anew(self) -> None:
        """Paint everything, net and figures too."""
        self._net = None
        self.update()

    def _paint_curves(self, part: slice = ALL) -> None:
        """Paint a part of the plots, but neither heads nor figures."""
        region = QRegion()
        for plot in self.plots[part]:
            if plot.drawn:
                region += plot.box.adjusted(-1, -1, 1, 1).toAlignedRect()
        self.update(region)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the curves over the cached net."""
        if self._net is None:
            self._net = self._painted_net()
        with QPainter(self) as painter:
            painter.drawPixmap(0, 0, self._net)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for plot in self.shown_plots():
                if event.region().intersects(plot.box.toAlignedRect()):
                    plot.paint_curves(painter, self.inks)

    def _painted_net(self) -> QPixmap:
        ratio = self.devicePixelRatioF()
        net = QPixmap(self.size() * ratio)
        net.setDevicePixelRatio(ratio)
        net.fill(self.inks.colour("paper"))
        with QPainter(net) as painter:
            painter.setFont(self.font_)
            for plot in self.shown_plots():
                plot.paint_net(painter, self.inks, self.metrics)
        return net


def _read(curve: Series | None, at: float, size: float) -> float | None:
    value = curve.value_at(at) if curve is not None else None
    return None if value is None else value * size
