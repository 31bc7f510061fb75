"""Readings as a gauge gives them: what is asked, and what it comes to before it is taken over."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QLocale, Qt, QTimer
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.document.as_read import (
    Asked,
    AsRead,
    Worked,
    as_kept,
    bound_error,
    note_of,
    start_of,
    with_readings,
    worked,
)
from app.document.entries import EntryError, parse_value
from app.document.keys import KEYS, kind_of
from app.document.model import Setup, Units
from app.document.plain_text import lower_first
from app.document.units import exact_number, format_value, unit_of
from app.qt.border import fenced

TITLE: Final = "As it was read"
Take = Callable[[Setup, str], object]
_FIELD_WIDTH: Final = 14  # average letters


@fenced
class ReadingsDialog(QDialog):
    """A field for each reading with its ±, and under them what they come to."""

    def __init__(
        self,
        setup: Setup,
        units: Units,
        ways: tuple[AsRead, ...],
        take: Take,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setup, self.units, self.ways, self.take = setup, units, ways, take
        self.decimal = QLocale().decimalPoint()
        self.found: Worked | None = None
        self.setWindowTitle(TITLE)
        self.choice = QComboBox()
        self.choice.setAccessibleName("Way of reading")
        self.choice.addItems([way.title for way in ways])
        self.how = _words()
        self.grid = QGridLayout()
        self.grid.setColumnStretch(0, 1)
        self.fields: dict[str, QLineEdit] = {}
        self.within: dict[str, QLineEdit] = {}
        self.says = _words()
        self.kept = QCheckBox("Write these readings into the notes of the car")
        self.kept.setChecked(True)
        self._lay_out()
        self.choice.currentIndexChanged.connect(self._ask)
        self._ask()

    @property
    def way(self) -> AsRead:
        """The way of reading that is chosen."""
        return self.ways[self.choice.currentIndex()]

    def _lay_out(self) -> None:
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        self.buttons.button(kinds.Ok).setText("Take over")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSpacing(10)
        layout.addWidget(self.choice)
        layout.addWidget(self.how)
        layout.addLayout(self.grid)
        for widget in (self.says, self.kept, self.buttons):
            layout.addWidget(widget)
        letter = self.fontMetrics().averageCharWidth()
        self.setFixedWidth(100 * letter)

    def _ask(self, *_: object) -> None:
        """Show the fields of the chosen way, with what the car has already."""
        while (item := self.grid.takeAt(0)) is not None:
            if widget := item.widget():
                widget.hide()
                widget.deleteLater()
        self.how.setText(self.way.how)
        self.fields, self.within = {}, {}
        for row, asked in enumerate(self.way.asked):
            self._add_row(row, asked)
        for before, after in zip(self._in_order(), self._in_order()[1:], strict=False):
            QWidget.setTabOrder(before, after)
        self._follow()
        next(iter(self.fields.values())).setFocus()

    def _in_order(self) -> list[QWidget]:
        fields: list[QWidget] = [self.choice, *self.fields.values(), *self.within.values()]
        return [*fields, self.kept, self.buttons]

    def _add_row(self, row: int, asked: Asked) -> None:
        unit = unit_of(asked.kind, self.units)
        start = start_of(asked, self.setup.readings)
        field = QLineEdit("" if start is None else self._text(start, asked.kind))
        field.setAccessibleName(asked.title)
        field.setPlaceholderText("not read" if asked.may_be_left_out else "")
        within = QLineEdit(self._text(asked.within, asked.kind))
        within.setAccessibleName(f"{asked.title}: read within ±")
        for line in (field, within):
            letter = self.fontMetrics().averageCharWidth()
            line.setFixedSize(_FIELD_WIDTH * letter, line.sizeHint().height())
            line.textEdited.connect(self._follow)
        title = QLabel(asked.title)
        title.setBuddy(field)
        for column, widget in enumerate((title, field, QLabel(f"{unit}  ±"), within, QLabel(unit))):
            self.grid.addWidget(widget, row, column)
        self.fields[asked.name], self.within[asked.name] = field, within

    def _text(self, value: float, kind: str) -> str:
        return exact_number(value, kind, self.units, decimal=self.decimal)

    def _read(self, lines: dict[str, QLineEdit]) -> dict[str, float]:
        """Return what stands in fields, inside units.

        Raises
        ------
        EntryError
            A text is no number in this unit.
        """
        read = {}
        for asked in self.way.asked:
            text = lines[asked.name].text().strip()
            if not text:
                continue
            try:
                read[asked.name] = parse_value(text, asked.kind, self.units, decimal=self.decimal)
            except EntryError as error:
                raise EntryError(f"{asked.title}: {lower_first(str(error))}") from None
        return read

    def _follow(self, *_: object) -> None:
        """Say what the readings come to, or what is missing."""
        self.found = None
        try:
            read, within = self._read(self.fields), self._read(self.within)
            self.found = worked(self.way, read, within)
        except EntryError as error:
            self.says.setText(str(error))
        else:
            error_words = bound_error(self.setup, self.found)
            self.says.setText(error_words or self._comes_to(self.found, read))
            if error_words:
                self.found = None
        ok = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        ok.setEnabled(self.found is not None)
        self._fit()
        QTimer.singleShot(0, self, self._fit)  # once more: words that are new wrap only then

    def _fit(self) -> None:
        """Take the height that all rows need."""
        if layout := self.layout():
            layout.activate()
            self.resize(self.width(), layout.heightForWidth(self.width()))

    def _comes_to(self, result: Worked, read: dict[str, float]) -> str:
        values = as_kept(self.setup, result)
        lines = [self._line(key, value, result.within[key]) for key, value in values.items()]
        says = self.way.says(read, self.units, self.decimal)
        return "\n".join(filter(None, (*lines, says)))

    def _line(self, key: str, value: float, within: float) -> str:
        units, kind = self.units, kind_of(key, self.setup.readings)
        figure = format_value(value, kind, units, decimal=self.decimal, plus=kind == "angle")
        band = format_value(within, kind, units, decimal=self.decimal)
        return f"{KEYS[key].title} {figure} ± {band}"

    def accept(self) -> None:
        """Take over what the readings come to."""
        if self.found is not None:
            read = self._read(self.fields)
            note = note_of(self.way, read, self.units, self.decimal)
            note = note if self.kept.isChecked() else ""
            self.take(with_readings(self.setup, self.found, note), lower_first(self.way.title))
        super().accept()


def _words() -> QLabel:
    words = QLabel(textFormat=Qt.TextFormat.PlainText)
    words.setWordWrap(True)
    return words
