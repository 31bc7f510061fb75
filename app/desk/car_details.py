"""What the sheet says beside figures: title, customer, dates, sizes, remarks, notes of the car."""

from __future__ import annotations

from datetime import date
from typing import Final, cast

from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.document.edits import EditError, set_details
from app.document.entries import EntryError
from app.document.keys import ALL_KEYS
from app.document.model import Value
from app.document.plain_text import lower_first
from app.document.schema import Key
from app.document.units import unit_of
from app.entry.number_text import field_text
from app.entry.typed import read_number
from app.qt.border import fenced
from app.session.session import Session

FIELDS: Final = tuple(key for key in ALL_KEYS if key.name.startswith("sheet."))
TITLE: Final = "Car and sheet"
_NOTES_LINES: Final = 4


@fenced
class CarDetails(QDialog):
    """A field for each thing that the sheet says of the car and its papers; one step to undo."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.setWindowTitle(TITLE)
        self.title = QLineEdit(session.setup.title)
        self.title.setAccessibleName("Title of the car")
        self.fields = {key.name: self._field(key) for key in FIELDS}
        self.notes = QPlainTextEdit(session.setup.notes.strip())
        self.notes.setAccessibleName("Notes of the car")
        self.notes.setTabChangesFocus(True)
        self.notes.setFixedHeight(self.notes.fontMetrics().lineSpacing() * (_NOTES_LINES + 1))
        self.refusal = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.refusal.setWordWrap(True)
        self.refusal.setStyleSheet("font-weight: bold")
        self.refusal.hide()
        self._lay_out()

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow("&Title", self.title)
        for key in FIELDS:
            field = self.fields[key.name]
            form.addRow(self._label(key), self._with_today(key, field))
        form.addRow("&Notes of the car", self.notes)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.refusal)
        layout.addWidget(buttons)
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * 86)

    def _label(self, key: Key) -> str:
        unit = unit_of(key.kind, self.session.units) if key.is_number else ""
        return f"{key.title}, {unit}" if unit else key.title

    def _field(self, key: Key) -> QLineEdit:
        field = QLineEdit(self._text(key))
        field.setAccessibleName(key.title)
        field.setToolTip(key.purpose)
        return field

    def _with_today(self, key: Key, field: QLineEdit) -> QWidget:
        """Return a field; one of a date has a button that writes today's."""
        if key.kind != "date":
            return field
        row, today = QWidget(), QPushButton("Today")
        today.setAutoDefault(False)
        today.setAccessibleName(f"{key.title}: today")
        today.clicked.connect(lambda *_: field.setText(date.today().isoformat()))
        side = QHBoxLayout(row)
        side.setContentsMargins(0, 0, 0, 0)
        side.addWidget(field)
        side.addWidget(today)
        return row

    def _text(self, key: Key) -> str:
        value = self.session.setup.readings.get(key.name)
        if value is None:
            return ""
        if not key.is_number:
            return str(value)
        decimal = QLocale().decimalPoint()
        return field_text(cast(float, value), key.kind, self.session.units, decimal)

    def accept(self) -> None:
        """Keep what is typed as one step, or say what can't be read."""
        try:
            values = {key.name: self._value(key) for key in FIELDS}
            before = self.session.history.value
            title, notes = self.title.text(), self.notes.toPlainText()
            if notes.strip() == before.notes.strip():
                notes = before.notes
            after = set_details(before, title, notes, values)
        except (EntryError, EditError) as error:
            self.refusal.setText(str(error))
            self.refusal.show()
            return
        if after != before:
            self.session.commit(after, "car and sheet")
        super().accept()

    def _value(self, key: Key) -> Value | None:
        text = self.fields[key.name].text().strip()
        if not text:
            return None
        if not key.is_number:
            return text
        setup = self.session.setup
        if text == self._text(key):
            return setup.readings[key.name]
        decimal = QLocale().decimalPoint()
        try:
            return read_number(text, key, setup.readings, self.session.units, decimal)
        except EntryError as error:
            self.fields[key.name].setFocus()
            raise EntryError(f"{key.title}: {lower_first(str(error))}") from None
