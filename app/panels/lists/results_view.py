"""The list of results under hand and keyboard."""

from __future__ import annotations

from time import monotonic

from PySide6.QtCore import QEvent, QModelIndex, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QListView, QMenu, QSizePolicy

from app.document.plain_text import lower_first
from app.panels.lists.clearance_rows import nearest_pose
from app.panels.lists.figure_hand import FigureHand, drawn_by
from app.panels.lists.result_card import Link
from app.panels.lists.result_paint import ResultPaper
from app.panels.lists.result_rows import Head, Line, Row, Said
from app.panels.lists.results_model import ResultsModel
from app.panels.shown_results import find_result, limit_key, with_limit
from app.panels.widgets import paint_ring, plain_view
from app.qt.border import fenced
from app.session.between_frames import Pace
from app.session.session import Session
from app.systems.clearance.results import is_clearance


@fenced
class ResultsView(QListView):
    """The list under hand and keyboard."""

    result_selected = Signal(str)
    find_asked = Signal(str, bool)  # name as in the file; that its limit is kept

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.results = ResultsModel(session)
        self._in_view: list[tuple[Line, QRect]] | None = None
        self._is_said = False
        self.results.modelReset.connect(self._lose_view)
        plain_view(self, "Results")
        self.setModel(self.results)
        self.hand = FigureHand(session)
        self.viewport().setMouseTracking(True)
        self.paper = ResultPaper(self, session)
        self.setItemDelegate(self.paper)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QListView.SelectionMode.NoSelection)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Expanding)
        self.setMinimumWidth(200)
        self.pace = Pace(session, self._say, self)
        session.study_changed.connect(self.pace.follow)
        session.problem_changed.connect(self._say)
        session.study_completed.connect(self._read_limits)
        session.bands_changed.connect(self._refresh)
        session.setup_changed.connect(self._refresh)
        session.units_changed.connect(self._show_units)
        session.system_changed.connect(self._close)
        session.second.changed.connect(self._say)
        self._say()

    @property
    def side(self) -> int:
        """Return the wheel whose results are shown: 0 left, 1 right."""
        return self.results.side

    def show_side(self, side: int) -> None:
        """Show the results of the left or the right wheel."""
        self.results.side = side
        self._say()

    def set_greyed(self, greyed: bool) -> None:
        """Grey figures that no longer hold."""
        if greyed != self.paper.greyed:
            self.paper.greyed = greyed
            self.viewport().update()

    def _read_limits(self) -> None:
        self.results.read_limits()
        self._refresh()
        self.pace.catch_up()

    def _refresh(self) -> None:
        """Take limits and folds anew; a drag changes none of them."""
        if self.session.preview_setup is None:
            self.results.refresh()
            self._say()

    def _show_units(self) -> None:
        """Paint every title too: its unit may change where its figures read the same."""
        self._refresh()
        self.viewport().update()

    def _say(self) -> None:
        """Work out what the rows in view say, and repaint those that say something else."""
        self._is_said = self.isVisible()
        if not self._is_said:
            return  # the first paint asks again, when the rows have their places
        words_in_view, self.paper.said = self.paper.said, self._worked_out()
        for line, box in self.in_view():
            if isinstance(line, Row):
                before = words_in_view.get(line.result.key)
                words = self.paper.said[line.result.key]
                if before != words:
                    self.viewport().update(self.paper.changed_box(line, box, before, words))

    def _worked_out(self) -> dict[str, Said]:
        rows = (line for line, _ in self.in_view() if isinstance(line, Row))
        return {row.result.key: self.results.said(row) for row in rows}

    def in_view(self) -> list[tuple[Line, QRect]]:
        """Return the lines that can be seen, with their boxes; kept until the layout changes."""
        if self._in_view is None:
            self._in_view = self._find_in_view()
        return self._in_view

    def _find_in_view(self) -> list[tuple[Line, QRect]]:
        bottom, rows_in_view = self.viewport().height(), []
        first = self.indexAt(QPoint(4, 1))
        for row in range(max(first.row(), 0), len(self.results.lines)):
            box = self.visualRect(self.results.index(row))
            if box.y() > bottom:
                break
            rows_in_view.append((self.results.lines[row], box))
        return rows_in_view

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the lines that need it in one go."""
        region = event.rect()
        if not self._is_said:
            self.paper.said, self._is_said = self._worked_out(), True
        with QPainter(self.viewport()) as painter:
            dirty = [row for row in self.in_view() if row[1].intersects(region)]
            self.paper.paint_lines(painter, dirty, region.left())
            if self.hasFocus() and self.currentIndex().isValid():
                box = self.visualRect(self.currentIndex()).adjusted(0, 0, -1, 0)
                paint_ring(painter, box, self.paper.inks)

    def _lose_view(self) -> None:
        self._in_view = None

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """Say what came into view."""
        super().scrollContentsBy(dx, dy)
        self._in_view = None
        self._say()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the rows out for the new width."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def updateGeometries(self) -> None:
        """Say what the new layout brought into view."""
        super().updateGeometries()
        self._in_view = None
        if hasattr(self, "paper"):
            self._say()

    # The hand

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Open a row's definition, fold a group, or ask for a limit."""
        super().mousePressEvent(event)
        at = event.position().toPoint()
        index = self.indexAt(at)
        if event.button() != Qt.MouseButton.LeftButton or not index.isValid():
            return
        line = self.results.lines[index.row()]
        link = self._link_at(line, index, at)
        if isinstance(line, Row) and link == "limit":
            self.ask_limit(line)
        elif link == "how":
            self.turn_how()
        elif isinstance(line, Row) and self._is_figure(line, at):
            self.hand.press(line.result, self.side, at)
        else:
            self._turn(line)

    def _is_figure(self, line: Line | None, at: QPoint) -> bool:
        """Tell whether the figure as built is there, which can be held and drawn sideways."""
        if not isinstance(line, Row) or not _can_be_drawn(line):
            return False
        columns = self.paper.columns(self.viewport().width())
        return columns.measured < at.x() <= columns.proposed

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Draw the figure that is held, or show which ones can be."""
        at = event.position().toPoint()
        self.hand.move(at, event.modifiers())
        index = self.indexAt(at)
        line = self.results.lines[index.row()] if index.isValid() else None
        if self.hand.is_drawing or self._is_figure(line, at):
            self.viewport().setCursor(Qt.CursorShape.SizeHorCursor)
        else:
            self.viewport().unsetCursor()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let the figure go; one that was only clicked opens its row."""
        super().mouseReleaseEvent(event)
        index = self.currentIndex()
        if self.hand.release() and index.isValid():
            self._turn(self.results.lines[index.row()])

    def release(self) -> None:
        """Let the figure go at its present value: the work is saved or closed."""
        self.hand.release()

    def event(self, event: QEvent) -> bool:
        """Keep Escape from the window while a figure is drawn."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            taken = self.hand.is_drawing and event.key() == Qt.Key.Key_Escape
            if taken or self._way(event):
                event.accept()
                return True
        return super().event(event)

    def _way(self, event: QKeyEvent) -> int:
        """Return which way a key draws the figure of the row with the keyboard; 0 for none."""
        if not event.modifiers() & Qt.KeyboardModifier.AltModifier:
            return 0
        return {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)

    def _link_at(self, line: Line, index: QModelIndex, at: QPoint) -> Link | None:
        if not isinstance(line, Row) or line.result.key != self.paper.opened:
            return None
        return self.paper.card.link_at(self.visualRect(index), at.y())

    def turn_how(self) -> None:
        """Show or hide how the opened result is worked out, and who says so."""
        self.paper.card.shows_how = not self.paper.card.shows_how
        self.scheduleDelayedItemsLayout()
        self.viewport().update()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Ask for a limit."""
        at = event.position().toPoint()
        index = self.indexAt(at)
        line = self.results.lines[index.row()] if index.isValid() else None
        if line is not None and self._link_at(line, index, at) == "how":
            self.turn_how()
        elif isinstance(line, Row):
            self.ask_limit(line)
        elif line is not None:
            self._turn(line)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open or fold by Return or space; L: a limit, W: find it, H: how, Escape closes.

        Alt with the arrows draws the figure on, V asks for its value.
        """
        index = self.currentIndex()
        line = self.results.lines[index.row()] if index.isValid() else None
        if self.hand.is_drawing and event.key() == Qt.Key.Key_Escape:
            self.hand.cancel()
        elif isinstance(line, Row) and _can_be_drawn(line) and (way := self._way(event)):
            fast = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.hand.nudge(line.result, self.side, way, fast, monotonic())
        elif line is None or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._turn(line)
        elif event.key() == Qt.Key.Key_L and isinstance(line, Row):
            self.ask_limit(line)
        elif event.key() == Qt.Key.Key_W and isinstance(line, Row):
            self._find(line)
        elif event.key() == Qt.Key.Key_V and isinstance(line, Row) and _can_be_drawn(line):
            self.ask_value(line)
        elif event.key() == Qt.Key.Key_H and self.paper.opened:
            self.turn_how()
        elif event.key() == Qt.Key.Key_Escape and self.paper.opened:
            self._open(None)
        else:
            super().keyPressEvent(event)

    def _turn(self, line: Line) -> None:
        if isinstance(line, Head):
            if line.folded:
                self.results.turn_group(line.group)
        else:
            key = line.result.key
            self._open(None if self.paper.opened == key else key)

    def _open(self, key: str | None) -> None:
        self.paper.opened = key
        self.scheduleDelayedItemsLayout()
        self.viewport().update()
        self.result_selected.emit(key or "")

    def _close(self) -> None:
        if self.paper.opened:
            self._open(None)

    def open_result(self, key: str) -> None:
        """Open a row, its group if need be, and bring it into view."""
        result = find_result(self.session, key)
        if result is None:
            return
        if not any(isinstance(line, Row) and line.result.key == key for line in self.results.lines):
            self.results.turn_group(result.group)
        self._open(key)
        self.executeDelayedItemsLayout()
        for row, line in enumerate(self.results.lines):
            if isinstance(line, Row) and line.result.key == key:
                self.setCurrentIndex(self.results.index(row))
                self.scrollTo(self.results.index(row))

    def ask_limit(self, row: Row) -> None:
        """Open the window of a result's limit."""
        from app.panels.lists.limits import LimitDialog

        LimitDialog(self.session, row.result, self).open()

    def ask_value(self, row: Row) -> None:
        """Open the window in which a result is set to a value."""
        from app.panels.lists.value_dialog import ValueDialog

        ValueDialog(self.session, drawn_by(self.session, row.result, self.side), self).open()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer a limit and the definition."""
        index = self.indexAt(event.pos())
        line = self.results.lines[index.row()] if index.isValid() else None
        if isinstance(line, Row):
            self.menu(line).popup(self.viewport().mapToGlobal(QPoint(event.pos())))

    def menu(self, row: Row) -> QMenu:
        """Return the menu of a result."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        if _can_be_drawn(row):
            menu.addAction("Set to…\tV", lambda: self.ask_value(row))
        menu.addAction("Limit…\tL", lambda: self.ask_limit(row))
        if row.limit is not None:
            menu.addAction("No limit", lambda: self._unlimit(row))
        if not is_clearance(row.result.key):
            menu.addAction("Find what brings it about…\tW", lambda: self._find(row))
            if row.limit is not None:
                menu.addAction("Find what keeps its limit…", lambda: self._find(row, True))
        pose = nearest_pose(self.session, row.result.key)
        if pose is not None:
            menu.addAction("Show where it is nearest", lambda: self.session.set_pose(pose))
        menu.addAction("What is it?\tReturn", lambda: self._open(row.result.key))
        return menu

    def _find(self, row: Row, keeps_limit: bool = False) -> None:
        """Ask for a search of what brings a result about; a clearance can't be wanted."""
        if not is_clearance(row.result.key):
            self.find_asked.emit(limit_key(self.session, row.result), keeps_limit)

    def _unlimit(self, row: Row) -> None:
        edited = with_limit(self.session, row.result, None)
        self.session.commit(edited, f"take the limit off {lower_first(row.result.title)}")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.results.lines:
            self.setCurrentIndex(self.results.index(0))
        self.viewport().update()

    def full_height(self) -> int:
        """Return the height at which no line is out of view [px]."""
        width = self.viewport().width()
        return sum(self.paper.height(line, width) for line in self.results.lines)

    def sizeHint(self) -> QSize:
        """Return a comfortable size."""
        return QSize(330, 520)


def _can_be_drawn(row: Row) -> bool:
    """Tell whether a figure can be drawn, or set: a clearance isn't sought."""
    return not row.needs and not is_clearance(row.result.key)
