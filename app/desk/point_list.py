"""Points that somebody else measured: what each is, which ones hold the list, how it then lies."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.document.faults import SetupFaults
from app.document.laid_list import (
    LaidList,
    can_be_datum,
    lay_list,
    misfit_words,
    read_list_file,
    refusal_words,
    taken_over,
    twice_words,
)
from app.document.listed_names import NOT_USED, known_points, matched, unclear_words
from app.document.model import MARK, Setup
from app.document.plain_text import one_line
from app.document.point_list import PointList
from app.document.point_names import point_title
from app.document.units import NO_VALUE, number_of, unit_of
from app.qt.border import fenced
from app.session.session import Session

if TYPE_CHECKING:
    from app.desk.window import Window

TITLE: Final = "Points from a list"
HEADS: Final = ("In the list", "Point of the car", "Datum", "x", "y", "z", "Within ±", "Off")
_NAME, _POINT, _DATUM, _FIRST_FIGURE = range(4)
_INTRODUCTION: Final = (
    "The list is turned and shifted as a whole, so that its datum points lie as near as can be to "
    "where the car's are. Datum points stay as they are; the others are taken over as measured."
)
_FEW: Final = "Tick three or more datum points that aren't in one line."
_NONE: Final = (
    "There is nothing to take over: choose what another point of the list is, or untick a datum "
    "point."
)
_OFF: Final = "How far the list puts the point from where it was read before"


@fenced
class PointListDialog(QDialog):
    """A row for each point of the list; what is taken over is one step that can be undone."""

    def __init__(
        self, session: Session, points: PointList, source: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.session, self.points, self.source = session, points, source
        self.setup: Setup = session.history.value
        self.setWindowTitle(f"{TITLE}: {source}")
        self.laid: LaidList | None = None
        self.table = QTableWidget(len(points.points), len(HEADS))
        self.choices = [self._choice(key) for key in matched(self.setup, points).values()]
        self.ticks = [QCheckBox() for _ in points.points]
        self.says = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.says.setWordWrap(True)
        self.despite = QCheckBox("Take it over despite the misfit")
        self.despite.toggled.connect(self._follow)
        self._fill()
        self._lay_out()
        self._tick_first()
        self._follow()

    def _lay_out(self) -> None:
        introduction = QLabel(_INTRODUCTION)
        introduction.setWordWrap(True)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        self.buttons.button(kinds.Ok).setText("Take over")
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        for widget in (introduction, self.table, self.says, self.despite, self.buttons):
            layout.addWidget(widget)
        letter = self.fontMetrics().averageCharWidth()
        self.resize(130 * letter, min(20 + len(self.ticks), 34) * self.fontMetrics().height() + 80)

    def _fill(self) -> None:
        unit = unit_of("length", self.setup.units)
        heads = [f"{h}, {unit}" if place >= _FIRST_FIGURE else h for place, h in enumerate(HEADS)]
        self.table.setHorizontalHeaderLabels(heads)
        if off := self.table.horizontalHeaderItem(len(HEADS) - 1):
            off.setToolTip(_OFF)
        self.table.verticalHeader().hide()
        self.table.setAccessibleName("Points of the list")
        self.table.setTabKeyNavigation(False)
        for row, listed in enumerate(self.points.points):
            self.table.setItem(row, _NAME, _cell(listed.name))
            for column, part, purpose in (
                (_POINT, self.choices[row], "point of the car"),
                (_DATUM, self.ticks[row], "holds the list"),
            ):
                spoken, cell = f"{listed.name}: {purpose}", _cell("")
                cell.setData(Qt.ItemDataRole.AccessibleTextRole, spoken)
                self.table.setItem(row, column, cell)
                self.table.setCellWidget(row, column, part)
                part.setAccessibleName(spoken)
            self.choices[row].currentIndexChanged.connect(self._follow)
            self.ticks[row].toggled.connect(self._follow)
        head = self.table.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(_POINT, QHeaderView.ResizeMode.Stretch)

    def _choice(self, key: str) -> QComboBox:
        choice = QComboBox()
        choice.addItem("not used", NOT_USED)
        for each in known_points(self.setup):
            choice.addItem(_title(self.setup, each), each)
        choice.setCurrentIndex(max(choice.findData(key), 0))
        return choice

    def _tick_first(self) -> None:
        """Tick the marks where there are three; else every point that the car knows."""
        keys = [choice.currentData() for choice in self.choices]
        marks = [key for key in keys if key.startswith(MARK)]
        known_keys = marks if len(marks) > 2 else [k for k in keys if can_be_datum(self.setup, k)]
        for tick, key in zip(self.ticks, keys, strict=True):
            tick.setChecked(key in known_keys)

    def _follow(self, *_: object) -> None:
        """Lay the list again and say how it lies."""
        keys = self._keys()
        for tick, key in zip(self.ticks, keys.values(), strict=True):
            tick.setEnabled(can_be_datum(self.setup, key))
        datum = {k for t, k in zip(self.ticks, keys.values(), strict=True) if t.isChecked()}
        datum = {key for key in datum if can_be_datum(self.setup, key)}
        twice = twice_words(keys)
        self.laid = None if twice else lay_list(self.setup, self.points, keys, datum)
        why = refusal_words(self.laid) if self.laid else ""
        self.despite.setVisible(bool(why))
        if not why:
            self.despite.setChecked(False)  # it holds for the misfit that was told
        is_held = bool(why) and not self.despite.isChecked()
        self.says.setText(f"{twice}." if twice else self._words(f"{why}." if is_held else ""))
        self._show_figures()
        ok = self.buttons.button(QDialogButtonBox.StandardButton.Ok)
        ok.setEnabled(bool(self.laid and self.laid.taken) and not is_held)

    def _keys(self) -> dict[str, str]:
        rows = zip(self.points.points, self.choices, strict=True)
        return {listed.name: choice.currentData() for listed, choice in rows}

    def _words(self, refusal: str) -> str:
        names = [name for name, key in self._keys().items() if not key]
        unclear = unclear_words(self.setup, names, "choose which")
        if self.laid is None:
            return "\n".join([_FEW, *unclear])
        misfit = misfit_words(self.setup, self.laid, QLocale().decimalPoint())
        taken = f"{_count(self.laid)} to be taken over." if self.laid.taken else _NONE
        return "\n".join([*misfit, *unclear, refusal or taken])

    def _show_figures(self) -> None:
        for row in range(self.table.rowCount()):
            figures: list[float | None] = [None] * 5
            if self.laid is not None:
                point = self.laid.points[row]
                within = None if point.role == "datum" else max(point.within)
                figures = [*point.place, within, point.before]
            for place, figure in enumerate(figures, start=_FIRST_FIGURE):
                self.table.setItem(row, place, _cell(self._length(figure), is_figure=True))

    def _length(self, value: float | None) -> str:
        if value is None:
            return NO_VALUE
        decimal = QLocale().decimalPoint()
        return number_of(value, "length", self.setup.units, decimal=decimal)

    def accept(self) -> None:
        """Take the points over as one step."""
        if self.laid is not None:
            after = taken_over(self.setup, self.laid, self.source)
            words = f"{_count(self.laid)} from {self.source}"
            self.session.commit(after, words)
        super().accept()


def _count(laid: LaidList) -> str:
    count = len(laid.taken)
    return "one point" if count == 1 else f"{count} points"


def _title(setup: Setup, key: str) -> str:
    if key.startswith(MARK):
        return f"Mark {key.removeprefix(MARK)}"
    return point_title(key, setup.readings)


def _cell(text: str, is_figure: bool = False) -> QTableWidgetItem:
    item = QTableWidgetItem(text)
    item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
    if is_figure:
        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return item


def take_list(window: Window) -> None:
    """Ask for a list, and then what its points are."""
    filing = window.filing
    path = filing.asker.list_to_open(filing.suggestion("points", ".csv").parent)
    if path is None:
        return
    try:
        points = read_list_file(path, window.session.units)
    except SetupFaults as faults:
        filing.asker.show_faults(one_line(path.name), faults.faults)
        return
    PointListDialog(window.session, points, path.name, window).exec()
