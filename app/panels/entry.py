"""Exact entry: a field that reads what people type and says in words what it can't read."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QLineEdit,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QToolTip,
    QWidget,
)

from app.document.entries import EntryError, parse_value, typed_step
from app.document.model import Units
from app.panels.figures import decimal_sign
from app.qt.border import fenced
from app.qt.tips import tip

Index = QModelIndex | QPersistentModelIndex
Read = Callable[[str], Any]

_SIGNED: Final = re.compile(r"\s*[+\-−–‐‑]")
COORDINATE_HINT: Final = (
    "Type a place (12.5 or 1 1/4 in), or a move with its sign: +3, −22. "
    "After = a negative number is a place: =−22."
)


def read_coordinate(text: str, now: float, units: Units) -> float:
    """Return the coordinate that was typed [mm]: a place, or a signed move from `now`."""
    plain = text.strip().removeprefix("=")
    number = parse_value(plain, "length", units, decimal=decimal_sign())
    return now + typed_step(text, number, now)


def coordinate_text(number: str) -> str:
    """Return a coordinate as its field shows it, so that it reads back as itself."""
    return f"={number}" if _SIGNED.match(number) else number


def finish_typing() -> None:
    """Commit the text being typed as if its field lost focus, before a file is saved or closed."""
    field = QApplication.focusWidget()
    if isinstance(field, QLineEdit):
        table = field.parentWidget()
        field.clearFocus()
        home = field if field.isVisible() or table is None else table
        home.setFocus()


class EntryField(QLineEdit):
    """A text field that keeps text that can't be read, and says why."""

    def __init__(self, read: Read, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.read = read
        self.shown = ""
        self.textEdited.connect(self._forget_refusal)

    def _forget_refusal(self) -> None:
        QToolTip.hideText()
        self.setAccessibleDescription("")

    def show_text(self, text: str) -> None:
        """Show a value as it is now."""
        self.shown = text
        self.setText(text)
        self.setAccessibleDescription("")  # what was refused is mended

    @property
    def is_changed(self) -> bool:
        """Tell whether something else is typed than was shown."""
        return self.text() != self.shown

    def fault(self) -> str:
        """Return why what is typed can't be read; empty when it can."""
        if not self.is_changed:
            return ""
        try:
            self.read(self.text())
        except (EntryError, ValueError) as error:
            return str(error)
        return ""

    def complain(self, words: str) -> None:
        """Say what is wrong below the field, and mark what was typed."""
        self.selectAll()
        self.setAccessibleDescription(words)
        QToolTip.showText(
            self.mapToGlobal(QPoint(0, self.height())), tip(words), self, msecShowTime=8000
        )


@fenced
class EntryDelegate(QStyledItemDelegate):
    """Opens a cell of a table as an entry field; what can't be read keeps it open on Return."""

    def __init__(self, parent: QObject, say: Callable[[str], None]) -> None:
        super().__init__(parent)
        self.say = say

    def reader(self, index: Index) -> Read:
        """Return what reads the cell's text."""
        raise NotImplementedError

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Open a field with the cell's whole value."""
        field = EntryField(self.reader(index), parent)
        field.setAccessibleName(str(index.data(Qt.ItemDataRole.AccessibleTextRole)))
        field.setAlignment(Qt.AlignmentFlag.AlignRight)
        return field

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show the value, all of it selected, so that typing replaces it."""
        if isinstance(editor, EntryField) and not editor.shown:
            editor.show_text(str(index.data(Qt.ItemDataRole.EditRole)))
            editor.selectAll()

    def setModelData(self, editor: QWidget, model: Any, index: Index) -> None:
        """Put the typed value into the model; report a text that can't be read and drop it."""
        if not isinstance(editor, EntryField) or not editor.is_changed:
            return
        words = editor.fault()
        if words:
            self.say(words)
        else:
            model.setData(index, editor.read(editor.text()), Qt.ItemDataRole.EditRole)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Give the field room to the left where the cell is narrow."""
        box = option.rect
        wide, high = max(box.width(), 74), editor.sizeHint().height()
        top = box.bottom() - high + 1 if box.height() > high else box.y()
        editor.setGeometry(max(box.right() - wide + 1, 0), top, wide, high)

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:
        """Keep a field open on Return or Tab while it can't be read."""
        ends = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
        ending = isinstance(event, QKeyEvent) and event.key() in ends
        if ending and event.type() == QEvent.Type.KeyPress and isinstance(editor, EntryField):
            words = editor.fault()
            if words:
                editor.complain(words)
                return True
        return super().eventFilter(editor, event)
