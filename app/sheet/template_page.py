"""Drill templates on paper: the drawing at full size, and with it what must be known to use it.

A drawing too wide for a page is turned where that helps, else it goes over several pages, with
seams and marks by which they are taped. Old and new holes that would need taping only because they
are far from each other have a sheet each, with what is measured between them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from app.document.model import Units
from app.paper.check_bars import INCHES, level_bars, upright_bars
from app.paper.faces import SMALL, SMALL_STRONG
from app.paper.flow import Block, height_of
from app.paper.ink import Ink
from app.paper.parts import heading, paragraph
from app.paper.sizes import Paper
from app.sheet.template_arrows import ARROWS, paint_arrows
from app.sheet.template_frame import Frame
from app.sheet.template_rows import BETWEEN, GAP, LEVEL, STRIP, UPRIGHT, rows_pages
from app.shop.template import Template
from app.shop.template_marks import content_of, marks_of
from app.shop.template_words import MEASURE, TemplateWords
from app.shop.tiles import Box, Tiling, tiled
from geometry.dataclass import dataclass

Section = tuple[str, list[Block]]

TITLE: Final = "Drill template"
TAPE: Final = (
    "Cut one sheet along its dotted seam, lay it on the other so that seam and marks meet, "
    "and tape."
)
FAR: Final = (
    "The centres are too far apart for a drawing at full size on this paper: drill by the figures, "
    "or from the DXF on a plotter."
)
MOST_SHEETS: Final = 12  # of one template
HEAD: Final = 8.0  # of the template's name, above the frame [mm]
SHRINKS: Final = 10.0  # by which a drawing's ends are shortened to leave room beside it
FULL_SIZE: Final = "full size, 1 : 1"


def template_sections(
    templates: Sequence[Template], units: Units, paper: Paper, room: float, decimal: str
) -> Iterator[Section]:
    """Yield the pages of templates with their names; each is as high as the room [mm].

    Small ones follow the others, several on a page.
    """
    words = TemplateWords(units, decimal)
    sheets = list(on_sheets(templates, words, paper, room))
    pages, small = rows_pages(sheets, words, paper, room)
    for template in sheets:
        name = f"{TITLE} · {template.name}"
        for page in _pages(template, words, paper, room) if template not in small else ():
            yield name, [Block(room, page.paint)]
    for rows in pages:
        yield f"{TITLE} · {rows.name}", [Block(room, rows.paint)]


def on_sheets(
    templates: Sequence[Template], words: TemplateWords, paper: Paper, room: float
) -> Iterator[Template]:
    """Yield templates, each in two where old and new centres are too far apart for one sheet.

    Both sides of a mount stay beside each other.
    """
    for _, group in groupby(templates, lambda each: (each.end, each.title)):
        sides = list(group)
        parted = [each for each in sides if _is_better_parted(each, words, paper, room)]
        yield from (each for each in sides if each not in parted)
        yield from (each.parted[0] for each in parted)
        yield from (each.parted[1] for each in parted)


def _is_better_parted(template: Template, words: TemplateWords, paper: Paper, room: float) -> bool:
    """Tell whether a template's centres need no more sheets by themselves than taped."""
    if template.is_new or all(hole.stays for hole in template.holes):
        return False
    whole = _count(template, words, paper, room)
    return 1 < whole >= sum(_count(part, words, paper, room) for part in template.parted)


def _count(template: Template, words: TemplateWords, paper: Paper, room: float) -> int:
    """Return how many sheets a template needs, by itself."""
    sheets = len(_upright_tiling(template, words, paper, room).sheets)
    if sheets > 1 and _turned_content(template, words, paper, room) is not None:
        return 1
    return sheets


def _pages(
    template: Template, words: TemplateWords, paper: Paper, room: float
) -> Iterator[_Page | _TurnedPage | _FarPage]:
    """Yield a template's pages: upright where it fits, turned where only that fits, else tiled."""
    tiling = _upright_tiling(template, words, paper, room)
    if len(tiling.sheets) > MOST_SHEETS:
        yield _FarPage(template, words, paper)
        return
    turned = _turned_content(template, words, paper, room) if len(tiling.sheets) > 1 else None
    if turned is not None:
        yield _TurnedPage(template, words, paper, turned)
        return
    for sheet in range(len(tiling.sheets)):
        yield _Page(template, words, paper, tiling, sheet)


def _upright_tiling(template: Template, words: TemplateWords, paper: Paper, room: float) -> Tiling:
    text = _text(template, words, paper.margin, paper.inner - STRIP, is_taped=True)
    below = max(ARROWS + height_of(text), UPRIGHT)
    most = paper.inner, room - HEAD - 2 * GAP - below
    return tiled(content_of(template), most, template.centres)


