"""One measured value read again: what it was, what it is now, how well it is known, and why."""

from __future__ import annotations

from typing import Final, cast

from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.document.address import AXES
from app.document.bounds import bound_words, leaf_bound_words
from app.document.edits import clean_text, correct_reading, one_line, set_point_note, set_within
from app.document.entries import EntryError, parse_value
from app.document.keys import KEYS, is_point, kind_of
from app.document.leaf_parts import leaf_part, measured_number
from app.document.model import Setup, Vec, Within
from app.document.plain_text import lower_first
from app.document.point_names import point_title, point_words
from app.document.units import exact_number, unit_of
from app.document.usual_within import of_all_points
from app.panels.lists.within_fields import WithinFields
from app.qt.border import fenced
from app.session.session import Session

TITLE: Final = "Correct the reading"
_EVIDENCE: Final = (
    "This is what was measured, and not a proposal: all that is worked out follows from it. "
    "Changes stay as they are, and undo takes it back."
)


@fenced
class ReadingDialog(QDialog):
    """A field for each number of a reading, for its uncertainty, and for why it is corrected."""

    def __init__(self, session: Session, key: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.session, self.key = session, key
        self.setup: Setup = session.history.value
        self.units, self.decimal = session.units, QLocale().decimalPoint()
        self.kind = "length" if is_point(key) else kind_of(key, self.setup.readings)
        part = leaf_part(key)
        self.title = point_title(key, self.setup.readings) if part is None else part.title
        self.words = point_words(key, self.setup.readings) if part is None else part.in_sentence
        self.setWindowTitle(f"{TITLE}: {self.title}")
        self.fields = [QLineEdit(self._text(number)) for number in self._numbers()]
        self.why = QLineEdit()
        self.refusal = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.refusal.setWordWrap(True)
        self.refusal.setStyleSheet("font-weight: bold")
        self.refusal.hide()
        self._lay_out()

    def _numbers(self) -> tuple[float, ...]:
        if is_point(self.key):
            return cast(Vec, self.setup.readings[self.key])
        return (cast(float, measured_number(self.setup, self.key)),)

    def _lay_out(self) -> None:
        form, unit = QFormLayout(), unit_of(self.kind, self.units)
        names = AXES if is_point(self.key) else (self.title,)
        for name, field, number in zip(names, self.fields, self._numbers(), strict=True):
            field.setAccessibleName(f"{self.title}, {name}" if is_point(self.key) else name)
            was = f"{unit} · was {self._text(number)}".strip(" ·")
            form.addRow(name, _row(field, was))
        self.known = WithinFields(
            form,
            self.key,
            self.kind,
            self.setup.within.get(self.key),
            self.units,
            self.decimal,
            self._typed_value,
            of_all_points(self.setup.readings),
        )
        self.within = self.known.alike
        self.fields[0].textChanged.connect(self.known.follow)
        self.why.setAccessibleName("Why it is corrected")
        self.why.setPlaceholderText("as: read again with the square")
        form.addRow("Why", self.why)
        words = QLabel(_EVIDENCE)
        words.setWordWrap(True)
        kinds = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        buttons.button(kinds.Ok).setText("Correct it")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSpacing(10)
        layout.addWidget(words)
        layout.addLayout(form)
        layout.addWidget(self.refusal)
        layout.addWidget(buttons)
        self.setMinimumWidth(70 * self.fontMetrics().averageCharWidth())
        self.fields[-1 if is_point(self.key) else 0].setFocus()
        self.fields[-1 if is_point(self.key) else 0].selectAll()

    def _text(self, number: float) -> str:
        return exact_number(number, self.kind, self.units, decimal=self.decimal)

    def _typed_value(self) -> float | None:
        """Return the value that is typed, None where it can't be read yet."""
        try:
            return parse_value(self.fields[0].text(), self.kind, self.units, decimal=self.decimal)
        except EntryError:
            return None

    def accept(self) -> None:
        """Correct the reading as one step, or say what can't be read."""
        try:
            numbers = [
                self._read(field, number)
                for field, number in zip(self.fields, self._numbers(), strict=True)
            ]
            within = self.known.read()
        except EntryError as error:
            self.refusal.setText(str(error))
            self.refusal.show()
            return
        after = self._corrected(numbers, within)
        if after != self.setup:
            self.session.commit(after, f"correct measured {self.words}")
        super().accept()

    def _read(self, field: QLineEdit, was: float) -> float:
        if field.text().strip() == self._text(was):
            return was  # as it is: no digit is lost
        name = field.accessibleName()
        try:
            value = parse_value(field.text(), self.kind, self.units, decimal=self.decimal)
        except EntryError as error:
            field.setFocus()
            raise EntryError(f"{name}: {lower_first(str(error))}") from None
        bound = "" if is_point(self.key) else self._bound_words(value)
        if bound:
            raise EntryError(f"{name} must be {bound}.")
        return value

    def _bound_words(self, value: float) -> str:
        part = leaf_part(self.key)
        if part is not None:
            return leaf_bound_words(part.name, value, self.units)
        key = KEYS[self.key]
        return bound_words(value, key.over, key.least, key.most, self.kind, self.units)

    def _corrected(self, numbers: list[float], within: Within | None) -> Setup:
        value = cast("Vec | float", tuple(numbers) if is_point(self.key) else numbers[0])
        after = set_within(correct_reading(self.setup, self.key, value), self.key, within)
        why = one_line(self.why.text())
        if not why:
            return after
        was = "; ".join(self._text(number) for number in self._numbers())
        words = f"read again, was {was} {unit_of(self.kind, self.units)}".rstrip()
        line = clean_text(f"{words}: {why}")
        if is_point(self.key):
            before = self.setup.point_notes.get(self.key, "")
            return set_point_note(after, self.key, "; ".join(filter(None, (before, line))))
        notes = "\n".join(filter(None, (after.notes.rstrip("\n"), f"{self.title} {line}")))
        return after.having(notes=notes)


def _row(field: QLineEdit, words: str) -> QWidget:
    row, side = QWidget(), QHBoxLayout()
    side.setContentsMargins(0, 0, 0, 0)
    side.addWidget(field)
    side.addWidget(QLabel(words))
    row.setLayout(side)
    return row


def can_be_corrected(setup: Setup, key: str) -> bool:
    """Tell whether a reading is a number, a leaf's too, or a point that the car has of its own."""
    if is_point(key):
        return key in setup.readings
    return measured_number(setup, key) is not None


def correct(session: Session, key: str, parent: QWidget) -> None:
    """Ask for a reading that was taken again."""
    ReadingDialog(session, key, parent).exec()
