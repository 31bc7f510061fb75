"""What was found, a column an answer beside the car as found; the one that is chosen is shown."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QFont, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.judge.compare import BEST, PAST
from app.judge.told_answers import GIVES, AnswerCell, AnswerTable
from app.panels.widgets import plain_view
from app.qt.border import fenced
from app.qt.tips import tip

_SPOKEN: Final = {BEST: "best of its row", PAST: "past its limit", GIVES: "gives"}
_HEAD_SHARE: Final = 0.29  # of the width: the heads of the rows
_LEAST: Final = 22  # letters of a column
_NARROW: Final = 0.55  # of an answer's column: cars that are there already have figures only


@fenced
class AnswersView(QTableWidget):
    """The table of answers. Whole columns are chosen, by mouse or with the arrow keys."""

    answer_chosen = Signal(int)  # column of the table of answers, -1 for none

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.table: AnswerTable | None = None
        plain_view(self, "Answers, a column each: choose one to see it on the drawing")
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectColumns)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setWordWrap(True)
        self.verticalHeader().hide()
        self.horizontalHeader().setHighlightSections(True)
        self.currentCellChanged.connect(self._choose)
        self.cellClicked.connect(self._choose)

    def show_table(self, table: AnswerTable | None) -> None:
        """Show what was found; nothing is chosen."""
        self.table = table
        with QSignalBlocker(self):
            self.clear()
            rows, heads = (table.rows, table.heads) if table else ((), ())
            self.setRowCount(len(rows))
            self.setColumnCount(len(heads) + 1)
            self.setHorizontalHeaderLabels(["", *heads])
            for number, row in enumerate(rows):
                self.setItem(number, 0, _head(row.head))
                for place, cell in enumerate(row.cells, start=1):
                    head = heads[place - 1]
                    self.setItem(number, place, _item(cell, row.is_figures, f"{head}, {row.head}"))
            self.setCurrentCell(-1, -1)
        self._fit()

    def show_chosen(self, place: int) -> None:
        """Show which answer is chosen, by its column in the table of answers; -1 for none."""
        with QSignalBlocker(self):
            if place < 0:
                self.clearSelection()
                self.setCurrentCell(-1, -1)
            else:
                self.setCurrentCell(max(self.currentRow(), 0), place + 1)

    def _choose(self, row: int, column: int, *_: int) -> None:
        self.answer_chosen.emit(column - 1 if column > 0 else -1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Divide the width between the columns, and fold their words to it."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        count = self.columnCount()
        if count < 2:
            return
        width, letter = self.viewport().width(), self.fontMetrics().averageCharWidth()
        first = round(max(_HEAD_SHARE * width, _LEAST * letter))
        not_made = sum(change is None for change in self.table.changes) if self.table else 0
        share = (width - first) / (count - 1 - not_made + _NARROW * not_made)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setColumnWidth(0, first)
        for column in range(1, count):
            is_there = column <= not_made
            least = (_NARROW if is_there else 1.0) * _LEAST * letter
            self.setColumnWidth(column, int(max((_NARROW if is_there else 1.0) * share, least)))
        self.resizeRowsToContents()


def _head(words: str) -> QTableWidgetItem:
    item = QTableWidgetItem(words)
    item.setFlags(Qt.ItemFlag.ItemIsEnabled)
    item.setTextAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
    return item


def _item(cell: AnswerCell, is_figure: bool, spoken: str) -> QTableWidgetItem:
    mark = cell.mark if cell.mark in (BEST, PAST) and is_figure else ""
    item = QTableWidgetItem(f"{cell.text} {mark}".rstrip())
    item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
    top = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
    right = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignRight
    item.setTextAlignment(right if is_figure else top)
    mark_words = _SPOKEN.get(cell.mark, "")
    words = ", ".join(filter(None, (spoken, cell.text or "nothing", mark_words)))
    item.setData(Qt.ItemDataRole.AccessibleTextRole, words)
    if mark_words:
        font = QFont(item.font())
        font.setBold(True)
        item.setFont(font)
        item.setToolTip(tip(mark_words))
    return item
