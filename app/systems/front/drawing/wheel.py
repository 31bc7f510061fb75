"""A wheel as strokes: the tyre as it is seen, its lines with camber, kingpin, caster and toe."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np

from app.drawing.space import Vec, minus, plus_scaled, unit
from app.drawing.strokes import (
    Grip,
    Label,
    LineKind,
    Mark,
    MarkShape,
    Place,
    Points,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.answers import value_in
from app.systems.drawing.flat import Flat
from app.systems.drawing.wheel import SEEN, Wheel, rim_outline, tyre_outline
from app.systems.front.drawing.scene import Scene
from app.systems.front.places import Side
from geometry.catalogue.front import BY_KEY

BEYOND_TYRE: Final = 55.0  # how far the wheel's plane is drawn above the tyre [mm]
BEYOND_JOINT: Final = 95.0  # how far the kingpin axis is drawn above the upper ball joint [mm]


def wheel_strokes(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return both wheels, as far as the view shows them, and the left one's grip."""
    left, width = scene.now.left.wheel, scene.tyre_width
    outline = tyre_outline(left, width, flat)
    strokes: list[Stroke] = []
    if scene.options.far_side and flat.view is not View.SIDE:
        far = tyre_outline(scene.now.right.wheel, width, flat)
        strokes.append(Polyline(far, LineKind.FAR, closed=True))
    strokes.append(Polyline(outline, LineKind.WHEEL, closed=True, filled=True))
    if flat.view is View.SIDE:
        strokes.append(Polyline(rim_outline(left, flat), LineKind.WHEEL, closed=True))
    if scene.options.handles and flat.view is not View.TOP:
        strokes.append(_grip(scene, outline, flat.view))
    return strokes


def ghost_wheel(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return the measured wheel where it stands more than a line beside the proposed one."""
    if scene.was is None:
        return []
    now, was = scene.now.left.wheel, scene.was.left.wheel
    pairs = zip(_marks(now, flat), _marks(was, flat), strict=True)
    if max(math.dist(a, b) for a, b in pairs) < SEEN:
        return []
    outline = _ghost_outline(was, scene.tyre_width, flat.view)
    return [Polyline(outline, LineKind.MEASURED, closed=True)]


@lru_cache(maxsize=6)
def _ghost_outline(wheel: Wheel, width: float, view: View) -> Points:
    """Return a measured tyre's outline, which a drag leaves as it is."""
    return tyre_outline(wheel, width, Flat(view))


def _marks(wheel: Wheel, flat: Flat) -> list[Place]:
    """Return the foremost, the lowest and the highest place of a wheel as seen."""
    axes = (wheel.heading, wheel.down)
    ends = [plus_scaled(wheel.centre, axis, wheel.radius) for axis in axes]
    top = plus_scaled(wheel.centre, wheel.down, -wheel.radius)
    return [flat.place(place) for place in (*ends, top)]


def _grip(scene: Scene, outline: Points, view: View) -> Grip:
    travel = float(scene.values.poses.travel[0, 0])
    closed = np.vstack([outline, outline[:1]])
    inside = view is View.FRONT
    return Grip("wheel:left", closed, "Left wheel", scene.words.risen(travel), inside)


def wheel_lines(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return the wheel's and the kingpin's lines with their figures."""
    side = scene.told
    match flat.view:
        case View.FRONT:
            lines = [*_camber_line(scene, flat, side), *_kingpin_line(scene, flat, side)]
        case View.SIDE:
            lines = _kingpin_line(scene, flat, side)
        case View.TOP:
            lines = _heading_line(scene, flat, side)
    cross = Mark(flat.place(side.wheel.centre), MarkShape.CROSS, LineKind.PROPOSED_THIN)
    return [*lines, cross]


def _camber_line(scene: Scene, flat: Flat, side: Side) -> list[Stroke]:
    wheel = side.wheel
    top = plus_scaled(wheel.centre, wheel.down, -wheel.radius - BEYOND_TYRE)
    leaning = float(scene.values.poses.roll[0]) != 0.0
    text = scene.words.camber(_value(scene, "camber_road" if leaning else "camber"))
    text = f"{text} to the road{scene.whose}" if leaning else f"{text}{scene.whose}"
    return [
        flat.line(LineKind.AXIS, wheel.contact, top),
        Label(text, flat.place(top), LineKind.PROPOSED, "camber", 7, "above", True),
    ]


def _kingpin_line(scene: Scene, flat: Flat, side: Side) -> list[Stroke]:
    upper, lower = side.points["upper_ball"], side.points["lower_ball"]
    top = plus_scaled(upper, unit(minus(upper, lower)), BEYOND_JOINT)
    key = "kingpin_inclination" if flat.view is View.FRONT else "caster"
    name = "kingpin" if flat.view is View.FRONT else "caster"
    text = f"{name} {scene.words.angle(_value(scene, key))}{scene.whose}"
    return [
        flat.line(LineKind.AXIS, side.wheel.kingpin, top),
        Label(text, flat.place(top), LineKind.PROPOSED, name, 6, "above", flat.view is View.SIDE),
    ]


def _heading_line(scene: Scene, flat: Flat, side: Side) -> list[Stroke]:
    wheel = side.wheel
    reach = wheel.radius + BEYOND_TYRE
    ends = (plus_scaled(wheel.centre, wheel.heading, step) for step in (-reach, reach))
    rear, front = (_level(place, wheel.centre) for place in ends)
    toe = _value(scene, "toe")
    steered = float(scene.values.poses.rack[0]) != 0.0
    turned = -toe if side is scene.now.left else toe
    which = "left" if side is scene.now.left else "right"
    text = f"{scene.words.toe(toe)}{scene.whose}"
    if steered:
        text = f"{which} wheel {scene.words.steer(turned)}"
    return [
        flat.line(LineKind.AXIS, rear, front),
        Label(text, flat.place(front), LineKind.PROPOSED, "toe", 7, "above", True),
    ]


def _level(place: Vec, like: Vec) -> Vec:
    return place[0], place[1], like[2]


def _value(scene: Scene, key: str) -> float:
    return value_in(scene.values, BY_KEY[key], scene.options.side) or 0.0
