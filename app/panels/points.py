"""The points as a table: exact entry, locks, and the values that a change may set."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QPoint,
    QSignalBlocker,
    Qt,
    Signal,
)
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QResizeEvent
from PySide6.QtWidgets import QHeaderView, QMenu, QSplitter, QTableView, QVBoxLayout, QWidget

from app.document.units import unit_of
from app.panels.entry import COORDINATE_HINT
from app.panels.paper import EDGE, Panel, flat_button, head_label, plain_view, small_label
from app.panels.points_table import AXIS_NAMES, LOCK, NAME, PointPaper, PointsModel
from app.panels.proposing import put_back
from app.panels.values_table import ValuesView
from app.session import AXES, Session

ROOMY: Final = 330  # from here on a point's name stands on one line [px]


class PointsPanel(Panel):
    """Points above, other values that a change may set below."""

    note_requested = Signal(str)  # key: whoever keeps notes opens one

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Points", parent)
        self.table = PointsView(session)
        self.table.note_requested.connect(self.note_requested)
        self.values = ValuesView(session)
        hint = small_label(COORDINATE_HINT)
        hint.setContentsMargins(EDGE, 0, EDGE, 0)
        self.rows.addWidget(hint)
        split = QSplitter(Qt.Orientation.Vertical)
        split.setChildrenCollapsible(False)
        split.addWidget(self.table)
        split.addWidget(_under_head("Spring and wheel", self.values))
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 1)
        self.rows.addWidget(split, 1)
        self.hint, self.split = hint, split
        self.help = flat_button("?", COORDINATE_HINT)
        self.help.setCheckable(True)
        self.help.toggled.connect(hint.setVisible)
        self.head.addWidget(self.help)
        hint.setVisible(False)
        session.units_changed.connect(self._name_units)
        self._name_units()

    def take_inks(self) -> None:
        """Hand the inks to both tables."""
        for view in (self.table, self.values):
            view.paper.inks = self.inks
            view.viewport().update()

    def _name_units(self) -> None:
        unit = unit_of("length", self.session.units)
        self.title.setText(f"Points   ({unit}, left side)")


def _under_head(words: str, view: QTableView) -> QWidget:
    part = QWidget()
    rows = QVBoxLayout(part)
    rows.setContentsMargins(0, 4, 0, 0)
    rows.setSpacing(2)
    head = head_label(words)
    head.setContentsMargins(EDGE, 0, 0, 0)
    rows.addWidget(head)
    rows.addWidget(view)
    return part


class PointsView(QTableView):
    """The table under hand and keyboard; what is selected is selected on the board too."""

    note_requested = Signal(str)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.points = PointsModel(session)
        plain_view(self, "Points")
        self.setModel(self.points)
        self.paper = PointPaper(self, session)
        self.setItemDelegate(self.paper)
        self.setShowGrid(False)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectItems)
        self.setSelectionMode(QTableView.SelectionMode.ExtendedSelection)
        edits = QTableView.EditTrigger
        self.setEditTriggers(edits.DoubleClicked | edits.EditKeyPressed | edits.AnyKeyPressed)
        self.setTabKeyNavigation(False)
        self._set_columns()
        self.selectionModel().selectionChanged.connect(self._tell_selection)
        session.selection_changed.connect(self._follow_selection)
        self.points.dataChanged.connect(self._fit_rows)
        self.points.modelReset.connect(self._fit_rows)
        session.units_changed.connect(self._fit_columns)
        self._fit_rows()

    def _set_columns(self) -> None:
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(18)
        header = self.horizontalHeader()
        header.setMinimumSectionSize(18)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        header.setSectionResizeMode(NAME, QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._fit_columns()

    def _fit_columns(self) -> None:
        """Give each coordinate the room its figures need."""
        metrics = self.paper.bold
        from PySide6.QtGui import QFontMetrics

        width = QFontMetrics(metrics).horizontalAdvance("−0000.0") + 6
        for column in (1, 2, 3):
            self.setColumnWidth(column, width)
        self.setColumnWidth(LOCK, 22)

    def _fit_rows(self) -> None:
        """Give a second line to rows that are moved, or whose name needs it."""
        one = self.fontMetrics().height() + 7
        two = 2 * self.fontMetrics().height() + 4
        narrow = self.viewport().width() < ROOMY
        for row in range(self.points.rowCount()):
            high = two if narrow or self.points.is_moved(row) else one
            if self.rowHeight(row) != high:
                self.setRowHeight(row, high)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Wrap the names where there is little room."""
        super().resizeEvent(event)
        self._fit_rows()

    def _key_of(self, index: QModelIndex) -> str:
        return self.points.keys[index.row()]

    def _tell_selection(self) -> None:
        rows = dict.fromkeys(index.row() for index in self.selectedIndexes())
        self.session.select(tuple(self.points.keys[row] for row in rows))

    def _follow_selection(self) -> None:
        """Select the rows of what is selected elsewhere, and bring the last into view."""
        keys = self.session.selection
        rows = [row for row, key in enumerate(self.points.keys) if key in keys]
        shown = {index.row() for index in self.selectedIndexes()}
        if shown != set(rows):
            selection = QItemSelection()
            for row in rows:
                selection.select(self.points.index(row, 1), self.points.index(row, 1))
            with QSignalBlocker(self.selectionModel()):
                how = QItemSelectionModel.SelectionFlag.ClearAndSelect
                self.selectionModel().select(selection, how)
                if rows:
                    still = QItemSelectionModel.SelectionFlag.NoUpdate
                    column = max(self.currentIndex().column(), 1)
                    current = self.points.index(rows[-1], column)
                    self.selectionModel().setCurrentIndex(current, still)
            if rows:
                self.scrollTo(self.points.index(rows[-1], 0))
        self.viewport().update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Lock or free a point where the press is on its padlock."""
        index = self.indexAt(event.position().toPoint())
        on_lock = index.isValid() and index.column() == LOCK
        if on_lock and event.button() == Qt.MouseButton.LeftButton:
            self._turn_lock(index)
        else:
            super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Take a quick second press on a padlock as a press."""
        if self.indexAt(event.position().toPoint()).column() == LOCK:
            self.mousePressEvent(event)
        else:
            super().mouseDoubleClickEvent(event)

    def _turn_lock(self, index: QModelIndex) -> None:
        axes = frozenset() if self.points.is_locked(index) else frozenset(AXES)
        self.session.lock(self._key_of(index), axes)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Lock with L or the space bar; put back with Delete."""
        index = self.currentIndex()
        if not index.isValid():
            super().keyPressEvent(event)
        elif event.key() == Qt.Key.Key_Space and index.column() == LOCK:
            self._turn_lock(index)
        elif event.key() == Qt.Key.Key_Delete:
            put_back(self.session, self._key_of(index))
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QEvent) -> None:
        """Offer what can be done with the point or the axis under the pointer."""
        at: QPoint = event.pos()  # type: ignore[attr-defined]
        index = self.indexAt(at)
        if not index.isValid():
            return
        self.menu(index).popup(self.viewport().mapToGlobal(at))

    def menu(self, index: QModelIndex) -> QMenu:
        """Return the menu of a cell."""
        key, menu = self._key_of(index), QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        axes = self.session.locks.get(key, frozenset())
        if NAME < index.column() < LOCK:
            axis = index.column() - 1
            words = f"{'Free' if axis in axes else 'Lock'} {AXIS_NAMES[axis]}"
            menu.addAction(words, lambda: self.session.lock(key, axes ^ {axis}))
        whole = len(axes) == 3
        menu.addAction(
            "Free the point" if whole else "Lock the point",
            lambda: self.session.lock(key, frozenset() if whole else frozenset(AXES)),
        )
        menu.addSeparator()
        back = menu.addAction("Put the point back", lambda: put_back(self.session, key))
        back.setEnabled(any(self.points.move(key)))
        menu.addAction("Note…", lambda: self.note_requested.emit(key))
        return menu

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        super().focusInEvent(event)
        self.viewport().update()
