"""The field for how well something is measured, and the offer of what is usual."""

from __future__ import annotations

from functools import partial
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPushButton, QWidget

from app.document.keys import KEYS, kind_of
from app.document.units import unit_of
from app.entry.draft_session import DraftSession
from app.entry.pieces import named
from app.entry.value_line import ValueLine
from app.entry.within_fields import ALL
from app.qt.border import fenced
from app.qt.tips import tip

WIDTH: Final = 66
EXACT: Final = "exact"


@fenced
class WithinLine(ValueLine):
    """A number's ±; the arrow down puts what is usual into it while it is empty."""

    def __init__(
        self, sitting: DraftSession, key: str, title: str = "", parent: QWidget | None = None
    ) -> None:
        self.key, self.title = key, title or KEYS[key].title
        super().__init__(sitting, f"{key}.{ALL}", f"{self.title}: measured within ±", parent)
        self.setFixedWidth(WIDTH)
        self.setPlaceholderText(EXACT)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take what is usual with the arrow down."""
        if event.key() == Qt.Key.Key_Down and not self.text().strip():
            self.take_usual()
        else:
            super().keyPressEvent(event)

    def take_usual(self) -> None:
        """Say that it is measured as well as usual."""
        self._sitting.take_usual(self.key)
        self.reread()
        self.selectAll()


class UsualButton(QPushButton):
    """Offers what is usual for an empty ±, for the mouse; its field has a key for it."""

    def __init__(self, line: WithinLine, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        named(self, "usual")
        self.line = line
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        keeps = self.sizePolicy()
        keeps.setRetainSizeWhenHidden(True)
        self.setSizePolicy(keeps)
        self.clicked.connect(partial(_take, line))

    def follow(self, sitting: DraftSession) -> None:
        """Show the offer while the field is empty and something is usual."""
        text = sitting.usual(self.line.key)
        key = self.line.key
        kind = kind_of(key, sitting.setup.readings) if key in KEYS else "length"  # of leaves
        unit = unit_of(kind, sitting.units)
        figure = f"±{text}{'' if unit.startswith('°') or not unit else ' '}{unit}"
        self.setText(f"±{text}" if text else "")  # in the unit beside the value
        self.setAccessibleName(f"{self.line.title}: take the usual {figure}")
        self.setVisible(bool(text) and not sitting.text(self.line.name).strip())
        offer = f" Arrow down: the usual {figure}." if text else ""
        error = sitting.error(self.line.name)
        self.line.setToolTip(
            tip(error or f"How well it is measured; empty, it counts as exact.{offer}")
        )


def _take(line: WithinLine, _on: bool = False) -> None:
    line.take_usual()
