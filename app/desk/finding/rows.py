"""Rows that are added, changed and taken out; each says below itself what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Generic, TypeVar

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QCompleter,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.desk.finding.choices import Choice
from app.judge.asked import Wrong
from app.panels.widgets import small_label
from app.qt.border import fenced

GAP: Final = 6
LONG: Final = 33  # letters of a title
FIGURE: Final = 9  # letters of a field
UNIT: Final = 8
SEVERAL: Final = 12  # choices, from which on they are typed


@fenced
class ChoiceField(QComboBox):
    """A field of choices; one of many is found by typing any part of its words.

    What is typed and is none of them stays, and nothing is chosen. The wheel turns the rows.
    """

    def __init__(self, is_typed: bool) -> None:
        super().__init__()
        self.setMaxVisibleItems(24)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        line = QLineEdit() if is_typed else None
        if line is not None:
            self.setEditable(True)
            self.setLineEdit(line)
            self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
            completer = QCompleter(self.model(), self)
            completer.setFilterMode(Qt.MatchFlag.MatchContains)
            completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
            completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
            self.setCompleter(completer)
            line.editingFinished.connect(self._settle)
            line.setPlaceholderText("type or choose")
            line.setStyleSheet("border: none; padding: 0; background: transparent")
            self.currentIndexChanged.connect(lambda: line.setCursorPosition(0))

    def _settle(self) -> None:
        """Choose the first that the typed words mean, if there is one."""
        typed = self.currentText().strip()
        if typed == self.itemText(self.currentIndex()):
            return
        words = [self.itemText(place).casefold() for place in range(self.count())]
        same = [n for n, each in enumerate(words) if each == typed.casefold()]
        near = [n for n, each in enumerate(words) if typed and typed.casefold() in each]
        self.setCurrentIndex(next(iter(same or near), -1))
        if self.currentIndex() < 0:
            self.setEditText(typed)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Leave the wheel to the rows: a choice would change unseen."""
        event.ignore()


class Row(QWidget):
    """The fields of a row in a line, a button that takes it out, and words on what is wrong."""

    changed = Signal()
    removed = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.fields: dict[str, QWidget] = {}
        self.wrong = small_label()
        self.wrong.setForegroundRole(self.palette().ColorRole.BrightText)
        self.wrong.hide()
        self.line = QHBoxLayout()
        self.line.setSpacing(GAP)
        self.out = QToolButton()
        self.out.setText("×")
        self.out.setAutoRaise(True)
        self.out.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.out.clicked.connect(lambda: self.removed.emit(self))
        rows = QVBoxLayout(self)
        rows.setContentsMargins(0, 0, 0, 0)
        rows.setSpacing(2)
        rows.addLayout(self.line)
        rows.addWidget(self.wrong)

    def letters(self, count: int) -> int:
        """Return the width of some letters [px]."""
        return round(count * self.fontMetrics().averageCharWidth() * 1.1)

    def choice(self, name: str, letters: int, choices: Sequence[Choice]) -> ChoiceField:
        """Return a field of choices; of many by any part of their words."""
        field = ChoiceField(is_typed=len(choices) > SEVERAL)
        field.setFixedWidth(self.letters(letters))
        for key, words in choices:
            field.addItem(words, key)
        longest = max((len(words) for _, words in choices), default=0)
        field.view().setMinimumWidth(self.letters(longest + 3))
        field.currentIndexChanged.connect(self.changed)
        self.fields[name] = field
        return field

    def figure(self, name: str, letters: int = FIGURE) -> QLineEdit:
        """Return a field for a number."""
        field = QLineEdit()
        field.setFixedWidth(self.letters(letters))
        field.setAlignment(Qt.AlignmentFlag.AlignRight)
        field.textEdited.connect(self.changed)
        self.fields[name] = field
        return field

    def name_fields(self, what: str, number: int, words: dict[str, str]) -> None:
        """Name the fields for who can't see them."""
        for name, field in self.fields.items():
            field.setAccessibleName(f"{what} {number}: {words.get(name, name)}")
        self.out.setAccessibleName(f"Take {what.lower()} {number} out")
        self.out.setToolTip("Take this row out")

    def show_wrong(self, faults: Sequence[Wrong]) -> None:
        """Say what is wrong with the row, and at its fields."""
        words_by_field = {fault.field: fault.words for fault in faults}
        for name, field in self.fields.items():
            field.setAccessibleDescription(words_by_field.get(name, ""))
        self.wrong.setText(" ".join(dict.fromkeys(words_by_field.values())))
        self.wrong.setVisible(bool(words_by_field))


RowKind = TypeVar("RowKind", bound=Row)


class Rows(QWidget, Generic[RowKind]):
    """Rows below each other, under heads that stand while there is a row."""

    changed = Signal()

    def __init__(self, heads: Sequence[tuple[str, int]], nothing: str) -> None:
        super().__init__()
        self.rows: list[RowKind] = []
        self.heads = QWidget()
        line = QHBoxLayout(self.heads)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(GAP)
        for words, letters in heads:
            label = small_label(words)
            label.setWordWrap(False)
            label.setFixedWidth(round(letters * self.fontMetrics().averageCharWidth() * 1.1))
            line.addWidget(label)
        line.addStretch()
        self.nothing = small_label(nothing)
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(0, 0, 0, 0)
        self.body.setSpacing(3)
        self.body.addWidget(self.heads)
        self.body.addWidget(self.nothing)
        self._show_heads()

    def add_row(self, row: RowKind) -> None:
        """Put a row below the others."""
        self.rows.append(row)
        self.body.addWidget(row)
        row.changed.connect(self.changed)
        row.removed.connect(self.take_out)
        self._show_heads()
        self.changed.emit()

    def take_out(self, row: RowKind) -> None:
        """Take a row out; the keyboard goes on to the next."""
        place = self.rows.index(row)
        self.rows.remove(row)
        self.body.removeWidget(row)
        row.hide()
        row.deleteLater()
        if self.rows:
            self.rows[min(place, len(self.rows) - 1)].out.setFocus()
        self._show_heads()
        self.changed.emit()

    def show_wrong(self, wrong: Sequence[Wrong]) -> bool:
        """Say at each row what is wrong, take the keyboard to the first; tell whether any is."""
        for number, row in enumerate(self.rows):
            row.show_wrong([fault for fault in wrong if fault.row == number])
        if wrong:
            field = self.rows[wrong[0].row].fields[wrong[0].field]
            field.setFocus()
            if isinstance(field, QLineEdit):
                field.selectAll()
        return bool(wrong)

    def _show_heads(self) -> None:
        self.heads.setVisible(bool(self.rows))
        self.nothing.setVisible(not self.rows)


def choose(field: QComboBox, key: str) -> None:
    """Choose a key, whether or not it can be."""
    field.setCurrentIndex(field.findData(key))


def chosen(field: QComboBox) -> str:
    """Return the key that is chosen, empty where none is."""
    return str(field.currentData() or "")


def put_text(field: QLineEdit, text: str) -> None:
    """Show a text from its beginning: its last digits may not fit."""
    field.setText(text)
    field.setCursorPosition(0)


def unit_label(letters: int = UNIT) -> QLabel:
    """Return a label for a unit, as wide for each."""
    label = QLabel()
    label.setFixedWidth(round(letters * label.fontMetrics().averageCharWidth() * 1.1))
    return label
