"""The list of changes: one row a job, with its tick, name and kind of work."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPointF,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QLineEdit,
    QListView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.document.model import Change
from app.document.plain_text import one_line
from app.paint.palette import PALETTES
from app.panels.lists.changes_model import ChangesModel, Index, Role
from app.panels.lists.job_words import job_words
from app.panels.widgets import EDGE, SMALL, paint_arrow, paint_ring, plain_view, text_font
from app.qt.border import fenced

BOX: Final = 15  # the tick box [px]
GAP: Final = 8
LEAST: Final = 3  # changes in view, where there are as many
BAR: Final = 3  # the active change's mark at the edge [px]


@fenced
class ChangesView(QListView):
    """The list as a widget: a click on the tick box doesn't change the active change."""

    def __init__(self, model: ChangesModel) -> None:
        super().__init__()
        self.changes = model
        plain_view(self, "Changes")
        self.setModel(model)
        self.paper = ChangePaper(self)
        self.setItemDelegate(self.paper)
        edits = QListView.EditTrigger
        self.setEditTriggers(edits.DoubleClicked | edits.EditKeyPressed)
        model.modelReset.connect(self._keep_room)
        self._keep_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the marked change in sight."""
        super().resizeEvent(event)
        if self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Switch a change where the press is on its box."""
        index = self.indexAt(event.position().toPoint())
        if self._is_heading(index):
            self.changes.turn_open()
        elif self._is_on_box(index, event):
            self._switch(index)
        else:
            super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Treat a double-click on a box or the heading as another click."""
        index = self.indexAt(event.position().toPoint())
        if self._is_heading(index) or self._is_on_box(index, event):
            self.mousePressEvent(event)
        else:
            super().mouseDoubleClickEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Switch with the space bar; show or fold the other end's."""
        keys = Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter
        if event.key() in keys and self._is_heading(self.currentIndex()):
            self.changes.turn_open()
            self.setCurrentIndex(self.changes.index(self.changes.rows.index(None)))
        elif event.key() == Qt.Key.Key_Space and self.currentIndex().isValid():
            self._switch(self.currentIndex())
        else:
            super().keyPressEvent(event)

    def _is_heading(self, index: QModelIndex) -> bool:
        return index.isValid() and self.changes.change(index) is None

    def _is_on_box(self, index: QModelIndex, event: QMouseEvent) -> bool:
        is_left_button = event.button() == Qt.MouseButton.LeftButton
        reach = EDGE + BOX + GAP // 2
        return is_left_button and index.isValid() and event.position().x() < reach

    def _switch(self, index: QModelIndex) -> None:
        on = index.data(Role.CheckStateRole) == Qt.CheckState.Checked
        state = Qt.CheckState.Unchecked if on else Qt.CheckState.Checked
        self.model().setData(index, state, Role.CheckStateRole)

    def _keep_room(self) -> None:
        """Set the minimum height to that of a few changes."""
        rows = min(max(self.model().rowCount(), 1), LEAST)
        self.setMinimumHeight(rows * self.paper.height + 2)
        self.updateGeometry()

    def sizeHint(self) -> QSize:
        """Return the height of a handful of changes."""
        rows = min(max(self.model().rowCount(), 2), 5)
        return QSize(250, rows * self.paper.height + 4)

    def minimumSizeHint(self) -> QSize:
        """Return a width that fits into a narrow window."""
        return QSize(150, self.minimumHeight())


@fenced
class ChangePaper(QStyledItemDelegate):
    """Paints a change: tick, name, the work it means; the active one is marked."""

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self.view = view
        self.inks = PALETTES["light"]
        self.plain, self.bold = text_font(), text_font(bold=True)
        self.small = text_font(SMALL)
        line = view.fontMetrics().height()
        self.height = round(2.0 * line) + 9

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height of two lines, or of the heading's one."""
        is_heading = _model_of(index).change(index) is None
        return QSize(100, self.heading_height if is_heading else self.height)

    @property
    def heading_height(self) -> int:
        """Return the height of the other end's heading [px]."""
        return self.view.fontMetrics().height() + 10

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one change."""
        model, box = _model_of(index), option.rect
        change = model.change(index)
        if change is None:
            self._paint_heading(painter, box, model)
            self._paint_focus(painter, box, index)
            return
        active = model.session.active == model.rows[index.row()]
        if active:
            painter.fillRect(box, self.inks.colour("wash"))
            painter.fillRect(box.x(), box.y(), BAR, box.height(), self.inks.colour("accent"))
        self._paint_tick(painter, box, change.on)
        work = job_words(model.session.setup, change)
        self._paint_words(painter, box, change, work, active)
        self._paint_focus(painter, box, index)

    def _paint_focus(self, painter: QPainter, box: QRect, index: Index) -> None:
        current = self.view.currentIndex().row() == index.row()
        if self.view.hasFocus() and current:
            paint_ring(painter, box, self.inks)

    def _paint_heading(self, painter: QPainter, box: QRect, model: ChangesModel) -> None:
        """Paint the other end's heading, with an arrow that says whether it is folded."""
        painter.setFont(self.bold)
        painter.setPen(self.inks.colour("second"))
        paint_arrow(painter, box.x() + EDGE + BOX // 2, box.center().y(), model.is_open)
        words = box.adjusted(EDGE + BOX + GAP, 0, -6, 0)
        painter.drawText(words, Qt.AlignmentFlag.AlignVCenter, model.heading())

    def _paint_tick(self, painter: QPainter, box: QRect, on: bool) -> None:
        """Paint a box, and a tick in it where the change is on."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(box.x() + EDGE + 0.5, box.y() + 6.5)
        painter.setPen(QPen(self.inks.colour("ink" if on else "soft"), 1.2))
        painter.setBrush(self.inks.colour("paper"))
        painter.drawRoundedRect(0, 0, BOX - 1, BOX - 1, 2.5, 2.5)
        if on:
            painter.setPen(QPen(self.inks.colour("ink"), 2.2))
            painter.drawPolyline([QPointF(3.2, 7.2), QPointF(6, 10.4), QPointF(11, 3.8)])
        painter.restore()

    def _paint_words(
        self, painter: QPainter, box: QRect, change: Change, work: str, active: bool
    ) -> None:
        words = self._words_box(box)
        font = self.bold if active else self.plain
        painter.setFont(font)
        painter.setPen(self.inks.colour("ink" if change.on else "second"))
        line = painter.fontMetrics()
        name = line.elidedText(one_line(change.name), Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words.x(), words.y() + line.ascent(), name)
        painter.setFont(self.small)
        painter.setPen(self.inks.colour("second"))
        small = painter.fontMetrics()
        work += " · note" if change.note else ""
        work = small.elidedText(work, Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words.x(), words.y() + line.height() + small.ascent() + 1, work)

    def _words_box(self, box: QRect) -> QRect:
        left = EDGE + BOX + GAP
        return box.adjusted(left, 4, -6, -4)

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Open the name for typing."""
        editor = QLineEdit(parent)
        editor.setAccessibleName("Name of the change")
        editor.setMaxLength(120)
        return editor

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Lay the field over the name."""
        words = self._words_box(option.rect)
        editor.setGeometry(
            words.x() - 4, words.y() - 3, words.width() + 6, editor.sizeHint().height()
        )

    def editorEvent(self, event: QEvent, *_rest: Any) -> bool:
        """Ignore edits of the tick: the view handles them."""
        return False


def _model_of(index: Index) -> ChangesModel:
    model = index.model()
    assert isinstance(model, ChangesModel)
    return model
