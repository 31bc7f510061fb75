"""The lines, circles and words of a template, alike on paper and in a drawing file. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist, hypot, inf
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
    "LINKS",
    "BETWEEN",
    "WORDS",
]

OLD_ARM: Final = 6.0  # of the cross at an old centre [mm]
NEW_ARM: Final = 8.0
AXLE_ARM: Final = 7.0  # of that at an axle's centre
AROUND: Final = 14.0  # least room around a centre
AROUND_NEW: Final = 22.0  # around one that has no old one: with the way to the link's other end
LETTERS: Final = 2.4  # height of capitals
AXLE_DRAWN: Final = 80.0  # from a new mount to an axle's centre that is drawn beside it
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


def content_of(template: Template, most: float = inf) -> Box:
    """Return the part of the plane that a template shows [mm].

    Where that would be wider than `most`, the ring to keep clear is cut off, but no hole is.
    """
    xs, ys = [x for x, _ in template.centres], [y for _, y in template.centres]
    least = max(NEW_ARM, 0.5 * (template.diameter or 0.0)) + 2.0
    room = max(least, min(_room(template), 0.5 * (most - max(xs) + min(xs))))
    beside = room + (BESIDE if len(template.shown) == 1 else 0.0)
    if template.is_new or (template.shows != "both" and len(template.shown) == 1):
        beside = max(room, NEW_ARM + BESIDE)
    under = max(room, least + LETTERS)
    box = Box(min(xs) - room, min(ys) - under, max(xs) + beside, max(ys) + under + ABOVE)
    for at in axle_at(template):
        box = _with_axle(box, at)
    return box


def _with_axle(box: Box, at: Place) -> Box:
    """Return a box with room for the axle's centre and its name."""
    around = AXLE_ARM + 2.0
    return Box(
        min(box.left, at[0] - around),
        min(box.bottom, at[1] - around),
        max(box.right, at[0] + around),
        max(box.top, at[1] + around + LETTERS + ABOVE),
    )


def _room(template: Template) -> float:
    has_way = template.is_new or template.shows != "both"
    around = AROUND_NEW if has_way else AROUND
    return max(around, (template.edge or 0.0) + 2.0)


def axle_at(template: Template) -> list[Place]:
    """Return where the axle's centre stands beside a new mount, if it is near enough [mm]."""
    if not template.is_new or template.plane.lie != "lengthwise":
        return []
    at = template.plane.place(template.axle)
    return [at] if dist(at, template.holes[0].new_at) <= AXLE_DRAWN else []


def marks_of(
    template: Template, words: TemplateWords, content: Box | None = None
) -> tuple[Mark, ...]:
    """Return all marks of a template, in the part of its plane that is shown."""
    return tuple(_marks(template, words, content or content_of(template)))


def _marks(template: Template, words: TemplateWords, content: Box) -> Iterator[Mark]:
    yield from _datum(template, words, content)
    if len(template.shown) == 2:
        yield from _axes(template)
    for at in axle_at(template):
        yield from _cross("DATUM", at, AXLE_ARM)
        yield Circle("DATUM", at, 0.5 * AXLE_ARM)
        yield Label((at[0] + AXLE_ARM + 1.0, at[1] - 1.2), words.axle(), at, is_centred=False)
    if template.far_end is not None:
        yield from _link_line(template, template.plane.place(template.far_end))
    for hole in template.shown:
        if template.shows != "both" and not hole.stays:
            yield from _way(template, hole)
        yield from _hole(template, hole, words)


def _way(template: Template, hole: Hole) -> Iterator[Line]:
    """Yield the straight line to a hole's other centre, which is on a sheet of its own."""
    here, there = hole.first_at, hole.new_at
    if template.shows == "new":
        here, there = there, here
    share = (AROUND_NEW - 1.0) / (hole.step or 1.0)
    end = here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])
    yield Line("BETWEEN", here, end)


def _link_line(template: Template, far_at: Place) -> Iterator[Line]:
    """Yield the beginning of a link's centre line, from its new mount towards its other end."""
    x, y = template.holes[0].new_at
    length = dist((x, y), far_at)
    if length <= NEW_ARM:
        return
    share = (AROUND_NEW - 1.0) / length
    yield Line("LINKS", (x, y), (x + share * (far_at[0] - x), y + share * (far_at[1] - y)))


def _datum(template: Template, words: TemplateWords, box: Box) -> Iterator[Mark]:
    """Yield the level and the upright line through the first centre, with their words."""
    x, y = template.datum_at
    yield Line("DATUM", (box.left, y), (box.right, y))
    yield Line("DATUM", (x, box.bottom), (x, box.top))
    top = box.top - LETTERS - 1.0
    yield Label((x + 1.5, top), words.upright_line(template), (x, y), is_centred=False)
    if len(template.shown) == 1:
        at = _beside(template, box), y + 1.2
        yield Label(at, words.level_line(template), (x, y), is_centred=False)
        return
    other = template.centres[1]
    under = other[1] > y  # the axis rises from the first one: the words go below the line
    middle = 0.5 * (x + other[0]), y - LETTERS - 1.2 if under else y + 1.2
    yield Label(middle, words.level_line(template), middle)


def _beside(template: Template, box: Box) -> float:
    """Return where the words of the level line of a hole alone begin, across [mm]."""
    if template.is_new or template.shows != "both":
        return template.datum_at[0] + NEW_ARM + 1.0
    return box.right - BESIDE - (template.edge or AROUND) + 14.0


def _axes(template: Template) -> Iterator[Mark]:
    front, rear = template.holes
    is_moved = not (front.stays and rear.stays)
    if template.shows != "new":
        yield _extended("PIVOT_AXES", front.first_at, rear.first_at)
    if is_moved and template.shows != "old":
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
    above = True
    if hole.old_at is not None and template.shows != "new":
        yield from _cross("OLD_CENTRES", hole.old_at, OLD_ARM)
        if radius is not None:
            yield Circle("OLD_HOLES", hole.old_at, radius)
        above = template.shows == "old" or hole.new_at[1] <= hole.old_at[1]
        clear = max(OLD_ARM, radius or 0.0)
        yield _label(hole.old_at, words.old_hole(hole, template.shows == "old"), clear, above)
    if hole.stays or template.shows == "old":
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
