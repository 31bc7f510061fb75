"""Proposals side by side: which changes make each, and a table of the cars as they will stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from textwrap import wrap
from typing import Final

from PySide6.QtCore import QLocale, QSize, Qt, QTimer
from PySide6.QtGui import QFont, QFontMetrics, QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QLabel,
    QPushButton,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.document.model import Setup
from app.document.plain_text import one_line
from app.document.plans import Together
from app.document.units import NO_VALUE, number_of
from app.judge.bands import concerned
from app.judge.compare import (
    BEST,
    PAST,
    Cell,
    CompareRow,
    Comparison,
    proposals,
)
from app.judge.compare_bands import has_bands, told_by
from app.judge.compare_worker import CompareReply
from app.judge.known_comparison import known_comparison, remember
from app.panels.widgets import FRAME, small_label
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.comparer import Comparer
from app.session.session import Session
from app.shop.proposals import STANDS
from app.shop.results import AT_REST
from app.words.results import limit_words, result_unit

TITLE: Final = "Proposals side by side"
WAIT: Final = "How far the figures may be off is being worked out…"
_PAUSE: Final = 60  # ms after a tick before the cars are worked out
_HOW: Final = (
    "Tick the changes that make each proposal. Each car is shown as it will stand, on its wheels; "
    f"{BEST} is the best of its row, where it is plain which way is better; {PAST} is past its "
    "limit. ± holds in 95 of 100 cases, for each car by itself; what shifts all proposals alike "
    "doesn't count between them. The proposals are kept with the car; what is switched on stays as "
    "it is."
)
_MOST: Final = 6  # proposals beside each other
_LEAST: Final = 64  # of a column [px]
_AROUND: Final = 16  # free paper beside a figure [px]
_LINES: Final = 3  # of a name at the head of its column


@fenced
class ComparingDialog(QDialog):
    """A column a proposal; the car as found first."""

    def __init__(
        self, session: Session, parent: QWidget | None = None, comparer: Comparer | None = None
    ) -> None:
        super().__init__(parent)
        self.session = session
        self.comparer = comparer or Comparer(self)
        self.setup: Setup = session.history.value
        self.units, self.decimal = session.units, QLocale().decimalPoint()
        self.proposals = [replace(each) for each in proposals(self.setup)][:_MOST]
        self.compared: Comparison | None = None
        self.setWindowTitle(TITLE)
        self.ticks = _plain_table("Which changes make each proposal")
        self.table = _plain_table("The cars side by side")
        self.says = QLabel(textFormat=Qt.TextFormat.PlainText)
        self.says.setWordWrap(True)
        self.wait = small_label(WAIT)
        self.wait.hide()
        self.whole = QCheckBox("All results, not only what is asked first")
        self.another = QPushButton("Another proposal")
        self._timer = QTimer(self, singleShot=True, interval=_PAUSE)
        self._lay_out()
        self._timer.timeout.connect(self._work_out)
        self.another.clicked.connect(self._add)
        self.whole.toggled.connect(self._fill_table)
        self.ticks.cellChanged.connect(self._ticked)
        self.comparer.answered.connect(self._take_bands)
        self.finished.connect(self.comparer.stop)
        self._fill_ticks()
        self._share()
        self._work_out()

    def _share(self) -> None:
        """Give the changes the room of their rows, up to half of the window."""
        row = self.ticks.verticalHeader().defaultSectionSize()
        needed = (self.ticks.rowCount() + 1) * row + 6
        high = max(self.height() - 6 * row, 2)
        above = min(needed, high // 2)
        self.split.setSizes([above, high - above])

    def _lay_out(self) -> None:
        how = QLabel(_HOW)
        how.setWordWrap(True)
        self.another.setAutoDefault(False)
        kinds = QDialogButtonBox.StandardButton
        buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        buttons.button(kinds.Ok).setText("Keep the proposals")
        buttons.addButton(self.another, QDialogButtonBox.ButtonRole.ActionRole)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self.split = split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(self.ticks)
        split.addWidget(self.table)
        split.setStretchFactor(1, 3)
        layout = QVBoxLayout(self)
        for widget in (how, split, self.says, self.wait, self.whole, buttons):
            layout.addWidget(widget, 1 if widget is split else 0)
        letter = self.fontMetrics().averageCharWidth()
        wide = max(150, 62 + 17 * (len(self.proposals) + 1)) * letter
        room = self.screen().availableSize() - FRAME
        self.resize(QSize(wide, 44 * self.fontMetrics().lineSpacing()).boundedTo(room))

    # --- which changes make each ---

    def _fill_ticks(self) -> None:
        """Show a row a change and a column a proposal; the first row holds the names."""
        changes = self.setup.changes
        self.ticks.blockSignals(True)
        self.ticks.clear()
        self.ticks.setRowCount(len(changes) + 1)
        self.ticks.setColumnCount(len(self.proposals) + 1)
        self.ticks.setHorizontalHeaderLabels(["", *map(str, range(1, len(self.proposals) + 1))])
        self.ticks.setItem(0, 0, _cell("Name"))
        for row, change in enumerate(changes, start=1):
            self.ticks.setItem(row, 0, _cell(change.name))
        for column, proposal in enumerate(self.proposals, start=1):
            self.ticks.setItem(0, column, _named(QTableWidgetItem(proposal.name), column))
            for row, change in enumerate(changes, start=1):
                tick = QTableWidgetItem()
                tick.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsUserCheckable)
                is_in = change.name in proposal.changes
                tick.setCheckState(Qt.CheckState.Checked if is_in else Qt.CheckState.Unchecked)
                spoken = f"{change.name} in proposal {column}"
                tick.setData(Qt.ItemDataRole.AccessibleTextRole, spoken)
                self.ticks.setItem(row, column, tick)
        head = self.ticks.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        self.ticks.blockSignals(False)
        self.another.setEnabled(len(self.proposals) < _MOST)

    def _ticked(self, row: int, column: int) -> None:
        """Take a tick or a name over, and work the cars out after a pause."""
        if column == 0:
            return
        changes = tuple(
            change.name
            for place, change in enumerate(self.setup.changes, start=1)
            if _is_ticked(self.ticks.item(place, column))
        )
        item = self.ticks.item(0, column)
        name = item.text().strip() if item else ""
        title = name or " + ".join(changes) or f"Proposal {column}"
        self.proposals[column - 1] = Together(title, changes)
        if item is not None:
            self.ticks.blockSignals(True)
            _named(item, column)
            self.ticks.blockSignals(False)
        self._timer.start()

    def _add(self) -> None:
        self.proposals.append(Together(f"Proposal {len(self.proposals) + 1}", ()))
        self._fill_ticks()
        self.ticks.setCurrentCell(1 if self.setup.changes else 0, len(self.proposals))
        self.ticks.setFocus()

    # --- the cars ---

    def _work_out(self) -> None:
        """Work the cars out; those of before are kept by value."""
        compared_setup = self.setup.having(units=self.units, together=tuple(self._whole()))
        if not compared_setup.together:
            self.compared = None
            self.says.setText("Tick a change to see what it makes of the car.")
        else:
            self.compared = known_comparison(compared_setup)
            refusals = (f"{c.name}: {c.refusal or c.doubt}" for c in self.compared.columns)
            self.says.setText("\n".join(each for each in refusals if not each.endswith(": ")))
            self._ask_bands()
        self.says.setVisible(bool(self.says.text()))
        self._fill_table()

    def _ask_bands(self) -> None:
        """Ask how far the figures may be off, where anything says how well the car is known."""
        compared = self.compared
        studies = compared.columns[0].studies if compared else ()
        is_known = any(concerned(study).parameters for study in studies)
        if compared is None or not is_known or has_bands(compared):
            self.comparer.stop()
        else:
            self.comparer.ask(compared.setup)
        self._say_wait()

    def _take_bands(self, reply: CompareReply) -> None:
        """Show the bands that were awaited; whole ones are kept for paper."""
        if self.compared is not None and reply.rows is not None:
            self.compared = told_by(self.compared, reply.rows)
            self._fill_table()
        if self.compared is not None and reply.is_last and has_bands(self.compared):
            remember(self.compared)
        self._say_wait()

    def _say_wait(self) -> None:
        self.wait.setVisible(self.comparer.is_going)

    def _whole(self) -> Iterator[Together]:
        """Yield the proposals that are made of anything."""
        return (each for each in self.proposals if each.changes)

    def _fill_table(self, *_: object) -> None:
        compared = self.compared
        columns = compared.columns if compared else ()
        rows = [*self._rows(compared)] if compared else []
        self.table.clear()
        self.table.setColumnCount(len(columns) + 1)
        self.table.setHorizontalHeaderItem(0, QTableWidgetItem(""))
        if compared is None:
            self.table.setRowCount(0)
            return
        stands = [*self._stands(compared)]
        self.table.setRowCount(len(stands) + len(rows))
        for row, (title, figures) in enumerate(stands):
            self.table.setItem(row, 0, _cell(title))
            for place, figure in enumerate(figures, start=1):
                self.table.setItem(row, place, _cell(figure, is_figure=True))
        for row, line in enumerate(rows, start=len(stands)):
            self._fill_row(row, line)
        head = self.table.horizontalHeader()
        head.setMinimumSectionSize(self._widest())  # a narrow window scrolls
        head.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.ResizeToContents)
        self._name_columns()

    def _widest(self) -> int:
        """Return the width in which no figure is cut short."""
        table, widths = self.table, [_LEAST]
        for row in range(table.rowCount()):
            for column in range(1, table.columnCount()):
                item = table.item(row, column)
                if item is not None:
                    metrics = QFontMetrics(item.font())
                    widths.append(metrics.horizontalAdvance(item.text()) + _AROUND)
        return max(widths)

    def _name_columns(self) -> None:
        """Name the cars in lines that their columns have room for; the whole is in the tool-tip."""
        columns = self.compared.columns if self.compared else ()
        letters = self.table.columnWidth(1) // self.fontMetrics().averageCharWidth() - 2
        for place, column in enumerate(columns, start=1):
            name = f"{place - 1} {column.name}" if place > 1 else column.name
            item = QTableWidgetItem(_folded(name, letters))
            item.setToolTip(tip(name))
            item.setData(Qt.ItemDataRole.AccessibleTextRole, one_line(name))
            self.table.setHorizontalHeaderItem(place, item)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fold the names anew for columns of another width."""
        super().resizeEvent(event)
        QTimer.singleShot(0, self, self._name_columns)  # the table is laid out by then

    def _rows(self, compared: Comparison) -> Iterator[CompareRow]:
        for row in compared.rows:
            if row.result.key not in (*AT_REST, STANDS) and (
                self.whole.isChecked() or row.is_first
            ):
                yield row

    def _fill_row(self, row: int, line: CompareRow) -> None:
        unit = result_unit(line.result, self.units)
        title = f"{line.system.capitalize()}: {line.result.title}, {unit}".removesuffix(", ")
        if line.limit is not None:
            words = limit_words(line.limit, line.result, self.units, decimal=self.decimal)
            title = f"{title} ({words})"
        self.table.setItem(row, 0, _cell(title))
        for place, cell in enumerate(line.cells):
            sides = (0,) if cell.right is None else (0, 1)
            numbers = (self._figure(cell, line, side) for side in sides)
            mark = PAST if cell.is_kept is False else BEST if place in line.best else ""
            item = _cell(f"{' / '.join(numbers)} {mark}".rstrip(), is_figure=True)
            _emphasize(item, mark, self.palette())
            self.table.setItem(row, place + 1, item)

    def _figure(self, cell: Cell, line: CompareRow, side: int) -> str:
        """Return a wheel's figure and how far it may be off."""
        text = cell.text(line.result, self.units, side, self.decimal)
        band = cell.band_text(line.result, self.units, side, self.decimal)
        return f"{text} {band}" if band else text

    def _stands(self, compared: Comparison) -> Iterator[tuple[str, list[str]]]:
        """Yield how far each end stands lower, and how far the car rolls, a figure a column."""
        unit = self.units
        for system in dict.fromkeys(row.system for row in compared.rows):
            travels = (column.stands(system) for column in compared.columns)
            yield (
                f"{system.capitalize()}: stands lower by, {unit}",
                [
                    NO_VALUE if t is None else number_of(t, "length", unit, decimal=self.decimal)
                    for t in travels
                ],
            )
        balances = [column.balance for column in compared.columns]
        if any(balances):
            yield (
                "Rolls per g of cornering, °",
                [
                    number_of(b.roll, "angle", unit, decimal=self.decimal, places=1)
                    if b
                    else NO_VALUE
                    for b in balances
                ],
            )

    def accept(self) -> None:
        """Keep the proposals with the car, as one step."""
        after = self.setup.having(together=tuple(self._whole()))
        if after != self.setup:
            self.session.commit(after, "proposals side by side")
        super().accept()


