"""Small drill templates, several on a page: each at full size with its words beside it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import Final

from app.paper.check_bars import INCHES, level_bars, upright_bars
from app.paper.faces import SMALL, SMALL_STRONG
from app.paper.flow import Block, height_of
from app.paper.ink import Ink
from app.paper.parts import heading, paragraph
from app.paper.sizes import Paper
from app.sheet.template_arrows import ARROWS, paint_arrows
from app.sheet.template_frame import Frame
from app.shop.template import Template
from app.shop.template_marks import content_of, marks_of
from app.shop.template_words import CAUTION, MEASURE, NEW_MOUNTS, TemplateWords, both_sides
from app.shop.tiles import tiled
from geometry.dataclass import dataclass

NAME: Final = 8.0  # of a template's name, above its frame [mm]
STRIP: Final = 14.0  # for the upright bars at the right edge, with the space before them
GAP: Final = 2.0
INSIDE: Final = 33.0  # width of the arrows in a new mount's frame, at its right
NAMES: Final = 20.0  # from a hole to the end of its name under it
SIDE: Final = 5.0  # height of the side's name over the arrows
BETWEEN: Final = 4.0  # two drawings beside each other, or a drawing and its words
APART: Final = 3.0  # between two templates
COLUMN: Final = 62.0  # the least width of words beside a drawing
LEVEL: Final = 15.0  # of the level bars with their words
UPRIGHT: Final = INCHES + 6.0  # of the upright bars


@dataclass(frozen=True)
class LoneRow:
    """One small template: its frame with arrows under it, its words beside them."""

    template: Template
    words: TemplateWords
    paper: Paper

    @property
    def templates(self) -> tuple[Template, ...]:
        """What it shows."""
        return (self.template,)

    @property
    def text(self) -> list[Block]:
        """Its words."""
        column = self.paper.margin + content_of(self.template).width + BETWEEN
        width = self.paper.right - STRIP - column
        return _paragraphs(self.words.own_paragraphs(self.template), column, width)

    @property
    def height(self) -> float:
        """With its name [mm]."""
        return NAME + max(_drawn_height(self.template), height_of(self.text))

    def paint(self, ink: Ink, top: float) -> None:
        """Paint name, drawing, arrows and words."""
        _paint_drawing(ink, self.template, self.words, self.paper.margin, top)
        _name(self.template, self.paper).paint(ink, top)
        _paint_text(ink, self.text, top + NAME)


@dataclass(frozen=True)
class PairRow:
    """The small templates of a mount on both sides: frames beside each other, words under them."""

    left: Template
    right: Template
    words: TemplateWords
    paper: Paper

    @property
    def templates(self) -> tuple[Template, ...]:
        """What it shows."""
        return self.left, self.right

    @property
    def text(self) -> list[Block]:
        """Its words: what is alike on both sides once."""
        left, right = (self.words.own_paragraphs(each) for each in self.templates)
        return _paragraphs(
            tuple(both_sides(left, right)), self.paper.margin, self.paper.inner - STRIP
        )

    @property
    def drawn(self) -> float:
        """The height of the drawings with their arrows [mm]."""
        return max(_drawn_height(each) for each in self.templates)

    @property
    def height(self) -> float:
        """With their names [mm]."""
        return NAME + self.drawn + height_of(self.text)

    def paint(self, ink: Ink, top: float) -> None:
        """Paint names, drawings, arrows and words."""
        lefts = self.paper.margin, self.paper.margin + _half(self.paper) + BETWEEN
        for left, template in zip(lefts, self.templates, strict=True):
            _paint_drawing(ink, template, self.words, left, top)
        _name(self.left, self.paper, self.left.thing + ", left and right side").paint(ink, top)
        _paint_text(ink, self.text, top + NAME + self.drawn)


Row = LoneRow | PairRow


def _name(template: Template, paper: Paper, name: str = "") -> Block:
    return heading(name or template.name, paper.margin, "full size, 1 : 1", paper.right - STRIP)


def _drawn_height(template: Template) -> float:
    """Return the height of a frame with its arrows, which stand in it where there is room."""
    return content_of(template).height + GAP + (0.0 if _has_arrows_inside(template) else ARROWS)


def _has_arrows_inside(template: Template) -> bool:
    """Tell whether the arrows find room in a frame, at its right under the level line."""
    if template.is_new:
        return True
    if len(template.shown) > 1:
        return False
    box = content_of(template)
    is_clear = max(x for x, _ in template.centres) + NAMES <= box.right - INSIDE
    return is_clear and template.datum_at[1] - box.bottom >= ARROWS + SIDE


def _paint_drawing(
    ink: Ink, template: Template, words: TemplateWords, left: float, top: float
) -> None:
    """Paint a frame under its name's line, and the arrows under it."""
    part = content_of(template)
    frame = Frame(part, left, top + NAME)
    frame.paint(ink, marks_of(template, words), tiled(part, (part.width, part.height), ()), 0)
    corner = left, top + NAME + frame.height + GAP
    is_inside = _has_arrows_inside(template)
    if is_inside:
        corner = left + frame.width - INSIDE, corner[1] - GAP - ARROWS
    paint_arrows(ink, template, words, corner, is_inside=is_inside)


