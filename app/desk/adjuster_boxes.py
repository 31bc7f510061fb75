"""What can be adjusted on a car, a box for each: shim packs, eccentrics, threaded rods."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import partial
from typing import Final

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.document.ends import ALIGNED_END, key_in
from app.document.model import FrozenMap, Setup, Units
from app.document.plain_text import upper_first
from app.document.point_names import point_words
from app.document.typed_alignment import Kind, TypedAdjuster
from app.document.units import unit_of
from app.panels.widgets import FlatButton, small_label
from app.qt.border import fenced
from app.qt.spoken import name_list

At = tuple[str, ...]
Row = tuple[str, str, str]  # field, words, hint

PAIRS: Final[tuple[At, ...]] = (("upper_front", "upper_rear"), ("lower_front", "lower_rear"))
PIVOTS: Final = tuple(name for pair in PAIRS for name in pair)
NOTHING: Final = (
    "Nothing yet. Add what this car is adjusted by: shim packs at an arm's pivots, an eccentric, "
    "a strut rod with a thread, the tie rods."
)
_TITLES: Final = {"shims": "Shim packs", "eccentric": "Eccentric"}
_RODS: Final = {"strut_rod": "Strut rods", "tie_rod": "Tie rods"}


@fenced
class AdjusterBox(QFrame):
    """The fields of one adjuster."""

    changed = Signal()
    left = Signal()  # it is to be taken away

    def __init__(self, setup: Setup, units: Units, typed: TypedAdjuster) -> None:
        super().__init__()
        self.setup, self.units = setup, units
        self.name, self.kind, self.start = typed.name, typed.kind, typed
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.lines: dict[str, QLineEdit] = {}
        self.at, self.way = QComboBox(), QComboBox()
        self.fault = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.title = box_title(setup, typed)
        self._lay_out()
        self._fill(typed)
        for choice in (self.at, self.way):
            choice.currentIndexChanged.connect(self._follow)
        self._follow()

    def _lay_out(self) -> None:
        rows, head = QVBoxLayout(self), QHBoxLayout()
        rows.setContentsMargins(8, 4, 8, 8)
        rows.setSpacing(4)
        self.head = QLabel(self.title, textFormat=Qt.TextFormat.PlainText)
        self.remove = FlatButton("Remove", f"Remove {self.title}")
        self.remove.clicked.connect(self.left)
        head.addWidget(self.head, 1)
        head.addWidget(self.remove)
        rows.addLayout(head)
        grid = QGridLayout()
        grid.setVerticalSpacing(4)
        if self.kind != "rod":
            grid.addWidget(QLabel("At"), 0, 0)
            grid.addWidget(self.at, 0, 1, 1, 3)
            name_list(self.at, f"{self.title}: where")
        if self.kind == "shims":
            grid.addWidget(QLabel("A shim moves it"), 1, 0)
            grid.addWidget(self.way, 1, 1, 1, 3)
            name_list(self.way, f"{self.title}: a shim moves the pivot")
        for number, (field, words, hint) in enumerate(self._fields()):
            row, column = 2 + number // 2, 2 * (number % 2)
            grid.addWidget(QLabel(words), row, column)
            line = self.lines[field] = QLineEdit()
            line.setAccessibleName(f"{self.title}: {words}")
            line.setPlaceholderText(hint)
            line.textEdited.connect(self.changed)
            grid.addWidget(line, row, column + 1)
        for column in (1, 3):
            grid.setColumnStretch(column, 1)
        rows.addLayout(grid)
        self.fault.setWordWrap(True)
        self.fault.setStyleSheet("font-weight: bold")
        self.fault.hide()
        rows.addWidget(self.fault)

    def _fields(self) -> Iterator[Row]:
        unit = unit_of("length", self.units)
        if self.kind == "shims":
            yield "fitted", f"Fitted left, {unit}", "one a bolt"
            yield "fitted_right", f"right, {unit}", "as left"
            yield "sizes", f"Shim sizes, {unit}", "0.5 1 2" if unit == "mm" else "1/32 1/16 1/8"
            yield "have", "pieces in hand", "any number"
            yield "most", f"Thickest pack, {unit}", "10" if unit == "mm" else "3/8"
            if len(self._places()[0]) == 2 or len(self.start.at) == 2:
                yield "apart", f"most apart, {unit}", "no limit"
            return
        ways = ("Shorter by", "longer by") if self.kind == "rod" else ("Outboard by", "inboard by")
        yield "low", f"{ways[0]}, {unit}", "most, from now"
        yield "high", f"{ways[1]}, {unit}", "most, from now"
        if self.kind == "rod":
            yield "pitch", f"One turn is, {unit}", "of its length"

    def _places(self) -> tuple[At, ...]:
        """Return where it may be on this car."""
        names = [name for name in PIVOTS if key_in(ALIGNED_END, name) in self.setup.readings]
        alone: tuple[At, ...] = tuple((name,) for name in names)
        if self.kind == "eccentric":
            return alone
        pairs = tuple(pair for pair in PAIRS if set(pair) <= set(names))
        return (*pairs, *alone)

    def _fill(self, typed: TypedAdjuster) -> None:
        places = self._places() if self.kind != "rod" else ()
        if typed.at and typed.at not in places:
            places = (*places, typed.at)
        for at in places:
            self.at.addItem(at_words(self.setup, at), " ".join(at))
        self.at.setCurrentIndex(max(self.at.findData(" ".join(typed.at)), 0))
        self.way.addItem("inboard", True)
        self.way.addItem("outboard", False)
        self.way.setCurrentIndex(0 if typed.inboard else 1)
        for field, line in self.lines.items():
            line.setText(typed.texts.get(field, ""))
            line.setCursorPosition(0)  # what is too long is seen from its beginning

    def _follow(self, *_: object) -> None:
        """Let two packs be apart only where there are two, and take the title of the place."""
        if "apart" in self.lines:
            self.lines["apart"].setEnabled(len(self._at()) == 2)
        self.title = box_title(self.setup, self.typed)
        self.head.setText(self.title)
        self.remove.setAccessibleName(f"Remove {self.title}")
        self.changed.emit()

    def _at(self) -> At:
        return tuple(str(self.at.currentData() or "").split())

    @property
    def typed(self) -> TypedAdjuster:
        """What stands in the fields."""
        texts = {field: line.text().strip() for field, line in self.lines.items()}
        if len(self._at()) != 2:
            texts.pop("apart", None)
        given = FrozenMap({field: text for field, text in texts.items() if text})
        inboard = bool(self.way.currentData()) if self.kind == "shims" else self.start.inboard
        return TypedAdjuster(self.name, self.kind, self._at(), inboard, given)

    def show_errors(self, errors: Mapping[str, str]) -> None:
        """Tell what can't be read."""
        told = []
        for field, words in errors.items():
            name, _, part = field.partition(".")
            if name == self.name:
                label = self.lines[part].accessibleName() if part in self.lines else ""
                told.append(f"{upper_first(label.partition(': ')[2])}: {words}" if label else words)
        self.fault.setText("\n".join(told))
        self.fault.setVisible(bool(told))


