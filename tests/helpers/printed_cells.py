"""Words of a printed sheet with their places, and tables read back cell by cell.

Qt writes each of the sheet's words as one run of glyphs with its place, so a PDF's own content
tells which figure stands in which row and column, to a hundredth of a millimetre. pypdf opens the
file and hands over its content and its fonts' tables; `extract_text` would take ten times as long.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pypdf import PageObject, PdfReader

HEAD, FOOT = 28.5, 281.0  # of an A4 page: what is between them is the page's own [mm]
LEFT = 14.0  # margin [mm]
HEADING = 459.0  # size of letters
FRAME = 18.5  # where the heading in a frame begins [mm]
SIGNATURES = "Found on the way, or done otherwise:"
EDGE = 0.15  # of a column, by rounding [mm]
_RUN = re.compile(rb"BT\n/(\w+) ([\d.]+) Tf 1 0 0 -1 0 0 Tm\n(.*?)ET", re.DOTALL)
_GLYPH = re.compile(rb"([-\d.]+) ([-\d.]+) Td <([0-9A-F]+)> Tj")
_RANGE = re.compile(rb"<([0-9A-F]{4})> <([0-9A-F]{4})> (\[.*?\]|<[0-9A-F]{4}>)", re.DOTALL)

Column = tuple[Literal["left", "right"], float]


@dataclass(frozen=True)
class Word:
    """What was written in one go: its left and its right end, its baseline [mm]."""

    text: str
    page: int
    left: float
    right: float
    base: float
    size: float


class Sheet:
    """A printed sheet."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.pages = [
            list(_words(page, number)) for number, page in enumerate(PdfReader(path).pages)
        ]
        self.subtitles = [
            next(w.text for w in page if w.left == LEFT and abs(w.base - 25.4) < 0.1)
            for page in self.pages
        ]

    def plain_text(self) -> list[str]:
        """Return the text of each page as pypdf reads it."""
        return [page.extract_text() for page in PdfReader(self.path).pages]

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
            now = subtitle
            for word in (word for word in page if HEAD < word.base < FOOT):
                if _is_heading(word) and f"; {word.text}" in subtitle:
                    now = word.text  # a section that goes on below another one
                elif now.startswith(section):
                    yield word


def texts_of(path: Path) -> list[str]:
    """Return the words of each page in one line, as they were written and as pypdf reads them."""
    pages = PdfReader(path).pages
    return [
        " ".join(" ".join(word.text for word in _words(page, number)).split())
        for number, page in enumerate(pages, 1)
    ]


def _is_heading(word: Word) -> bool:
    if word.text == SIGNATURES:
        return True
    return word.size == HEADING and word.left in (LEFT, FRAME)


def lines_of(words: Sequence[Word]) -> list[list[Word]]:
    """Return words line by line, each from left to right."""
    lines: dict[tuple[int, float], list[Word]] = {}
    for word in words:
        lines.setdefault((word.page, round(word.base, 1)), []).append(word)
    return [sorted(line, key=lambda word: word.left) for _, line in sorted(lines.items())]


def columns_under(heads: Sequence[Word]) -> list[Column]:
    """Return columns of figures, which end where the words of their head end."""
    return [("right", head.right) for head in heads]


def cells_of(line: Sequence[Word], columns: Sequence[Column]) -> list[str]:
    """Return what stands in each column, "" for nothing; nothing may stand beside them."""
    cells = [""] * len(columns)
    for word in line:
        at = next((i for i, column in enumerate(columns) if _is_in(word, column)), None)
        assert at is not None, f"“{word.text}” stands in no column"
        assert not cells[at], f"“{word.text}” stands on “{cells[at]}”"
        cells[at] = word.text
    return cells


def _is_in(word: Word, column: Column) -> bool:
    align, x = column
    return abs((word.left if align == "left" else word.right) - x) < EDGE


def _words(page: PageObject, number: int) -> Iterator[Word]:
    contents = page.get_contents()
    assert contents is not None
    fonts = {name.removeprefix("/"): _Font(font.get_object()) for name, font in _fonts(page)}
    for name, size, run in _RUN.findall(contents.get_data()):
        font, glyphs = fonts[name.decode()], _GLYPH.findall(run)
        codes = [int(code, 16) for _, _, code in glyphs]
        steps = [float(x) / 100.0 for x, _, _ in glyphs]
        yield Word(
            "".join(font.letters[code] for code in codes),
            number,
            left=round(steps[0], 2),
            right=sum(steps) + font.widths[codes[-1]] * float(size) / 1e5,
            base=round(-float(glyphs[0][1]) / 100.0, 2),
            size=float(size),
        )


def _fonts(page: PageObject) -> Iterable[tuple[str, Any]]:
    fonts: Any = page["/Resources"]["/Font"]  # type: ignore[index]
    return fonts.items()


class _Font:
    """Which letter each glyph of a font is, and how wide [thousandths of its size]."""

    def __init__(self, font: Any) -> None:
        self.letters: dict[int, str] = {}
        self.widths: dict[int, float] = {}
        for start, _, names in _RANGE.findall(font["/ToUnicode"].get_object().get_data()):
            for step, name in enumerate(re.findall(rb"<([0-9A-F]+)>", names)):
                self.letters[int(start, 16) + step] = chr(int(name, 16))
        first, widths = font["/DescendantFonts"][0].get_object()["/W"]
        for step, width in enumerate(widths):
            self.widths[first + step] = float(width)
