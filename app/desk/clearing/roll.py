"""A list of names with buttons that add one and take one away."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QHBoxLayout, QListWidget, QListWidgetItem, QPushButton, QVBoxLayout
from PySide6.QtWidgets import QWidget as Widget

from app.document.plain_text import one_line
from app.qt.border import fenced
from app.qt.tips import tip

DOUBT = "▲ "


@fenced
class Roll(Widget):
    """Names, one of which is chosen."""

    chosen = Signal(int)

    def __init__(self, name: str, add: str, take_away: str) -> None:
        super().__init__()
        self.view = QListWidget()
        self.view.setAccessibleName(name)
        self.add, self.take_away = QPushButton(add), QPushButton(take_away)
        buttons = QHBoxLayout()
        for button in (self.add, self.take_away):
            button.setAutoDefault(False)
            buttons.addWidget(button)
        buttons.addStretch()
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.addWidget(self.view, 1)
        rows.addLayout(buttons)
        self.setMinimumWidth(30 * self.fontMetrics().averageCharWidth())
        self.view.currentRowChanged.connect(self.chosen)

    @property
    def place(self) -> int:
        """Which one is chosen; -1 where there is none."""
        return self.view.currentRow()

    def show_names(self, names: Sequence[str], doubtful: Sequence[bool], place: int) -> None:
        """Show these names, of which some can't be read, and choose one; it isn't told."""
        with QSignalBlocker(self.view):
            while self.view.count() > len(names):
                self.view.takeItem(self.view.count() - 1)
            while self.view.count() < len(names):
                self.view.addItem(QListWidgetItem())
            for row, (name, is_doubtful) in enumerate(zip(names, doubtful, strict=True)):
                words = one_line(name)
                self.view.item(row).setText(f"{DOUBT if is_doubtful else ''}{words}")
                self.view.item(row).setToolTip(tip(words))
            self.view.setCurrentRow(min(place, len(names) - 1))
        self.take_away.setEnabled(self.place >= 0)
