"""What views on paper have in common, whatever system they show: calm drawings, and their foot."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.drawing.strokes import Bounds, Drawing, OffViewPointer
from app.paper.check_bars import INCHES, level_bars
from app.paper.faces import FINE, SMALL, STRONG
from app.paper.ink import MIDDLE, THICK, THIN, Ink
from app.paper.sizes import Paper

TITLE: Final = 4.6
GAP: Final = 3.0
STRIP: Final = 11.0  # for the upright bars at the right edge
FOOT: Final = 17.5  # for legend and level bars under the views
_APART: Final = 38.0  # of two words of the legend [mm]


def calm(drawing: Drawing) -> Drawing:
    """Return a drawing whose words on far centres are left out where there is no room."""
    strokes = (
        replace(stroke, priority=0) if isinstance(stroke, OffViewPointer) else stroke
        for stroke in drawing.strokes
    )
    return replace(drawing, strokes=tuple(strokes))


def bounds_of(drawing: Drawing) -> Bounds:
    """Return the bounds of a drawing of a car, which always has some."""
    assert drawing.bounds is not None
    return drawing.bounds


def paint_foot(
    ink: Ink, paper: Paper, top: float, changed: bool, signs: str, scales: str, right: float
) -> None:
    """Say what lines and signs mean, and that the `scales` hold at full size only.

    `right` is where the words end [mm]; `changed` tells whether there are two cars.
    """
    left, y = paper.margin, top + 4.2
    lines: list[tuple[float, tuple[float, ...], str]] = [(THICK, (), "as found")]
    if changed:
        lines = [(THICK, (), "as built"), (THIN, (12.0, 3.0), "as found")]
    lines.append((THIN, (24.0, 3.0, 1.5, 3.0), "centrelines"))
    for index, (weight, dashes, words) in enumerate(lines):
        x = left + _APART * index
        ink.chain([(x, y - 1.0), (x + 11.0, y - 1.0)], weight, dashes)
        ink.write(x + 13.0, y, words, FINE)
    x = left + _APART * len(lines) + 2.0
    ink.box(x, y - 2.2, 2.2, 2.2, MIDDLE)
    ink.write(x + 4.0, y, signs, FINE)
    level_bars(ink, left, top + 6.4)
    x = left + INCHES + 4.0
    scale_lines = (
        (f"{scales} when printed at 100 %", STRONG),
        ("that is “actual size”: lay a rule on the", SMALL),
        ("bars before measuring on this page.", SMALL),
    )
    for index, (words, face) in enumerate(scale_lines):
        ink.write(x, top + 9.4 + 3.7 * index, words, face, width=right - x)