def _turned_content(
    template: Template, words: TemplateWords, paper: Paper, room: float
) -> Box | None:
    """Return what a drawing shows that is turned to go on one page; None where it won't."""
    high = room - GAP
    for most in (high, high - SHRINKS, 0.0):
        content = content_of(template, most)
        column = paper.inner - content.height - BETWEEN
        if column < INCHES + 0.5 or content.width > high:
            continue
        text = _text(template, words, 0.0, column - STRIP, is_taped=False)
        if HEAD + max(ARROWS + height_of(text), UPRIGHT) + LEVEL <= room:
            return content
    return None


def _text(
    template: Template, words: TemplateWords, left: float, width: float, is_taped: bool
) -> list[Block]:
    tape = paragraph(TAPE, left, width, SMALL_STRONG, 0.8) if is_taped else []
    return tape + [
        block
        for text in words.paragraphs(template)
        for block in paragraph(text, left, width, SMALL, 0.8)
    ]


@dataclass(frozen=True)
class _Page:
    """One page of one template."""

    template: Template
    words: TemplateWords
    paper: Paper
    tiling: Tiling
    sheet: int

    def paint(self, ink: Ink, top: float) -> None:
        """Paint name, drawing, arrows, bars and words."""
        left, right, inner = self.paper.margin, self.paper.right, self.paper.inner
        heading(self.template.name, left, self._note(), right).paint(ink, top)
        part, upper = self.tiling.sheets[self.sheet], top + HEAD
        frame = Frame(part, left + 0.5 * (inner - part.width), upper)
        frame.paint(ink, marks_of(self.template, self.words), self.tiling, self.sheet)
        below = upper + frame.height + GAP
        paint_arrows(ink, self.template, self.words, (left, below))
        _paint_level(ink, right - STRIP - INCHES - 0.5, below)
        upright_bars(ink, right - STRIP + 5.0, below + GAP)
        is_taped = len(self.tiling.sheets) > 1
        text = _text(self.template, self.words, left, right - STRIP - left, is_taped)
        _paint_text(ink, text, below + ARROWS)

    def _note(self) -> str:
        count = len(self.tiling.sheets)
        several = f"sheet {self.sheet + 1} of {count} · " if count > 1 else ""
        return f"{several}{FULL_SIZE}"


@dataclass(frozen=True)
class _TurnedPage:
    """A template with its right up the page, and all that belongs to it in a column beside it."""

    template: Template
    words: TemplateWords
    paper: Paper
    content: Box

    def paint(self, ink: Ink, top: float) -> None:
        """Paint the drawing, and name, arrows, words and bars beside it."""
        left, right, content = self.paper.margin, self.paper.right, self.content
        frame = Frame(content, left, top + 0.5 * GAP, is_turned=True)
        marks = marks_of(self.template, self.words, content)
        frame.paint(ink, marks, tiled(content, (content.width, content.height), ()), 0)
        column = left + frame.width + BETWEEN
        heading(self.template.name, column, FULL_SIZE, right).paint(ink, top)
        paint_arrows(ink, self.template, self.words, (column, top + HEAD), is_turned=True)
        text = _text(self.template, self.words, column, right - STRIP - column, is_taped=False)
        at = _paint_text(ink, text, top + HEAD + ARROWS)
        upright_bars(ink, right - STRIP + 5.0, top + HEAD + GAP)
        _paint_level(ink, column, max(at, top + HEAD + UPRIGHT))


def _paint_level(ink: Ink, left: float, top: float) -> None:
    ink.write(left, top + 3.6, f"{MEASURE}:", SMALL_STRONG)
    level_bars(ink, left, top + 5.6)


def _paint_text(ink: Ink, text: Sequence[Block], top: float) -> float:
    """Paint words and return where they end [mm]."""
    for block in text:
        top += block.gap
        block.paint(ink, top)
        top += block.height
    return top


@dataclass(frozen=True)
class _FarPage:
    """The page of a template that nobody would tape: its figures alone."""

    template: Template
    words: TemplateWords
    paper: Paper

    def paint(self, ink: Ink, top: float) -> None:
        """Paint name and words."""
        left, width = self.paper.margin, self.paper.inner
        heading(self.template.name, left).paint(ink, top)
        text = _text(self.template, self.words, left, width, is_taped=False)
        _paint_text(ink, [*paragraph(FAR, left, width, SMALL_STRONG, 0.8), *text], top + HEAD)
