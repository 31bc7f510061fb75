"""Paints the results: a line each, columns of figures, an opened row with its definition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QPainter
from PySide6.QtWidgets import QListView, QStyledItemDelegate, QStyleOptionViewItem

from app.paint.palette import PALETTES, Inks
from app.panels.figures import NOTHING, is_nought, result_text
from app.panels.paper import EDGE, SMALL, paint_ring, text_font
from app.panels.result_rows import Head, Row, Said
from app.result_words import result_unit, sign_words
from app.session import Session
from geometry.catalogue import Result

Index = QModelIndex | QPersistentModelIndex
RIGHT: Final = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
LEFT: Final = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
WRAP: Final = int(Qt.TextFlag.TextWordWrap)
LIMIT: Final = "Set a limit…"
TIGHT: Final = 87  # % of its width that a title takes where it would be cut off


@dataclass(frozen=True)
class Columns:
    """Right edges of the three columns of figures."""

    measured: int
    proposed: int
    moves: int


class Type:
    """The fonts of the list with their measures."""

    def __init__(self) -> None:
        self.plain, self.bold = text_font(), text_font(bold=True)
        self.tight = text_font()
        self.tight.setStretch(TIGHT)
        self.small, self.small_bold = text_font(SMALL), text_font(SMALL, bold=True)
        self._metrics: dict[str, QFontMetrics] = {}
        self._widths: dict[tuple[str, str], int] = {}
        self.line = self.metrics(self.plain).height()
        self.small_line = self.metrics(self.small).height()
        self.figure = self.width(self.bold, "−00.00") + 7

    def metrics(self, font: QFont) -> QFontMetrics:
        """Return a font's measures."""
        name = font.key()
        if name not in self._metrics:
            self._metrics[name] = QFontMetrics(font)
        return self._metrics[name]

    def width(self, font: QFont, text: str) -> int:
        """Return a text's width; words are remembered, figures forgotten in time."""
        place = (font.key(), text)
        width = self._widths.get(place)
        if width is None:
            if len(self._widths) > 3000:
                self._widths.clear()
            width = self._widths[place] = self.metrics(font).horizontalAdvance(text)
        return width

    def elided(self, font: QFont, text: str, room: int) -> str:
        """Return a text cut off where it doesn't fit."""
        if self.width(font, text) <= room:
            return text
        return self.metrics(font).elidedText(text, Qt.TextElideMode.ElideRight, room)

    def columns(self, width: int) -> Columns:
        """Return the columns in a list of that width."""
        figure = min(self.figure + max(0, (width - 340) // 5), 2 * self.figure)
        moves = width - 6
        return Columns(moves - 2 * figure, moves - figure, moves)


class ResultPaper(QStyledItemDelegate):
    """Paints heads and rows; `opened` is the row that shows its definition."""

    def __init__(self, view: QListView, session: Session) -> None:
        super().__init__(view)
        self.view, self.session = view, session
        self.type = Type()
        self.inks: Inks = PALETTES["light"]
        self.faint: Inks = self.inks.faded()
        self.opened: str | None = None
        self.greyed = False
        self.said: dict[str, Said] = {}

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Return the height of a row: taller with a limit, tallest opened."""
        line = index.data(Qt.ItemDataRole.UserRole)
        return QSize(200, self.height(line, self.view.viewport().width()))

    def height(self, line: Head | Row, width: int) -> int:
        """Return the height of a head or row in a list of that width."""
        if isinstance(line, Head):
            return self.type.line + 12
        high = self.type.line + 5
        if line.limit is not None:
            high += self.type.small_line
        if line.needs and not self._needs_fit(line, width):
            high += self.type.small_line
        if line.result.key == self.opened:
            high += sum(part.height() for part in self._card(line.result, width)) + 14
        return high

    def _needs_fit(self, row: Row, width: int) -> bool:
        needs = self.type.width(self.type.small, row.needs)
        return self.type.width(self.type.plain, row.result.title) + needs < width - 2 * EDGE - 12

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a head or a row."""
        line = index.data(Qt.ItemDataRole.UserRole)
        box: QRect = option.rect
        if isinstance(line, Head):
            self._paint_head(painter, box, line)
        else:
            self._paint_row(painter, box, line)
        if self.view.hasFocus() and index == self.view.currentIndex():
            paint_ring(painter, box.adjusted(0, 0, -1, 0), self.inks)

    def _paint_head(self, painter: QPainter, box: QRect, head: Head) -> None:
        words = box.adjusted(EDGE, 8, -6, 0)
        painter.setFont(self.type.bold)
        painter.setPen(self.inks.colour("second"))
        painter.drawText(words, LEFT, head.group)
        if head.folded:
            painter.setFont(self.type.small)
            text = "fewer ▴" if head.is_open else f"{head.folded} more ▾"
            painter.drawText(words, RIGHT, text)

    def _paint_row(self, painter: QPainter, box: QRect, row: Row) -> None:
        inks = self.faint if self.greyed else self.inks
        opened = row.result.key == self.opened
        if opened:
            painter.fillRect(box, self.inks.colour("wash"))
            painter.fillRect(box.x(), box.y(), 3, box.height(), self.inks.colour("accent"))
        base = box.y() + 2 + self.type.metrics(self.type.plain).ascent()
        said = self.said.get(row.result.key, Said(NOTHING, NOTHING, ""))
        if row.needs:
            self._paint_needs(painter, box, base, row, inks)
        else:
            self._paint_figures(painter, box, base, row.result, said, inks)
        if row.limit is not None:
            self._paint_limit(painter, box, said, inks)
        if opened:
            self._paint_card(painter, box, row, said)

    def _paint_needs(self, painter: QPainter, box: QRect, base: int, row: Row, inks: Inks) -> None:
        kind = self.type
        fits = self._needs_fit(row, box.width())
        self._paint_title(painter, box, base, row.result, box.width() - EDGE, inks, unit=False)
        painter.setFont(kind.small)
        painter.setPen(inks.colour("second"))
        if fits:
            left = box.right() - 5 - kind.width(kind.small, row.needs)
            painter.drawText(left, base, row.needs)
            return
        room = box.width() - 2 * EDGE - 8
        words = kind.elided(kind.small, row.needs, room)
        painter.drawText(box.x() + EDGE + 8, base + kind.small_line, words)

    def _paint_figures(
        self, painter: QPainter, box: QRect, base: int, result: Result, said: Said, inks: Inks
    ) -> None:
        kind, columns = self.type, self.type.columns(box.width())
        painter.setFont(kind.plain)
        painter.setPen(inks.colour("second"))
        left = box.x() + columns.measured - kind.width(kind.plain, said.measured)
        painter.drawText(left, base, said.measured)
        if said.moves:
            painter.setPen(inks.colour("second" if is_nought(said.moves) else "accent"))
            at = box.x() + columns.moves - kind.width(kind.plain, said.moves)
            painter.drawText(at, base, said.moves)
        self._paint_title(painter, box, base, result, left - box.x() - 6, inks)
        painter.setFont(kind.bold)
        painter.setPen(inks.colour("accent" if said.past else "ink"))
        at = box.x() + columns.proposed - kind.width(kind.bold, said.proposed)
        painter.drawText(at, base, said.proposed)

    def _paint_title(
        self,
        painter: QPainter,
        box: QRect,
        base: int,
        result: Result,
        right: int,
        inks: Inks,
        unit: bool = True,
    ) -> None:
        """Paint title and unit up to `right`; the unit is never cut off."""
        kind = self.type
        words = result_unit(result, self.session.units) if unit else ""
        room = right - EDGE - (kind.width(kind.small, words) + 4 if words else 0)
        font, title = kind.plain, result.title
        if kind.width(font, title) > room:
            font = kind.tight
            title = kind.elided(font, title, room)
        wide = kind.width(font, title)
        painter.setFont(font)
        painter.setPen(inks.colour("ink"))
        painter.drawText(box.x() + EDGE, base, title)
        if words:
            painter.setFont(kind.small)
            painter.setPen(inks.colour("second"))
            painter.drawText(box.x() + EDGE + wide + 4, base, words)

    def _paint_limit(self, painter: QPainter, box: QRect, said: Said, inks: Inks) -> None:
        kind = self.type
        words = said.limit
        font = kind.small_bold if said.past else kind.small
        painter.setFont(font)
        painter.setPen(inks.colour("accent" if said.past else "second"))
        at = box.x() + kind.columns(box.width()).moves - kind.width(font, words)
        base = box.y() + 2 + kind.line + kind.metrics(font).ascent()
        painter.drawText(at, base, words)

    # The opened row

    def _card(self, result: Result, width: int) -> list[QRect]:
        """Return the boxes of meaning, definition, source and the limit's link, from zero down."""
        kind, top, boxes = self.type, 0, []
        texts = (
            (kind.bold, [f"−000.00 mm: {words}" for words in (result.plus, result.minus)]),
            (kind.plain, [result.definition]),
            (kind.small, [f"Source: {result.source}"]),
            (kind.small_bold, [LIMIT]),
        )
        room = QRect(0, 0, width - 2 * EDGE - 4, 2000)
        for font, choices in texts:
            measures = kind.metrics(font)
            high = max(measures.boundingRect(room, WRAP, text).height() for text in choices)
            boxes.append(QRect(EDGE + 2, top, room.width(), high))
            top += high + 3
        return boxes

    def _paint_card(self, painter: QPainter, box: QRect, row: Row, said: Said) -> None:
        kind, result = self.type, row.result
        boxes = self._card(result, box.width())
        down = box.bottom() - sum(part.height() for part in boxes) - 12
        meaning = sign_words(said.value, result, self.session.units)
        value = result_text(said.value, result, self.session.units)
        lines = (
            (kind.bold, f"{value}: {meaning}" if meaning else value, "ink"),
            (kind.plain, result.definition, "ink"),
            (kind.small, f"Source: {result.source}", "second"),
            (kind.small_bold, LIMIT if row.limit is None else "Change the limit…", "accent"),
        )
        for part, (font, text, ink) in zip(boxes, lines, strict=True):
            painter.setFont(font)
            painter.setPen(self.inks.colour(ink))
            painter.drawText(part.translated(box.x(), down), WRAP, text)

    def is_on_limit(self, row: Row, box: QRect, y: int) -> bool:
        """Tell whether a press at that height is on the opened row's link."""
        return row.result.key == self.opened and y > box.bottom() - self.type.small_line - 8
