"""The table of leaves as a widget: mouse and keyboard."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QMenu, QSizePolicy, QStyleOptionViewItem, QTableView

from app.document.moves import proposed_settings
from app.paint.palette import PALETTES, Inks
from app.panels.bench.pack_table import COLUMNS, NAMES, PackModel
from app.panels.entry import EntryDelegate, Read
from app.panels.lists.reading_dialog import correct
from app.panels.text_table import TallHead
from app.panels.widgets import EDGE, paint_ring, plain_view
from app.panels.writing import Face, Faces, Ink
from app.qt.border import fenced
from app.session.session import Session
from app.systems.rear.pack_edits import added, can_move, can_remove, moved, removed

Index = QModelIndex | QPersistentModelIndex
LEAST: Final = 30  # of a column [px]
SPARED: Final = ("limit_stress", "modulus", "taper", "contact")  # seldom given
GAP: Final = 9  # between columns [px]


@fenced
class PackPaper(EntryDelegate):
    """Paints the cells: changed values in bold and accent, a small remaining share in bold."""

    def __init__(self, view: QTableView, session: Session) -> None:
        super().__init__(view, session.said.emit)
        self.view, self.faces = view, Faces()
        self.inks: Inks = PALETTES["light"]

    def reader(self, index: Index) -> Read:
        """Read a leaf's field."""
        return _model_of(index).reader(index)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the room that the table gives."""
        return QSize(20, 20)

    def style(self, model: PackModel, row: int, column: int) -> tuple[Face, Ink]:
        """Return how a cell is written."""
        name, left = COLUMNS[column].name, model.left(row)
        if name in ("bump", "left") and left is not None and left < 0:
            return "bold", "accent"
        if name == "left" and left is not None and model.text(row, column)[:1] in "▲■":
            return "bold", "ink"
        if model.is_changed(row, name):
            return "bold", "accent"
        return ("bold", "ink") if name == "leaf" else ("plain", "ink")

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one cell."""
        box, model = option.rect, _model_of(index)
        row, column = index.row(), index.column()
        if row == self.view.currentIndex().row():
            painter.fillRect(box, self.inks.colour("grid_middle"))
        face, ink = self.style(model, row, column)
        painter.setFont(self.faces.fonts[face])
        painter.setPen(self.inks.colour(ink))
        area = box.adjusted(EDGE if column == 0 else 2, 0, -5, -1)
        side = Qt.AlignmentFlag.AlignLeft if column == 0 else Qt.AlignmentFlag.AlignRight
        painter.drawText(area, int(side | Qt.AlignmentFlag.AlignVCenter), model.text(row, column))
        painter.setPen(QPen(self.inks.colour("grid_middle"), 1))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        if self.view.hasFocus() and index == self.view.currentIndex():
            paint_ring(painter, box, self.inks)


