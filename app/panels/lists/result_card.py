"""What an opened result shows below its figures: meaning, definition, source, the limit's link."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QPainter

from app.paint.palette import Inks
from app.panels.figures import result_text
from app.panels.lists.result_rows import Row, Said
from app.panels.widgets import EDGE
from app.panels.writing import Face, Faces
from app.session.session import Session
from app.words.results import sign_words
from geometry.catalogue.front import Result

WRAP: Final = int(Qt.TextFlag.TextWordWrap)
GAP: Final = 3
AROUND: Final = 14
SET, CHANGE = "Set a limit…", "Change the limit…"
HOW, LESS = "How it is worked out…", "Less of how it is worked out"
Link = Literal["limit", "how"]


class Card:
    """The words below an opened row."""

    def __init__(self, faces: Faces, session: Session) -> None:
        self.faces, self.session = faces, session
        self.shows_how = False  # the formula and who says so

    def height(self, result: Result, width: int) -> int:
        """Return the room that the words take in a list of that width."""
        return sum(high + GAP for high in self._heights(result, width)) + AROUND

    def paint(self, painter: QPainter, box: QRect, row: Row, row_words: Said, inks: Inks) -> None:
        """Paint the words at the lower end of a row's box."""
        result, units = row.result, self.session.units
        top = box.bottom() - self.height(result, box.width()) + AROUND // 2
        value, meaning = (
            result_text(row_words.value, result, units),
            sign_words(row_words.value, result, units),
        )
        how = (("small", _how(result), "second"),) if self.shows_how else ()
        lines: tuple[tuple[Face, str, str], ...] = (
            ("bold", _of_as_built(value, meaning), "ink"),
            ("plain", result.definition, "ink"),
            *how,
            ("small bold", LESS if self.shows_how else HOW, "accent"),
            ("small bold", SET if row.limit is None else CHANGE, "accent"),
        )
        for (face, text, ink), high in zip(lines, self._heights(result, box.width()), strict=True):
            painter.setFont(self.faces.fonts[face])
            painter.setPen(inks.colour(ink))
            painter.drawText(QRect(EDGE + 2, top, _room(box.width()), high), WRAP, text)
            top += high + GAP

    def link_at(self, box: QRect, y: int) -> Link | None:
        """Return the link at a height, None where there is none."""
        line = self.faces.small_line + GAP
        from_below = box.bottom() - AROUND // 2 - y
        if from_below > 2 * line:
            return None
        return "limit" if from_below < line else "how"

    def _heights(self, result: Result, width: int) -> list[int]:
        """Return each part's height; the meaning's is that of its longer sign, so it stays."""
        room = QRect(0, 0, _room(width), 2000)
        texts: tuple[tuple[Face, list[str]], ...] = (
            ("bold", [_of_as_built("−000.00 mm", words) for words in (result.plus, result.minus)]),
            ("plain", [result.definition]),
            *((("small", [_how(result)]),) if self.shows_how else ()),
            ("small bold", [HOW]),
            ("small bold", [SET]),
        )
        return [
            max(
                self.faces.metrics[face].boundingRect(room, WRAP, text).height() for text in choices
            )
            for face, choices in texts
        ]


def _of_as_built(value: str, meaning: str) -> str:
    """Return a value with what its sign means, and of which car it is."""
    return f"As built {value}: {meaning}" if meaning else f"As built {value}"


def _how(result: Result) -> str:
    """Return the formula, where there is one, and who says so."""
    source = f"Source: {result.source}"
    return f"{result.formula}. {source}" if result.formula else source


def _room(width: int) -> int:
    return width - 2 * EDGE - 4
