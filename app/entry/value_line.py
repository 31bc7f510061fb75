"""A field for one number as people type it: every key stroke kept, judged once it is left."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QWidget

from app.entry.draft_session import DraftSession
from app.qt.border import fenced


@fenced
class ValueLine(QLineEdit):
    """A field of the sitting by its name."""

    entered = Signal(str)  # Enter was pressed in it
    reached = Signal(str)  # it took the keyboard

    def __init__(
        self, sitting: DraftSession, name: str, spoken: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.name = name
        self._sitting = sitting
        self.setAccessibleName(spoken)
        self.setText(sitting.text(name))
        self.textEdited.connect(self._typed)
        sitting.units_changed.connect(self.reread)
        sitting.settled.connect(self.judge)
        self.judge()

    def reread(self) -> None:
        """Show what the sitting holds."""
        text = self._sitting.text(self.name)
        if text != self.text():
            self.setText(text)

    def judge(self) -> None:
        """Frame the field when what stands in it can't be read."""
        error = self._sitting.error(self.name)
        if self.property("wrong") is not bool(error):
            self.setProperty("wrong", bool(error))
            self.style().unpolish(self)
            self.style().polish(self)
        self.setAccessibleDescription(error)

    def _typed(self, text: str) -> None:
        self._sitting.type_text(self.name, text)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go on with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._sitting.leave(self.name)
            self.entered.emit(self.name)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Select all when the keyboard comes, so that typing replaces it."""
        super().focusInEvent(event)
        self.reached.emit(self.name)
        if event.reason() != Qt.FocusReason.MouseFocusReason:
            self.selectAll()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Judge the field when it is left for another one."""
        super().focusOutEvent(event)
        if event.reason() not in (
            Qt.FocusReason.ActiveWindowFocusReason,
            Qt.FocusReason.PopupFocusReason,
        ):
            self._sitting.leave(self.name)
