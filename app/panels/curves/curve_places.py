"""Where the plots of the curves stand: one large, the others small beside it."""

from __future__ import annotations

from typing import Final

from app.panels.curves.curve_plot import HEAD
from geometry.dataclass import dataclass

NARROW: Final = 88  # least width of a small plot [px]
LOW: Final = HEAD + 46  # least height of a small plot, its head included [px]
LEAST: Final = 120  # width below which nothing stands beside the large plot [px]
WORDS: Final = (112, 210)  # least and most width of heads without plots [px]
WORDS_SHARE: Final = 0.45  # of the width, between those
LARGE: Final = 0.44  # of the width
EDGE: Final = 4  # free paper around the plots [px]
BETWEEN: Final = 4  # and between them

Box = tuple[int, int, int, int]  # left, top, width, height [px]


@dataclass(frozen=True)
class Places:
    """The large plot's box, and those of the small ones; `plotted` or heads alone."""

    large: Box
    small: tuple[Box, ...]
    plotted: bool


def places_for(width: int, height: int, count: int) -> Places:
    """Return the places of `count` plots on a sheet: as many small ones as can be read."""
    count -= 1
    columns = _columns(width, height, count)
    if columns:
        left = EDGE + round(LARGE * (width - 2 * EDGE))
        return Places(
            (EDGE, 0, left - EDGE - BETWEEN, height),
            _grid(left, width - EDGE - left, height, columns, count),
            True,
        )
    words = round(min(max(WORDS_SHARE * width, WORDS[0]), WORDS[1]))
    rows = min(count, height // HEAD)
    if width - words < LEAST or not rows:
        return Places((EDGE, 0, max(width - 2 * EDGE, 1), height), (), False)
    left = width - EDGE - words
    room = _grid(left, words, min(height, round(1.5 * HEAD) * rows), 1, rows)
    return Places((EDGE, 0, left - EDGE - BETWEEN, height), room, False)


def _columns(width: int, height: int, count: int) -> int:
    """Return how many columns of small plots give the most room to each; 0 where none can be."""
    best, most = 0, 0.0
    for columns in range(1, count + 1):
        wide = (1.0 - LARGE) * width / columns - BETWEEN
        high = height / -(-count // columns)
        if wide >= NARROW and high >= LOW and min(wide, high) > most:
            best, most = columns, min(wide, high)
    return best


def _grid(left: int, width: int, height: int, columns: int, count: int) -> tuple[Box, ...]:
    """Share an area out among boxes, row by row."""
    rows = -(-count // columns)
    wide, high = width / columns, height / rows
    across = [left + round(column * wide) for column in range(columns + 1)]
    down = [round(row * high) for row in range(rows + 1)]
    return tuple(
        (
            across[column],
            down[row],
            across[column + 1] - across[column] - BETWEEN,
            down[row + 1] - down[row],
        )
        for row, column in (divmod(place, columns) for place in range(count))
    )
