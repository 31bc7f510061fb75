"""Two parts, and how near they may come to each other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QFormLayout, QLabel, QLineEdit, QWidget

from app.desk.aligning_fields import fault_label
from app.document.model import Units
from app.document.typed_clearances import TypedClearance
from app.document.units import unit_of
from app.panels.widgets import small_label
from app.qt.border import fenced
from app.qt.spoken import name_list

_ASKED: Final = "nothing is asked"
_TITLES: Final = {"at_least": "At least", "by": "Set by"}


@fenced
class PairForm(QWidget):
    """Fields of one clearance; `changed` is told at each key."""

    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.shown = TypedClearance((0, 0))
        self.ends = (QComboBox(), QComboBox())
        for choice, words in zip(self.ends, ("Between", "and"), strict=True):
            name_list(choice, words)
            choice.activated.connect(self._tell)
        self.least, self.by = QLineEdit(), QLineEdit()
        self.least.setAccessibleName(_TITLES["at_least"])
        self.least.setPlaceholderText(_ASKED)
        self.by.setAccessibleName(_TITLES["by"])
        self.by.setPlaceholderText("rule, tyre maker, owner, own judgement…")
        for field in (self.least, self.by):
            field.textEdited.connect(self._tell)
        self.label, self.fault, self.says = QLabel(), fault_label(), small_label()
        self.label.setBuddy(self.least)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setVerticalSpacing(4)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow("&Between", self.ends[0])
        form.addRow("an&d", self.ends[1])
        form.addRow(self.label, self.least)
        form.addRow("Set b&y", self.by)
        form.addRow(self.says)
        form.addRow(self.fault)

    def take_parts(self, parts: Sequence[tuple[str, int]], units: Units) -> None:
        """Offer these parts, each with its place in the list, in units."""
        self.label.setText(f"At &least, {unit_of('length', units)}")
        for choice in self.ends:
            with QSignalBlocker(choice):
                choice.clear()
                for name, place in parts:
                    choice.addItem(name, place)

    def show_pair(self, typed: TypedClearance | None, errors: Mapping[str, str], says: str) -> None:
        """Show a pair, what of it can't be read, and how near it comes; None shows nothing."""
        self.setEnabled(typed is not None)
        self.shown = typed or TypedClearance((0, 0))
        for choice, place in zip(self.ends, self.shown.between, strict=True):
            with QSignalBlocker(choice):
                choice.setCurrentIndex(-1 if typed is None else choice.findData(place))
        for field, text in ((self.least, self.shown.at_least), (self.by, self.shown.by)):
            if field.text() != text:
                field.setText(text)
                field.setCursorPosition(0)
        self.says.setText(says)
        self.says.setVisible(bool(says))
        sentences = (f"{_TITLES.get(n, 'Between')}: {words}" for n, words in errors.items())
        self.fault.setText("\n".join(sentences))
        self.fault.setVisible(bool(errors))

    def field_of(self, name: str) -> QWidget:
        """Return the field of a name."""
        fields: dict[str, QWidget] = {"at_least": self.least, "by": self.by}
        return fields.get(name, self.ends[0])

    def _tell(self, *_: object) -> None:
        first, second = (int(choice.currentData()) for choice in self.ends)
        self.shown = replace(
            self.shown,
            between=(first, second),
            at_least=self.least.text(),
            by=self.by.text(),
        )
        self.changed.emit()