def _folded(name: str, letters: int) -> str:
    """Return a name in a few lines of so many letters, cut short where it is longer."""
    lines = wrap(one_line(name), max(letters, 4), max_lines=_LINES, placeholder="…")
    return "\n".join(lines)


def _named(item: QTableWidgetItem, column: int) -> QTableWidgetItem:
    """Say of the name of a proposal which one it names; the whole is in its tool-tip."""
    item.setToolTip(tip(item.text()))
    spoken = f"Name of proposal {column}: {one_line(item.text())}"
    item.setData(Qt.ItemDataRole.AccessibleTextRole, spoken)
    return item


def _is_ticked(item: QTableWidgetItem | None) -> bool:
    return item is not None and item.checkState() == Qt.CheckState.Checked


def _emphasize(item: QTableWidgetItem, mark: str, palette: QPalette) -> None:
    """Make the best of a row bold, and what is past its limit bold in the accent."""
    if mark:
        font = QFont(item.font())
        font.setBold(True)
        item.setFont(font)
    if mark == PAST:
        item.setForeground(palette.brightText())
    mark_words = {BEST: "best of its row", PAST: "past its limit"}.get(mark, "")
    if mark_words:
        item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{item.text()}, {mark_words}")
        item.setToolTip(mark_words)


def _plain_table(name: str) -> QTableWidget:
    table = QTableWidget()
    table.setAccessibleName(name)
    table.setTabKeyNavigation(False)
    table.verticalHeader().hide()
    table.verticalHeader().setDefaultSectionSize(round(1.6 * table.fontMetrics().lineSpacing()))
    table.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
    return table


def _cell(text: str, is_figure: bool = False) -> QTableWidgetItem:
    item = QTableWidgetItem(text)
    item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
    if is_figure:
        item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    return item
