"""How much metal a new hole leaves: to the old one, and to stated edges of the metal. No Qt.

Two diameters from a hole's centre to an edge or another hole is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from math import dist

from app.document.address import mirrored
from app.document.clearances import Envelope
from app.document.model import Setup, Units, Vec
from app.document.plain_text import lower_first, upper_first
from app.drawing.space import dot, minus, plus_scaled
from app.shop.template import Hole, Template, templates
from app.words.lengths import bench_length
from geometry.dataclass import dataclass

_SEEN = 0.05  # a smaller distance is none [mm]
_NEAR = 8.0  # diameters beyond which an edge is no matter of a hole's


@dataclass(frozen=True)
class HoleGap:
    """What a new hole leaves of the metal [mm]; below 0 it breaks into what it is told of.

    `what` is the old hole's name, or the edge's; `least` is what is to be left there.
    """

    hole: Hole
    what: str
    is_old_hole: bool
    left: float
    least: float

    @property
    def breaks_in(self) -> bool:
        """Whether nothing is left."""
        return self.left <= _SEEN

    @property
    def is_thin(self) -> bool:
        """Whether less is left than should be."""
        return self.left < self.least - _SEEN


def hole_gaps(template: Template) -> Iterator[HoleGap]:
    """Yield what each new hole of a known size leaves, from its edge to the other one's."""
    diameter, keep = template.diameter, template.edge
    if diameter is None or keep is None or not template.is_hole:
        return
    for hole in (each for each in template.holes if not each.stays):
        if hole.old is not None:
            yield HoleGap(hole, "old hole", True, hole.step - diameter, keep - diameter)
        for edge in (each for each in template.edges if _is_at(each, template)):
            centre = _distance(hole.new, edge)
            if centre < _NEAR * diameter:
                radius = 0.5 * diameter
                yield HoleGap(hole, edge.name, False, centre - radius, keep - radius)


def gap_words(template: Template, units: Units, decimal: str) -> str:
    """Say how much metal each new hole leaves, where its size is known; else nothing."""
    parts = [_told(gap, template, units, decimal) for gap in hole_gaps(template)]
    if not parts:
        return ""
    return f"Metal left, from the edge of the new hole: {'; '.join(parts)}."


def order_gap_words(setup: Setup, keys: Collection[str], decimal: str) -> Iterator[str]:
    """Yield what the shop must know before it drills points anew: thin metal, holes that meet."""
    drilled = [
        each
        for each in templates(setup)
        if each.is_hole and any(hole.key in keys for hole in each.holes if not hole.stays)
    ]
    titles = dict.fromkeys(template.title for template in drilled)
    for title in titles:
        own = [each for each in drilled if each.title == title]
        by_side = {each.side: (*_cautions(each, keys, setup.units, decimal),) for each in own}
        named = f"{title}: " if len(titles) > 1 else ""
        if len({*by_side.values()}) == 1:
            yield from (f"{named}{_after(named, words)}" for words in next(iter(by_side.values())))
            continue
        for side, cautions in by_side.items():
            which = f"{title}, {side} side: " if named else f"{upper_first(str(side))} side: "
            yield from (f"{which}{lower_first(words)}" for words in cautions)


def _after(named: str, words: str) -> str:
    return lower_first(words) if named else words


def _cautions(
    template: Template, keys: Collection[str], units: Units, decimal: str
) -> Iterator[str]:
    """Yield what must be known of one template's holes."""
    gaps = [g for g in hole_gaps(template) if g.is_thin and g.hole.key in keys]
    both = [g for g in gaps if g.is_old_hole]
    if len(both) == 2 and _alike(both[0], both[1], units, decimal):
        yield _caution(both[0], "the new holes", "the old ones", units, decimal)
        gaps = [g for g in gaps if not g.is_old_hole]
    for gap in gaps:
        named = f"{gap.hole.name} " if gap.hole.name and len(template.holes) > 1 else ""
        yield _caution(gap, f"the new {named}hole", "the old one", units, decimal)


def _alike(one: HoleGap, other: HoleGap, units: Units, decimal: str) -> bool:
    """Tell whether two holes leave the same, as it is said."""
    if one.breaks_in or other.breaks_in:
        return one.breaks_in and other.breaks_in
    return bench_length(one.left, units, decimal) == bench_length(other.left, units, decimal)


def _told(gap: HoleGap, template: Template, units: Units, decimal: str) -> str:
    name = f"{gap.hole.name}, " if gap.hole.name and len(template.holes) > 1 else ""
    to = "to the old one" if gap.is_old_hole else f"to {gap.what}"
    if gap.breaks_in:
        return f"{name}{to} none: it breaks in"
    thin = "" if not gap.is_thin else f", less than the {bench_length(gap.least, units, decimal)}"
    return f"{name}{to} {bench_length(gap.left, units, decimal)}{thin}"


def _caution(gap: HoleGap, new: str, old: str, units: Units, decimal: str) -> str:
    """Say what is to be done about a hole that leaves too little."""
    left, many = bench_length(gap.left, units, decimal), new.endswith("holes")
    if gap.is_old_hole and gap.breaks_in:
        plate = "plate them" if many else "plate it"
        return f"{upper_first(new)} break{'' if many else 's'} into {old}: {plate}, then drill."
    if gap.is_old_hole:
        return f"Between {new} and {old} {left} of metal is left: plate {old}."
    if gap.breaks_in:
        return f"{upper_first(new)} breaks out at {gap.what}: it can't be there."
    return f"From {new} to {gap.what} {left} of metal is left: fit a doubler."


def _is_at(edge: Envelope, template: Template) -> bool:
    if edge.side == "both" or template.side is None:
        return True
    return edge.side == template.side


def _distance(place: Vec, edge: Envelope) -> float:
    """Return how far a place is from an edge, which is mirrored for the other side [mm]."""
    start, end = (at for at in (edge.start, edge.finish) if not isinstance(at, str))
    if edge.side == "both" and place[1] < 0.0:
        start, end = mirrored(start), mirrored(end)
    line = minus(end, start)
    share = min(max(dot(minus(place, start), line) / dot(line, line), 0.0), 1.0)
    return dist(place, plus_scaled(start, line, share))
