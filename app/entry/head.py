"""The guide's head: the car's title, and the units shown."""

from __future__ import annotations

from functools import partial
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QPushButton, QWidget

from app.document.model import Units
from app.document.plain_text import one_line
from app.entry.draft_session import DraftSession
from app.entry.pieces import label, named, small_button
from app.qt.border import fenced
from app.qt.spoken import one_of_several
from app.qt.tips import tip

LONGEST: Final = 520  # of a title: a long one would make the window wider than the screen [px]


@fenced
class Head(QFrame):
    """Title, units and the way out."""

    close_asked = Signal()

    def __init__(self, sitting: DraftSession, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("guideHead")
        self._sitting = sitting
        row = QHBoxLayout(self)
        row.setContentsMargins(18, 8, 14, 8)
        self.title = label("", "headTitle")
        self.title.setMaximumWidth(LONGEST)
        self.note = label("", "headNote")
        row.addWidget(self.title)
        row.addSpacing(12)
        row.addWidget(self.note, 1)
        self.units: dict[Units, QPushButton] = {}
        group = QButtonGroup(self)
        for unit, spoken in (("mm", "Show millimetres"), ("in", "Show inches")):
            self._add_unit(row, group, "in" if unit == "in" else "mm", spoken)
        row.addSpacing(12)
        leave = small_button("Close")
        leave.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        leave.clicked.connect(self.close_asked)
        row.addWidget(leave)
        sitting.changed.connect(self.refresh)
        sitting.units_changed.connect(self.refresh)
        self.refresh()

    def _add_unit(self, row: QHBoxLayout, group: QButtonGroup, unit: Units, spoken: str) -> None:
        button = named(QPushButton(unit), "small", spoken)
        one_of_several(button)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(partial(self._choose, unit))
        group.addButton(button)
        row.addWidget(button)
        self.units[unit] = button

    def _choose(self, unit: Units, _on: bool = False) -> None:
        self._sitting.set_units(unit)

    def showEvent(self, event: QShowEvent) -> None:
        """Measure the title in the face that it is shown in."""
        super().showEvent(event)
        self.refresh()

    @property
    def name(self) -> str:
        """Return what is done, as the window's title."""
        return "Correct the measurements" if self._sitting.correcting else "Measure a new car"

    def refresh(self) -> None:
        """Show the car's name and units."""
        title = one_line(self._sitting.draft.before.title) or "A new car"
        correcting = self._sitting.correcting
        metrics, right = self.title.fontMetrics(), Qt.TextElideMode.ElideRight
        self.title.setText(metrics.elidedText(title, right, LONGEST))
        self.title.setToolTip(tip(title))
        done, all_points = self._sitting.points_done()
        words = f"{done} of {all_points} points measured"
        if correcting:
            words = "correcting what was measured; the changes proposed for it stay"
        self.note.setText(words)
        self.units[self._sitting.units].setChecked(True)
