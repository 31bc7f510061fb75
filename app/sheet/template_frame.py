"""A part of a template's plane on a page at full size: its marks, its words, its seams."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from app.paper.faces import FINE, FINE_STRONG, Face, width_of
from app.paper.ink import MIDDLE, THIN, Ink
from app.shop.plane import Place
from app.shop.template_marks import Circle, Label, Layer, Line, Mark
from app.shop.tiles import Box, Seam, Tiling
from geometry.dataclass import dataclass

REGISTER: Final = 4.0  # arm of a mark on a seam [mm]
AWAY: Final = 12.0  # from the edges of a sheet on which a thing is best named
CLEAR: Final = 0.4  # around words that are written over lines
DASHES: Final[dict[Layer, tuple[float, ...]]] = {  # in line widths
    "OLD_CENTRES": (7.0, 4.0),
    "OLD_HOLES": (7.0, 4.0),
    "EDGE_DISTANCE": (12.0, 8.0),
    "PIVOT_AXES": (22.0, 6.0),
    "DATUM": (60.0, 10.0, 6.0, 10.0),
    "LINKS": (22.0, 6.0),
    "BETWEEN": (22.0, 6.0),
}
SEAM: Final = (3.0, 3.0)
WEIGHTS: Final[dict[Layer, float]] = {"NEW_HOLES": MIDDLE, "NEW_CENTRES": 0.25}


@dataclass(frozen=True)
class Frame:
    """Where a sheet's part of the plane is on a page [mm], its top left corner at x, y.

    A frame that `is_turned` has the plane's right up the page, for pairs that are longer than a
    page is wide.
    """

    part: Box
    x: float
    y: float
    is_turned: bool = False

    @property
    def width(self) -> float:
        """On the page [mm]."""
        return self.part.height if self.is_turned else self.part.width

    @property
    def height(self) -> float:
        """On the page [mm]."""
        return self.part.width if self.is_turned else self.part.height

    def at(self, place: Place) -> Place:
        """Return where a place of the plane is on the page."""
        across, up = place
        if self.is_turned:
            return self.x + self.part.top - up, self.y + self.part.right - across
        return self.x + across - self.part.left, self.y + self.part.top - up

    @contextmanager
    def _written(self, ink: Ink, place: Place) -> Iterator[Place]:
        """Write along the plane's right from a place of the plane."""
        x, y = self.at(place)
        if not self.is_turned:
            yield x, y
            return
        with ink.turned(x, y):
            yield 0.0, 0.0

    def paint(self, ink: Ink, marks: tuple[Mark, ...], tiling: Tiling, sheet: int) -> None:
        """Paint marks, the words that are named on this sheet, and its seams."""
        with ink.inside(self.x, self.y, self.width, self.height):
            for mark in marks:
                if not isinstance(mark, Label):
                    self._paint_mark(ink, mark)
            for mark in marks:
                if isinstance(mark, Label) and sheet == _sheet_of(mark, tiling):
                    self._paint_label(ink, mark, tiling.seams_of(sheet), sheet)
        for seam in tiling.seams_of(sheet):
            self._paint_seam(ink, seam, sheet == seam.sheets[0])
        ink.box(self.x, self.y, self.width, self.height, THIN)

    def _paint_mark(self, ink: Ink, mark: Line | Circle) -> None:
        dashes, weight = DASHES.get(mark.layer, ()), WEIGHTS.get(mark.layer, THIN)
        if isinstance(mark, Line):
            ink.chain((self.at(mark.start), self.at(mark.end)), weight, dashes)
        else:
            ink.circle(*self.at(mark.centre), mark.radius, weight, dashes)

    def _paint_label(self, ink: Ink, label: Label, seams: tuple[Seam, ...], sheet: int) -> None:
        """Write words over whatever lines cross them, inside the frame and short of its seams."""
        face = FINE_STRONG if label.words.startswith("NEW") else FINE
        width = width_of(label.words, face)
        across, up = label.at
        left, right = _between_seams(self.part, seams, sheet)
        start = across - 0.5 * width if label.is_centred else across
        start = max(left + 1.0, min(start, right - width - 1.0))
        with self._written(ink, (start, up)) as (x, y):
            _write_over(ink, x, y, label.words, face)

    def _paint_seam(self, ink: Ink, seam: Seam, is_first: bool) -> None:
        """Draw a seam with its marks and their names."""
        ink.chain((self.at(seam.start), self.at(seam.end)), THIN, SEAM)
        other = seam.sheets[1 if is_first else 0] + 1
        for place, name in zip(seam.marks, seam.names, strict=True):
            x, y = self.at(place)
            ink.rule((x - REGISTER, y), (x + REGISTER, y), THIN)
            ink.rule((x, y - REGISTER), (x, y + REGISTER), THIN)
            ink.circle(x, y, 0.6 * REGISTER, THIN)
            words = f"{name} to {name} of sheet {other}"
            start = self._beside_mark(seam, place, is_first, words)
            _write_over(ink, *start, words, FINE)

    def _beside_mark(self, seam: Seam, place: Place, is_first: bool, words: str) -> Place:
        """Return where a mark's words begin, on the side of the seam that this sheet keeps."""
        x, y = self.at(place)
        beside, width = REGISTER + 0.8, width_of(words, FINE)
        left, right = x - beside - width, x + beside
        if seam.start[0] == seam.end[0]:
            return (left if is_first else right), y - 1.0
        is_left = place[0] < 0.5 * (seam.start[0] + seam.end[0])
        baseline = y - 1.4 if is_first else y + 1.4 + FINE.rise
        return (right if is_left else left), baseline


def _sheet_of(label: Label, tiling: Tiling) -> int:
    """Return the sheet on which a label's thing is named: the first that has it well inside."""
    holders = [i for i, part in enumerate(tiling.sheets) if part.has(label.of)]
    best = [i for i in holders if tiling.sheets[i].has(label.of, AWAY)]
    return (best or holders)[0]


def _between_seams(part: Box, seams: tuple[Seam, ...], sheet: int) -> Place:
    """Return between which places across words stand: the sheet's ends, or seams near them."""
    left, right = part.left, part.right
    for seam in seams:
        x = seam.start[0]
        if x == seam.end[0]:
            left, right = (left, x) if sheet == seam.sheets[0] else (x, right)
    return left, right


def _write_over(ink: Ink, x: float, y: float, words: str, face: Face) -> None:
    width = width_of(words, face)
    ink.clear(x - CLEAR, y - face.rise - CLEAR, width + 2 * CLEAR, face.rise + 2 * CLEAR)
    ink.write(x, y, words, face)
