"""The list of tapes, and what can be done with one."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPoint, Qt
from PySide6.QtGui import QKeyEvent, QPainter, QResizeEvent
from PySide6.QtWidgets import (
    QHeaderView,
    QMenu,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from app.document.edits import put_tape
from app.document.model import MARK, Setup
from app.document.plain_text import one_line
from app.document.units import NO_VALUE, number_of
from app.judge.survey import Survey, survey_of
from app.judge.survey_words import (
    hidden_words,
    survey_sentences,
    tape_title,
)
from app.panels.figures import decimal_sign
from app.panels.lists.table_head import TableHead
from app.panels.lists.tape_dialog import TapeDialog
from app.panels.widgets import EDGE, SMALL, plain_view, text_font
from app.qt.border import fenced
from app.qt.tips import tip
from app.session.session import Session

HEADS: Final = ("between", "reads", "residual")
SHARE: Final = 0.16  # of the window's height that the list takes at most
LEAST_ROWS: Final = 4  # lines that it shows at least, where it has so many
_DOUBT: Final = "▲ "
_MARGIN: Final = 3  # before the words of a cell, by the style [px]
Index = QModelIndex | QPersistentModelIndex


@fenced
class _Indented(QStyledItemDelegate):
    """Paints the first column where the words of other lists begin."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell."""
        inside = QStyleOptionViewItem(option)
        if index.column() == 0:
            inside.rect = option.rect.adjusted(EDGE - _MARGIN, 0, 0, 0)
        super().paint(painter, inside, index)


@fenced
class TapesTable(QTableWidget):
    """A row for each tape; Enter or a double-click changes one, Delete leaves it out."""

    def __init__(self, session: Session) -> None:
        super().__init__(0, len(HEADS))
        self.session = session
        plain_view(self, "Tapes")
        self.setHorizontalHeaderLabels(HEADS)
        self.setShowGrid(False)
        self.setWordWrap(True)
        self.verticalHeader().hide()
        self.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        self.setSelectionMode(QTableWidget.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setItemDelegate(_Indented(self))
        self.setHorizontalHeader(TableHead(self))
        head = self.horizontalHeader()
        head.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for column in (1, 2):
            head.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.customContextMenuRequested.connect(self._open_menu)
        self.cellDoubleClicked.connect(lambda row, _: self._change(row))
        self.itemSelectionChanged.connect(self._select_ends)

    def show_rows(self, setup: Setup, survey: Survey) -> None:
        """Show the tapes of a survey in the setup's units."""
        self.setRowCount(len(survey.tapes))
        for place, row in enumerate(survey.tapes):
            figures = [
                NO_VALUE
                if value is None
                else number_of(
                    value, "length", setup.units, decimal=decimal_sign(), plus=column == 1
                )
                for column, value in enumerate((row.tape.length, row.residual))
            ]
            title = one_line(f"{row.number}  {tape_title(setup, row.tape)}")
            words = [f"{_DOUBT if row.is_doubtful else ''}{title}", *figures]
            note = [title, row.tape.note, "look again" if row.is_doubtful else ""]
            note.append(hidden_words(setup, row, decimal_sign()))
            for column, text in enumerate(words):
                item = QTableWidgetItem(text)
                item.setToolTip(tip("\n".join(filter(None, note))))
                item.setFont(text_font(1.0 if column else SMALL, bold=row.is_doubtful))
                side = Qt.AlignmentFlag.AlignRight if column else Qt.AlignmentFlag.AlignLeft
                item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
                self.setItem(place, column, item)
        self.fit_height()

    def fit_height(self) -> None:
        """Wrap titles in the width there is, and take the height of the rows up to a share."""
        self.resizeRowsToContents()
        full = self.horizontalHeader().height() + self.verticalHeader().length() + 2
        least = self.horizontalHeader().height() + LEAST_ROWS * self.fontMetrics().height()
        high = min(full, max(least, round(SHARE * self.window().height())))
        if high != self.height():
            self.setFixedHeight(high)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the new width."""
        super().resizeEvent(event)
        self.fit_height()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Change the tape with Enter, leave it out with Delete."""
        row, key = self.currentRow(), event.key()
        if row >= 0 and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._change(row)
        elif row >= 0 and key == Qt.Key.Key_Delete:
            leave_out(self.session, row + 1)
        else:
            super().keyPressEvent(event)

    def _change(self, row: int) -> None:
        take_tape(self.session, self, number=row)

    def _open_menu(self, at: QPoint) -> None:
        row = self.rowAt(at.y())
        if row >= 0:
            self.menu(row).popup(self.viewport().mapToGlobal(at))

    def menu(self, row: int) -> QMenu:
        """Return what can be done with a tape."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction("Change…", lambda: self._change(row))
        menu.addAction("Leave it out and see", lambda: leave_out(self.session, row + 1))
        return menu

    def _select_ends(self) -> None:
        """Select on the board the points that the tape ends at."""
        row, tapes = self.currentRow(), self.session.setup.tapes
        if 0 <= row < len(tapes) and self.selectedItems():
            ends = (end for end in tapes[row].between if not end.startswith(MARK))
            self.session.select(tuple(ends))


def take_tape(
    session: Session, parent: QWidget, ends: tuple[str, ...] = (), number: int | None = None
) -> None:
    """Ask for a tape between two points, those selected where none are given."""
    setup = session.history.value
    chosen = ends or tuple(session.selection[:2])
    dialog = TapeDialog(setup, session.units, session.commit, chosen, number, parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.open()


def leave_out(session: Session, number: int) -> None:
    """Leave a tape out, counted from 1, as a step to undo, and say what that makes of the rest."""
    setup = session.history.value
    left = put_tape(setup, None, number - 1)
    session.commit(left, f"leave out tape {number}: {tape_title(setup, setup.tapes[number - 1])}")
    survey = survey_of(left)
    spoken = left.having(units=session.units)
    words = survey_sentences(spoken, survey, decimal_sign())[:1] if left.tapes else ()
    session.said.emit(f"Tape {number} is left out; undo takes it in again. {' '.join(words)}")
