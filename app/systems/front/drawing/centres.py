"""Roll centre and instant centres as strokes: construction lines, marks, and where they are."""

from __future__ import annotations

import math
from typing import Final

from app.drawing.space import Vec, cross, plus_scaled
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
from app.systems.answers import value_in
from app.systems.drawing.flat import ENDLESS, Flat
from app.systems.front.drawing.scene import Scene
from app.systems.front.places import Places, Side
from app.systems.result_handles import result_handle
from geometry.catalogue.front import BY_KEY
from geometry.front.axle import Front
from geometry.front.centres import front_view, side_view
from geometry.front.sweeps import Sweep
from geometry.standing import in_body

AHEAD: Final = (1.0, 0.0, 0.0)
FRONT_CENTRE: Final = ("instant_centre_y", "instant_centre_z")
SIDE_CENTRE: Final = ("side_centre_x", "side_centre_z")
PARTED: Final = 1.0  # two centres, or construction and motion, part beyond this [mm]


def centre_handles(scene: Scene, flat: Flat) -> list[Handle]:
    """Return the handles of the view's centres, of those that the drawing marks."""
    left, values = scene.now.left, scene.values
    if flat.view is View.SIDE:
        return _handle_at(_side_target(scene, left), SIDE_CENTRE, "Side-view centre")
    if flat.view is View.TOP:
        return []
    handles = _handle_at(
        _front_target(scene.shown.study.proposed.front, values, 0), FRONT_CENTRE, "Instant centre"
    )
    height = _of(values, "roll_centre_height", 0)
    if height is not None:
        at = flat.place(_road_place(scene.now, values, height))
        words = scene.words.length(height)
        handles.append(result_handle(("roll_centre_height",), at, "Roll centre", words))
    return handles


def _handle_at(target: Place, keys: tuple[str, ...], name: str) -> list[Handle]:
    return [result_handle(keys, target, name)] if math.hypot(*target) < ENDLESS else []


