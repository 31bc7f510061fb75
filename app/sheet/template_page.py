"""Drill templates on paper: the drawing at full size, and beside it what must be known to use it.

A drawing larger than a page goes over several, with seams and marks by which they are taped.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from app.document.model import Units
from app.paper.check_bars import INCHES, level_bars, upright_bars
from app.paper.faces import FINE, FINE_STRONG, SMALL, SMALL_STRONG, STRONG, width_of
from app.paper.flow import Block, height_of
from app.paper.ink import MIDDLE, THIN, Ink
from app.paper.parts import heading, paragraph
from app.paper.sizes import Paper
from app.shop.plane import Place
from app.shop.template import Template
from app.shop.template_marks import Circle, Label, Layer, Line, content_of, marks_of
from app.shop.template_words import MEASURE, TemplateWords
from app.shop.tiles import Box, Seam, Tiling, tiled
from geometry.dataclass import dataclass

Section = tuple[str, list[Block]]

TITLE: Final = "Drill template"
TAPE: Final = (
    "Cut one sheet along its dotted seam, lay it on the other so that seam and marks meet, and tape."
)
HEAD: Final = 8.0  # of the template's name, above the frame [mm]
STRIP: Final = 11.0  # for the upright bars at the right edge
ARROWS: Final = 17.0  # height of the row with the arrows and the level bars
BARS: Final = INCHES + 6.0  # room for the upright bars with their words
GAP: Final = 2.0
REGISTER: Final = 4.0  # arm of a mark on a seam
DASHES: Final[dict[Layer, tuple[float, ...]]] = {
    "OLD_CENTRES": (7.0, 4.0),
    "OLD_HOLES": (7.0, 4.0),
    "EDGE_DISTANCE": (12.0, 8.0),
    "PIVOT_AXES": (22.0, 6.0),
    "DATUM": (60.0, 10.0, 6.0, 10.0),
}
WEIGHTS: Final[dict[Layer, float]] = {"NEW_HOLES": MIDDLE, "NEW_CENTRES": 0.25}


@dataclass(frozen=True)
class Frame:
    """Where a part of a template's plane is on a page at full size [mm]."""

    part: Box
    x: float
    y: float

    def at(self, place: Place) -> Place:
        """Return where a place of the plane is on the page."""
        return self.x + place[0] - self.part.left, self.y + self.part.top - place[1]


def template_sections(
    templates: Sequence[Template], units: Units, paper: Paper, room: float, decimal: str
) -> Iterator[Section]:
    """Yield the pages of templates with their names; each is as high as the room [mm]."""
    words = TemplateWords(units, decimal)
    for template in templates:
        below = max(ARROWS + height_of(_text(template, words, paper, True)) + GAP, BARS)
        most = (paper.inner, room - HEAD - GAP - below)
        centres = [at for hole in template.holes for at in (hole.old_at, hole.new_at)]
        tiling = tiled(content_of(template), most, centres)
        text = _text(template, words, paper, len(tiling.sheets) > 1)
        for index in range(len(tiling.sheets)):
            page = _Page(template, words, paper, tiling, index, tuple(text))
            yield f"{TITLE} · {template.name}", [Block(room, page.paint)]


def _text(
    template: Template, words: TemplateWords, paper: Paper, is_taped: bool
) -> list[Block]:
    width = paper.inner - STRIP - 3.0
    tape = paragraph(TAPE, paper.margin, width, SMALL_STRONG, 0.8) if is_taped else []
    return tape + [
        block
        for text in words.paragraphs(template)
        for block in paragraph(text, paper.margin, width, SMALL, 0.8)
    ]


