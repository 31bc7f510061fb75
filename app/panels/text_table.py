"""A table of words and figures to be read, selected and copied; all of its rows are in view."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QFontMetrics,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import (
    QMenu,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from app.paint.palette import PALETTES, Inks
from app.panels.lists.table_head import TableHead
from app.panels.widgets import EDGE, paint_ring, plain_view
from app.panels.writing import Face, Faces, Ink
from app.qt.border import fenced
from app.qt.tips import tip
from geometry.dataclass import dataclass

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
GAP: Final = 14  # between columns [px]
CLOSE: Final = 8  # and where names have too little room
LEAST_NAME: Final = 96  # of the first column [px]


@dataclass(frozen=True, slots=True)
class Cell:
    """The text of a cell, its style, its tool tip, and a name's words for where it is narrow."""

    text: str
    face: Face = "plain"
    ink: Ink = "ink"
    tip: str = ""
    short: str = ""


@dataclass(frozen=True, slots=True)
class TextRows:
    """The heads, the rows, and the row that is marked by a wash."""

    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...] = ()
    marked: int | None = None


@fenced
class TextModel(QAbstractTableModel):
    """The rows for a view."""

    def __init__(self) -> None:
        super().__init__()
        self.table = TextRows(())

    def show_rows(self, table: TextRows) -> bool:
        """Show other rows; tell whether they differ from those before."""
        if table == self.table:
            return False
        same_shape = table.heads == self.table.heads and len(table.rows) == len(self.table.rows)
        if not same_shape:
            self.beginResetModel()
        self.table = table
        if not same_shape:
            self.endResetModel()
        elif table.rows:
            last = self.index(len(table.rows) - 1, len(table.heads) - 1)
            self.dataChanged.emit(self.index(0, 0), last)
        return True

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of rows."""
        return 0 if parent.isValid() else len(self.table.rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of columns."""
        return 0 if parent.isValid() else len(self.table.heads)

    def headerData(self, section: int, way: Qt.Orientation, role: int = Role.DisplayRole) -> Any:
        """Return a column's head."""
        if way == Qt.Orientation.Horizontal and role in (Role.DisplayRole, Role.AccessibleTextRole):
            unseen = "what" if role == Role.AccessibleTextRole else ""
            return self.table.heads[section] or unseen
        return None

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return what a cell says."""
        cell = self.table.rows[index.row()][index.column()]
        if role == Role.DisplayRole:
            return cell.text
        if role == Role.UserRole:
            return cell
        if role == Role.ToolTipRole:
            words = (cell.text if index.column() == 0 else "", cell.tip)
            return tip("\n".join(filter(None, words)))
        if role == Role.AccessibleTextRole:
            return self._spoken(index)
        return None

    def _spoken(self, index: Index) -> str:
        """Return a cell with the names of its row and its column."""
        row, head = self.table.rows[index.row()], self.table.heads[index.column()]
        words = row[index.column()].text
        if index.column() == 0:
            return f"{head} {words}".replace("\n", " ").strip()
        return f"{row[0].text}, {head} {words or 'none'}".replace("\n", " ")


@fenced
class TextPaper(QStyledItemDelegate):
    """Paints the cells of a table."""

    def __init__(self, view: QTableView) -> None:
        super().__init__(view)
        self.view, self.faces = view, Faces()
        self.inks: Inks = PALETTES["light"]

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room that the table gives."""
        return QSize(20, 20)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell: the first column from the left, figures up to their right edge."""
        box, model = option.rect, self.view.model()
        assert isinstance(model, TextModel)
        marked = index.row() == model.table.marked
        if marked or index.row() in {selected.row() for selected in self.view.selectedIndexes()}:
            painter.fillRect(box, self.inks.colour("grid_middle" if marked else "wash"))
        cell = index.data(Role.UserRole)
        first = index.column() == 0
        area = box.adjusted(EDGE if first else 2, 0, -5, -1)
        side = Qt.AlignmentFlag.AlignLeft if first else Qt.AlignmentFlag.AlignRight
        face, words = self._fitted(cell, area.width()) if first else (cell.face, cell.text)
        painter.setFont(self.faces.fonts[face])
        painter.setPen(self.inks.colour(cell.ink))
        painter.drawText(area, int(side | Qt.AlignmentFlag.AlignVCenter), words)
        painter.setPen(QPen(self.inks.colour("grid_middle"), 1))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        if self.view.hasFocus() and index.row() == self.view.currentIndex().row():
            self._paint_row_ring(painter, index)

    def _fitted(self, cell: Cell, room: int) -> tuple[Face, str]:
        """Return a name, in its short words, condensed or else cut off where it is too long."""
        if cell.short and self.faces.width(cell.face, cell.text) > room:
            cell = replace(cell, text=cell.short)
        if cell.face == "plain":
            return self.faces.fitted(cell.text, room)
        return cell.face, self.faces.cut(cell.face, cell.text, room)

    def _paint_row_ring(self, painter: QPainter, index: Index) -> None:
        last = self.view.model().columnCount() - 1
        row = self.view.visualRect(index.sibling(index.row(), 0))
        end = self.view.visualRect(index.sibling(index.row(), last))
        paint_ring(painter, QRect(row.topLeft(), end.bottomRight()), self.inks)


@fenced
class TextTable(QTableView):
    """The table as a widget: rows can be selected and copied with Ctrl+C."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.rows_ = TextModel()
        plain_view(self, name)
        self.setModel(self.rows_)
        self.paper = TextPaper(self)
        self.setItemDelegate(self.paper)
        self.setShowGrid(False)
        self.setSelectionBehavior(QTableView.SelectionBehavior.SelectRows)
        self.setEditTriggers(QTableView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(10)
        self.setHorizontalHeader(TallHead(self))
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(120)

    def show_rows(self, table: TextRows) -> None:
        """Show other rows."""
        if self.rows_.show_rows(table):
            self.fit()

    def take_inks(self, inks: Inks) -> None:
        """Write in other inks."""
        self.paper.inks = inks
        self.viewport().update()

    def fit(self) -> None:
        """Give figures the room they need, the first column the rest; all rows are in view."""
        table, faces = self.rows_.table, self.paper.faces
        if not table.heads:
            return
        widths = [self._needed_width(column) for column in range(len(table.heads))]
        room = self.viewport().width() - sum(widths[1:])
        if widths[0] + EDGE > room:  # a name that is cut off is worse than close figures
            widths = [wide - GAP + CLOSE for wide in widths]
            room = self.viewport().width() - sum(widths[1:])
        for column, wide in enumerate(widths[1:], start=1):
            self.setColumnWidth(column, wide)
        self.setColumnWidth(0, max(min(widths[0] + EDGE, LEAST_NAME), room))
        for row in range(len(table.rows)):
            self.setRowHeight(row, faces.line + 6)
        head = self.horizontalHeader()
        assert isinstance(head, TallHead)
        head.fit_lines()
        bar = self.horizontalScrollBar().sizeHint().height() if room < LEAST_NAME else 0
        self.setFixedHeight(head.height() + len(table.rows) * (faces.line + 6) + bar + 2)

    def _needed_width(self, column: int) -> int:
        table, faces = self.rows_.table, self.paper.faces
        head = max(faces.width("small", line) for line in table.heads[column].split("\n"))
        cells = [faces.width(row[column].face, row[column].text) for row in table.rows]
        return max([head, *cells]) + GAP

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new width."""
        super().resizeEvent(event)
        self.fit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Copy with the usual keys."""
        if event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        else:
            super().keyPressEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer a copy."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction("Copy the table", self.copy)
        menu.popup(event.globalPos())

    def copy(self) -> None:
        """Put the selected rows, or all of them, on the clipboard with their heads."""
        QGuiApplication.clipboard().setText(self.text())

    def text(self) -> str:
        """Return the selected rows, or all of them, with tabs between the columns."""
        table = self.rows_.table
        chosen = {selected.row() for selected in self.selectionModel().selectedRows()}
        rows = [row for i, row in enumerate(table.rows) if i in chosen or not chosen]
        lines = [tuple(head.replace("\n", " ") for head in table.heads)]
        lines += [tuple(cell.text for cell in row) for row in rows]
        return "\n".join("\t".join(line) for line in lines)


class TallHead(TableHead):
    """Column heads of as many lines as they need."""

    def fit_lines(self) -> None:
        """Take the height of the tallest head."""
        words = (
            str(self.model().headerData(column, Qt.Orientation.Horizontal) or "")
            for column in range(self.count())
        )
        lines = max((text.count("\n") + 1 for text in words), default=1)
        self.setFixedHeight(QFontMetrics(self.small).lineSpacing() * lines + 5)