def centre_strokes(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return construction lines and marks of the view's centres; the top view has none."""
    match flat.view:
        case View.FRONT:
            return [*_instant_centre(scene, flat), *_roll_centre(scene, flat)]
        case View.SIDE:
            return _side_centre(scene, flat)
        case View.TOP:
            return []


# Front view


def _instant_centre(scene: Scene, flat: Flat) -> list[Stroke]:
    front = scene.shown.study.proposed.front
    left = scene.now.left
    target = _front_target(front, scene.values, 0)
    text = _front_text(scene, scene.values)
    strokes: list[Stroke] = []
    if scene.was is not None and scene.shown.measured is not None:
        was = _front_target(scene.shown.study.measured.front, scene.shown.measured, 0)
        contact = flat.place(scene.was.left.wheel.contact)
        strokes.append(OffViewPointer(contact, was, kind=LineKind.CONSTRUCTION_WAS))
    starts = (left.points["upper_ball"], left.points["lower_ball"], left.wheel.contact)
    strokes += _lines_to(flat, starts, target, text, "instant centre")
    right = _front_target(front, scene.values, 1)
    if scene.options.far_side and math.dist(right, target) > PARTED:  # leaning or lopsided
        contact = flat.place(scene.now.right.wheel.contact)
        strokes.append(OffViewPointer(contact, (-right[0], right[1])))
    return strokes


def _lines_to(
    flat: Flat, starts: tuple[Vec, ...], target: Place, text: str, key: str
) -> list[Stroke]:
    """Return the lines to a centre, the first with the words, and its mark where it is in view."""
    lines = [OffViewPointer(flat.place(start), target) for start in starts]
    # the side view's centre is asked for less: its words give way
    priority = 4 if flat.view is View.FRONT else 0
    named = OffViewPointer(flat.place(starts[0]), target, text, key=key, priority=priority)
    if math.hypot(*target) >= ENDLESS:
        return [named, *lines[1:]]
    mark = Mark(target, MarkShape.CENTRE, LineKind.CONSTRUCTION)
    return [named, *lines[1:], mark, Label(key, target, LineKind.CONSTRUCTION, f"{key} mark", 2)]


def _front_target(front: Front, sweep: Sweep, side: int) -> Place:
    """Return the front-view centre as (y, z), or a place far off in its direction."""
    y, z = _of(sweep, "instant_centre_y", side), _of(sweep, "instant_centre_z", side)
    if y is not None and z is not None:
        return y, z
    at = sweep.poses.contact
    start, level = float(at[1][side, 0]), float(at[2][side, 0])
    planes = front_view(front.axle.corners, sweep.poses)
    slope = float(planes.slope_from(at[1], at[2])[side, 0])
    return start - ENDLESS, level + slope * ENDLESS


def _front_text(scene: Scene, sweep: Sweep) -> str:
    y, z = _of(sweep, "instant_centre_y", 0), _of(sweep, "instant_centre_z", 0)
    if y is None or z is None:
        return "instant centre at infinity: the arms run parallel"
    contact = scene.now.left.wheel.contact
    inboard, up = contact[1] - y, z - contact[2]
    across, high = scene.words.apart(inboard, up)
    where = "inboard" if inboard > 0 else "outboard"
    return f"instant centre {across} {where}, {high} {_upward(up)}"


def _upward(height: float) -> str:
    return "up" if height >= 0 else "down"


def _roll_centre(scene: Scene, flat: Flat) -> list[Stroke]:
    strokes: list[Stroke] = []
    measured = scene.shown.measured
    height = _of(scene.values, "roll_centre_height", 0)
    if scene.was is not None and measured is not None:
        before = _of(measured, "roll_centre_height", 0)
        if before is not None:
            at = flat.place(_road_place(scene.was, measured, before))
            text = f"was {scene.words.bare(before)}"
            strokes += _centre(at, text, LineKind.CONSTRUCTION_WAS, "roll centre was", 4, False)
    if height is None:
        start = flat.place(scene.now.on_road((0.0, 0.0, 0.0)))
        text = "roll centre: none, both lines run parallel"
        return [*strokes, Label(text, start, LineKind.CONSTRUCTION, "roll centre", 9)]
    at = flat.place(_road_place(scene.now, scene.values, height))
    text = f"roll centre {scene.words.length(height)}{_parted(scene, height)}"
    return [*strokes, *_centre(at, text, LineKind.CONSTRUCTION, "roll centre", 9, True)]


def _centre(
    at: Place, text: str, kind: LineKind, key: str, priority: int, bold: bool
) -> list[Stroke]:
    return [Mark(at, MarkShape.CENTRE, kind), Label(text, at, kind, key, priority, "right", bold)]


def _road_place(places: Places, sweep: Sweep, height: float) -> Vec:
    """Return a roll centre's place on the car: sideways along the road and above it."""
    lateral = _of(sweep, "roll_centre_lateral", 0) or 0.0
    along = plus_scaled((0.0, 0.0, 0.0), cross(places.up, AHEAD), lateral)
    return plus_scaled(along, places.up, places.road + height)


def _parted(scene: Scene, height: float) -> str:
    """Say where the drawn lines meet, when that isn't where the motion has the roll centre."""
    drawn, across = (
        _of(scene.values, f"roll_centre_construction{end}", 0) for end in ("", "_lateral")
    )
    if drawn is None or across is None:
        return ""
    aside = across - (_of(scene.values, "roll_centre_lateral", 0) or 0.0)
    words = scene.words.bare
    if abs(aside) > PARTED:
        side = "left" if aside > 0 else "right"
        return f" (as drawn {words(drawn)}, {words(abs(aside))} further {side})"
    return f" (as drawn {words(drawn)})" if abs(drawn - height) > PARTED else ""


# Side view


def _side_centre(scene: Scene, flat: Flat) -> list[Stroke]:
    left = scene.now.left
    starts = (left.points["upper_ball"], left.points["lower_ball"], left.wheel.contact)
    target = _side_target(scene, left)
    return _lines_to(flat, starts, target, _side_text(scene, left), "side-view centre")


def _side_target(scene: Scene, left: Side) -> Place:
    x, z = _of(scene.values, "side_centre_x", 0), _of(scene.values, "side_centre_z", 0)
    if x is not None and z is not None:
        centre = left.wheel.centre
        return in_body((x, z), (centre[0], centre[2]), scene.shown.study.proposed.stand)
    poses = scene.values.poses
    planes = side_view(scene.shown.study.proposed.front.axle.corners, poses)
    slope = float(planes.slope_from(poses.contact[0], poses.contact[2])[0, 0])
    start, _, level = left.wheel.contact
    return start - ENDLESS, level + slope * ENDLESS


def _side_text(scene: Scene, left: Side) -> str:
    x, z = _of(scene.values, "side_centre_x", 0), _of(scene.values, "side_centre_z", 0)
    if x is None or z is None:
        return "side-view centre at infinity: the arms run parallel"
    contact = left.wheel.contact
    behind, up = contact[0] - x, z + scene.shown.study.proposed.stand.travel - contact[2]
    along, high = scene.words.apart(behind, up)
    where = "behind" if behind > 0 else "ahead"
    return f"side-view centre {along} {where}, {high} {_upward(up)}"


def _of(sweep: Sweep, key: str, side: int) -> float | None:
    return value_in(sweep, BY_KEY[key], side)