def _paint_text(ink: Ink, text: Sequence[Block], top: float) -> None:
    for block in text:
        top += block.gap
        block.paint(ink, top)
        top += block.height


def _paragraphs(texts: Sequence[str], left: float, width: float) -> list[Block]:
    return [block for text in texts for block in paragraph(text, left, width, SMALL, 0.8)]


@dataclass(frozen=True)
class RowsPage:
    """A page of small templates, with the bars and the caution that are meant for all of them."""

    rows: tuple[Row, ...]
    paper: Paper
    room: float

    @property
    def name(self) -> str:
        """What its head says."""
        things: dict[str, list[str]] = {}
        for each in (each for row in self.rows for each in row.templates):
            if each.thing not in things.setdefault(each.title, []):
                things[each.title].append(each.thing)
        return "; ".join(own[0] if len(own) == 1 else title for title, own in things.items())

    def paint(self, ink: Ink, top: float) -> None:
        """Paint the templates, and bars and caution at the foot."""
        left, right = self.paper.margin, self.paper.right
        at = top
        for row in self.rows:
            row.paint(ink, at)
            at += row.height + APART
        has_new = any(each.is_new for row in self.rows for each in row.templates)
        foot = top + self.room - _foot(self.paper, has_new)
        upright_bars(ink, right - STRIP + 5.0, top + self.room - UPRIGHT)
        ink.write(left, foot + 3.6, f"{MEASURE}:", SMALL_STRONG)
        level_bars(ink, left, foot + 5.6)
        _paint_text(ink, _common(self.paper, has_new), foot + LEVEL)


def rows_pages(
    templates: Sequence[Template], words: TemplateWords, paper: Paper, room: float
) -> tuple[tuple[RowsPage, ...], Collection[Template]]:
    """Return pages of small templates, and which these are; a small one alone has its own page."""
    most = room - _foot(paper, any(template.is_new for template in templates))
    pages: list[list[Row]] = []
    for row in _rows(templates, words, paper):
        page = next((page for page in pages if _height([*page, row]) <= most), None)
        if page is not None:
            page.append(row)
        elif row.height <= most:
            pages.append([row])
    shared = [tuple(page) for page in pages if sum(len(row.templates) for row in page) > 1]
    small = [template for page in shared for row in page for template in row.templates]
    return tuple(RowsPage(page, paper, room) for page in shared), small


def _height(rows: Sequence[Row]) -> float:
    return sum(row.height + APART for row in rows) - APART


def _rows(templates: Sequence[Template], words: TemplateWords, paper: Paper) -> Iterator[Row]:
    """Yield what stands on one line: both sides of a mount, or one template by itself."""
    rest = list(templates)
    while rest:
        first = rest.pop(0)
        if rest and _is_pair(first, rest[0]) and _fits_half(first, rest[0], paper):
            yield PairRow(first, rest.pop(0), words, paper)
        elif content_of(first).width + BETWEEN + COLUMN + STRIP <= paper.inner:
            yield LoneRow(first, words, paper)


def _is_pair(one: Template, other: Template) -> bool:
    sides = one.side, other.side
    return (one.end, one.thing) == (other.end, other.thing) and sides == ("left", "right")


def _fits_half(one: Template, other: Template, paper: Paper) -> bool:
    return max(content_of(each).width for each in (one, other)) <= _half(paper)


def _half(paper: Paper) -> float:
    """Return the width of one of two drawings beside each other [mm]."""
    return 0.5 * (paper.inner - STRIP - BETWEEN)


def _foot(paper: Paper, has_new: bool) -> float:
    return LEVEL + height_of(_common(paper, has_new)) + GAP


def _common(paper: Paper, has_new: bool) -> list[Block]:
    """Return the words that a page's templates have in common."""
    texts = [NEW_MOUNTS, CAUTION] if has_new else [CAUTION]
    return _paragraphs(texts, paper.margin, paper.inner - STRIP)