@fenced
class PackView(QTableView):
    """The leaves; Insert, Delete and Alt with the arrows change the stack."""

    leaf_chosen = Signal(int)

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.pack = PackModel(session)
        plain_view(self, "Leaves, from the main leaf down")
        self.setModel(self.pack)
        self.paper = PackPaper(self, session)
        self.setItemDelegate(self.paper)
        self.setShowGrid(False)
        self.setSelectionMode(QTableView.SelectionMode.NoSelection)
        edits = QTableView.EditTrigger
        self.setEditTriggers(edits.DoubleClicked | edits.EditKeyPressed | edits.AnyKeyPressed)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollMode(QTableView.ScrollMode.ScrollPerPixel)
        self.verticalHeader().hide()
        self.verticalHeader().setMinimumSectionSize(10)
        self.setHorizontalHeader(TallHead(self))
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setMinimumWidth(120)
        self.pack.modelReset.connect(self.fit)
        self.pack.dataChanged.connect(self.fit)
        self.setCurrentIndex(self.pack.index(len(self.pack.leaves) - 1, 1))

    @property
    def leaf(self) -> int:
        """Return the chosen leaf, 0 for the main leaf."""
        return min(max(self.currentIndex().row(), 0), max(len(self.pack.leaves) - 1, 0))

    def choose(self, leaf: int) -> None:
        """Choose a leaf, in the column that is current."""
        column = max(self.currentIndex().column(), 1)
        self.setCurrentIndex(self.pack.index(leaf, column))

    def take_inks(self, inks: Inks) -> None:
        """Write in other inks."""
        self.paper.inks = inks
        self.viewport().update()

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Say which leaf is chosen now."""
        super().currentChanged(current, previous)
        self.viewport().update()
        if current.isValid():
            self.leaf_chosen.emit(current.row())

    # The stack

    def add(self) -> None:
        """Add a leaf under the chosen one."""
        leaf = self.leaf
        clamp = proposed_settings(self.session.setup).get("rear.pack.clamp_length")
        room = float(clamp) if isinstance(clamp, float) else 0.0
        self.pack.propose(added(self.pack.leaves, leaf, room))
        self.choose(leaf + 1)

    def remove(self) -> None:
        """Take the chosen leaf out."""
        leaf = self.leaf
        if can_remove(self.pack.leaves, leaf):
            self.pack.propose(removed(self.pack.leaves, leaf))
            self.choose(min(leaf, len(self.pack.leaves) - 1))

    def shift(self, by: int) -> None:
        """Move the chosen leaf up (-1) or down (+1)."""
        leaf = self.leaf
        if can_move(self.pack.leaves, leaf, leaf + by):
            self.pack.propose(moved(self.pack.leaves, leaf, leaf + by))
            self.choose(leaf + by)

    def clip(self) -> None:
        """Clip the chosen leaf to the main leaf, or take its clips off."""
        self.pack.turn(self.pack.index(self.leaf, NAMES.index("clipped")))

    # Hand and keyboard

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Handle the keys: change the stack, toggle a clip, or begin typing."""
        key, alt = event.key(), bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        if key == Qt.Key.Key_Insert:
            self.add()
        elif key in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.remove()
        elif alt and key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.shift(-1 if key == Qt.Key.Key_Up else 1)
        elif key in (Qt.Key.Key_Space, Qt.Key.Key_Return) and self.pack.turn(self.currentIndex()):
            event.accept()
        else:
            super().keyPressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Toggle a clip or a taper, or begin typing."""
        index = self.indexAt(event.position().toPoint())
        if not (index.isValid() and self.pack.turn(index)):
            super().mouseDoubleClickEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """Offer to correct what was measured."""
        index = self.indexAt(event.pos())
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            index = self.currentIndex()
        if index.isValid():
            place = self.visualRect(index).center()
            self.menu(index).popup(self.viewport().mapToGlobal(place))

    def menu(self, index: Index) -> QMenu:
        """Return the menu of a leaf's number."""
        key, menu = self.pack.reading_of(index), QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        again = menu.addAction("Correct the reading…", lambda: correct(self.session, key, self))
        again.setEnabled(bool(key))
        return menu

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        super().focusInEvent(event)
        self.viewport().update()

    # Layout

    def fit(self) -> None:
        """Give every column its room; all leaves are in view."""
        faces, rows = self.paper.faces, range(len(self.pack.leaves))
        taken = 0
        wide = [self._width(column) for column in range(len(COLUMNS))]
        hidden = self._spared(sum(wide) - self.viewport().width(), wide)
        for column, width in enumerate(wide):
            self.setColumnHidden(column, column in hidden)
            if column in hidden:
                continue
            if self.columnWidth(column) != width:
                self.setColumnWidth(column, width)
            taken += width
        spare = self.viewport().width() - taken
        if spare > 0:
            self._share(spare)
        high = faces.line + 7
        for row in rows:
            if self.rowHeight(row) != high:
                self.setRowHeight(row, high)
        head_ = self.horizontalHeader()
        assert isinstance(head_, TallHead)
        head_.fit_lines()
        bar = self.horizontalScrollBar().sizeHint().height() if spare < 0 else 0
        self.setFixedHeight(head_.height() + len(self.pack.leaves) * high + bar + 2)

    def _width(self, column: int) -> int:
        """Return the room that a column's head and figures need [px]."""
        faces, rows = self.paper.faces, range(len(self.pack.leaves))
        head = max(faces.width("small", line) for line in COLUMNS[column].head.split("\n"))
        texts = [faces.width("bold", self.pack.text(row, column)) for row in rows]
        return max([LEAST, head, *texts]) + (EDGE + 8 if column == 0 else GAP)

    def _spared(self, lacking: int, wide: list[int]) -> set[int]:
        """Return columns without an entry: narrowed first where space is short, the last first."""
        spared: set[int] = set()
        for name in SPARED:
            column = NAMES.index(name)
            if lacking <= 0:
                break
            rows = range(len(self.pack.leaves))
            if all(self.pack.text(row, column) in ("", "·") for row in rows):
                spared.add(column)
                lacking -= wide[column]
        return spared

    def _share(self, spare: int) -> None:
        shown = [column for column in range(len(COLUMNS)) if not self.isColumnHidden(column)]
        for column in shown:
            more = spare // len(shown)
            self.setColumnWidth(column, self.columnWidth(column) + more)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new width."""
        super().resizeEvent(event)
        self.fit()


def _model_of(index: Index) -> PackModel:
    model = index.model()
    assert isinstance(model, PackModel)
    return model
