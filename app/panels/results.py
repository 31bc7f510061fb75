"""The results: measured, proposed and what moves, in the pose that is shown."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QButtonGroup, QListView, QMenu, QSizePolicy, QWidget

from app.document.edits import set_limit
from app.limit_readings import LimitReading, limit_readings
from app.panels.asked import find_result, limit_key
from app.panels.figures import NOTHING, result_text
from app.panels.limits import LimitDialog
from app.panels.paper import EDGE, FlatButton, Panel, paint_ring, plain_view, small_label
from app.panels.result_paint import ResultPaper
from app.panels.result_rows import Head, Line, Row, Said, lines_of, pose_words, said_by, why_nothing
from app.panels.writing import Writing
from app.result_words import result_unit, sign_words
from app.session import Session
from app.study import Study

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
SIDES: Final = ("left", "right")


class ResultsPanel(Panel):
    """The results with their heads, limits and meanings."""

    result_selected = Signal(str)  # key of the opened result, "" when none is
    side_changed = Signal(int)  # 0 left, 1 right

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Results", parent)
        self.view = ResultsView(session)
        self.view.result_selected.connect(self.result_selected)
        self.heads = ColumnHeads(self.view)
        self.problem = small_label()
        self.problem.setContentsMargins(EDGE, 0, EDGE, 2)
        self.problem.setForegroundRole(self.palette().ColorRole.BrightText)
        self._add_sides()
        for part in (self.heads, self.view, self.problem):
            self.rows.addWidget(part)
        self.rows.setStretchFactor(self.view, 1)
        session.study_changed.connect(self._say_problem)
        session.problem_changed.connect(self._say_problem)
        self._say_problem()

    def take_inks(self) -> None:
        """Hand the inks to the list."""
        paper = self.view.paper
        paper.inks, paper.faint = self.inks, self.inks.faded()
        self.view.viewport().update()
        self.heads.update()

    def _add_sides(self) -> None:
        """Add the switch between the left wheel and the right one."""
        self.sides = QButtonGroup(self)
        for side, name in enumerate(SIDES):
            button = FlatButton(name, f"Results of the {name} wheel")
            button.setCheckable(True)
            button.setChecked(side == self.view.side)
            self.sides.addButton(button, side)
            self.head.addWidget(button)
        self.sides.idClicked.connect(self.view.show_side)
        self.sides.idClicked.connect(self.side_changed)
        self.session.axle_changed.connect(self._offer_sides)
        self._offer_sides()

    def _offer_sides(self) -> None:
        """Offer the right wheel where results are told by wheel: an axle in one piece has none."""
        for button in self.sides.buttons():
            button.setVisible(self.session.axle == "front")

    def _say_problem(self) -> None:
        words = pose_words(self.session)
        self.problem.setVisible(bool(words))
        if words != self.problem.text():
            self.problem.setText(words)
        self.view.set_greyed(self.session.problem is not None)

    def show_result(self, key: str) -> None:
        """Open a result's row and bring it into view, as a sentence about it asks for."""
        self.view.open_result(key)


