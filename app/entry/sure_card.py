"""What the last page says below its results: whether they are sure, and what to measure again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Final

from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.document.model import Setup
from app.entry.pieces import label, small_button
from app.judge.unsure import point_of, worth_taking_again
from app.session.band_keeper import is_known
from app.systems.banded import Again, StudyBands
from app.words.bands import percent
from app.words.readings import reading_title

MOST: Final = 3  # readings of an end
_UNSAID: Final = (
    "How sure is that? Nothing says yet how well anything was measured, so all of it counts as "
    "exact. Say it once for all points on the page “Weights and brakes”, or beside each reading."
)
_BUSY: Final = "How sure that is, and what to measure again first, is being worked out…"
_MEANT: Final = "± holds in about 95 of 100 cars measured as well as this one."
_AGAIN: Final = "Measure again first; so much of what isn't known comes from it:"


class SureCard(QWidget):
    """A few lines that follow what is known."""

    def __init__(self, go: Callable[[str], None], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.go = go  # to the step of a key
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.lines = QWidget()
        self.buttons: list[QPushButton] = []
        self._shown: object = None

    def show_known(self, setup: Setup, bands: Mapping[str, StudyBands], is_busy: bool) -> None:
        """Say what is known so far."""
        state = (setup, tuple(map(id, bands.values())), is_busy)
        if state == self._shown:
            return
        self._shown = state
        self.column.removeWidget(self.lines)
        self.lines.hide()
        self.lines.deleteLater()
        self.lines, self.buttons = QWidget(), []
        column = QVBoxLayout(self.lines)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        if not is_known(setup):
            row = QHBoxLayout()
            row.addWidget(label(_UNSAID, wrap=True), 1)
            row.addWidget(self._button("Say it", "sheet.measured_within", _UNSAID))
            column.addLayout(row)
        if bands:
            column.addWidget(label(_MEANT, "quiet", wrap=True))
        again = [one for each in bands.values() for one in worth_taking_again(each)[:MOST]]
        if again:
            column.addWidget(label(_AGAIN, "axis", wrap=True))
            column.addLayout(self._readings(setup, again))
        if is_busy:
            column.addWidget(label(_BUSY, "quiet", wrap=True))
        self.column.addWidget(self.lines)

    def _readings(self, setup: Setup, again: Sequence[Again]) -> QGridLayout:
        """Return the readings with their shares, and the way to each."""
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setColumnStretch(3, 1)
        for row, one in enumerate(again):
            title = reading_title(one.reading, setup)
            key = point_of(one.reading) or one.reading
            parts = label(title), label(percent(one.share)), self._button("Look at it", key, title)
            for column, widget in enumerate(parts):
                grid.addWidget(widget, row, column)
        return grid

    def _button(self, words: str, key: str, about: str) -> QPushButton:
        button = small_button(words)
        button.setAccessibleDescription(about)
        button.clicked.connect(partial(_go, self.go, key))
        self.buttons.append(button)
        return button


def _go(go: Callable[[str], None], key: str, _on: bool = False) -> None:
    go("tapes" if key.startswith("tape ") else key)
