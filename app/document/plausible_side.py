"""The points of one side of an axle, and the rules that both axles share."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from itertools import combinations
from math import dist
from typing import Final

from app.document.address import key_of, mirrored, named
from app.document.ends import key_in, unsprung_key
from app.document.keys import KEYS, points_of
from app.document.masses import mass_on
from app.document.model import Setup, Vec
from app.document.moves import point_in
from app.document.plausible_values import said
from app.document.point_names import point_words
from geometry.dataclass import dataclass

Doubt = tuple[str, str, str]  # key, kind, text

SAME_PLACE: Final = 1.0  # mm; nearer than that, two parts would share one bolt
LEVEL: Final = 5.0  # mm; wheel centre and tyre radius are read that well
SIDES_DIFFER: Final = 25.0  # mm; more than a bent car


@dataclass(frozen=True)
class Side:
    """One side's points by bare name, y counted outwards from the centreline.

    What wasn't measured on the right is there as the left's mirror; `own` was measured.
    """

    setup: Setup
    axle: str
    is_right: bool
    points: Mapping[str, Vec]
    own: frozenset[str]

    def key(self, name: str) -> str:
        """Return the key of a point, the left one's where the right has none of its own."""
        return key_of(self.axle, "right" if self.is_right and name in self.own else "left", name)

    def title(self, name: str) -> str:
        """Return a point's title inside a sentence."""
        return point_words(self.key(name), self.setup.evidence)

    def length(self, value: float) -> str:
        """Return a length's size in words."""
        return said(abs(value), "length", self.setup)

    def has(self, *names: str) -> bool:
        """Tell whether these points are known, and one of them was measured on this side."""
        points = self.points
        return all(name in points for name in names) and not self.own.isdisjoint(names)

    def number(self, key: str) -> float | None:
        """Return a value of one number, None where it isn't given."""
        value = self.setup.evidence.get(key)
        return float(value) if isinstance(value, int | float) else None


Rule = Callable[[Side], Iterator[Doubt]]


def sides_of(setup: Setup, axle: str) -> tuple[Side, Side]:
    """Return both sides of an axle as measured."""
    points = {key: point_in(setup.evidence, key) for key in points_of(setup, axle)}
    left = named(axle, "left", points)
    right = {name: mirrored(at) for name, at in named(axle, "right", points).items()}
    return (
        Side(setup, axle, False, left, frozenset(left)),
        Side(setup, axle, True, {**left, **right}, frozenset(right)),
    )


def side_doubts(sides: tuple[Side, Side], rules: tuple[Rule, ...]) -> Iterator[Doubt]:
    """Return what the rules ask about both sides; the mirrored half isn't asked about again."""
    left, right = sides
    for rule in rules:
        yield from rule(left)
    for rule in rules if right.own else ():
        right_keys = {right.key(name) for name in right.own}
        yield from (
            doubt for doubt in rule(right) if doubt[0] in right_keys or not _is_point(doubt[0])
        )


def _is_point(key: str) -> bool:
    return KEYS[key].kind == "point"


def duplicates(side: Side, by_nature: tuple[frozenset[str], ...]) -> Iterator[Doubt]:
    """Ask about two different points in one place."""
    for one, other in combinations(side.points, 2):
        near = dist(side.points[one], side.points[other]) < SAME_PLACE
        if near and {one, other} not in by_nature and side.has(one, other):
            text = (
                f"It is in the same place as the {side.title(one)}. Was one typed into the other?"
            )
            yield side.key(other), "duplicate", text


def ends_upside_down(side: Side, what: str, foot: str) -> Iterator[Doubt]:
    """Ask about a spring or damper whose upper end is below the lower one."""
    top, low = f"{what}_body", f"{what}_{foot}"
    if side.has(top, low) and _is_upside_down(side, top, low):
        text = f"The {what}'s body end is below its {foot} end. Are the two swapped?"
        yield side.key(top), "order", text


def _is_upside_down(side: Side, top: str, low: str) -> bool:
    return side.points[top][2] <= side.points[low][2]


def sides_differ(
    left: Side,
    right: Side,
    earlier_doubts: Collection[Doubt],
    staggered: frozenset[str] = frozenset(),
) -> Iterator[Doubt]:
    """Ask about points that lie far from where the other side's do, if nothing else is asked."""
    keys = {key for key, _, _ in earlier_doubts}
    for name in (name for name in right.points if name in left.own & right.own - staggered):
        if right.points[name][1] < 0.0 or keys & {left.key(name), right.key(name)}:
            continue
        pairs = zip(left.points[name], right.points[name], strict=True)
        gaps = [abs(a - b) for a, b in pairs]
        worst = max(range(3), key=lambda axis: gaps[axis])
        if gaps[worst] > SIDES_DIFFER:
            text = f"{'xyz'[worst]} differs by {left.length(gaps[worst])} from the left side's."
            yield right.key(name), "disagree", f"{text} Is that so?"


_STATED: Final = (  # part, the less of its two lengths, the greater
    ("spring", "solid", "free"),
    ("damper", "closed", "open"),
)


def part_lengths(side: Side, foot: str) -> Iterator[Doubt]:
    """Compare a spring's and a damper's stated lengths with each other and with their ends."""
    for part, short, long in _STATED:
        least, most = (key_in(side.axle, f"{part}.{word}_length") for word in (short, long))
        closed, open_ = side.number(least), side.number(most)
        if closed is not None and open_ is not None and closed >= open_:
            text = f"The {short} length is not less than the {long} length, {side.length(open_)}."
            yield least, "order", f"{text} Are the two swapped?"
            continue
        ends = f"{part}_body", f"{part}_{foot}"
        if not side.has(*ends) or _is_upside_down(side, *ends):
            continue
        length = dist(*(side.points[end] for end in ends))
        where = f"the {side.length(length)} it has in the car{' on the right' * side.is_right}."
        if open_ is not None and open_ < length:
            yield most, "disagree", f"The {long} length is less than {where}"
        if closed is not None and closed > length:
            yield least, "disagree", f"The {short} length is more than {where}"


def weights(side: Side) -> Iterator[Doubt]:
    """Ask about an unsprung mass that is more than all that rests on the axle."""
    on_road, unsprung = mass_on(side.axle, side.number), side.number(unsprung_key(side.axle))
    if on_road is not None and unsprung is not None and unsprung >= on_road:
        text = (
            f"The {side.axle}'s unsprung mass is more than all that rests on the {side.axle} axle."
        )
        yield unsprung_key(side.axle), "disagree", text
