"""Questions on the rear's points that look mixed up when compared with each other.

What is usual is common practice of live axles of the 1950s to 1970s, without a source.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import dist
from typing import Final

from app.document.masses import mass_on
from app.document.model import Leaf, Setup
from app.document.plausible_side import (
    LEVEL,
    Doubt,
    Rule,
    Side,
    duplicates,
    ends_upside_down,
    part_lengths,
    side_doubts,
    sides_differ,
    sides_of,
    weights,
)
from app.document.schema import HALVES

SAME_BY_NATURE: Final = (
    frozenset({"spring_body", "damper_body"}),
    frozenset({"spring_axle", "damper_axle"}),
    frozenset({"centre_bolt", "bar_axle"}),
    frozenset({"axle_centre", "wheel_centre"}),
)
SHACKLE: Final = (40.0, 250.0)  # mm, between its pins
BY_THE_SEAT: Final = 80.0  # mm along the car, from the wheel centre to the bolt in the seat
OFF_WHEELBASE: Final = 25.0  # mm; a bent car, or one measured with a tape
NARROWER: Final = 100.0  # mm; how far a wheel stands in or out of the front one
SKEW: Final = 120.0  # mm; how far a leaf spring's eyes lie in or out of each other
BAR_DIFFERS: Final = 0.1  # of a bar's length
_AXLE_ENDS: Final = ("damper_axle", "spring_axle", "lower_axle", "upper_axle", "centre_bolt")
_STAGGERED: Final = frozenset({"damper_body", "damper_axle"})  # on purpose, against wind-up


def rear_doubts(setup: Setup) -> Iterator[Doubt]:
    """Return the doubts that come from comparing a rear's points and values."""
    left, right = sides_of(setup, "rear")
    doubts = list(side_doubts((left, right), _RULES))
    yield from doubts
    yield from sides_differ(left, right, doubts, _STAGGERED)
    yield from weights(left)
    yield from _axle_mass(left)


def leaf_doubts(leaves: tuple[Leaf, ...]) -> Iterator[tuple[int, str, str]]:
    """Return place, field and doubt of leaves that are longer than the one above; no helper's."""
    for at in range(1, len(leaves)):
        upper, leaf = leaves[at - 1], leaves[at]
        if leaf.contact is not None or upper.contact is not None:
            continue
        for end in HALVES:
            if getattr(leaf, end) > getattr(upper, end):
                text = f"Leaf {at + 1} is longer at the {end} than the leaf above it. "
                yield at, end, f"{text}Are two leaves exchanged?"
                break


def _duplicates(side: Side) -> Iterator[Doubt]:
    return duplicates(side, SAME_BY_NATURE)


def _along_the_leaf(side: Side) -> Iterator[Doubt]:
    for ahead, behind in (
        ("front_eye", "centre_bolt"),
        ("centre_bolt", "rear_eye"),
        ("front_eye", "rear_eye"),
        ("bar_snubber", "bar_axle"),
    ):
        if side.has(ahead, behind) and side.points[ahead][0] <= side.points[behind][0]:
            gap = side.length(side.points[ahead][0] - side.points[behind][0])
            text = f"It is {gap} behind the {side.title(behind)}. Front and rear swapped?"
            yield side.key(ahead), "order", text
            break


def _across_the_leaf(side: Side) -> Iterator[Doubt]:
    if side.has("front_eye", "rear_eye"):
        gap = side.points["rear_eye"][1] - side.points["front_eye"][1]
        if abs(gap) > SKEW:
            where = "outboard" if gap > 0.0 else "inboard"
            text = f"It lies {side.length(gap)} {where} of the {side.title('front_eye')}."
            yield side.key("rear_eye"), "disagree", f"{text} Is y right in both?"


def _shackle(side: Side) -> Iterator[Doubt]:
    if side.has("shackle_body", "rear_eye"):
        length = dist(side.points["shackle_body"], side.points["rear_eye"])
        if not SHACKLE[0] <= length <= SHACKLE[1]:
            text = f"It is {side.length(length)} from the {side.title('rear_eye')}: usual is "
            usual = f"{side.length(SHACKLE[0])} to {side.length(SHACKLE[1])}"
            yield side.key("shackle_body"), "range", f"{text}{usual}. Read both once more."


