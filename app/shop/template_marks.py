"""The lines, circles and words of a template, alike on paper and in a drawing file. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot
from typing import Final, Literal

from app.shop.plane import Place
from app.shop.template import Hole, Template
from app.shop.template_words import TemplateWords
from app.shop.tiles import Box
from geometry.dataclass import dataclass

Layer = Literal[
    "OLD_CENTRES",
    "OLD_HOLES",
    "NEW_CENTRES",
    "NEW_HOLES",
    "EDGE_DISTANCE",
    "PIVOT_AXES",
    "DATUM",
    "WORDS",
]

OLD_ARM: Final = 6.0  # of the cross at an old centre [mm]
NEW_ARM: Final = 8.0
AROUND: Final = 14.0  # least room around a centre
LETTERS: Final = 2.4  # height of capitals
ABOVE: Final = 6.0  # room at the top for the words of the upright line
BESIDE: Final = 46.0  # room at the right of a hole alone, for those of the level line
BEYOND: Final = 12.0  # by which a pivot axis goes on beyond its pivots


@dataclass(frozen=True)
class Line:
    """A straight line [mm]."""

    layer: Layer
    start: Place
    end: Place


@dataclass(frozen=True)
class Circle:
    """A circle [mm]."""

    layer: Layer
    centre: Place
    radius: float


@dataclass(frozen=True)
class Label:
    """Words whose baseline begins, or has its middle, at a place [mm]; `of` is what they name."""

    at: Place
    words: str
    of: Place
    is_centred: bool = True
    layer: Layer = "WORDS"


Mark = Line | Circle | Label


def content_of(template: Template) -> Box:
    """Return the part of the plane that a template shows [mm]."""
    room = max(AROUND, (template.edge or 0.0) + 2.0)
    places = [place for hole in template.holes for place in (hole.old_at, hole.new_at)]
    xs, ys = [x for x, _ in places], [y for _, y in places]
    beside = BESIDE if len(template.holes) == 1 else 0.0
    return Box(min(xs) - room, min(ys) - room, max(xs) + room + beside, max(ys) + room + ABOVE)


def marks_of(template: Template, words: TemplateWords) -> tuple[Mark, ...]:
    """Return all marks of a template, in its plane."""
    return tuple(_marks(template, words))


def _marks(template: Template, words: TemplateWords) -> Iterator[Mark]:
    yield from _datum(template, words)
    if len(template.holes) == 2:
        yield from _axes(template)
    for hole in template.holes:
        yield from _hole(template, hole, words)


def _datum(template: Template, words: TemplateWords) -> Iterator[Mark]:
    """Yield the level and the upright line through the first old centre, with their words."""
    box, first = content_of(template), template.holes[0]
    x, y = first.old_at
    yield Line("DATUM", (box.left, y), (box.right, y))
    yield Line("DATUM", (x, box.bottom), (x, box.top))
    top = box.top - LETTERS - 1.0
    yield Label((x + 1.5, top), words.upright_line(template), (x, y), is_centred=False)
    if len(template.holes) == 1:
        at = box.right - BESIDE - (template.edge or AROUND) + 14.0, y + 1.2
        yield Label(at, words.level_line(template), (x, y), is_centred=False)
        return
    other = template.holes[1].old_at
    under = other[1] > y  # the axis rises from the first one: the words go below the line
    middle = 0.5 * (x + other[0]), y - LETTERS - 1.2 if under else y + 1.2
    yield Label(middle, words.level_line(template), middle)


def _axes(template: Template) -> Iterator[Mark]:
    front, rear = template.holes
    is_moved = not (front.stays and rear.stays)
    yield _extended("PIVOT_AXES", front.old_at, rear.old_at)
    if is_moved:
        yield _extended("PIVOT_AXES", front.new_at, rear.new_at)


def _extended(layer: Layer, start: Place, end: Place) -> Line:
    across, up = end[0] - start[0], end[1] - start[1]
    share = BEYOND / (hypot(across, up) or 1.0)
    return Line(
        layer,
        (start[0] - share * across, start[1] - share * up),
        (end[0] + share * across, end[1] + share * up),
    )


def _hole(template: Template, hole: Hole, words: TemplateWords) -> Iterator[Mark]:
    radius = None if template.diameter is None else 0.5 * template.diameter
    yield from _cross("OLD_CENTRES", hole.old_at, OLD_ARM)
    if radius is not None:
        yield Circle("OLD_HOLES", hole.old_at, radius)
    above = hole.new_at[1] <= hole.old_at[1]
    clear = max(OLD_ARM, radius or 0.0)
    yield _label(hole.old_at, words.old_hole(hole), clear, above)
    if hole.stays:
        return
    yield from _cross("NEW_CENTRES", hole.new_at, NEW_ARM)
    if radius is not None and template.edge is not None:
        yield Circle("NEW_HOLES", hole.new_at, radius)
        yield Circle("EDGE_DISTANCE", hole.new_at, template.edge)
    clear = max(NEW_ARM, radius or 0.0)
    yield _label(hole.new_at, words.new_hole(hole), clear, not above)


def _cross(layer: Layer, at: Place, arm: float) -> Iterator[Line]:
    x, y = at
    yield Line(layer, (x - arm, y), (x + arm, y))
    yield Line(layer, (x, y - arm), (x, y + arm))


def _label(at: Place, words: str, clear: float, above: bool) -> Label:
    """Return words above or below what is marked at a place."""
    y = at[1] + clear + 1.2 if above else at[1] - clear - 1.2 - LETTERS
    return Label((at[0], y), words, at)
