"""The guide's foot: the buttons back, next, and finish."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QWidget

from app.entry.draft_session import DraftSession
from app.entry.pieces import EnterButton, label, named, relook

KEEPS = "Kept as you type. Enter: next field. Alt+Left: back. Ctrl+L: all steps."


class Foot(QFrame):
    """Buttons under every page."""

    finish_asked = Signal()

    def __init__(self, sitting: DraftSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("guideFoot")
        self._sitting = sitting
        row = QHBoxLayout(self)
        row.setContentsMargins(18, 8, 14, 8)
        self.back = EnterButton("Back")
        self.words = label(KEEPS, "quiet")
        self.next = named(EnterButton("Next"), "main")
        self.back.clicked.connect(self._back)
        self.next.clicked.connect(self._next)
        row.addWidget(self.words, 1)
        row.addWidget(self.back)
        row.addWidget(self.next)
        for signal in (sitting.step_changed, sitting.changed, sitting.steps_changed):
            signal.connect(self.refresh)
        self.refresh()

    def warn(self, words: str) -> None:
        """Say that something can't be kept."""
        self.words.setText(words)
        relook(self.words, "error")

    def take_focus(self) -> None:
        """Give the keyboard to the button that goes on, where the page has nothing to do."""
        if self.next.isEnabled():
            self.next.setFocus(Qt.FocusReason.TabFocusReason)

    def refresh(self) -> None:
        """Name the next step."""
        steps, place = self._sitting.steps, self._sitting.index
        self.back.setEnabled(place > 0)
        last = place == len(steps) - 1
        if last:
            words = "Keep the corrections" if self._sitting.correcting else "Put it on the board"
        else:
            words = f"Next: {steps[place + 1].title}"
        self.next.setText(words)
        self.next.setEnabled(not last or self._sitting.is_whole())

    def _back(self) -> None:
        self._sitting.forward(-1)

    def _next(self) -> None:
        if self._sitting.index == len(self._sitting.steps) - 1:
            self.finish_asked.emit()
        else:
            self._sitting.forward()