def _links(side: Side) -> Iterator[Doubt]:
    for link in ("lower", "upper"):
        body, axle = f"{link}_body", f"{link}_axle"
        if side.has(body, axle) and side.points[body][0] <= side.points[axle][0]:
            gap = side.length(side.points[body][0] - side.points[axle][0])
            text = f"It is {gap} behind the {side.title(axle)}. Does the link run rearwards?"
            yield side.key(body), "order", text
    if side.has("upper_axle", "lower_axle"):
        gap_up = side.points["upper_axle"][2] - side.points["lower_axle"][2]
        if gap_up <= 0.0:
            text = f"It is {side.length(gap_up)} lower than the {side.title('lower_axle')}."
            yield side.key("upper_axle"), "order", f"{text} Upper and lower swapped?"
    if side.has("lateral_body", "lateral_axle"):
        ends = (side.points["lateral_body"][1], side.points["lateral_axle"][1])
        if ends[0] * ends[1] > 0.0:
            text = "Both ends are on the same side, and the link crosses the car."
            yield side.key("lateral_body"), "side", f"{text} Is a sign of y wrong?"


def _upside_down(side: Side) -> Iterator[Doubt]:
    for what in ("spring", "damper"):
        yield from ends_upside_down(side, what, "axle")


def _wheel_centre(side: Side) -> Iterator[Doubt]:
    if not side.has("wheel_centre"):
        return
    x, y, z = side.points["wheel_centre"]
    key = side.key("wheel_centre")
    radius, base = side.number("rear.tyre_radius"), side.number("car.wheelbase")
    if base is not None and abs(x + base) > OFF_WHEELBASE:
        text = f"x is {side.length(x + base)} off the wheelbase, {side.length(base)}."
        yield key, "disagree", f"{text} Read both once more."
    if radius is not None and abs(z - radius) > LEVEL and z > 0.0:
        text = f"Its height and the loaded tyre radius, {side.length(radius)}, should be the same."
        yield key, "disagree", text
    front = sides_of(side.setup, "front")[side.is_right].points.get("wheel_centre")
    if front is not None and y > 0.0 and abs(y - front[1]) > NARROWER:
        where = "outboard" if y > front[1] else "inboard"
        text = f"It stands {side.length(y - front[1])} {where} of the front wheel's. Is y right?"
        yield key, "disagree", text
    if side.has("wheel_centre", "pinion") and not side.is_right:
        gap = side.points["pinion"][0] - x
        if gap <= 0.0:
            text = f"It is {side.length(gap)} behind the wheel centre. Is x right?"
            yield side.key("pinion"), "order", text


def _at_the_axle(side: Side) -> Iterator[Doubt]:
    """Ask about a seat far from the axle, and about what is bolted on outboard of the wheel."""
    if side.has("centre_bolt", "wheel_centre"):
        gap = side.points["centre_bolt"][0] - side.points["wheel_centre"][0]
        if abs(gap) > BY_THE_SEAT:
            where = "ahead of" if gap > 0.0 else "behind"
            text = f"It is {side.length(gap)} {where} the wheel centre. Is x right in both?"
            yield side.key("centre_bolt"), "disagree", text
    for name in _AXLE_ENDS:
        if side.has(name, "wheel_centre"):
            gap = side.points[name][1] - side.points["wheel_centre"][1]
            if gap >= 0.0:
                text = f"It is {side.length(gap)} outboard of the wheel's middle. Read y again."
                yield side.key(name), "wheel", text


def _bar(side: Side) -> Iterator[Doubt]:
    if side.has("bar_axle", "centre_bolt"):
        gap = side.points["bar_axle"][2] - side.points["centre_bolt"][2]
        if gap > 0.0:
            text = f"It is {side.length(gap)} higher than the {side.title('centre_bolt')}."
            yield side.key("bar_axle"), "order", f"{text} Is the bar above the spring?"
    stated = side.number("rear.traction_bar.length")
    if stated is not None and side.has("bar_axle", "bar_snubber"):
        length = dist(side.points["bar_axle"], side.points["bar_snubber"])
        if abs(stated - length) > BAR_DIFFERS * length:
            text = f"Its points are {side.length(length)} apart. Read both once more."
            yield "rear.traction_bar.length", "disagree", text


def _axle_mass(side: Side) -> Iterator[Doubt]:
    on_road, axle = mass_on(side.axle, side.number), side.number("rear.axle.mass")
    if on_road is not None and axle is not None and axle >= on_road:
        text = "The axle's mass is more than all that rests on the rear wheels."
        yield "rear.axle.mass", "disagree", text


_RULES: Final[tuple[Rule, ...]] = (
    _duplicates,
    _along_the_leaf,
    _across_the_leaf,
    _shackle,
    _links,
    _upside_down,
    _wheel_centre,
    _at_the_axle,
    _bar,
    lambda side: part_lengths(side, "axle"),
)
