"""Drill templates on paper: the drawing at full size, and with it what must be known to use it.

A drawing too wide for a page is turned where that helps, else it goes over several pages, with
seams and marks by which they are taped.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
from app.sheet.template_rows import rows_pages
from app.shop.template import Template
from app.shop.template_marks import content_of, marks_of
from app.shop.template_words import MEASURE, TemplateWords
from app.shop.tiles import Tiling, tiled
from geometry.dataclass import dataclass

Section = tuple[str, list[Block]]

TITLE: Final = "Drill template"
TAPE: Final = (
    "Cut one sheet along its dotted seam, lay it on the other so that seam and marks meet, "
    "and tape."
)
FAR: Final = (
    "Old and new are too far apart for a drawing at full size on this paper: drill by the figures, "
    "or from the DXF on a plotter."
)
MOST_SHEETS: Final = 12  # of one template
HEAD: Final = 8.0  # of the template's name, above the frame [mm]
STRIP: Final = 14.0  # for the upright bars at the right edge, with the space before them
LEVEL: Final = 15.0  # of the level bars with their words
UPRIGHT: Final = INCHES + 6.0  # of the upright bars
GAP: Final = 2.0
COLUMN: Final = 70.0  # the least width of words beside a turned drawing


def template_sections(
    templates: Sequence[Template], units: Units, paper: Paper, room: float, decimal: str
) -> Iterator[Section]:
    """Yield the pages of templates with their names; each is as high as the room [mm].

    Small ones follow the others, several on a page.
    """
    words = TemplateWords(units, decimal)
    pages, small = rows_pages(templates, words, paper, room)
    for template in templates:
        name = f"{TITLE} · {template.name}"
        for page in _pages(template, words, paper, room) if template not in small else ():
            yield name, [Block(room, page.paint)]
    for rows in pages:
        yield f"{TITLE} · {rows.name}", [Block(room, rows.paint)]


def _pages(
    template: Template, words: TemplateWords, paper: Paper, room: float
) -> Iterator[_Page | _FarPage]:
    """Yield a template's pages: upright where it fits, turned where only that fits, else tiled."""
    tiling = _upright_tiling(template, words, paper, room)
    if len(tiling.sheets) > MOST_SHEETS:
        yield _FarPage(template, words, paper)
        return
    is_turned = len(tiling.sheets) > 1 and _fits_turned(template, words, paper, room)
    if is_turned:
        whole = content_of(template)
        tiling = tiled(whole, (whole.width, whole.height), ())
    for sheet in range(len(tiling.sheets)):
        yield _Page(template, words, paper, room, tiling, sheet, is_turned)


def _upright_tiling(template: Template, words: TemplateWords, paper: Paper, room: float) -> Tiling:
    text = _text(template, words, paper.margin, paper.inner - STRIP, is_taped=True)
    below = max(ARROWS + height_of(text), UPRIGHT)
    centres = [at for hole in template.holes for at in (hole.first_at, hole.new_at)]
    return tiled(content_of(template), (paper.inner, room - HEAD - 2 * GAP - below), centres)


def _fits_turned(template: Template, words: TemplateWords, paper: Paper, room: float) -> bool:
    content = content_of(template)
    column = paper.inner - content.height - GAP - STRIP
    if column < COLUMN or HEAD + content.width + GAP + LEVEL > room:
        return False
    text = _text(template, words, 0.0, column, is_taped=False)
    return HEAD + ARROWS + height_of(text) + GAP + LEVEL <= room


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
    room: float
    tiling: Tiling
    sheet: int
    is_turned: bool

    def paint(self, ink: Ink, top: float) -> None:
        """Paint name, drawing, arrows, bars and words."""
        left, right, inner = self.paper.margin, self.paper.right, self.paper.inner
        heading(self.template.name, left, self._note(), right).paint(ink, top)
        part, upper = self.tiling.sheets[self.sheet], top + HEAD
        x = left if self.is_turned else left + 0.5 * (inner - part.width)
        frame = Frame(part, x, upper, self.is_turned)
        frame.paint(ink, marks_of(self.template, self.words), self.tiling, self.sheet)
        start = right - STRIP - INCHES - 0.5
        if self.is_turned:
            column, words_top = left + frame.width + GAP + 2.0, upper
            bars = left, top + self.room - LEVEL
        else:
            column, words_top = left, upper + frame.height + GAP
            bars = start, words_top
        paint_arrows(ink, self.template, self.words, (column, words_top), self.is_turned)
        ink.write(bars[0], bars[1] + 3.6, f"{MEASURE}:", SMALL_STRONG)
        level_bars(ink, bars[0], bars[1] + 5.6)
        upright_bars(ink, right - STRIP + 5.0, words_top + GAP)
        self._paint_text(ink, column, right - STRIP - column, words_top + ARROWS)

    def _note(self) -> str:
        count = len(self.tiling.sheets)
        several = f"sheet {self.sheet + 1} of {count} · " if count > 1 else ""
        return f"{several}full size, 1 : 1"

    def _paint_text(self, ink: Ink, left: float, width: float, top: float) -> None:
        for block in _text(self.template, self.words, left, width, len(self.tiling.sheets) > 1):
            top += block.gap
            block.paint(ink, top)
            top += block.height


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
        at = top + HEAD
        text = _text(self.template, self.words, left, width, is_taped=False)
        for block in [*paragraph(FAR, left, width, SMALL_STRONG, 0.8), *text]:
            at += block.gap
            block.paint(ink, at)
            at += block.height
