"""The history of steps as a list: what was done, where one is, what is on the disk."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.document.address import is_right
from app.document.keys import KEYS
from app.document.model import Setup, Units
from app.document.moves import REST, proposed_settings, subtract, total_moves
from app.document.plain_text import one_line, upper_first
from app.document.units import format_value
from app.panels.figures import decimal_sign
from app.panels.widgets import small_label
from app.qt.border import fenced
from app.session.session import Session
from app.words.moves import move_words

SIZE: Final = (460, 480)
HINT: Final = "Enter or a click goes to a step; those after it stay until something else is done."
BEGAN: Final = "As it was opened"
ROLE: Final = Qt.ItemDataRole.UserRole


def step_words(session: Session) -> list[str]:
    """Return a line for each step, the oldest first."""
    history = session.history
    lines = []
    for place, step in enumerate(history.steps):
        words = upper_first(one_line(step.words)) or BEGAN
        if place:
            words += figures_of(history.steps[place - 1].value, step.value, session.units)
        lines.append(f"{words}   · on the disk" if place == history.saved else words)
    return lines


def figures_of(before: Setup, after: Setup, units: Units) -> str:
    """Return by how much a step moved points or what it set, "" where its words say all."""
    was, now = total_moves(before), total_moves(after)
    moves = {
        subtract(now.get(key, REST), was.get(key, REST))
        for key in {*was, *now}
        if now.get(key, REST) != was.get(key, REST) and not is_right(key)
    }
    if len(moves) == 1:
        return f": {move_words(moves.pop(), units, decimal=decimal_sign())}"
    old, new = proposed_settings(before), proposed_settings(after)
    keys = [key for key in new if old.get(key) != new[key] and key in KEYS]
    value = new[keys[0]] if len(keys) == 1 else None
    if moves or not isinstance(value, float):
        return ""
    return f": {format_value(value, KEYS[keys[0]].kind, units, decimal=decimal_sign())}"


@fenced
class StepsList(QDialog):
    """The steps, the latest on top; one is gone to by Enter or a click."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.setWindowTitle("Steps")
        self.resize(*SIZE)
        self.rows = QListWidget()
        self.rows.setAccessibleName("Steps, the latest first")
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        for widget in (self.rows, small_label(HINT), buttons):
            layout.addWidget(widget)
        self._fill()
        self.rows.itemClicked.connect(self._go)
        self.rows.itemActivated.connect(self._go)
        session.setup_changed.connect(self._fill)

    def _fill(self) -> None:
        now = self.session.history.index
        self.rows.clear()
        for place, words in reversed(list(enumerate(step_words(self.session)))):
            sign = "▸ " if place == now else "   "
            item = QListWidgetItem(f"{sign}{words}")
            item.setData(ROLE, place)
            font = item.font()
            font.setBold(place == now)
            font.setItalic(place > now)
            item.setFont(font)
            item.setToolTip("taken back; it can be done again" if place > now else "")
            self.rows.addItem(item)
            if place == now:
                self.rows.setCurrentItem(item)

    def _go(self, item: QListWidgetItem) -> None:
        self.session.go_to_step(int(item.data(ROLE)))


def show_steps(session: Session, parent: QWidget) -> StepsList:
    """Open the list; the board stays usable beside it."""
    shown = StepsList(session, parent)
    shown.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    shown.show()
    return shown
