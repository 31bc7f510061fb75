"""The small window in which a result gets a value; points with room follow by the least move."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QFormLayout, QWidget

from app.document.bounds import limit_ends
from app.document.entries import parse_value
from app.document.plain_text import upper_first
from app.gestures.draw_result import DrawResult
from app.judge.drawn import Drawn
from app.judge.drawn_words import drawn_name
from app.panels.entry import EntryField
from app.panels.figures import decimal_sign, result_number
from app.panels.shown_results import find_result
from app.panels.widgets import small_label
from app.qt.border import fenced
from app.session.session import Session
from app.words.results import result_unit
from geometry.catalogue.result import Result

WIDE: Final = 60  # letters
HOW: Final = "Points with room follow by the least move; nothing else of the setup changes."


@fenced
class ValueDialog(QDialog):
    """Asks for the value that a result shall have, or two for a centre."""

    def __init__(self, session: Session, drawn: Drawn, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.session, self.drawn = session, drawn
        self.gesture = DrawResult(session)
        known = (find_result(session, key) for key in drawn.keys)
        self.results = [result for result in known if result is not None]
        self.setWindowTitle(f"{upper_first(drawn_name(self.results))}: set to…")
        self.fault = small_label()
        self.fault.hide()
        start = self.gesture.value_of(drawn)
        self.start = () if isinstance(start, str) else start
        self.fields = [self._field(*each) for each in zip(self.results, self.start, strict=False)]
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * WIDE)
        form = QFormLayout(self)
        self.how = small_label()
        self.how.setText(start if isinstance(start, str) else HOW)
        form.addRow(self.how)
        for result, field in zip(self.results, self.fields, strict=False):
            unit = result_unit(result, session.units)
            field.setAccessibleName(f"{result.title} [{unit}]" if unit else result.title)
            form.addRow(f"{result.title}{f'  [{unit}]' if unit else ''}", field)
        form.addRow(self.fault)
        form.addRow(self._buttons())
        if self.fields:
            self.fields[0].setFocus()
            self.fields[0].selectAll()

    def _field(self, result: Result, value: float) -> EntryField:
        field = EntryField(lambda text: self._read(result, text))
        field.show_text(result_number(value, result, self.session.units))
        return field

    def _read(self, result: Result, text: str) -> float:
        most = limit_ends(result.kind)[1]
        return parse_value(text, result.kind, self.session.units, decimal=decimal_sign(), most=most)

    def _buttons(self) -> QDialogButtonBox:
        kinds = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel if self.fields else kinds.Close)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        return buttons

    def accept(self) -> None:
        """Draw the results to what was typed, or say why they can't be."""
        words = ""
        for field in self.fields:
            words = words or field.fault()
        words = words or self.gesture.set_to(self.drawn, self._values())
        if words:
            self.fault.setText(words)
            self.fault.show()
            self.adjustSize()
            self.fields[0].setFocus()
            self.fields[0].selectAll()
        else:
            super().accept()

    def _values(self) -> list[float]:
        """Return the values; a field that reads as it did means the start to its last digit."""
        typed = zip(self.results, self.fields, self.start, strict=True)
        return [
            start
            if field.text() == result_number(start, result, self.session.units)
            else self._read(result, field.text())
            for result, field, start in typed
        ]
