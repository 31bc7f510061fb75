"""Roll centre, side-view centre and roll axis of a rear as strokes, and what they are made of."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from app.document.units import number_of
from app.drawing.space import Vec, plus_scaled
from app.drawing.strokes import (
    Handle,
    Label,
    LineKind,
    Mark,
    MarkShape,
    OffViewPointer,
    Place,
    Stroke,
)
from app.drawing.views import View
from app.systems.drawing.flat import ENDLESS, Flat
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.places import RearPlaces
from app.systems.result_handles import result_handle
from geometry.links.lines import axle_lines
from geometry.standing import in_body

PARTED: Final = 1.0  # two heights part beyond this [mm]
ALONG: Final = 330.0  # ahead of the wheel, where the anti-squat is written on its line [mm]
REACH: Final = 900.0  # of the roll axis, ahead of the axle [mm]
KIND: Final = LineKind.CONSTRUCTION
WAS: Final = LineKind.CONSTRUCTION_WAS


def centre_handles(scene: RearScene, flat: Flat) -> Iterator[Handle]:
    """Yield the handles of the view's centres, of those that the drawing marks."""
    height = scene.result("roll_centre_height")
    if height is not None and flat.view is not View.TOP:
        at = flat.place(roll_centre_place(scene.now, height))
        words = scene.words.length(height)
        yield result_handle(("roll_centre_height",), at, "Roll centre", words)
    x, z = scene.result("side_centre_x"), scene.result("side_centre_z")
    if flat.view is View.SIDE and x is not None and z is not None:
        centre = drawn_centre(scene, (x, z))
        yield result_handle(("side_centre_x", "side_centre_z"), centre, "Side-view centre")


