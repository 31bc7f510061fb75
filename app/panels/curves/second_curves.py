"""A second car among the curves: its lines beside those of the first, and the legend of both."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLineF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.document.plain_text import one_line
from app.paint.palette import PALETTES, Inks
from app.panels.widgets import EDGE, SMALL, text_font
from app.qt.border import fenced
from app.session.session import Session
from app.systems.answers import CAR_WORDS, value_in
from app.systems.study_results import namesake_of
from geometry.catalogue.result import Result

if TYPE_CHECKING:
    from app.drawing.chart import Chart, Look
    from app.systems.curves import Driver

SAMPLE: Final = 34  # of a line in the legend [px]
GAP: Final = 5  # between a line and its words [px]
APART: Final = 16  # between two entries [px]


def ends_of(session: Session, driver: Driver) -> tuple[float, float]:
    """Return what all cars are swept over that may be seen [mm, rad]."""
    from app.systems.curves import swept_range  # the legend has no curves yet

    studies = [study for study in (session.study, session.second.study) if study is not None]
    lows, highs = zip(
        *(swept_range(study, driver, session.in_body) for study in studies), strict=True
    )
    return min(lows), max(highs)


def with_second(
    chart: Chart, session: Session, driver: Driver, result: Result, side: int = 0
) -> Chart:
    """Return a chart with the second car's curve, where it has that result."""
    study = session.second.study
    if study is None:
        return chart
    from app.systems.curves import second_curve

    units, in_body = session.units, session.in_body
    curve = session.second.kept(
        ("curve", driver, result.identity, side),
        lambda: second_curve(study, driver, result, units, side, in_body),
    )
    return chart if curve is None else replace(chart, series=(*chart.series, curve))


def seen(chart: Chart, session: Session) -> Chart:
    """Return a chart without the car that isn't to be seen."""
    second = session.second
    if not second.shows_first:
        own = tuple(line for line in chart.series if line.look == "second")
        return replace(chart, series=own, bands=(), notes=())
    if not second.is_seen:
        return replace(chart, series=tuple(s for s in chart.series if s.look != "second"))
    return chart


def second_value(session: Session, result: Result, side: int) -> float | None:
    """Return a result of the second car in the pose, None where it hasn't it or isn't seen."""
    study, posed = session.second.seen, session.second.posed
    if study is None or posed is None:
        return None
    own = namesake_of(study.proposed, result)
    return None if own is None or own.key in study.missing else value_in(posed, own, side)


@fenced
class Legend(QWidget):
    """What the lines of the curves are, while a second car lies over the first."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.inks: Inks = PALETTES["light"]
        self._named: tuple[list[tuple[Look, str]], bool] | None = None
        self.setFont(text_font(SMALL))
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        session.second.changed.connect(self.follow)
        session.curves_changed.connect(self.follow)
        self.follow()

    def follow(self) -> None:
        """Name what is seen; hide where there is one car alone."""
        named = self.entries(), self.session.second.laid is not None
        if named == self._named:  # as in a drag: no layout for that
            return
        self._named = named
        words = "; ".join(f"{name}: {text}" for name, text in self._spoken())
        self.setAccessibleName(f"Legend of the curves. {words}")
        self.setToolTip("\n".join(text for _, text in self.entries()))
        self.setVisible(self.session.second.laid is not None)
        self.updateGeometry()
        self.update()

    def entries(self) -> list[tuple[Look, str]]:
        """Return the lines that are seen with their words, the first car's first."""
        rows: list[tuple[Look, str]] = []
        second, study = self.session.second, self.session.study
        if second.laid is None:
            return rows
        if second.shows_first and study is not None:
            rows.append(("proposed", CAR_WORDS["proposed"]))
            if study.changed:
                rows.append(("measured", CAR_WORDS["measured"]))
        if second.is_seen:
            rows.append(("second", f"2: {one_line(second.laid.name)}"))
        return rows

    def _spoken(self) -> list[tuple[str, str]]:
        lines: dict[Look, str] = {
            "proposed": "solid",
            "measured": "dashed",
            "second": "long dashes and two dots",
        }
        return [(lines[look], text) for look, text in self.entries()]

    def lines(self, width: int) -> list[list[tuple[Look, str]]]:
        """Return the entries in lines; one that doesn't fit beside the others begins the next."""
        rows: list[list[tuple[Look, str]]] = [[]]
        left = EDGE
        for look, text in self.entries():
            wide = SAMPLE + GAP + self.fontMetrics().horizontalAdvance(text)
            if rows[-1] and left + wide + EDGE > width:
                rows.append([])
                left = EDGE
            rows[-1].append((look, text))
            left += wide + APART
        return rows

    def heightForWidth(self, width: int) -> int:
        """Return the height of the lines that a width asks for."""
        return len(self.lines(width)) * self._line + 2

    @property
    def _line(self) -> int:
        return self.fontMetrics().height() + 2

    def sizeHint(self) -> QSize:
        """Return the height at the present width, which is what there is."""
        return QSize(120, self.heightForWidth(max(self.width(), 120)))

    def minimumSizeHint(self) -> QSize:
        """Return the height of a line."""
        return QSize(60, self._line)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint a piece of each line with its words, cut short where it is too long."""
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            for row, entries in enumerate(self.lines(self.width())):
                self._paint_line(painter, row * self._line, entries)

    def _paint_line(self, painter: QPainter, top: int, entries: list[tuple[Look, str]]) -> None:
        from app.paint.charts import curve_pen

        metrics = QFontMetrics(self.font())
        base, at = top + metrics.ascent() + 2, EDGE
        for look, text in entries:
            painter.setPen(curve_pen(look, self.inks))
            middle = base - 0.5 * metrics.xHeight()
            painter.drawLine(QLineF(at, middle, at + SAMPLE, middle))
            at += SAMPLE + GAP
            painter.setPen(self.inks.colour("other" if look == "second" else "ink"))
            room = max(self.width() - at - EDGE, 0)
            words = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
            painter.drawText(at, base, words)
            at += metrics.horizontalAdvance(words) + APART
