"""The head of a plot: its title, which opens the choice of results, and what is read."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QContextMenuEvent, QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from app.paint.palette import PALETTES
from app.panels.figures import NOTHING, banded_number
from app.panels.shown_results import needs_words, results_asked
from app.panels.widgets import SMALL, paint_ring, text_font
from app.qt.border import fenced
from app.session.session import Session
from app.systems.banded import CarOf
from app.words.results import result_unit
from geometry.catalogue.front import Result

ARROW: Final = " ▾"
GAP: Final = 4  # between a figure and its unit [px]


@fenced
class CurveHead(QToolButton):
    """A button that reads: title, under it the measured and the proposed value and their unit."""

    chosen = Signal(str)  # another result's key
    closer_asked = Signal()
    large_asked = Signal()

    def __init__(self, session: Session, result: Result, parent: QWidget) -> None:
        super().__init__(parent)
        self.session = session
        self.result, self.large = result, True
        self.inks = PALETTES["light"]
        self.values: tuple[float | None, ...] = (None, None, None)
        self.plain, self.bold = text_font(SMALL), text_font(SMALL, bold=True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(self._press)
        self.show_result(result)

    def show_result(self, result: Result) -> None:
        """Head the plot of another result."""
        self.result = result
        title = result.title
        if self.large:
            self.setAccessibleName(f"Curve of {title}: choose another result")
            purpose = "click to plot another result here; double-click the curve to look closer"
        else:
            self.setAccessibleName(f"Curve of {title}: show it large")
            purpose = "click to show it large; right-click to plot another result here"
        self.setToolTip(f"{title}: {purpose}")
        self.update()

    def show_large(self, large: bool) -> None:
        """Head the large plot, or a small one."""
        if large != self.large:
            self.large = large
            self.show_result(self.result)

    def _press(self) -> None:
        if self.large:
            self.open_menu()
        else:
            self.large_asked.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer other results, of a small plot too."""
        self.open_menu()

    def read(
        self, measured: float | None, proposed: float | None, second: float | None = None
    ) -> None:
        """Show the values at the pose or under the pointer [inside units], a second car's too."""
        if (measured, proposed, second) != self.values:
            self.values = (measured, proposed, second)
            if QAccessible.isActive():  # each telling costs a message
                self.setAccessibleDescription(self.spoken())
            self.update()

    def spoken(self) -> str:
        """Return what is read, in words."""
        unit = result_unit(self.result, self.session.units)
        before, after = self._figures()
        words = []
        if self.session.second.shows_first:
            words.append(f"as found {before}, as built {after} {unit}".strip())
        if second := self._second():
            words.append(f"second car {second} {unit}".strip())
        return f"{self.result.title}: {', '.join(words)}"

    def open_menu(self) -> None:
        """Offer every result that has a curve."""
        self.menu_of_results().popup(self.mapToGlobal(self.rect().bottomLeft()))

    def menu_of_results(self) -> QMenu:
        """Return the menu of results in their groups; what lacks data says what it needs."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if not self.large:
            menu.addAction("Show it large").triggered.connect(lambda _on: self.large_asked.emit())
        menu.addAction("Look closer").triggered.connect(lambda _on: self.closer_asked.emit())
        menu.addSeparator()
        curved = [result for result in results_asked(self.session) if result.scope != "car"]
        parts = {group: menu.addMenu(group) for group in dict.fromkeys(r.group for r in curved)}
        for result in curved:
            needs = needs_words(self.session, result)
            part = parts[result.group]
            action = part.addAction(f"{result.title}  –  {needs}" if needs else result.title)
            action.setEnabled(not needs)
            action.setCheckable(True)
            action.setChecked(result.key == self.result.key)
            action.triggered.connect(lambda _on, key=result.key: self.chosen.emit(key))
        return menu

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint title and reading."""
        with QPainter(self) as painter:
            line = self._paint_title(painter)
            self._paint_reading(painter, 2 * line + 1)
            if self.underMouse():
                painter.setPen(self.inks.colour("accent"))
                painter.drawLine(0, line + 2, self.width() - 2, line + 2)
            if self.hasFocus():
                paint_ring(painter, self.rect(), self.inks)

    def _paint_title(self, painter: QPainter) -> int:
        painter.setFont(self.bold)
        metrics = painter.fontMetrics()
        arrow = ARROW if self.large else ""
        room = self.width() - 6 - metrics.horizontalAdvance(arrow)
        title = self.result.title
        if metrics.horizontalAdvance(title) > room:
            title = self.result.short  # the whole is in the tool-tip
        title = metrics.elidedText(title, Qt.TextElideMode.ElideRight, room)
        painter.setPen(self.inks.colour("ink"))
        painter.drawText(3, metrics.ascent() + 1, title)
        left = 3 + metrics.horizontalAdvance(title)
        painter.setFont(self.plain)
        painter.setPen(self.inks.colour("second"))
        painter.drawText(left, metrics.ascent() + 1, arrow)
        return metrics.height()

    def _paint_reading(self, painter: QPainter, base: int) -> None:
        needs = needs_words(self.session, self.result)
        if needs:
            painter.setFont(self.plain)
            painter.setPen(self.inks.colour("second"))
            room = self.width() - 4
            metrics = painter.fontMetrics()
            painter.drawText(3, base, metrics.elidedText(needs, Qt.TextElideMode.ElideRight, room))
            return
        before, after, second, unit = self._shown_words()
        left = 3
        for font, ink, words, gap in (
            (self.plain, "second", before, 0),
            (self.bold, "ink", after, GAP),
            (self.bold, "other", second, GAP),
            (self.plain, "second", unit, 0),
        ):
            painter.setFont(font)
            painter.setPen(self.inks.colour(ink))
            painter.drawText(left, base, words)
            left += painter.fontMetrics().horizontalAdvance(words) + (gap if words else 0)

    def _shown_words(self) -> tuple[str, str, str, str]:
        """Return the values and their unit; where they don't fit, not that of the car as found."""
        units = self.session.units
        before, after = self._figures()
        unit = result_unit(self.result, units)
        same = self.session.study is not None and not self.session.study.changed
        words = "" if same or before == after == NOTHING else f"{before} → "
        second = f"2: {figure}" if (figure := self._second()) else ""
        if not self.session.second.shows_first:
            return "", "", second, unit
        plain, bold = QFontMetrics(self.plain), QFontMetrics(self.bold)
        wide = plain.horizontalAdvance(f"{words}{unit}") + bold.horizontalAdvance(after)
        beside = bold.horizontalAdvance(second) + GAP if second else 0
        room = self.width() - GAP - 3
        if beside and wide - plain.horizontalAdvance(words) + beside > room:
            second, beside = "", 0  # the large plot and the tool-tip tell it
        return (words if wide + beside <= room else "", after, second, unit)

    def _second(self) -> str:
        """Return the second car's figure; empty where it isn't seen."""
        if not self.session.second.is_seen:
            return ""
        return banded_number(self.values[2], None, self.result, self.session.units)

    def _figures(self) -> tuple[str, str]:
        """Return both values with the digits that the bands leave them."""
        study, units = self.session.study, self.session.units
        bands = None if study is None else study.bands

        def figure(car: CarOf, value: float | None) -> str:
            within = bands.within(car, self.result) if bands else None
            return banded_number(value, within, self.result, units)

        before, after, _ = self.values
        return figure("found", before), figure("built", after)

    def sizeHint(self) -> QSize:
        """Return the room of two lines."""
        return QSize(120, 34)
