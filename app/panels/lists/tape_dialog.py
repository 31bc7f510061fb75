"""A tape between two points: what it should read and what it would bring, before it is taken."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PySide6.QtCore import QLocale, QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QInputDialog,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.document.address import left_of
from app.document.adjusting import within_of
from app.document.edits import put_tape, set_mark
from app.document.entries import OVER_NOUGHT, EntryError, parse_value
from app.document.keys import ALL_KEYS, is_point
from app.document.model import LOOSEST, Setup, Tape, Units, mark_key
from app.document.units import exact_number, format_value, unit_of
from app.judge.survey import gain_of, usual_within
from app.judge.survey_words import end_title, gain_words, misclosure_words, tape_title
from app.qt.border import fenced

TITLE: Final = "Tape or trammel"
MARK_HINT: Final = (
    "Name, x, y and z of a mark on the floor, as in: A 500 300 0\n"
    "It is exact unless a ± follows: A 500 300 0 ± 1\n"
    "A mark that is there already is put there instead."
)
_HOW: Final = (
    "A distance that was read between two points. It counts beside their coordinates, each by how "
    "well it is known, and the car is worked out from what agrees best."
)
Take = Callable[[Setup, str], object]


@fenced
class TapeDialog(QDialog):
    """Two ends, reading, ± and note; `number` is that of a tape to change, None of a new one."""

    def __init__(
        self,
        setup: Setup,
        units: Units,
        take: Take,
        ends: tuple[str, ...] = (),
        number: int | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setup, self.units, self.take, self.number = setup, units, take, number
        self.decimal = QLocale().decimalPoint()
        self.setWindowTitle(TITLE)
        self.ends = [self._choice(words) for words in ("From", "To")]
        self.mark = QPushButton("&Mark on the floor…")
        self.mark.setAutoDefault(False)
        self.mark.clicked.connect(self._ask_mark)
        self.length, self.within = self._field("Tape reads"), self._field("within ±")
        self.note = self._field("Note")
        self.says, self.refusal = _words(), _words()
        self.refusal.setStyleSheet("font-weight: bold")
        self.refusal.hide()
        tape = None if number is None else setup.tapes[number]
        self._fill(tape, ends)
        self._lay_out()
        for choice in self.ends:
            choice.currentIndexChanged.connect(self._follow)
        for field in (self.length, self.within):
            field.textChanged.connect(self._follow)
        self._follow()
        self.length.setFocus()

    def _choice(self, words: str) -> QComboBox:
        choice = QComboBox()
        choice.setAccessibleName(words)
        choice.setMaxVisibleItems(24)
        return choice

    def _field(self, words: str) -> QLineEdit:
        field = QLineEdit()
        field.setAccessibleName(words)
        return field

    def _fill(self, tape: Tape | None, ends: tuple[str, ...]) -> None:
        self._fill_ends()
        for place, end in enumerate(tape.between if tape else ends[:2]):
            self.ends[place].setCurrentIndex(self.ends[place].findData(end))
        if tape is None and len(ends) < 2:
            taken = self.ends[0].currentIndex()
            self.ends[1].setCurrentIndex(1 if taken == 0 else 0)
        if tape is not None:
            self.length.setText(self._exact(tape.length))
            self.note.setText(tape.note)
        within = tape.within if tape else usual_within(self.setup.tapes, self.units)
        self.within.setText(self._exact(within))

    def _fill_ends(self) -> None:
        for choice in self.ends:
            held = choice.currentData()
            with QSignalBlocker(choice):  # what is said waits until both are filled
                choice.clear()
                for key in ends_of(self.setup):
                    choice.addItem(end_title(self.setup, key), key)
                choice.setCurrentIndex(max(choice.findData(held), 0))

    def _exact(self, value: float) -> str:
        return exact_number(value, "length", self.units, decimal=self.decimal)

    def _lay_out(self) -> None:
        unit, form = unit_of("length", self.units), QFormLayout()
        form.addRow("&From", self.ends[0])
        form.addRow("&To", self.ends[1])
        form.addRow("", self.mark)
        row = QHBoxLayout()
        row.addWidget(self.length, 2)
        row.addWidget(QLabel(f"{unit}   ±"))
        row.addWidget(self.within, 1)
        row.addWidget(QLabel(unit))
        reads = QLabel("Tape &reads")
        reads.setBuddy(self.length)
        form.addRow(reads, row)
        form.addRow("&Note", self.note)
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setSpacing(10)
        how = _words()
        how.setText(_HOW)
        layout.addWidget(how)
        layout.addLayout(form)
        for widget in (self.says, self.refusal):
            layout.addWidget(widget)
        layout.addStretch()
        layout.addWidget(self.buttons)
        letters = self.fontMetrics().averageCharWidth()
        self.setMinimumWidth(letters * 84)
        self.says.setMinimumHeight(4 * self.fontMetrics().lineSpacing())

    @property
    def between(self) -> tuple[str, str]:
        """The two ends that are chosen."""
        first, second = (str(choice.currentData()) for choice in self.ends)
        return first, second

    def _follow(self) -> None:
        """Say what the tape should read and would bring, and how far off a reading is."""
        self.refusal.hide()
        self.says.setText(self._words_now())

    def _words_now(self) -> str:
        if trouble := self._trouble():
            return trouble
        others = put_tape(self.setup, None, self.number)  # without the one that is changed
        try:
            within = self._read(self.within)
        except EntryError:
            return ""
        shown = others.having(units=self.units)
        words = gain_words(shown, gain_of(others, self.between, within), self.decimal)
        try:
            length = self._read(self.length)
        except EntryError:
            return words
        off = misclosure_words(shown, Tape(self.between, length, within), self.decimal)
        return f"{words} {off}"

    def _trouble(self) -> str:
        first, second = self.between
        if first == second:
            return "Choose two different points."
        for end in self.between:
            if within_of(self.setup.readings, self.setup.within, end) is None:
                title = end_title(self.setup, end)
                return (
                    f"Nothing says how well “{title}” was measured: give it a ± (Edit, Correct "
                    "the measurements), or all points (File, Car and sheet details)."
                )
        return ""

    def _read(self, field: QLineEdit) -> float:
        value = parse_value(field.text(), "length", self.units, decimal=self.decimal)
        if value <= 0.0:
            raise EntryError(OVER_NOUGHT)
        return value

    def _ask_mark(self) -> None:
        words, accepted = QInputDialog.getText(self, "Mark on the floor", MARK_HINT)
        if not accepted or not words.strip():
            return
        name, *numbers = words.replace("=", " ").replace("±", " ").split()
        try:
            read = [
                parse_value(number, "length", self.units, decimal=self.decimal)
                for number in numbers
            ]
        except EntryError as error:
            self._refuse(f"{error} {MARK_HINT}")
            return
        if len(read) not in (3, 4) or (len(read) == 4 and read[3] < 0.0):
            self._refuse(MARK_HINT)
            return
        within = read[3] if len(read) == 4 else None
        self.setup = set_mark(self.setup, name, (read[0], read[1], read[2]), within)
        self._fill_ends()
        self.ends[1].setCurrentIndex(self.ends[1].findData(mark_key(name)))
        self._follow()

    def accept(self) -> None:
        """Keep the tape as one step, or say what can't be read."""
        try:
            if trouble := self._trouble():
                raise EntryError(trouble)
            length, within = self._named("Tape reads", self.length), self._named("±", self.within)
            if within > LOOSEST:
                self.within.setFocus()
                most = format_value(LOOSEST, "length", self.units, decimal=self.decimal)
                raise EntryError(f"±: more than {most} says nothing. Leave such a tape out.")
        except EntryError as error:
            self._refuse(str(error))
            return
        tape = Tape(self.between, length, within, self.note.text().strip())
        number, taped = self.number, put_tape(self.setup, tape, self.number)
        place = len(taped.tapes) if number is None else number + 1
        self.take(taped, f"tape {place}: {tape_title(self.setup, tape)}")
        super().accept()

    def _named(self, name: str, field: QLineEdit) -> float:
        try:
            return self._read(field)
        except EntryError as error:
            field.setFocus()
            raise EntryError(f"{name}: {error}") from None

    def _refuse(self, words: str) -> None:
        self.refusal.setText(words)
        self.refusal.show()


def ends_of(setup: Setup) -> tuple[str, ...]:
    """Return what a tape of a car can end at: marks, points, and right-hand ones that mirror."""
    points = [key.name for key in ALL_KEYS if is_point(key.name)]
    there = [key for key in points if {key, left_of(key)} & setup.readings.keys()]
    return (*map(mark_key, setup.marks), *there)


def _words() -> QLabel:
    label = QLabel(textFormat=Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
    return label
