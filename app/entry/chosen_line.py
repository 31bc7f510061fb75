"""A field for one of a few words; the first means that nothing is said."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QWidget

from app.document.keys import KEYS
from app.entry.draft_session import DraftSession
from app.qt.border import fenced

UNSAID: Final = "not said"


@fenced
class ChosenLine(QComboBox):
    """The choices of a key; arrows choose, Enter goes on."""

    entered = Signal(str)  # Enter was pressed in it
    reached = Signal(str)  # it took the keyboard

    def __init__(self, sitting: DraftSession, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sitting, self.name = sitting, name
        self.setAccessibleName(KEYS[name].title)
        self.addItems([UNSAID, *KEYS[name].choices])
        self.reread()
        self.currentIndexChanged.connect(self._choose)

    def text(self) -> str:
        """Return what is chosen; nothing where nothing is said."""
        return self.currentText() if self.currentIndex() else ""

    def selectAll(self) -> None:
        """Do as a field of text does that is gone back to: here there is nothing to select."""

    def reread(self) -> None:
        """Show what the sitting holds."""
        value = self._sitting.draft.before.readings.get(self.name, UNSAID)
        self.blockSignals(True)
        self.setCurrentText(str(value))
        self.blockSignals(False)

    def _choose(self, index: int) -> None:
        chosen = self.itemText(index) if index else None
        self._sitting.choose(self._sitting.draft.having(self.name, chosen))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Go on with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit(self.name)
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the page, which scrolls: nothing is chosen by the way."""
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell that the keyboard came."""
        super().focusInEvent(event)
        self.reached.emit(self.name)
