"""What one part takes up: its shape, where its line runs, and its sizes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QWidget,
)

from app.desk.aligning_fields import fault_label
from app.document.address import AXES, left_of
from app.document.clearances import BOX, CAPSULE, CYLINDER, EDGE, KINDS, SIDES, TYRE
from app.document.ends import END, is_in
from app.document.keys import ALL_KEYS, is_point
from app.document.model import FrozenMap, Setup, Units
from app.document.point_names import point_title
from app.document.typed_clearances import PLACES, SIZES, TypedEnvelope
from app.document.units import exact_number, unit_of
from app.qt.border import fenced
from app.qt.spoken import name_list

PLACE: Final = "a place: x, y, z ({})"
_AXES: Final = "As measured on the left: x forward, y outwards, z up"
PICK: Final = "Pick"
PICKING: Final = "Click a point on the drawing: the line of this part will end there."
KIND_WORDS: Final = {
    CAPSULE: "Rod with round ends (capsule)",
    CYLINDER: "Round with flat ends (cylinder)",
    BOX: "Four-sided, as a rail (box)",
    TYRE: "Tyre about the wheel centre",
    EDGE: "Edge of the metal that is drilled",
}
_ENDS: Final = {"from": "From", "to": "To"}
_SIZE_WORDS: Final = {"radius": "Radius", "width": "Width", "height": "Height"}
_SIDE_WORDS: Final = {
    "both": "both sides of the car, mirrored",
    "left": "the left alone",
    "right": "the right alone",
}
_FIXED: Final = (BOX, EDGE)  # whose ends are coordinates


@fenced
class PartForm(QWidget):
    """Fields of one envelope; `changed` is told at each key."""

    changed = Signal()
    pick_asked = Signal(str)  # "from" or "to"; empty where none is asked for any more

    def __init__(self) -> None:
        super().__init__()
        self.shown = TypedEnvelope()
        self.name = _line("Name of the part")
        self.kind = _list("Shape", [(KIND_WORDS[kind], kind) for kind in KINDS])
        self.ends = {end: _list(words, []) for end, words in _ENDS.items()}
        self.picks = {end: _pick(words) for end, words in _ENDS.items()}
        self.axes = {
            f"{end}.{axis}": _line(f"{words}: {axis}")
            for end, words in _ENDS.items()
            for axis in AXES
        }
        self.sizes = {size: _line(words) for size, words in _SIZE_WORDS.items()}
        self.goes_with = _list("Goes with", [])
        self.side = _list("It is on", [(_SIDE_WORDS[side], side) for side in SIDES])
        self.fault = fault_label()
        self.labels = {size: QLabel() for size in self.sizes}
        self._lay_out()
        self._connect()

    def _lay_out(self) -> None:
        self.form = form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.setVerticalSpacing(4)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow("Na&me", self.name)
        form.addRow("S&hape", self.kind)
        self.end_rows: dict[str, QWidget] = {}
        self.place_rows: dict[str, QWidget] = {}
        for end, words in _ENDS.items():
            self.end_rows[end] = _row([self.ends[end], self.picks[end]], stretched=1)
            label = QLabel(f"&{words}")
            label.setBuddy(self.ends[end])
            form.addRow(label, self.end_rows[end])
            fields: list[QWidget] = [self.axes[f"{end}.{axis}"] for axis in AXES]
            self.place_rows[end] = _row(fields, stretched=3)
            form.addRow("", self.place_rows[end])
        for size, field in self.sizes.items():
            self.labels[size].setBuddy(field)
            form.addRow(self.labels[size], field)
        form.addRow("&Goes with", self.goes_with)
        form.addRow("&It is on", self.side)
        form.addRow(self.fault)

    def _connect(self) -> None:
        for field in (self.name, *self.axes.values(), *self.sizes.values()):
            field.textEdited.connect(self._tell)
        for choice in (self.kind, *self.ends.values(), self.goes_with, self.side):
            choice.activated.connect(self._choose)
        for end, button in self.picks.items():
            button.toggled.connect(lambda on, end=end: self._ask(end, on))

    # --- what is shown ---

    def take_car(self, setup: Setup, end: str, units: Units) -> None:
        """Offer the points and parts of an end of a car, in units."""
        unit = unit_of("length", units)
        keys = [k.name for k in ALL_KEYS if is_in(end, k.name) and is_point(k.name)]
        measured_keys = [key for key in keys if key == left_of(key) and key in setup.readings]
        for choice in self.ends.values():
            _fill(
                choice,
                [
                    (PLACE.format(unit), ""),
                    *((point_title(k, setup.readings), k) for k in measured_keys),
                ],
            )
        _fill(self.goes_with, [(part, part) for part in END[end].parts])
        for size, words in _SIZE_WORDS.items():
            self.labels[size].setText(f"{words}, {unit}")
        for name, field in self.axes.items():
            end_name, _, axis = name.partition(".")
            field.setPlaceholderText(f"{axis}, {unit}")
            field.setAccessibleName(f"{_ENDS[end_name]}: {axis}, {unit}")
            field.setToolTip(_AXES)

    def show_part(self, typed: TypedEnvelope | None, errors: Mapping[str, str]) -> None:
        """Show a part, and what of it can't be read; None shows nothing to be typed."""
        self.setEnabled(typed is not None)
        self.shown = typed or TypedEnvelope()
        self._put(self.name, self.shown.name)
        for choice, value in (
            (self.kind, self.shown.kind),
            (self.goes_with, self.shown.moves_with),
            (self.side, self.shown.side),
            *zip(self.ends.values(), self.shown.ends, strict=True),
        ):
            with QSignalBlocker(choice):
                choice.setCurrentIndex(choice.findData(value))
        for name, field in (*self.axes.items(), *self.sizes.items()):
            self._put(field, self.shown.texts.get(name, ""))
        self._show_fields()
        self.show_errors(errors)

    def _put(self, field: QLineEdit, text: str) -> None:
        if field.text() != text:
            field.setText(text)
            field.setCursorPosition(0)

    def _show_fields(self) -> None:
        """Show what this kind of part has."""
        kind = self.shown.kind
        for end in PLACES:
            has_ends, is_place = kind != TYRE, end in self.shown.places
            self.form.setRowVisible(self.end_rows[end], has_ends)
            self.form.setRowVisible(self.place_rows[end], has_ends and is_place)
            self.ends[end].setEnabled(kind not in _FIXED)
        for size, field in self.sizes.items():
            self.form.setRowVisible(field, size in SIZES[kind])
            field.setPlaceholderText("as the car has it" if kind == TYRE else "")
        self.form.setRowVisible(self.goes_with, bool(self.shown.places))

    def show_errors(self, errors: Mapping[str, str]) -> None:
        """Say under the fields what can't be read."""
        titles: dict[str, list[str]] = {}
        for field, words in errors.items():
            titles.setdefault(words, []).append(self._title(field))
        sentences = (f"{'; '.join(those)}: {words}" for words, those in titles.items())
        self.fault.setText("\n".join(sentences))
        self.fault.setVisible(bool(errors))

    def _title(self, field: str) -> str:
        end, _, axis = field.partition(".")
        if end in _ENDS:
            return f"{_ENDS[end]} {axis}" if axis else _ENDS[end]
        return _SIZE_WORDS.get(
            field, {"moves_with": "Goes with", "kind": "Shape"}.get(field, "Name")
        )

    def field_of(self, name: str) -> QWidget:
        """Return the field of a name."""
        fields: dict[str, QWidget] = {**self.axes, **self.sizes, **self.ends}
        return fields.get(name, self.name)

    # --- what is typed ---

    def _choose(self, *_: object) -> None:
        """Take what is chosen in a list; a kind whose ends are coordinates gets those."""
        kind = str(self.kind.currentData())
        keys = tuple(str(choice.currentData() or "") for choice in self.ends.values())
        self.shown = replace(
            self.shown,
            kind=kind,
            ends=("", "") if kind in _FIXED else (keys[0], keys[1]),
            moves_with=str(self.goes_with.currentData() or self.shown.moves_with),
            side=str(self.side.currentData()),
        )
        self.show_part(self.shown, {})
        self.changed.emit()

    def _tell(self, *_: object) -> None:
        fields = (*self.axes.items(), *self.sizes.items())
        texts = {name: field.text() for name, field in fields if field.text()}
        self.shown = replace(self.shown, name=self.name.text(), texts=FrozenMap(texts))
        self.changed.emit()

    def _ask(self, end: str, is_on: bool) -> None:
        """Ask for a point on the drawing, or for none any more."""
        for other, button in self.picks.items():
            if is_on and other != end:
                with QSignalBlocker(button):
                    button.setChecked(False)
        self.pick_asked.emit(end if is_on else "")

    def take_point(self, end: str, key: str, setup: Setup, units: Units, decimal: str) -> None:
        """End the line at a point; where ends are coordinates, at where it was measured."""
        self.picks[end].setChecked(False)
        if self.shown.kind in _FIXED:
            place = setup.evidence[key]
            assert isinstance(place, tuple)
            for axis, number in zip(AXES, place, strict=True):
                assert isinstance(number, float)
                text = exact_number(number, "length", units, decimal=decimal)
                self._put(self.axes[f"{end}.{axis}"], text)
            self._tell()
            return
        first, second = self.shown.ends
        ends = (key, second) if end == PLACES[0] else (first, key)
        self.shown = replace(self.shown, ends=ends)
        self.show_part(self.shown, {})
        self.changed.emit()


def _line(name: str) -> QLineEdit:
    field = QLineEdit()
    field.setAccessibleName(name)
    return field


def _list(name: str, items: list[tuple[str, str]]) -> QComboBox:
    choice = QComboBox()
    name_list(choice, name)
    choice.setMaxVisibleItems(24)
    _fill(choice, items)
    return choice


def _fill(choice: QComboBox, items: list[tuple[str, str]]) -> None:
    chosen_now = choice.currentData()
    with QSignalBlocker(choice):
        choice.clear()
        for words, data in items:
            choice.addItem(words, data)
        choice.setCurrentIndex(max(choice.findData(chosen_now), 0))


def _pick(words: str) -> QPushButton:
    button = QPushButton(PICK)
    button.setCheckable(True)
    button.setAutoDefault(False)
    button.setAccessibleName(f"{words}: pick a point on the drawing")
    button.setToolTip("Pick a point on the drawing")
    return button


def _row(widgets: list[QWidget], stretched: int) -> QWidget:
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(0, 0, 0, 0)
    for place, widget in enumerate(widgets):
        line.addWidget(widget, 1 if place < stretched else 0)
    return row
