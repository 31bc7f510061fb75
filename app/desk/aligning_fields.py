"""What is typed to align a car: readings of the gauge, targets, and what can be adjusted."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from app.desk.adjuster_boxes import AdjusterBoxes
from app.document.address import SIDES
from app.document.model import FrozenMap, Setup, Units
from app.document.typed_alignment import TOE_KINDS, After, ToeKind, TypedAlignment
from app.document.units import unit_of
from app.judge.alignment import toe_diameter
from app.judge.alignment_words import length_texts
from app.panels.widgets import head_label, small_label
from app.qt.border import fenced
from app.qt.spoken import name_list

_BY_LOCKS: Final = "Caster from camber at two locks"
READS: Final = "The gauge reads"
_BEFORE: Final = (
    "The car on its wheels, with the changes that are on done and before anything is adjusted. "
    "What stays empty is taken from the model."
)
_AGAIN: Final = (
    "The car on its wheels, with the changes that are on and the alignment done. Packs and turns "
    "count from there. What stays empty is taken from the model."
)
_READ_BEFORE: Final = "Read before the alignment is done"
_READ_AFTER: Final = "Read again with the alignment done"
_READ_NOW: Final = "Read again with all of it done as it now is"
_LOCKS: Final = (
    ("lock_1", "First lock, + wheel outwards"),
    ("camber_1", "Camber at the first lock"),
    ("lock_2", "Second lock"),
    ("camber_2", "Camber at the second lock"),
)
_SIGNS: Final = {"camber": "+ top leans out", "caster": "+ top rearward", "toe": "+ toe-in"}
Grid = QGridLayout


@fenced
class AlignFields(QWidget):
    """Fields for all of it; `changed` is told at each key, and `typed` is what stands there."""

    changed = Signal()
    gone_to = Signal(object)  # what the keyboard went to, to be brought into view

    def __init__(
        self,
        setup: Setup,
        units: Units,
        decimal: str,
        typed: TypedAlignment,
        done: Mapping[str, After] = FrozenMap(),
    ) -> None:
        super().__init__()
        self.setup, self.units, self.decimal = setup, units, decimal
        self.lines: dict[str, QLineEdit] = {}
        self.faults: dict[str, QLabel] = {}
        self.caster_kind = QComboBox()
        name_list(self.caster_kind, "How the caster was read")
        for words, by_locks in (("Caster by level, in degrees", False), (_BY_LOCKS, True)):
            self.caster_kind.addItem(words, by_locks)
        self.when = QComboBox()  # what was done when the gauge read the car
        name_list(self.when, "When the gauge read it")
        self._offer_when(typed.after, done)
        self.how = small_label(_BEFORE)
        self.gauge_toe = self._toe_kinds("How the toe was read")
        self.target_toe = self._toe_kinds("How the toe is wanted")
        self.boxes = AdjusterBoxes(setup, units)
        self._lay_out()
        self._fill(typed)
        self.boxes.changed.connect(self.changed)
        self.boxes.gone_to.connect(self.gone_to)
        self.when.currentIndexChanged.connect(self._tell_when)
        for choice in (self.caster_kind, self.gauge_toe, self.target_toe):
            choice.currentIndexChanged.connect(self._show_kinds)
        self._show_kinds()
        self._tell_when()

    # --- the layout ---

    def _lay_out(self) -> None:
        rows = QVBoxLayout(self)
        rows.setContentsMargins(12, 8, 14, 8)
        rows.setSpacing(8)
        for title, words, part in (
            (READS, _BEFORE, self._readings()),
            ("It shall read", "", self._targets()),
            ("What can be adjusted", "", self.boxes),
        ):
            rows.addWidget(head_label(title))
            if words:
                rows.addWidget(self.how)
            rows.addWidget(part)
            rows.addSpacing(8)
        rows.addStretch(1)

    def _readings(self) -> QWidget:
        part, grid = _grid()
        for column, side in enumerate(SIDES, start=1):
            grid.addWidget(QLabel(side.capitalize()), 0, column)
        grid.addWidget(self.when, grid.rowCount(), 0, 1, 3)
        self._pair(grid, "camber", f"Camber, °  {_SIGNS['camber']}")
        grid.addWidget(self.caster_kind, grid.rowCount(), 0, 1, 3)
        self.caster_rows = [self._pair(grid, "caster", f"Caster, °  {_SIGNS['caster']}")]
        self.lock_rows = [self._pair(grid, name, f"{words}, °") for name, words in _LOCKS]
        grid.addWidget(self.gauge_toe, grid.rowCount(), 0, 1, 3)
        self.toe_row = self._pair(grid, "toe", f"Toe  {_SIGNS['toe']}")
        return part

    def _offer_when(self, read: Mapping[str, After], done: Mapping[str, After]) -> None:
        """Offer when it may have been read: before all of it, as said, or as the car now is."""
        before, as_read, now = FrozenMap[After](), FrozenMap(read), FrozenMap(_given(done))
        self._after = [before]
        self.when.addItem(_READ_BEFORE)
        if as_read:
            self._after.append(as_read)
            self.when.addItem(_READ_AFTER)
        if now and now != as_read:
            self._after.append(now)
            self.when.addItem(_READ_NOW if as_read else _READ_AFTER)
        self.when.setCurrentIndex(1 if as_read else 0)
        self.when.setVisible(self.when.count() > 1)

    def _tell_when(self, *_: object) -> None:
        self.how.setText(_AGAIN if self._after[self.when.currentIndex()] else _BEFORE)
        self.changed.emit()

    def _pair(self, grid: Grid, name: str, words: str) -> list[QWidget]:
        """Add a row with a field a wheel, and under it room for what is wrong."""
        row, label = grid.rowCount(), QLabel(words)
        grid.addWidget(label, row, 0)
        widgets: list[QWidget] = [label]
        for column, side in enumerate(SIDES, start=1):
            line = self._line(f"gauge.{side}.{name}", f"{side.capitalize()} wheel: {words}")
            grid.addWidget(line, row, column)
            widgets.append(line)
        self._fault(grid, *(f"gauge.{side}.{name}" for side in SIDES))
        return widgets

    def _targets(self) -> QWidget:
        part, grid = _grid()
        for column, head in enumerate(("to", "within ±"), start=1):
            grid.addWidget(QLabel(head), 0, column)
        for name in ("camber", "caster", "toe"):
            if name == "toe":
                grid.addWidget(self.target_toe, grid.rowCount(), 0, 1, 3)
            row, words = grid.rowCount(), f"{name.capitalize()}, °  {_SIGNS[name]}"
            label = QLabel(words)
            if name == "toe":
                self.target_label = label
            grid.addWidget(label, row, 0)
            for column, field in enumerate(("is", "within"), start=1):
                spoken = f"{name.capitalize()} {'shall be' if field == 'is' else 'within'}"
                grid.addWidget(self._line(f"targets.{name}.{field}", spoken), row, column)
            self._fault(grid, *(f"targets.{name}.{field}" for field in ("is", "within")))
        return part

    def _line(self, field: str, spoken: str) -> QLineEdit:
        line = self.lines[field] = QLineEdit()
        line.setAccessibleName(spoken)
        line.setMinimumWidth(8 * line.fontMetrics().averageCharWidth())
        line.textEdited.connect(self.changed)
        return line

    def _fault(self, grid: Grid, *fields: str) -> None:
        fault = fault_label()
        grid.addWidget(fault, grid.rowCount(), 0, 1, 3)
        self.faults |= dict.fromkeys(fields, fault)

    def _toe_kinds(self, name: str) -> QComboBox:
        unit = unit_of("length", self.units)
        (over,) = length_texts((round(toe_diameter(self.setup), 3),), self.units, self.decimal)
        measured = "inches" if unit == "in" else unit
        length = f"in {measured} over {over.removesuffix(f'{self.decimal}0')} {unit}"
        words = {
            "toe_total": "Toe in total, in degrees",
            "toe": "Toe of each wheel, in degrees",
            "toe_total_mm": f"Toe in total, {length}",
            "toe_mm": f"Toe of each wheel, {length}",
        }
        choice = QComboBox()
        name_list(choice, name)
        for kind in TOE_KINDS:
            choice.addItem(words[kind], kind)
        return choice

    # --- what stands there ---

    def _fill(self, typed: TypedAlignment) -> None:
        for field, line in self.lines.items():
            part, _, name = field.partition(".")
            texts = typed.targets if part == "targets" else typed.gauge
            line.setText(texts.get(name, ""))
            line.setCursorPosition(0)  # what is too long is seen from its beginning
        self.caster_kind.setCurrentIndex(int(typed.by_locks))
        for choice, kind in (
            (self.gauge_toe, typed.gauge_toe),
            (self.target_toe, typed.target_toe),
        ):
            choice.setCurrentIndex(choice.findData(kind))
        self.boxes.fill(typed.adjusters)

    def _show_kinds(self, *_: object) -> None:
        """Show the fields of how caster and toe are read, and say so to who listens."""
        by_locks = bool(self.caster_kind.currentData())
        for rows, is_shown in ((self.caster_rows, not by_locks), (self.lock_rows, by_locks)):
            for widget in (each for row in rows for each in row):
                widget.setVisible(is_shown)
        is_total = "total" in self._kind(self.gauge_toe)
        self.lines["gauge.right.toe"].setVisible(not is_total)
        for choice, label in (
            (self.gauge_toe, self.toe_row[0]),
            (self.target_toe, self.target_label),
        ):
            unit = unit_of("length", self.units) if "_mm" in self._kind(choice) else "°"
            assert isinstance(label, QLabel)
            label.setText(f"Toe, {unit}  {_SIGNS['toe']}")
        self.changed.emit()

    def _kind(self, choice: QComboBox) -> ToeKind:
        kind: ToeKind = choice.currentData()
        return kind

    @property
    def typed(self) -> TypedAlignment:
        """What stands in the fields."""
        return TypedAlignment(
            self.boxes.typed,
            FrozenMap(dict(self._texts("targets"))),
            FrozenMap(dict(self._texts("gauge"))),
            self._kind(self.target_toe),
            self._kind(self.gauge_toe),
            bool(self.caster_kind.currentData()),
            self._after[self.when.currentIndex()],
        )

    def _texts(self, part: str) -> Iterator[tuple[str, str]]:
        """Yield the texts of fields of a part that are shown."""
        for field, line in self.lines.items():
            start, _, name = field.partition(".")
            if start == part and line.text().strip() and not line.isHidden():
                yield name, line.text().strip()

    def show_errors(self, errors: Mapping[str, str]) -> None:
        """Tell under each row what can't be read."""
        for fault in dict.fromkeys(self.faults.values()):
            words = [
                f"{_whose(field)}{errors[field]}"
                for field, label in self.faults.items()
                if label is fault and field in errors
            ]
            fault.setText("\n".join(dict.fromkeys(words)))
            fault.setVisible(bool(words))
        self.boxes.show_errors(errors)

    def go_to(self, field: str) -> None:
        """Give the keyboard to a field."""
        line = self.lines.get(field) or self.boxes.line_of(field)
        if line is not None:
            line.setFocus(Qt.FocusReason.OtherFocusReason)
            line.selectAll()
            self.gone_to.emit(line)


def _given(done: Mapping[str, After]) -> dict[str, After]:
    return {side: after for side, after in done.items() if after}


def _whose(field: str) -> str:
    """Return of which wheel a reading is that can't be read."""
    side = field.split(".")[1]
    return f"{side.capitalize()}: " if side in SIDES else ""


def fault_label() -> QLabel:
    """Return the hidden label of what is wrong in the row above it."""
    fault = QLabel(textFormat=Qt.TextFormat.PlainText)
    fault.setWordWrap(True)
    fault.setStyleSheet("font-weight: bold")
    fault.hide()
    return fault


def _grid() -> tuple[QWidget, Grid]:
    part = QFrame()
    grid = QGridLayout(part)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setVerticalSpacing(4)
    grid.setColumnStretch(0, 1)
    return part, grid