@dataclass(frozen=True)
class _Page:
    """One page of one template."""

    template: Template
    words: TemplateWords
    paper: Paper
    tiling: Tiling
    index: int
    text: tuple[Block, ...]

    @property
    def part(self) -> Box:
        """The part of the plane that it shows."""
        return self.tiling.sheets[self.index]

    def paint(self, ink: Ink, top: float) -> None:
        """Paint name, drawing, arrows, bars and words."""
        left, right = self.paper.margin, self.paper.right
        heading(self.template.name, left, self._note(), right).paint(ink, top)
        middle = left + 0.5 * (self.paper.inner - self.part.width)
        frame = Frame(self.part, middle, top + HEAD)
        self._paint_drawing(ink, frame)
        below = top + HEAD + self.part.height + GAP
        self._paint_arrows(ink, left, below)
        self._paint_bars(ink, below)
        at = below + ARROWS
        for block in self.text:
            at += block.gap
            block.paint(ink, at)
            at += block.height

    def _note(self) -> str:
        count = len(self.tiling.sheets)
        several = f"sheet {self.index + 1} of {count} · " if count > 1 else ""
        return f"{several}full size, 1 : 1"

    def _paint_drawing(self, ink: Ink, frame: Frame) -> None:
        part = frame.part
        marks = marks_of(self.template, self.words)
        with ink.inside(frame.x, frame.y, part.width, part.height):
            for mark in marks:
                if isinstance(mark, Line):
                    line = (frame.at(mark.start), frame.at(mark.end))
                    ink.chain(line, WEIGHTS.get(mark.layer, THIN), DASHES.get(mark.layer, ()))
                elif isinstance(mark, Circle):
                    dashes = DASHES.get(mark.layer, ())
                    weight = WEIGHTS.get(mark.layer, THIN)
                    ink.circle(*frame.at(mark.centre), mark.radius, weight, dashes)
            for mark in marks:
                if isinstance(mark, Label) and self._is_shown(mark):
                    self._paint_label(ink, frame, mark)
        for seam in self.tiling.seams_of(self.index):
            self._paint_seam(ink, frame, seam)
        ink.box(frame.x, frame.y, part.width, part.height, THIN)

    def _is_shown(self, label: Label) -> bool:
        """Tell whether this is the first sheet with what a label names."""
        holders = [i for i, part in enumerate(self.tiling.sheets) if part.has(label.of)]
        best = [i for i in holders if self.tiling.sheets[i].has(label.of, AWAY)]
        return self.index == (best or holders)[0]

    def _paint_label(self, ink: Ink, frame: Frame, label: Label) -> None:
        """Write words over whatever lines cross them, inside the frame."""
        x, y = frame.at(label.at)
        face = FINE_STRONG if label.words.startswith("NEW") else FINE
        width = width_of(label.words, face)
        start = x - 0.5 * width if label.is_centred else x
        left, right = self._between_seams(frame)
        start = max(left + 1.0, min(start, right - width - 1.0))
        ink.clear(start - 0.4, y - face.rise - 0.4, width + 0.8, face.rise + 0.8)
        ink.write(start, y, label.words, face)

    def _between_seams(self, frame: Frame) -> tuple[float, float]:
        """Return between which places words stand: the frame's sides, or the seams near them."""
        left, right = frame.x, frame.x + frame.part.width
        for seam in self.tiling.seams_of(self.index):
            if seam.start[0] == seam.end[0]:
                x, _ = frame.at(seam.start)
                left, right = (left, x) if self.index == seam.sheets[0] else (x, right)
        return left, right

    def _paint_seam(self, ink: Ink, frame: Frame, seam: Seam) -> None:
        """Draw a seam with its marks and their names."""
        ink.chain([frame.at(seam.start), frame.at(seam.end)], THIN, (3.0, 3.0))
        first = self.index == seam.sheets[0]
        other = seam.sheets[1 if first else 0] + 1
        for place, name in zip(seam.marks, seam.names, strict=True):
            x, y = frame.at(place)
            ink.rule((x - REGISTER, y), (x + REGISTER, y), THIN)
            ink.rule((x, y - REGISTER), (x, y + REGISTER), THIN)
            ink.circle(x, y, 0.6 * REGISTER, THIN)
            side = -1.0 if first else 1.0
            upright = seam.start[0] == seam.end[0]
            at = (x + side * 1.2 * REGISTER, y - 1.0) if upright else (x + 5.0, y + 4.0 * side)
            align = "right" if first and upright else "left"
            words = f"{name} to {name} of sheet {other}"
            width = width_of(words, FINE)
            start = at[0] - width if align == "right" else at[0]
            ink.clear(start - 0.3, at[1] - FINE.rise - 0.3, width + 0.6, FINE.rise + 0.9)
            ink.write(at[0], at[1], words, FINE, "right" if align == "right" else "left")

    def _paint_arrows(self, ink: Ink, left: float, top: float) -> None:
        """Draw the arrows that lie on the metal as they lie on the car."""
        words, way = self.words.right_arrow(self.template)
        x, y = left + 16.0, top + 11.5
        tip = x + way * 13.0
        _arrow(ink, (x, y), (tip, y))
        ink.write(x + way * 7.0, y + 3.6, words, FINE_STRONG, "centre")
        _arrow(ink, (x, y), (x, y - 11.0))
        up = self.words.up_arrow(self.template)
        ink.write(x - way * 1.5, y - 6.0, up, FINE_STRONG, "right" if way > 0 else "left")
        if self.template.side is not None:
            at = left + 34.0
            side = f"{self.template.side.upper()} SIDE"
            ink.write(at, top + 8.0, side, STRONG)

    def _paint_bars(self, ink: Ink, top: float) -> None:
        right = self.paper.right
        start = right - STRIP - INCHES - 3.0
        ink.write(start, top + 3.6, f"{MEASURE}:", SMALL_STRONG)
        level_bars(ink, start, top + 5.6)
        upright_bars(ink, right - STRIP + 2.0, top + 2.0)


AWAY: Final = 12.0  # from the edges of a sheet on which a label's thing is best named


def _arrow(ink: Ink, start: Place, tip: Place) -> None:
    ink.rule(start, tip, MIDDLE)
    x, y = tip
    across, down = (1.0 if x > start[0] else -1.0 if x < start[0] else 0.0), y - start[1]
    if down:
        ends = ((x - 1.2, y + 2.4), (x + 1.2, y + 2.4))
    else:
        ends = ((x - across * 2.4, y - 1.2), (x - across * 2.4, y + 1.2))
    for end in ends:
        ink.rule(end, tip, MIDDLE)
