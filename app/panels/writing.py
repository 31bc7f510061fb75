"""Words to be painted on a list, grouped by face and ink, since changing those is slow."""

from __future__ import annotations

from typing import Final, Literal

from PySide6.QtGui import QFont, QFontMetrics, QPainter

from app.paint.palette import Inks
from app.panels.widgets import SMALL, text_font

Face = Literal["plain", "bold", "tight", "small", "small bold"]
Ink = Literal["ink", "second", "accent", "other"]

TIGHT: Final = 87  # % of its width that a title takes where it would be cut off
MOST_WORDS: Final = 3000  # remembered widths; figures change all the time under a drag
CUT: Final = "…"


class Faces:
    """The fonts of a list, and the widths of words in them."""

    def __init__(self) -> None:
        tight = text_font()
        tight.setStretch(TIGHT)
        self.fonts: dict[Face, QFont] = {
            "plain": text_font(),
            "bold": text_font(bold=True),
            "tight": tight,
            "small": text_font(SMALL),
            "small bold": text_font(SMALL, bold=True),
        }
        self.metrics = {face: QFontMetrics(font) for face, font in self.fonts.items()}
        self._widths: dict[tuple[Face, str], int] = {}
        self.line = self.metrics["plain"].height()
        self.small_line = self.metrics["small"].height()
        self.ascent = self.metrics["plain"].ascent()

    def width(self, face: Face, text: str) -> int:
        """Return a text's width."""
        width = self._widths.get((face, text))
        if width is None:
            if len(self._widths) > MOST_WORDS:
                self._widths.clear()
            width = self._widths[face, text] = self.metrics[face].horizontalAdvance(text)
        return width

    def fitted(self, text: str, room: int) -> tuple[Face, str]:
        """Return a text in the plain face, condensed or else cut off where it is too long."""
        if self.width("plain", text) <= room:
            return "plain", text
        return "tight", self.cut("tight", text, room)

    def cut(self, face: Face, text: str, room: int) -> str:
        """Return as much of a text as fits."""
        if self.width(face, text) <= room:
            return text
        short = text[:-1].rstrip()
        while short and self.width(face, short + CUT) > room:
            short = short[:-1].rstrip()
        return short + CUT


class Writing:
    """Words with their places, written in one go."""

    def __init__(self, faces: Faces) -> None:
        self.faces = faces
        self._words: dict[tuple[Face, Ink], list[tuple[int, int, str]]] = {}

    def put(self, face: Face, ink: Ink, left: int, base: int, text: str) -> None:
        """Put words from `left` on."""
        self._words.setdefault((face, ink), []).append((left, base, text))

    def put_right(self, face: Face, ink: Ink, right: int, base: int, text: str) -> int:
        """Put words up to `right`, and return where they begin."""
        left = right - self.faces.width(face, text)
        self.put(face, ink, left, base, text)
        return left

    def write(self, painter: QPainter, inks: Inks) -> None:
        """Paint all words."""
        for (face, ink), words in self._words.items():
            painter.setFont(self.faces.fonts[face])
            painter.setPen(inks.colour(ink))
            for left, base, text in words:
                painter.drawText(left, base, text)
        self._words.clear()