class ResultsModel(QAbstractListModel):
    """Heads and rows as a list; a screen reader hears each as a sentence."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.opened_groups: frozenset[str] = frozenset()
        self.side = 0
        self.lines: tuple[Line, ...] = lines_of(session, self.opened_groups)
        self.readings: dict[str, LimitReading] = {}
        self.read_limits()

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of heads and rows."""
        return 0 if parent.isValid() else len(self.lines)

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return the line itself, or its words."""
        line = self.lines[index.row()]
        if role == Role.UserRole:
            return line
        if role in (Role.DisplayRole, Role.AccessibleTextRole):
            return self._spoken(line)
        if role == Role.ToolTipRole and isinstance(line, Row):
            return self._tip(line)
        return None

    def said(self, row: Row) -> Said:
        """Return what a row says now."""
        return said_by(row, self.session, self.side, self.readings.get(row.result.key))

    def read_limits(self) -> None:
        """Read every limit over the whole of what a study covers."""
        study = self.session.study
        found = limit_readings(study) if isinstance(study, Study) else ()
        self.readings = {reading.result.key: reading for reading in found}

    def refresh(self) -> bool:
        """Take the lines anew; tell whether there are others than before."""
        lines = lines_of(self.session, self.opened_groups)
        if lines == self.lines:
            return False
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()
        return True

    def turn_group(self, group: str) -> None:
        """Open or fold a group."""
        self.opened_groups = self.opened_groups ^ {group}
        self.refresh()

    def _spoken(self, line: Line) -> str:
        if isinstance(line, Head):
            return line.group
        result, units = line.result, self.session.units
        if line.needs:
            return f"{result.title}, {line.needs}"
        said = self.said(line)
        words = [f"{result.title}: measured {said.measured}, proposed {said.proposed}"]
        words += [result_unit(result, units), sign_words(said.value, result, units)]
        words += [f"moves {said.moves}"] if said.moves else []
        words += [said.limit]
        return ", ".join(filter(None, words))

    def _tip(self, row: Row) -> str:
        result, units = row.result, self.session.units
        said = self.said(row)
        if row.needs or said.proposed == NOTHING:
            return f"{result.title}\n{why_nothing(row, self.session)}"
        value = result_text(said.value, result, units)
        meaning = sign_words(said.value, result, units)
        words = [result.title, f"{value}: {meaning}" if meaning else value]
        words += [f"Limit set by: {row.limit.by}"] if row.limit and row.limit.by else []
        return "\n".join(words)


class ResultsView(QListView):
    """The list under hand and keyboard."""

    result_selected = Signal(str)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.results = ResultsModel(session)
        self._in_view: list[tuple[Line, QRect]] | None = None
        self.results.modelReset.connect(self._lose_view)
        plain_view(self, "Results")
        self.setModel(self.results)
        self.paper = ResultPaper(self, session)
        self.setItemDelegate(self.paper)
        self.setEditTriggers(QListView.EditTrigger.NoEditTriggers)
        self.setSelectionMode(QListView.SelectionMode.NoSelection)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Expanding)
        self.setMinimumWidth(200)
        session.study_changed.connect(self._say)
        session.curves_changed.connect(self._read_limits)
        session.setup_changed.connect(self._refresh)
        session.units_changed.connect(self._refresh)
        session.axle_changed.connect(self._close)
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

    def _refresh(self) -> None:
        """Take limits and folds anew; a drag changes none of them."""
        if self.session.preview_setup is None:
            self.results.refresh()
            self._say()

    def _say(self) -> None:
        """Work out what the rows in view say, and repaint those that say something else."""
        said, in_view = self.paper.said, self.in_view()
        self.paper.said = {}
        for line, box in in_view:
            if isinstance(line, Row):
                key, words = line.result.key, self.results.said(line)
                self.paper.said[key] = words
                if said.get(key) != words:
                    self.viewport().update(box)

    def in_view(self) -> list[tuple[Line, QRect]]:
        """Return the lines that can be seen, with their boxes; kept until the layout changes."""
        if self._in_view is None:
            self._in_view = self._find_in_view()
        return self._in_view

    def _find_in_view(self) -> list[tuple[Line, QRect]]:
        bottom, found = self.viewport().height(), []
        first = self.indexAt(QPoint(4, 1))
        for row in range(max(first.row(), 0), len(self.results.lines)):
            box = self.visualRect(self.results.index(row))
            if box.y() > bottom:
                break
            found.append((self.results.lines[row], box))
        return found

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the lines that need it in one go."""
        region = event.rect()
        with QPainter(self.viewport()) as painter:
            dirty = [each for each in self.in_view() if each[1].intersects(region)]
            self.paper.paint_lines(painter, dirty)
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
        if isinstance(line, Row) and self._is_on_link(line, index, at):
            self.ask_limit(line)
        else:
            self._turn(line)

    def _is_on_link(self, row: Row, index: QModelIndex, at: QPoint) -> bool:
        opened = row.result.key == self.paper.opened
        return opened and self.paper.card.is_on_link(self.visualRect(index), at.y())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Ask for a limit."""
        index = self.indexAt(event.position().toPoint())
        line = self.results.lines[index.row()] if index.isValid() else None
        if isinstance(line, Row):
            self.ask_limit(line)
        elif line is not None:
            self._turn(line)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open or fold with Return and the space bar; L asks for a limit, Escape closes."""
        index = self.currentIndex()
        line = self.results.lines[index.row()] if index.isValid() else None
        if line is None or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self._turn(line)
        elif event.key() == Qt.Key.Key_L and isinstance(line, Row):
            self.ask_limit(line)
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
        LimitDialog(self.session, row.result, self).open()

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
        menu.addAction("Limit…\tL", lambda: self.ask_limit(row))
        if row.limit is not None:
            menu.addAction("No limit", lambda: self._unlimit(row))
        menu.addAction("What is it?\tReturn", lambda: self._open(row.result.key))
        return menu

    def _unlimit(self, row: Row) -> None:
        edited = set_limit(self.session.setup, limit_key(self.session, row.result), None)
        title = row.result.title
        self.session.commit(edited, f"take the limit off {title[:1].lower()}{title[1:]}")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.results.lines:
            self.setCurrentIndex(self.results.index(0))
        self.viewport().update()

    def sizeHint(self) -> QSize:
        """Return a comfortable size."""
        return QSize(330, 520)


class ColumnHeads(QWidget):
    """The words above the columns of figures."""

    def __init__(self, view: ResultsView) -> None:
        super().__init__()
        self.view = view
        self.setFixedHeight(view.paper.faces.small_line + 4)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the three words at the right edges of their columns."""
        paper = self.view.paper
        columns = paper.columns(self.view.viewport().width())
        base = self.height() - 4
        writing = Writing(paper.faces)
        writing.put_right("small", "second", columns.measured, base, "measured")
        writing.put_right("small bold", "ink", columns.proposed, base, "proposed")
        writing.put_right("small", "accent", columns.moves, base, "moves")
        with QPainter(self) as painter:
            writing.write(painter, paper.inks)
