"""The lettering of the sheet: faces in points, and how wide and high their words are in mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import Final

from PySide6.QtGui import QFont, QFontMetricsF

from app.document.quantities import INCH
from geometry.dataclass import dataclass

DOTS: Final = 100.0  # logical units per mm, the same on every device
MM_PER_POINT: Final = INCH / 72.0
FAMILIES: Final = ("DejaVu Sans", "Noto Sans", "Liberation Sans", "Arial", "Helvetica")
UNITS: Final = frozenset({"%", "mm", "in", "N", "N/mm", "N·m", "Hz", "kg", "lbf", "lbf/in"})
LEAST: Final = 6.5  # smaller letters can't be read at a bench [points]


@dataclass(frozen=True)
class Face:
    """Letters of a size in points."""

    points: float
    bold: bool = False

    @property
    def line(self) -> float:
        """The distance between two lines of text [mm]."""
        return 1.28 * self.points * MM_PER_POINT

    @property
    def rise(self) -> float:
        """The height of capitals [mm]."""
        return 0.73 * self.points * MM_PER_POINT


TITLE: Final = Face(18.0, bold=True)
HEADING: Final = Face(13.0, bold=True)
JOB: Final = Face(12.0, bold=True)
FIGURE: Final = Face(13.0, bold=True)
TEXT: Final = Face(10.5)
STRONG: Final = Face(10.5, bold=True)
SMALL: Final = Face(9.0)
SMALL_STRONG: Final = Face(9.0, bold=True)
FINE: Final = Face(8.0)


@lru_cache(maxsize=64)
def font_of(face: Face) -> QFont:
    """Return a face's font in logical units."""
    font = QFont()
    font.setFamilies(list(FAMILIES))
    font.setPixelSize(max(1, round(face.points * MM_PER_POINT * DOTS)))
    font.setBold(face.bold)
    font.setFeature(QFont.Tag("liga"), 0)  # "off" with an ff of one glyph isn't found in a search
    return font


@lru_cache(maxsize=64)
def _metrics(face: Face) -> QFontMetricsF:
    return QFontMetricsF(font_of(face))


@lru_cache(maxsize=4096)
def width_of(words: str, face: Face) -> float:
    """Return how wide words are [mm]."""
    return _metrics(face).horizontalAdvance(words) / DOTS


def fitting(words: str, face: Face, width: float) -> Face:
    """Return the face, made smaller as far as it can be read, in which words fit a width [mm]."""
    needed = width_of(words, face)
    if needed <= width:
        return face
    return replace(face, points=max(LEAST, face.points * width / needed * 0.99))


def elided(words: str, face: Face, width: float) -> str:
    """Return words cut off with an ellipsis where even the smallest letters don't fit."""
    if width_of(words, face) <= width:
        return words
    shortened = words
    while shortened and width_of(f"{shortened.rstrip()}…", face) > width:
        shortened = shortened[:-1]
    return f"{shortened.rstrip()}…"


def wrapped(text: str, face: Face, width: float) -> list[str]:
    """Return text broken into lines no wider than a width [mm]; line breaks of its own stay."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines += _broken(paragraph, face, width)
    return lines


def _broken(paragraph: str, face: Face, width: float) -> Iterator[str]:
    line = ""
    for word in _words(paragraph):
        joined = f"{line} {word}" if line else word
        if width_of(joined, face) <= width:
            line = joined
            continue
        if line:
            yield line
        line = word
        while width_of(line, face) > width:  # a word wider than the column
            fits = _fitting_part(line, face, width)
            yield line[:fits]
            line = line[fits:]
    yield line


def _words(paragraph: str) -> Iterator[str]:
    """Yield words; a figure's unit stays with it."""
    words = paragraph.split()
    for index, word in enumerate(words):
        if index and _is_unit(words[index - 1], word):
            continue
        follows = words[index + 1] if index + 1 < len(words) else ""
        yield f"{word} {follows}" if _is_unit(word, follows) else word


def _is_unit(before: str, word: str) -> bool:
    return before[-1:].isdigit() and word.rstrip(".,;:)") in UNITS


def _fitting_part(word: str, face: Face, width: float) -> int:
    count = 1
    while count < len(word) and width_of(word[: count + 1], face) <= width:
        count += 1
    return count
