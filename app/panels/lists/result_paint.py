"""Lays out and paints the results: heads, rows with three columns of figures, an opened row."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QListView, QStyledItemDelegate, QStyleOptionViewItem

from app.paint.palette import PALETTES, Inks
from app.panels.figures import NOTHING, is_nought
from app.panels.lists.result_card import Card
from app.panels.lists.result_rows import Head, Line, Other, Row, Said
from app.panels.widgets import EDGE
from app.panels.writing import Faces, Ink, Writing
from app.qt.border import fenced
from app.session.session import Session
from app.words.results import TWO_MODELS, result_unit

Index = QModelIndex | QPersistentModelIndex
SILENT = Said(NOTHING, NOTHING, "")


class Columns(NamedTuple):
    """Right edges of the three columns of figures."""

    measured: int
    proposed: int
    moves: int


@fenced
class ResultPaper(QStyledItemDelegate):
    """How results look; `opened` is the row that shows its definition.

    The view has it paint all lines in one go: a call for each row would cost more than the paint.
    """

    def __init__(self, view: QListView, session: Session) -> None:
        super().__init__(view)
        self.view, self.session = view, session
        self.faces = Faces()
        self.writing = Writing(self.faces)
        self.card = Card(self.faces, session)
        self.figure = self.faces.width("bold", "−00.00") + 9
        self.inks: Inks = PALETTES["light"]
        self.faint: Inks = self.inks.faded()
        self.opened: str | None = None
        self.greyed = False
        self.said: dict[str, Said] = {}
        self._left = 0  # what stands wholly left of it isn't painted

    def columns(self, width: int) -> Columns:
        """Return the columns in a list of that width."""
        figure = min(self.figure + max(0, (width - 340) // 5), 2 * self.figure)
        moves = width - 6
        return Columns(moves - 2 * figure, moves - figure, moves)

    # Heights

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height of a line."""
        line = index.data(Qt.ItemDataRole.UserRole)
        return QSize(200, self.height(line, self.view.viewport().width()))

    def height(self, line: Line, width: int) -> int:
        """Return the height of a head or row in a list of that width."""
        if isinstance(line, Head):
            return self.faces.line + 12
        high = self.faces.line + 5 + self._band_room(line)
        high += self.faces.line if line.is_of_each else 0
        high += self.faces.small_line if line.is_by_two_models else 0
        if line.limit is not None:
            high += self.faces.small_line
        if line.needs and not self._needs_fit(line, width):
            high += self.faces.small_line
        if line.result.key == self.opened:
            high += self.card.height(line.result, width)
        return high

    def _needs_fit(self, row: Row, width: int) -> bool:
        needs = self.faces.width("small", row.needs)
        return self.faces.width("plain", row.result.title) + needs < width - 2 * EDGE - 12

    # Painting

    def _band_room(self, row: Row) -> int:
        """Return the height of what stands under a row's figures: how far they may be off."""
        return self.faces.small_line - 2 if row.banded else 0

    def changed_box(self, row: Row, box: QRect, before: Said | None, now: Said) -> QRect:
        """Return what must be painted of a row that says something else: often two columns."""
        same = before is not None and _at_left(before) == _at_left(now)
        if not same or row.result.key == self.opened:
            return box
        return box.adjusted(self.columns(box.width()).measured + 1, 0, 0, 0)

    def paint_lines(
        self, painter: QPainter, lines: Iterable[tuple[Line, QRect]], left: int = 0
    ) -> None:
        """Paint lines in their boxes, from the pixel `left` on."""
        self._left = left
        opened = None
        for line, box in lines:
            if isinstance(line, Head):
                self._put_head(box, line)
            else:
                if line.result.key == self.opened:
                    opened = line, box
                    painter.fillRect(box, self.inks.colour("wash"))
                    painter.fillRect(box.x(), box.y(), 3, box.height(), self.inks.colour("accent"))
                self._put_row(box, line)
        self.writing.write(painter, self.faint if self.greyed else self.inks)
        if opened is not None:
            row, box = opened
            row_words = self.said.get(row.result.key, SILENT)
            self.card.paint(painter, box, row, row_words, self.inks)

    def _put_head(self, box: QRect, head: Head) -> None:
        base = box.bottom() - 3 - self.faces.metrics["bold"].descent()
        self.writing.put("bold", "second", box.x() + EDGE, base, head.group)
        if head.folded:
            text = "fewer ▴" if head.is_open else f"{head.folded} more ▾"
            self.writing.put_right("small", "second", box.right() - 5, base, text)

    def _put_row(self, box: QRect, row: Row) -> None:
        base = box.y() + 2 + self.faces.ascent
        row_words = self.said.get(row.result.key, SILENT)
        if row.needs:
            self._put_needs(box, base, row)
        else:
            self._put_figures(box, base, row, row_words)
            self._put_bands(box, row_words)
            if row_words.other is not None:
                under = base + self.faces.line + self._band_room(row)
                self._put_other(box, under, row_words.other, row_words.is_second)
        if row.is_by_two_models:
            right = self.columns(box.width()).moves
            under = base + self.faces.small_line + self._band_room(row)
            self.writing.put_right("small", "second", right, under, TWO_MODELS)
        if row.limit is not None:
            face, ink = ("small bold", "accent") if row_words.past else ("small", "second")
            under = box.y() + 2 + self.faces.line + self.faces.metrics["small"].ascent()
            under += self.faces.line if row.is_of_each else 0
            under += self.faces.small_line if row.is_by_two_models else 0
            if row.needs and not self._needs_fit(row, box.width()):
                under += self.faces.small_line
            under += self._band_room(row)
            right = self.columns(box.width()).moves
            words = self.limit_fitting(face, row_words.limit, right - box.x() - EDGE)
            self.writing.put_right(face, ink, right, under, words)  # type: ignore[arg-type]

    def limit_fitting(self, face: str, words: str, room: int) -> str:
        """Return a limit's words, without the value that stands in the opened row if need be."""
        if self.faces.width(face, words) <= room:  # type: ignore[arg-type]
            return words
        return self.faces.cut(face, words.rpartition(": ")[0] or words, room)  # type: ignore[arg-type]

    def _put_needs(self, box: QRect, base: int, row: Row) -> None:
        self.writing.put("plain", "ink", box.x() + EDGE, base, row.result.title)
        if self._needs_fit(row, box.width()):
            self.writing.put_right("small", "second", box.right() - 5, base, row.needs)
            return
        words = self.faces.cut("small", row.needs, box.width() - 2 * EDGE - 8)
        under = base + self.faces.small_line
        self.writing.put("small", "second", box.x() + EDGE + 8, under, words)

    def _put_figures(self, box: QRect, base: int, row: Row, row_words: Said) -> None:
        put, columns = self.writing.put_right, self.columns(box.width())
        put(
            "bold",
            "accent" if row_words.past else "ink",
            columns.proposed,
            base,
            row_words.proposed,
        )
        if row_words.moves:
            ink = _ink_of_moves(row_words.moves, row_words.is_second)
            put("plain", ink, columns.moves, base, row_words.moves)
        if self._left <= box.x() + columns.measured:
            left = put("plain", "second", box.x() + columns.measured, base, row_words.measured)
            self._put_title(box.x() + EDGE, left - 6, base, row, row_words.side)

    def _put_bands(self, box: QRect, row_words: Said) -> None:
        """Put how far each figure may be off under it."""
        columns = self.columns(box.width())
        base = box.y() + self.faces.line + self.faces.metrics["small"].ascent()
        edges = box.x() + columns.measured, columns.proposed, columns.moves
        for words, right in zip(row_words.within, edges, strict=True):
            if words and self._left <= right:
                self.writing.put_right("small", "second", right, base, words)

    def _put_other(self, box: QRect, base: int, other: Other, is_second: bool) -> None:
        """Put the other wheel's figures under those of the wheel that is shown."""
        put, columns = self.writing.put_right, self.columns(box.width())
        put("plain", "ink", columns.proposed, base, other.proposed)
        if other.moves:
            put("plain", _ink_of_moves(other.moves, is_second), columns.moves, base, other.moves)
        if self._left <= box.x() + columns.measured:
            put("plain", "second", box.x() + columns.measured, base, other.measured)
            self.writing.put("small", "second", box.x() + EDGE + 8, base, f"{other.side} wheel")

    def _put_title(self, left: int, right: int, base: int, row: Row, side: str) -> None:
        """Put title and unit, and the wheel where there is room; the unit is never cut off."""
        unit, faces = result_unit(row.result, self.session.units), self.faces
        title, with_side = row.result.title, f"{unit} {side}".strip()
        if faces.width("plain", title) + faces.width("small", with_side) + 4 <= right - left:
            unit = with_side
        room = right - left - (faces.width("small", unit) + 4 if unit else 0)
        if faces.width("tight", title) > room:
            title = row.result.short
        face, title = faces.fitted(title, room)
        self.writing.put(face, "ink", left, base, title)
        if unit:
            left += faces.width(face, title) + 4
            self.writing.put("small", "second", left, base, unit)


def _ink_of_moves(text: str, is_second: bool) -> Ink:
    """Return the ink of the last column: of a second car, or of what moves or doesn't."""
    if is_second:
        return "other"
    return "second" if is_nought(text) else "accent"


def _at_left(row_words: Said) -> tuple[object, ...]:
    """Return what a row says elsewhere than in the two columns that a drag changes."""
    other = row_words.other
    found = None if other is None else other.measured
    return row_words.measured, row_words.limit, row_words.side, row_words.within[0], found
