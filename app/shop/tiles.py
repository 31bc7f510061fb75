"""A drawing at full size cut into sheets of paper, with marks by which they are taped. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import count
from math import ceil
from string import ascii_uppercase
from typing import Final

from app.shop.plane import Place
from geometry.dataclass import dataclass

OVERLAP: Final = 14.0  # of two sheets [mm]
FROM_END: Final = 8.0  # of a seam to its outer marks [mm]
FROM_CROSSING: Final = 24.0  # where other seams cross it, whose marks have words too
MOST_FROM_END: Final = 0.3  # but of a short seam no more than that share of it
_TRIES: Final = 60
_ROUNDING: Final = 1e-6


@dataclass(frozen=True)
class Box:
    """A rectangle of a template's plane [mm]; `bottom` is below `top`."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """From left to right [mm]."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From bottom to top [mm]."""
        return self.top - self.bottom

    def has(self, place: Place, within: float = 0.0) -> bool:
        """Tell whether a place is in it, by so much from its edges [mm]."""
        across = self.left + within <= place[0] <= self.right - within
        return across and self.bottom + within <= place[1] <= self.top - within


@dataclass(frozen=True)
class Seam:
    """A line along which two sheets meet, with a named mark so far from either end [mm]."""

    start: Place
    end: Place
    names: tuple[str, str]
    sheets: tuple[int, int]
    inset: float = FROM_END

    @property
    def marks(self) -> tuple[Place, Place]:
        """Where its two marks are [mm]."""
        (x0, y0), (x1, y1) = self.start, self.end
        length = abs(x1 - x0) + abs(y1 - y0)
        share = min(self.inset / length, MOST_FROM_END)
        return (
            (x0 + share * (x1 - x0), y0 + share * (y1 - y0)),
            (x1 + share * (x0 - x1), y1 + share * (y0 - y1)),
        )


@dataclass(frozen=True)
class Tiling:
    """Sheets row by row from the top left, and the seams between them; sheets count from 0."""

    columns: int
    rows: int
    sheets: tuple[Box, ...]
    seams: tuple[Seam, ...]

    def seams_of(self, sheet: int) -> tuple[Seam, ...]:
        """Return the seams along which a sheet meets others."""
        return tuple(seam for seam in self.seams if sheet in seam.sheets)


def tiled(content: Box, most: tuple[float, float], keep: Sequence[Place]) -> Tiling:
    """Return the sheets that a drawing needs, none larger than `most`, width and height [mm].

    Seams stay away from the places to `keep` as far as the sheets reach.
    """
    across = _spans(content.left, content.right, most[0], [x for x, _ in keep])
    up = _spans(content.bottom, content.top, most[1], [y for _, y in keep])[::-1]
    sheets = tuple(_cut(content, *x, *y) for y in up for x in across)
    return Tiling(len(across), len(up), sheets, tuple(_seams(sheets, len(across))))


def _cut(content: Box, left: float, right: float, bottom: float, top: float) -> Box:
    """Return a sheet without what lies beyond the drawing."""
    return Box(
        max(left, content.left),
        max(bottom, content.bottom),
        min(right, content.right),
        min(top, content.top),
    )


def _spans(
    start: float, end: float, most: float, keep: Sequence[float]
) -> list[tuple[float, float]]:
    """Return stretches that cover a length with overlaps."""
    length = end - start
    if length <= most + _ROUNDING:
        return [(start, end)]
    pieces = ceil((length - OVERLAP - _ROUNDING) / (most - OVERLAP))
    spare = pieces * most - (pieces - 1) * OVERLAP - length
    firsts = [start - spare * part / _TRIES for part in range(_TRIES + 1)]
    best = max(firsts, key=lambda first: _clearance(first, most, pieces, keep))
    step = most - OVERLAP
    return [(best + step * index, best + step * index + most) for index in range(pieces)]


def _clearance(first: float, most: float, pieces: int, keep: Sequence[float]) -> float:
    """Return how near the nearest place is to a seam [mm]."""
    seams = [first + (most - OVERLAP) * index + OVERLAP / 2 for index in range(1, pieces)]
    return min((abs(seam - at) for seam in seams for at in keep), default=0.0)


def _seams(sheets: Sequence[Box], columns: int) -> Iterator[Seam]:
    names = (f"{letter}{turn or ''}" for turn in count() for letter in ascii_uppercase)
    inset = FROM_CROSSING if 1 < columns < len(sheets) else FROM_END
    for index, sheet in enumerate(sheets):
        if (index + 1) % columns:
            x = sheet.right - OVERLAP / 2
            ends = (x, sheet.top), (x, sheet.bottom)
            yield Seam(*ends, (next(names), next(names)), (index, index + 1), inset)
        if index + columns < len(sheets):
            y = sheet.bottom + OVERLAP / 2
            ends = (sheet.left, y), (sheet.right, y)
            yield Seam(*ends, (next(names), next(names)), (index, index + columns), inset)
