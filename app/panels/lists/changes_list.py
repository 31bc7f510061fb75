"""The list of changes: one row a job, with its tick, name and kind of work."""

from __future__ import annotations

from typing import Any, Final

from PySide6.QtCore import (
    QAbstractListModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QPointF,
    QRect,
    QSize,
    Qt,
)
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import (
    QLineEdit,
    QListView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from app.document.edits import EditError, rename_change, switch_change
from app.document.model import Change
from app.document.plain_text import one_line
from app.paint.palette import PALETTES
from app.panels.lists.job_words import job_words, made_words
from app.panels.widgets import EDGE, SMALL, paint_ring, plain_view, text_font
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.session import Session

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole

BOX: Final = 15  # the tick box [px]
GAP: Final = 8
LEAST: Final = 3  # changes in view, where there are as many
BAR: Final = 3  # the active change's mark at the edge [px]


@fenced
class ChangesModel(QAbstractListModel):
    """The changes of a session's setup, as rows."""

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self._shown_changes: tuple[Change, ...] = session.setup.changes
        session.setup_changed.connect(self._follow)

    def change(self, index: Index) -> Change:
        """Return the change of a row."""
        return self._shown_changes[index.row()]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Return the number of changes."""
        return 0 if parent.isValid() else len(self._shown_changes)

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Let a row be ticked and renamed."""
        return super().flags(index) | Qt.ItemFlag.ItemIsEditable | Qt.ItemFlag.ItemIsUserCheckable

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """Return the name, the tick, and the words for a screen reader."""
        change = self.change(index)
        if role == Role.EditRole:
            return change.name
        if role == Role.DisplayRole:
            return one_line(change.name)
        if role == Role.CheckStateRole:
            return Qt.CheckState.Checked if change.on else Qt.CheckState.Unchecked
        if role == Role.AccessibleTextRole:
            return f"{change.name}: {job_words(change)}"
        if role == Role.AccessibleDescriptionRole:
            return made_words(change)
        if role == Role.ToolTipRole:
            return tip("\n".join(filter(None, (change.name, made_words(change), change.note))))
        return None

    def setData(self, index: Index, value: Any, role: int = Role.EditRole) -> bool:
        """Switch or rename a change."""
        row, change, setup = index.row(), self.change(index), self.session.setup
        if role == Role.CheckStateRole:
            on = Qt.CheckState(value) == Qt.CheckState.Checked
            words = f"switch {'on' if on else 'off'} “{change.name}”"
            self.session.commit(switch_change(setup, row, on), words)
            return True
        try:
            renamed = rename_change(setup, row, str(value))
        except EditError as error:
            self.session.said.emit(str(error))
            return False
        self.session.commit(renamed, f"rename “{change.name}”")
        return True

    def _follow(self) -> None:
        before, now = self._shown_changes, self.session.setup.changes
        if len(before) != len(now):
            self.beginResetModel()
            self._shown_changes = now
            self.endResetModel()
            return
        self._shown_changes = now
        for row, (old, new) in enumerate(zip(before, now, strict=True)):
            if old is not new:
                self.dataChanged.emit(self.index(row), self.index(row))


@fenced
class ChangesView(QListView):
    """The list as a widget: a click on the tick box doesn't change the active change."""

    def __init__(self, model: ChangesModel) -> None:
        super().__init__()
        plain_view(self, "Changes")
        self.setModel(model)
        self.paper = ChangePaper(self)
        self.setItemDelegate(self.paper)
        edits = QListView.EditTrigger
        self.setEditTriggers(edits.DoubleClicked | edits.EditKeyPressed)
        model.modelReset.connect(self._keep_room)
        self._keep_room()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Switch a change where the press is on its box."""
        index = self.indexAt(event.position().toPoint())
        if self._is_on_box(index, event):
            self._switch(index)
        else:
            super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Treat a double-click on a box as another click."""
        index = self.indexAt(event.position().toPoint())
        if self._is_on_box(index, event):
            self._switch(index)
        else:
            super().mouseDoubleClickEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Switch with the space bar."""
        if event.key() == Qt.Key.Key_Space and self.currentIndex().isValid():
            self._switch(self.currentIndex())
        else:
            super().keyPressEvent(event)

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
        """Return the height of two lines."""
        return QSize(100, self.height)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint one change."""
        model = index.model()
        assert isinstance(model, ChangesModel)
        change = model.change(index)
        box: QRect = option.rect
        active = model.session.active == index.row()
        if active:
            painter.fillRect(box, self.inks.colour("wash"))
            painter.fillRect(box.x(), box.y(), BAR, box.height(), self.inks.colour("accent"))
        self._paint_tick(painter, box, change.on)
        self._paint_words(painter, box, change, active)
        current = self.view.currentIndex().row() == index.row()
        if self.view.hasFocus() and current:
            paint_ring(painter, box, self.inks)

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

    def _paint_words(self, painter: QPainter, box: QRect, change: Change, active: bool) -> None:
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
        work = job_words(change) + (" · note" if change.note else "")
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
