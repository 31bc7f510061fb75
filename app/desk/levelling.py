"""Three places on the floor, or on a datum of the frame: rake and floor are taken out by them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from app.document.ends import end_of
from app.document.entries import EntryError, parse_value
from app.document.keys import is_point
from app.document.levelling import Levelled, levelled, levelled_words, with_levelled
from app.document.plain_text import lower_first
from app.document.units import unit_of
from app.qt.border import fenced
from app.session.session import Session

if TYPE_CHECKING:
    from app.document.model import Vec

TITLE: Final = "Floor and rake"
HEADS: Final = ("x, ahead", "y, to the left", "z, as measured", "Over the floor")
_MEASURED, _OVER = 2, 3  # columns
_HOW: Final = (
    "Points that were measured from a level line over a floor that isn't level, or from a frame "
    "that stands at an angle, are turned as a whole, so that z counts from the floor under the "
    "tyres. Give three places far apart. Changes stay as they are; undo takes all of it back."
)


@fenced
class LevellingDialog(QDialog):
    """Three places with their readings, the ends to turn, and what comes of it."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session, self.setup = session, session.history.value
        self.units = session.units
        self.decimal = QLocale().decimalPoint()
        self.found: Levelled | None = None
        self.setWindowTitle(TITLE)
        self.on_floor = QRadioButton("Three places on the floor")
        self.on_frame = QRadioButton("Three places on a datum of the frame")
        self.on_floor.setChecked(True)
        self.lines = [[self._line(row, head) for head in HEADS] for row in range(3)]
        ends = dict.fromkeys(end_of(key) for key in self.setup.readings if is_point(key))
        self.ends = {end: QCheckBox(f"{end.capitalize()} points") for end in ends}
        self.says = _words("")
        self._lay_out()
        self.on_floor.toggled.connect(self._fill_known)
        for tick in self.ends.values():
            tick.setChecked(True)
            tick.toggled.connect(self._follow)
        self._fill_known()

    def _lay_out(self) -> None:
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        self.buttons.button(kinds.Ok).setText("Turn the points")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSpacing(10)
        for widget in (_words(_HOW), self.on_floor, self.on_frame):
            layout.addWidget(widget)
        layout.addLayout(self._grid())
        row = QHBoxLayout()
        for tick in self.ends.values():
            row.addWidget(tick)
        row.addStretch()
        layout.addLayout(row)
        layout.addWidget(self.says)
        layout.addWidget(self.buttons)
        self.setFixedWidth(90 * self.fontMetrics().averageCharWidth())

    def _grid(self) -> QGridLayout:
        grid, unit = QGridLayout(), unit_of("length", self.units)
        for column, head in enumerate(HEADS, start=1):
            grid.addWidget(QLabel(f"{head}, {unit}"), 0, column)
        for row, lines in enumerate(self.lines, start=1):
            grid.addWidget(QLabel(f"Place {row}"), row, 0)
            for column, line in enumerate(lines, start=1):
                grid.addWidget(line, row, column)
        return grid

    def _line(self, row: int, head: str) -> QLineEdit:
        line = QLineEdit()
        line.setAccessibleName(f"Place {row + 1}: {head}")
        line.textEdited.connect(self._follow)
        return line

    def _fill_known(self, *_: object) -> None:
        """Write the noughts that the kind of place says, where nothing else is typed."""
        zero = _OVER if self.on_floor.isChecked() else _MEASURED
        for lines in self.lines:
            other = lines[_OVER + _MEASURED - zero]
            if other.text() == "0" and not lines[zero].text():
                other.clear()
            lines[zero].setText(lines[zero].text() or "0")
        self._follow()

    def _follow(self, *_: object) -> None:
        self.found = None
        try:
            rows = [[self._value(line) for line in lines] for lines in self.lines]
            ends = [end for end, tick in self.ends.items() if tick.isChecked()]
            pads: list[Vec] = [(x, y, z) for x, y, z, _ in rows]
            self.found = levelled(self.setup, pads, [row[_OVER] for row in rows], ends)
        except EntryError as error:
            self.says.setText(str(error))
        else:
            self.says.setText(
                levelled_words(self.setup, self.found, self.units, self.decimal)
                if self.found
                else "Give three places that aren't in one line and lie on one plane, not steeper "
                "than a floor or a frame, and choose which points were measured from it."
            )
        ok = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        ok.setEnabled(self.found is not None)

    def _value(self, line: QLineEdit) -> float:
        if not line.text().strip():
            raise EntryError(f"{line.accessibleName()} is missing.")
        try:
            return parse_value(line.text(), "length", self.units, decimal=self.decimal)
        except EntryError as error:
            words = lower_first(str(error))
            raise EntryError(f"{line.accessibleName()}: {words}") from None

    def accept(self) -> None:
        """Turn the points as one step."""
        if self.found is not None:
            self.session.commit(with_levelled(self.setup, self.found), lower_first(TITLE))
        super().accept()


def _words(text: str) -> QLabel:
    words = QLabel(text, textFormat=Qt.TextFormat.PlainText)
    words.setWordWrap(True)
    return words