def centre_strokes(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return construction lines and marks of the view's centres."""
    match flat.view:
        case View.SIDE:
            lines = _link_lines(scene, flat) if scene.car.leaf is None else _eyes_line(scene, flat)
            return [*_side_centre(scene, flat), *lines, *_roll_centre(scene, flat)]
        case View.FRONT:
            return list(_roll_centre(scene, flat))
        case View.TOP:
            return list(_steer(scene, flat))


def _eyes_line(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the line of the eyes: the roll centre is where it passes the axle."""
    if scene.was is not None and scene.same_kind:
        at = scene.was.left.points
        yield flat.line(WAS, at["front_eye"], at["rear_eye"])
    at = scene.now.left.points
    yield flat.line(KIND, at["front_eye"], at["rear_eye"])


def _roll_centre(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    height = scene.result("roll_centre_height")
    before = None
    if scene.was is not None and scene.shown.measured is not None:
        before = scene.result("roll_centre_height", scene.shown.measured)
    if before is not None and scene.was is not None and _parts(before, height):
        at = flat.place(roll_centre_place(scene.was, before))
        yield Mark(at, MarkShape.CENTRE, WAS)
        text = f"roll centre was {scene.words.bare(before)}"
        yield Label(text, at, WAS, "roll centre was", 4)
    if height is None:
        return
    at = flat.place(roll_centre_place(scene.now, height))
    yield from _band(scene, flat, at, height)
    yield Mark(at, MarkShape.CENTRE, KIND)
    text = f"roll centre {scene.words.length(height)}{_other(scene, flat, height)}"
    yield Label(text, at, KIND, "roll centre", 9, "left", True)


def _band(scene: RearScene, flat: Flat, at: Place, height: float) -> Iterator[Stroke]:
    """Yield the spread between the two ways of taking a roll centre."""
    other = scene.result("roll_centre_other")
    if other is None or not _parts(other, height):
        return
    end = flat.place(roll_centre_place(scene.now, other))
    yield OffViewPointer(at, end, kind=LineKind.PATH)
    yield Mark(end, MarkShape.DOT, LineKind.PATH)


def _other(scene: RearScene, flat: Flat, height: float) -> str:
    """Return the other height in words; in side view there is room for it."""
    other = scene.result("roll_centre_other")
    if flat.view is not View.SIDE or other is None or not _parts(other, height):
        return ""
    where = "main leaf" if scene.car.leaf is not None else "by force"
    return f" ({where} {scene.words.bare(other)})"


def _parts(one: float, other: float | None) -> bool:
    return other is None or abs(one - other) > PARTED


def roll_centre_place(places: RearPlaces, height: float) -> Vec:
    """Return a roll centre's place on the car's middle plane, over the axle."""
    foot = places.on_road((places.middle[0], 0.0, 0.0))
    return plus_scaled(foot, places.up, height)


# Side view


def _side_centre(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the line from the contact point to the side-view centre: its slope is the support."""
    start = flat.place(scene.now.left.wheel.contact)
    if scene.was is not None and scene.shown.measured is not None:
        was = flat.place(scene.was.left.wheel.contact)
        before = _centre(scene, was, measured=True)
        if before is not None:
            yield OffViewPointer(was, before, kind=WAS)
    target = _centre(scene, start)
    if target is None:
        return
    yield OffViewPointer(start, target, _side_words(scene, start, target), key="side centre")
    if scene.car.leaf is not None:
        yield OffViewPointer(flat.place(scene.now.left.wheel.centre), target)
    if math.dist(start, target) < ENDLESS:
        yield Mark(target, MarkShape.CENTRE, KIND)
        yield Label("side-view centre", target, KIND, "side centre mark", 3)
    squat = scene.result("anti_squat")
    if squat is not None:
        slope = (target[1] - start[1]) / (target[0] - start[0])
        at = start[0] + ALONG, start[1] + slope * ALONG
        share = number_of(squat, "percent", "mm", decimal=scene.words.decimal, places=0)
        yield Label(f"anti-squat {share} %", at, KIND, "anti-squat", 5, "above")


def _centre(scene: RearScene, start: Place, measured: bool = False) -> Place | None:
    """Return the side-view centre, or a place far off in its direction."""
    sweep = scene.shown.measured if measured else scene.shown.proposed
    x, z = scene.result("side_centre_x", sweep), scene.result("side_centre_z", sweep)
    if x is not None and z is not None:
        return drawn_centre(scene, (x, z), measured)
    squat = scene.result("anti_squat", sweep)
    base, height = scene.number("car.wheelbase"), scene.number("car.cg_height")
    if squat is None or base is None or height is None:
        return None
    return start[0] + ENDLESS, start[1] + ENDLESS * squat * height / (100.0 * base)


def drawn_centre(scene: RearScene, centre: Place, measured: bool = False) -> Place:
    """Return where the drawing, which is the body's, has a centre of either car."""
    study = scene.shown.study
    places = scene.was if measured and scene.was is not None else scene.now
    hub = places.left.wheel.centre
    car = study.measured if measured else study.proposed
    return in_body(centre, (hub[0], hub[2]), car.stand)


def _side_words(scene: RearScene, start: Place, target: Place) -> str:
    ahead, up = target[0] - start[0], target[1] - start[1]
    x, z = scene.result("side_centre_x"), scene.result("side_centre_z")
    if x is not None and z is not None:  # to the road, as the results are
        ahead, up = x - start[0], z + scene.car.stand.travel - start[1]
    if math.hypot(ahead, up) >= ENDLESS:
        return "side-view centre at infinity: the axle doesn't pitch"
    along, high = scene.words.apart(ahead, up)
    where, which = "ahead" if ahead > 0 else "behind", "up" if up >= 0 else "down"
    return f"side-view centre {along} {where}, {high} {which}"


def _link_lines(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the lines of the links to the side-view centre, and the roll axis."""
    sweep = scene.shown.proposed
    if sweep.links is None or not sweep.reached[0]:
        return
    lines = axle_lines(sweep.links, 0, REACH)
    for line in (lines.lower_line, lines.upper_line):
        start, end = (flat.place(tuple(map(float, place))) for place in line)  # type: ignore[arg-type]
        yield OffViewPointer(start, end)
    start, end = (flat.place(tuple(map(float, place))) for place in lines.roll_axis)  # type: ignore[arg-type]
    yield OffViewPointer(start, end, kind=KIND)
    yield Label("roll axis", end, KIND, "roll axis", 2, "above")


# Top view


def _steer(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the axle's line, and where it heads when the body rolls."""
    steer = scene.result("axle_steer")
    if steer is None or abs(math.degrees(steer)) < 0.005:
        return
    reach = scene.now.left.wheel.radius + 90.0
    middle = scene.now.middle
    heading: Vec = (math.cos(steer), math.sin(steer), 0.0)
    end = plus_scaled(middle, heading, reach)
    yield flat.line(LineKind.AXIS, plus_scaled(middle, heading, -reach), end)
    way = "left" if steer > 0 else "right"
    text = f"axle steers {scene.words.angle(abs(steer))} to the {way}"
    yield Label(text, flat.place(end), LineKind.PROPOSED, "axle steer", 7, "above", True)
