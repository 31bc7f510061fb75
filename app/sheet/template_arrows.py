"""The arrows of a template, which lie on the metal as they lie on the car, and the side's name."""

from __future__ import annotations

from typing import Final

from app.paper.faces import FINE_STRONG, STRONG
from app.paper.ink import MIDDLE, Align, Ink
from app.shop.plane import Place
from app.shop.template import Template
from app.shop.template_words import TemplateWords

ARROWS: Final = 17.0  # height of the row with the arrows [mm]
ARROW: Final = 12.0


def paint_arrows(
    ink: Ink,
    template: Template,
    words: TemplateWords,
    corner: Place,
    is_turned: bool = False,
    is_inside: bool = False,
) -> None:
    """Draw the arrows at a row's top left corner, and name the side: beside, or above inside."""
    left, top = corner
    right_words, way = words.right_arrow(template)
    up = words.up_arrow(template)
    if is_turned:  # right is up the page, and up is to the left
        x, y = left + 16.0, top + (14.0 if way > 0 else 3.0)
        upright, level = (right_words, -way), (up, -1.0)
    else:
        x, y = left + 16.0, top + 12.0
        upright, level = (up, -1.0), (right_words, way)
    _arrow(ink, (x, y), (x + level[1] * ARROW, y))
    _arrow(ink, (x, y), (x, y + upright[1] * ARROW))
    below = y + 3.6 if upright[1] < 0 else y - 1.2
    ink.write(x + level[1] * 7.0, below, level[0], FINE_STRONG, "centre")
    beside = x - level[1] * 1.5
    align: Align = "right" if level[1] > 0 else "left"
    ink.write(beside, y + upright[1] * 6.0 + 1.0, upright[0], FINE_STRONG, align)
    if template.side is not None:
        side = f"{template.side.upper()} SIDE"
        at = (left + 8.0, top - 1.0) if is_inside else (left + 36.0, top + 8.0)
        ink.write(*at, side, STRONG)


def _arrow(ink: Ink, start: Place, tip: Place) -> None:
    ink.rule(start, tip, MIDDLE)
    across, down = (tip[0] - start[0]) / ARROW, (tip[1] - start[1]) / ARROW
    for side in (-1.2, 1.2):
        end = tip[0] - 2.4 * across + side * down, tip[1] - 2.4 * down + side * across
        ink.rule(end, tip, MIDDLE)
