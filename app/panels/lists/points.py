"""The points as a table: exact entry, locks, and the values that a change may set."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import (
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QSignalBlocker,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QMenu, QTableView, QVBoxLayout, QWidget

from app.document.address import is_right
from app.document.edits import set_point_note
from app.document.point_names import point_title, point_words
from app.document.units import unit_of
from app.panels.entry import COORDINATE_HINT
from app.panels.fitted import Pair
from app.panels.folding import FoldTitle
from app.panels.lists.points_table import AXIS_NAMES, LOCK, NAME, PointPaper, PointsModel
from app.panels.lists.table_head import TableHead
from app.panels.lists.values_table import ValuesView
from app.panels.widgets import EDGE, FlatButton, Panel, plain_view, small_label
from app.qt.border import fenced
from app.session.session import AXES, Session

WIDEST: Final = {"mm": "−0000.0", "in": "−000.000"}  # of a coordinate
NAMES: Final = 150  # least room for names beside the figures [px]
PADLOCK: Final = 24  # [px]


class PointsPanel(Panel):
    """Points above, other values that a change may set below."""

    folded = Signal()  # a part was folded, or shown again

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "Points", parent)
        self.table = PointsView(session)
        self.values = ValuesView(session)
        hint = small_label(COORDINATE_HINT)
        hint.setContentsMargins(EDGE, 0, EDGE, 0)
        self.rows.addWidget(hint)
        self.fold = FoldTitle("Points", "points")
        self.take_title(self.fold)
        self.fold_values = FoldTitle("Spring and wheel", "values")
        self.below = _under_head(self.fold_values, self.values)
        split = Pair((self.table, self.table.full_height), (self.below, self._height_below), 0.3)
        self.rows.addWidget(split, 1)
        self.hint, self.split = hint, split
        self.help = FlatButton("?", COORDINATE_HINT)
        self.help.setAccessibleName("How a place is typed")
        self.help.setCheckable(True)
        self.help.toggled.connect(hint.setVisible)
        self.head.addWidget(self.help)
        hint.setVisible(False)
        self.fold.folds(self.table)
        for title in (self.fold, self.fold_values):
            title.toggled.connect(self._fold)
        self._fold()
        session.units_changed.connect(self._name_units)
        session.system_changed.connect(self._name_units)
        self._name_units()

    def take_inks(self) -> None:
        """Hand the inks to both tables."""
        for view in (self.table, self.values):
            view.paper.inks = self.inks
            view.viewport().update()

    @property
    def is_folded(self) -> bool:
        """Tell whether nothing but titles is shown."""
        return self.fold.is_folded and self.fold_values.is_folded

    def _fold(self) -> None:
        """Divide the room between what is shown."""
        self.split.fold(False, self.fold_values.is_folded and not self.fold.is_folded)
        self.folded.emit()

    def show_side(self, side: int) -> None:
        """Bring the points of the left, 0, or the right, 1, to the top of the table."""
        keys = self.table.points.keys
        place = next((row for row, key in enumerate(keys) if is_right(key) == bool(side)), None)
        if place is not None:
            top = PointsView.ScrollHint.PositionAtTop
            self.table.scrollTo(self.table.points.index(place, 1), top)

    def full_height(self) -> int:
        """Return the height at which no row is out of view [px]."""
        height = self.head.sizeHint().height() + 10 + self._height_below()
        if self.fold.is_folded:
            return height
        return height + 10 + self.table.full_height() + self.split.handleWidth()

    def _height_below(self) -> int:
        title = self.fold_values.sizeHint().height() + 4
        return title if self.fold_values.is_folded else title + self.values.full_height() + 6

    def _name_units(self) -> None:
        unit = unit_of("length", self.session.units)
        several = len(self.session.systems()) > 1
        axle = self.session.system.key if several else "left side"
        self.fold.show_text(f"Points, proposed ({unit}, {axle})")


def _under_head(head: FoldTitle, view: QTableView) -> QWidget:
    part = QWidget()
    rows = QVBoxLayout(part)
    rows.setContentsMargins(0, 4, 0, 0)
    rows.setSpacing(2)
    line = QHBoxLayout()
    line.setContentsMargins(EDGE, 0, EDGE, 0)
    line.addWidget(head)
    rows.addLayout(line)
    rows.addWidget(view, 1)
    rows.addStretch()
    head.folds(view)
    return part


@fenced
class PointsView(QTableView):
    """The table as a widget; points selected in it are selected on the board too."""

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
        self._fit_rows()

    def _set_columns(self) -> None:
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(18)
        self.setHorizontalHeader(TableHead(self))

    def _fit_columns(self) -> None:
        """Give each coordinate the width its figures need; names go above where they don't fit."""
        width = self.viewport().width()
        figure = QFontMetrics(self.paper.bold).horizontalAdvance(WIDEST[self.session.units]) + 8
        name = width - 3 * figure - PADLOCK
        narrow = name < NAMES
        if narrow:
            figure = (width - PADLOCK) // 3
        self.setColumnHidden(NAME, narrow)
        for column in (1, 2, 3):
            self.setColumnWidth(column, figure)
        self.setColumnWidth(NAME, max(name, 0))
        self.setColumnWidth(LOCK, PADLOCK)

    def _fit_rows(self) -> None:
        """Make rows of moved points one line higher; what is selected stays in view."""
        fitted = True
        for row in range(self.points.rowCount()):
            high = self.paper.row_height(self.points.is_moved(row))
            if self.rowHeight(row) != high:
                self.setRowHeight(row, high)
                fitted = False
        current = self.currentIndex()
        if not fitted and current.isValid() and self._key_of(current) in self.session.selection:
            self._bring_into_view(current.row())

    def _bring_into_view(self, row: int) -> None:
        """Scroll to a row, by a column that is never hidden, rows being as high as they are now."""
        self.updateGeometries()
        self.scrollTo(self.points.index(row, 1))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new width."""
        super().resizeEvent(event)
        self._fit_columns()
        self._fit_rows()

    def full_height(self) -> int:
        """Return the height at which no row is out of view [px]."""
        return self.horizontalHeader().height() + self.verticalHeader().length() + 2

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
                self._bring_into_view(rows[-1])
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
        """Treat a double-click on a padlock as another click."""
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
            from app.panels.proposing import reset_here  # a start has no time for it

            reset_here(self.session, self._key_of(index))
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer what can be done with the point or the axis under the pointer."""
        index = self.indexAt(event.pos())
        if index.isValid():
            self.menu(index).popup(self.viewport().mapToGlobal(event.pos()))

    def menu(self, index: QModelIndex) -> QMenu:
        """Return the menu of a cell."""
        from app.panels.lists.reading_dialog import can_be_corrected, correct
        from app.panels.proposing import put_back, reset_here

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
        moved = any(self.points.move(key))
        here = menu.addAction("Reset in this change", lambda: reset_here(self.session, key))
        here.setEnabled(moved and self.session.active is not None)
        again = menu.addAction("Correct the reading…", lambda: correct(self.session, key, self))
        again.setEnabled(can_be_corrected(self.session.history.value, key))
        back = menu.addAction("Put back as measured", lambda: put_back(self.session, key))
        back.setEnabled(moved)
        menu.addSeparator()
        menu.addAction("Note…", lambda: self._ask_note(key))
        return menu

    def _ask_note(self, key: str) -> None:
        asker = QInputDialog(self)
        asker.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        asker.setOption(QInputDialog.InputDialogOption.UsePlainTextEditForTextInput)
        asker.setWindowTitle(point_title(key, self.session.setup.evidence))
        asker.setLabelText("How it was measured, what to mind:")
        asker.setTextValue(self.session.setup.point_notes.get(key, ""))
        asker.textValueSelected.connect(lambda words: self._note(key, words))
        asker.open()

    def _note(self, key: str, words: str) -> None:
        noted = set_point_note(self.session.history.value, key, words)
        self.session.commit(noted, f"note on {point_words(key, noted.evidence)}")

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        super().focusInEvent(event)
        self.viewport().update()
