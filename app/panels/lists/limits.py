"""The small window in which a result gets its limit."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QLabel, QLineEdit, QWidget

from app.document.bounds import bound_words, limit_ends
from app.document.checks import unit_words
from app.document.clearances import WIDEST_GAP
from app.document.entries import EntryError, parse_value
from app.document.model import Limit
from app.document.plain_text import lower_first
from app.document.units import exact_number
from app.panels.entry import EntryField
from app.panels.figures import decimal_sign
from app.panels.shown_results import limit_asked, with_limit
from app.panels.widgets import small_label
from app.qt.border import fenced
from app.session.session import Session
from app.systems.clearance.results import is_clearance
from app.words.results import result_unit
from geometry.catalogue.front import Result

_EITHER: Final = "What may it be?  Either field may stay empty."


@fenced
class LimitDialog(QDialog):
    """Asks for the least and the most that a result may be."""

    def __init__(self, session: Session, result: Result, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(f"Limit of {lower_first(result.title)}")
        self.session, self.shown_result = session, result
        self.limit = limit_asked(session, result) or Limit(kind=result.kind)
        unit = result_unit(result, session.units)
        self.least = self._field(self.limit.minimum, f"At least, {unit}".removesuffix(", "))
        self.most = self._field(self.limit.maximum, f"At most, {unit}".removesuffix(", "))
        self.by = QLineEdit(self.limit.by)
        self.by.setAccessibleName("Set by")
        self.by.setCursorPosition(0)
        self.by.setPlaceholderText("rule, joint's maker, owner, own judgement…")
        self.fault = small_label()
        form = QFormLayout(self)
        is_least_alone = is_clearance(result.key)
        asked = "How near may they come?" if is_least_alone else _EITHER
        form.addRow(QLabel(f"{asked}  ({unit or 'a number'})"))
        form.addRow("At &least", self.least)
        if not is_least_alone:
            form.addRow("At &most", self.most)
        form.addRow("Set &by", self.by)
        form.addRow(self.fault)
        form.addRow(self._buttons())

    def _field(self, value: float | None, name: str) -> EntryField:
        field = EntryField(self._read)
        field.setAccessibleName(name)
        if value is not None:
            field.show_text(self._text(value))
        return field

    def _text(self, value: float) -> str:
        """Return a value in the unit that the panel shows, with the decimals it needs."""
        kind, units = self.shown_result.kind, self.session.units
        return exact_number(value, kind, units, decimal=decimal_sign())

    def _read(self, text: str) -> float:
        kind, units = self.shown_result.kind, self.session.units
        most = limit_ends(kind)[1]
        value = parse_value(text, kind, units, decimal=decimal_sign(), most=most)
        if is_clearance(self.shown_result.key):
            bounds = bound_words(value, 0.0, None, WIDEST_GAP, kind, units)
            if bounds:
                raise EntryError(f"Type a number{unit_words(kind, units)}, {bounds}.")
        return value

    def _buttons(self) -> QDialogButtonBox:
        kinds = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        if limit_asked(self.session, self.shown_result) is not None:
            role = QDialogButtonBox.ButtonRole.DestructiveRole
            buttons.addButton("No limit", role).clicked.connect(self._clear)
        return buttons

    def accept(self) -> None:
        """Keep the limit, or say what is wrong with it."""
        for field in (self.least, self.most):
            words = field.fault() if field.text().strip() else ""
            if words:
                self._complain(words, field)
                return
        low, high = self._value(self.least), self._value(self.most)
        if low is None and high is None:
            self._clear()
        elif low is not None and high is not None and low > high:
            self._complain("The least is more than the most.", self.least)
        else:
            self._keep(Limit(low, high, self.shown_result.kind, self.by.text().strip()))
            super().accept()

    def _value(self, field: EntryField) -> float | None:
        return self._read(field.text()) if field.text().strip() else None

    def _complain(self, words: str, field: EntryField) -> None:
        self.fault.setText(words)
        field.setFocus()
        field.selectAll()

    def _clear(self) -> None:
        self._keep(None)
        super().accept()

    def _keep(self, limit: Limit | None) -> None:
        title = lower_first(self.shown_result.title)
        words = f"limit {title}" if limit else f"take the limit off {title}"
        edited = with_limit(self.session, self.shown_result, limit)
        self.session.commit(edited, words)
