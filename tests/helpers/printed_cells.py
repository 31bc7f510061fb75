"""Words of a printed sheet with their places, and tables read back cell by cell.

Qt writes each of the sheet's words as one run of glyphs with its place, so a PDF's own content
tells which figure stands in which row and column, to a hundredth of a millimetre. pypdf opens the
file and hands over its content and its fonts' tables; `extract_text` would take ten times as long.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from pypdf import PageObject, PdfReader

HEAD, FOOT = 28.5, 281.0  # of an A4 page: what is between them is the page's own [mm]
LEFT = 14.0  # margin [mm]
HEADING = 459.0  # size of letters
EDGE = 2.5  # ends of two columns are further apart [mm]
_RUN = re.compile(rb"BT\n/(\w+) ([\d.]+) Tf 1 0 0 -1 0 0 Tm\n(.*?)ET", re.DOTALL)
_GLYPH = re.compile(rb"([-\d.]+) ([-\d.]+) Td <([0-9A-F]+)> Tj")
_RANGE = re.compile(rb"<([0-9A-F]{4})> <([0-9A-F]{4})> (\[.*?\]|<[0-9A-F]{4}>)", re.DOTALL)

Column = tuple[Literal["left", "right"], float]


@dataclass(frozen=True)
class Word:
    """What was written in one go: its left end, where its last glyph begins, its baseline [mm]."""

    text: str
    page: int
    left: float
    end: float
    base: float
    size: float


class Sheet:
    """A printed sheet."""

    def __init__(self, path: Path) -> None:
        self.pages = [
            list(_words(page, number)) for number, page in enumerate(PdfReader(path).pages)
        ]
        self.subtitles = [
            next(w.text for w in page if w.left == LEFT and abs(w.base - 25.4) < 0.1)
            for page in self.pages
        ]

    def has(self, section: str, heading: str) -> bool:
        return any(word.text == heading for word in self._headings(section))

    def headings(self, section: str) -> list[str]:
        return [word.text for word in self._headings(section)]

    def under(self, section: str, heading: str) -> list[list[Word]]:
        """Return the lines between a heading of a section and the next heading."""
        words = list(self._own(section))
        starts = [i for i, word in enumerate(words) if _is_heading(word)]
        start = next(i for i in starts if words[i].text == heading)
        stop = next((i for i in starts if i > start), len(words))
        return lines_of(words[start + 1 : stop])

    def _headings(self, section: str) -> list[Word]:
        return [word for word in self._own(section) if _is_heading(word)]

    def _own(self, section: str) -> Iterator[Word]:
        for page, subtitle in zip(self.pages, self.subtitles, strict=True):
            if subtitle.startswith(section):
                yield from (word for word in page if HEAD < word.base < FOOT)


def _is_heading(word: Word) -> bool:
    return word.size == HEADING and word.left == LEFT


def lines_of(words: Sequence[Word]) -> list[list[Word]]:
    """Return words line by line, each from left to right."""
    lines: dict[tuple[int, float], list[Word]] = {}
    for word in words:
        lines.setdefault((word.page, round(word.base, 1)), []).append(word)
    return [sorted(line, key=lambda word: word.left) for _, line in sorted(lines.items())]


def columns_under(heads: Sequence[Word]) -> list[Column]:
    """Return columns of figures, which end where the words of their head end."""
    return [("right", head.end) for head in heads]


def cells_of(line: Sequence[Word], columns: Sequence[Column]) -> list[str]:
    """Return what stands in each column, "" for nothing; nothing may stand beside them."""
    cells = [""] * len(columns)
    for word in line:
        at = [index for index, column in enumerate(columns) if _is_in(word, column)]
        assert len(at) == 1, f"“{word.text}” stands in no column, or in two"
        assert not cells[at[0]], f"“{word.text}” stands on “{cells[at[0]]}”"
        cells[at[0]] = word.text
    return cells


def _is_in(word: Word, column: Column) -> bool:
    align, x = column
    return abs(word.left - x) < 0.2 if align == "left" else abs(word.end - x) < EDGE


def _words(page: PageObject, number: int) -> Iterator[Word]:
    contents = page.get_contents()
    assert contents is not None
    letters = {name.removeprefix("/"): _letters(font) for name, font in _fonts(page)}
    for font, size, run in _RUN.findall(contents.get_data()):
        glyphs = _GLYPH.findall(run)
        text = "".join(letters[font.decode()][int(code, 16)] for _, _, code in glyphs)
        ends = [float(x) for x, _, _ in glyphs]
        left, base = ends[0] / 100.0, -float(glyphs[0][1]) / 100.0
        yield Word(text, number, round(left, 2), sum(ends) / 100.0, round(base, 2), float(size))


def _fonts(page: PageObject) -> Iterator[tuple[str, bytes]]:
    for name, font in page["/Resources"]["/Font"].items():  # type: ignore[index]
        yield name, font.get_object()["/ToUnicode"].get_object().get_data()


def _letters(table: bytes) -> dict[int, str]:
    """Return which letter each glyph of a font is."""
    found: dict[int, str] = {}
    for start, _, names in _RANGE.findall(table):
        for step, name in enumerate(re.findall(rb"<([0-9A-F]+)>", names)):
            found[int(start, 16) + step] = chr(int(name, 16))
    return found
