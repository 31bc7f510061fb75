"""Fields for how well a reading is known: one ±, of a point three where its axes are unlike."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from app.document.entries import EntryError
from app.document.keys import is_point
from app.document.model import Units, Within
from app.document.units import exact_number, unit_of
from app.document.usual_within import as_one_or_three, parse_within, usual_within

TITLE = "Read within ±"
_AXES = ("x", "y", "z")


class WithinFields:
    """The fields of one reading, in a form; `value` tells what is typed for it now."""

    def __init__(
        self,
        form: QFormLayout,
        key: str,
        kind: str,
        held: Within | None,
        units: Units,
        decimal: str,
        value: Callable[[], float | None],
        of_all: float | None = None,
    ) -> None:
        self.key, self.kind, self.held = key, kind, held
        self.units, self.decimal, self.value = units, decimal, value
        self.of_all = of_all if is_point(key) else None  # of points that say nothing themselves
        uneven = held if isinstance(held, tuple) else None
        self.alike = QLineEdit(self._text(held) if isinstance(held, float) else "")
        self.alike.setAccessibleName("Read within ±")
        unsaid = "unsaid" if is_point(key) else "exact"
        self.alike.setPlaceholderText(self._of_all_text() or unsaid)
        self.usual = QPushButton(autoDefault=False)
        texts = [self._text(one) for one in uneven] if uneven else [""] * 3
        self.each = [QLineEdit(text) for text in texts] if is_point(key) else []
        self._lay_out(form)
        self.started = self._texts()
        self.usual.clicked.connect(self._take_usual)
        self.alike.textChanged.connect(self.follow)
        self.follow()

    def _lay_out(self, form: QFormLayout) -> None:
        unit = unit_of(self.kind, self.units)
        own = [QLabel("x, y and z alike")] if self.each else [self.usual]
        form.addRow(TITLE, _row(self.alike, QLabel(unit), *own))
        parts: list[QWidget] = []
        for axis, field in zip(_AXES, self.each, strict=False):
            field.setAccessibleName(f"{axis} read within ±")
            parts += [QLabel(axis), field]
        if parts:
            form.addRow("or unlike ±", _row(*parts, QLabel(unit)))

    def _text(self, number: float) -> str:
        return exact_number(number, self.kind, self.units, decimal=self.decimal)

    def _of_all_text(self) -> str:
        return "" if self.of_all is None else self._text(self.of_all)

    def _texts(self) -> list[str]:
        return [field.text().strip() for field in (self.alike, *self.each)]

    def follow(self, *_: object) -> None:
        """Offer what is usual while nothing is said; say for three axes what counts else."""
        value = None if self.each else self.value()
        usual = None if value is None else usual_within(self.key, value, self.kind, self.units)
        for field in self.each:
            field.setPlaceholderText(self.alike.text().strip() or self._of_all_text())
        self.usual.setVisible(usual is not None and not self.alike.text().strip())
        if usual is not None:
            unit = unit_of(self.kind, self.units)
            space = "" if unit.startswith("°") or not unit else " "
            self.usual.setText(f"Take the usual ±{self._text(usual)}{space}{unit}")

    def _take_usual(self, *_: object) -> None:
        value = self.value()
        usual = None if value is None else usual_within(self.key, value, self.kind, self.units)
        if usual is not None:
            self.alike.setText(self._text(usual))
            self.alike.setFocus()

    def read(self) -> Within | None:
        """Return how well the reading is known, as typed; None where nothing is said.

        Raises
        ------
        EntryError
            A text is no uncertainty, or only some axes have one.
        """
        if self._texts() == self.started:
            return self.held  # as it is: no digit is lost
        alike, *each = (self._number(field) for field in (self.alike, *self.each))
        return as_one_or_three(alike, each, self.of_all)

    def _number(self, field: QLineEdit) -> float | None:
        text = field.text().strip()
        if not text:
            return None
        try:
            return parse_within(
                text, self.key, self.kind, self.value(), self.units, decimal=self.decimal
            )
        except EntryError:
            field.setFocus()
            raise


def _row(*parts: QWidget) -> QWidget:
    row, side = QWidget(), QHBoxLayout()
    side.setContentsMargins(0, 0, 0, 0)
    for part in parts:
        side.addWidget(part, 1 if isinstance(part, QLineEdit) else 0)
    row.setLayout(side)
    return row