@fenced
class AdjusterBoxes(QWidget):
    """A box an adjuster, and a button that adds one."""

    changed = Signal()
    gone_to = Signal(object)  # what the keyboard went to, to be brought into view

    def __init__(self, setup: Setup, units: Units) -> None:
        super().__init__()
        self.setup, self.units = setup, units
        self.boxes: list[AdjusterBox] = []
        self.rows = QVBoxLayout(self)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.nothing = small_label(NOTHING)
        self.add = QPushButton("&Add…")
        self.add.setAutoDefault(False)
        self.add.setAccessibleName("Add what can be adjusted")
        self.add.clicked.connect(self._offer)
        foot = QHBoxLayout()
        foot.addWidget(self.add)
        foot.addStretch(1)
        self.rows.addWidget(self.nothing)
        self.rows.addLayout(foot)

    def fill(self, adjusters: tuple[TypedAdjuster, ...]) -> None:
        """Show these adjusters."""
        for typed in adjusters:
            self._put(typed)

    def choices(self) -> Iterator[tuple[str, TypedAdjuster]]:
        """Yield what may be added to this car: its words, and the adjuster with nothing typed."""
        readings, taken = self.setup.readings, {box.name for box in self.boxes}
        there = [name for name in PIVOTS if key_in(ALIGNED_END, name) in readings]
        has_rod = readings.get("front.lower_arm") == "link and strut rod"
        for at in PAIRS if set(PIVOTS) <= set(there) else ():
            name = f"{at[0].partition('_')[0]}_shims"
            if not (has_rod and at == PAIRS[1]):
                yield f"Shim packs: {at_words(self.setup, at)}", _fresh(name, "shims", taken, at)
        for place in there:
            words = at_words(self.setup, (place,))
            yield (
                f"Eccentric: {words}",
                _fresh(f"{place}_eccentric", "eccentric", taken, (place,)),
            )
        if has_rod:
            for place in PAIRS[1]:
                words = at_words(self.setup, (place,))
                yield (
                    f"Shim pack: {words}",
                    _fresh(f"{place}_shims", "shims", taken, (place,)),
                )
        for name in ("strut_rod", "tie_rod"):
            needed = "front.strut_joint" if name == "strut_rod" else "front.tie_outer"
            is_there = needed in readings and (has_rod or name == "tie_rod")
            if is_there and name not in taken:
                yield f"{_RODS[name]} with a thread", TypedAdjuster(name, "rod")

    def _offer(self) -> None:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        for words, typed in self.choices():
            menu.addAction(words).triggered.connect(partial(self._take, typed))
        menu.popup(self.add.mapToGlobal(QPoint(0, self.add.height())))

    def _take(self, typed: TypedAdjuster, *_: object) -> None:
        box = self._put(typed)
        next(iter(box.lines.values())).setFocus()
        self.gone_to.emit(box)
        self.changed.emit()

    def _put(self, typed: TypedAdjuster) -> AdjusterBox:
        box = AdjusterBox(self.setup, self.units, typed)
        self.rows.insertWidget(len(self.boxes) + 1, box)
        self.boxes.append(box)
        box.changed.connect(self.changed)
        box.left.connect(partial(self._drop, box))
        self.nothing.hide()
        return box

    def _drop(self, box: AdjusterBox) -> None:
        self.boxes.remove(box)
        self.rows.removeWidget(box)
        box.hide()
        box.deleteLater()
        self.nothing.setVisible(not self.boxes)
        self.add.setFocus()
        self.changed.emit()

    @property
    def typed(self) -> tuple[TypedAdjuster, ...]:
        """What stands in all boxes."""
        return tuple(box.typed for box in self.boxes)

    def show_errors(self, errors: Mapping[str, str]) -> None:
        """Tell in each box what can't be read."""
        for box in self.boxes:
            box.show_errors(errors)

    def line_of(self, field: str) -> QLineEdit | None:
        """Return the line of a field, None where it is none of a box."""
        name, _, part = field.partition(".")
        boxes = (box for box in self.boxes if box.name == name)
        return next((box.lines.get(part, next(iter(box.lines.values()))) for box in boxes), None)


def box_title(setup: Setup, typed: TypedAdjuster) -> str:
    """Return what a box is called."""
    if typed.kind == "rod":
        return _RODS.get(typed.name, upper_first(typed.name.replace("_", " ")))
    return f"{_TITLES[typed.kind]}, {at_words(setup, typed.at)}"


def at_words(setup: Setup, at: At) -> str:
    """Return where an adjuster is, in words."""
    if at in PAIRS and not _holds_rod(setup, at):
        return f"{at[0].partition('_')[0]} arm, both pivots"
    return " and ".join(point_words(key_in(ALIGNED_END, name), setup.readings) for name in at)


def _holds_rod(setup: Setup, at: At) -> bool:
    return at == PAIRS[1] and setup.readings.get("front.lower_arm") == "link and strut rod"


def _fresh(name: str, kind: Kind, taken: set[str], at: At) -> TypedAdjuster:
    """Return an adjuster with a name of its own and nothing typed."""
    names = (name, *(f"{name}_{number}" for number in range(2, len(taken) + 3)))
    return TypedAdjuster(next(each for each in names if each not in taken), kind, at)
