"""What a result is measured between, marked on the drawing when the user asks for its meaning."""

from __future__ import annotations

import math
from typing import Final

from app.drawing.space import Vec, minus, plus_scaled, unit
from app.drawing.strokes import Arc, Circle, Dimension, LineKind, OffViewPointer, Place, Stroke
from app.drawing.views import View
from app.systems.answers import value_in
from app.systems.drawing.flat import RING, Flat
from app.systems.front.drawing.scene import Scene
from geometry.catalogue.front import BY_KEY
from geometry.standing import in_body

JOINT_RINGS: Final = {
    "upper_ball_swing": ("upper_ball",),
    "lower_ball_swing": ("lower_ball",),
    "tie_outer_swing": ("tie_outer",),
    "tie_inner_swing": ("tie_inner",),
    "bump_steer": ("tie_inner", "tie_outer"),
    "bump_steer_length": ("tie_inner", "tie_outer"),
    "bump_steer_range": ("tie_inner", "tie_outer"),
    "spring_motion_ratio": ("spring_arm", "wheel_centre"),
    "wheel_rate": ("spring_arm", "wheel_centre"),
    "spring_force": ("spring_arm", "spring_body"),
    "damper_motion_ratio": ("damper_arm", "wheel_centre"),
}
CENTRES: Final = {
    View.FRONT: ("instant_centre_y", "instant_centre_z"),
    View.SIDE: ("side_centre_x", "side_centre_z"),
}
ABOUT_CENTRES: Final = {
    View.FRONT: ("instant_centre", "swing_arm", "camber_gain"),
    View.SIDE: ("side_centre", "side_swing_arm", "anti_dive"),
}
HEIGHTS: Final = ("roll_centre_height", "roll_centre_construction", "roll_centre_force")
UPRIGHT: Final = (0.0, 0.0, 1.0)
AHEAD: Final = (1.0, 0.0, 0.0)
KIND: Final = LineKind.RESULT


def result_strokes(scene: Scene, flat: Flat, key: str) -> list[Stroke]:
    """Return the marks of a result that is asked about, as far as the view shows what it is."""
    return [
        *_rings(scene, flat, key),
        *_between_seats(scene, flat, key),
        *_on_ground(scene, flat, key),
        *_angle(scene, flat, key),
        *_to_centre(scene, flat, key),
    ]


def _rings(scene: Scene, flat: Flat, key: str) -> list[Stroke]:
    at = scene.now.left.points
    names = (name for name in JOINT_RINGS.get(key, ()) if name in at)
    return [Circle(flat.place(at[name]), RING, KIND) for name in names]


def _between_seats(scene: Scene, flat: Flat, key: str) -> list[Stroke]:
    name, at = key.removesuffix("_length"), scene.now.left.points
    if key not in ("spring_length", "damper_length") or f"{name}_arm" not in at:
        return []
    start, end = flat.place(at[f"{name}_arm"]), flat.place(at[f"{name}_body"])
    along = end[0] - start[0], end[1] - start[1]
    if math.hypot(*along) < RING:
        return []
    return [Dimension(start, end, (-along[1], along[0]), _text(scene, key), KIND, key, steps=3.0)]


def _on_ground(scene: Scene, flat: Flat, key: str) -> list[Stroke]:
    """Return dimensions to the contact centre, the kingpin axis and the roll centre."""
    wheel, up = scene.now.left.wheel, scene.now.up
    if flat.view is View.TOP:
        return []
    if key == "half_track" and flat.view is View.FRONT:
        middle = scene.now.on_road((0.0, 0.0, 0.0))
        return [_dimension(scene, flat, middle, wheel.contact, minus((0, 0, 0), up), key, 3.4)]
    if key == "kingpin_offset" and flat.view is View.FRONT:
        at = _kingpin_at(scene, wheel.centre)
        return [_dimension(scene, flat, at, wheel.centre, up, key, 2.0)]
    if key in HEIGHTS and flat.view is View.FRONT:
        height = value_in(scene.values, BY_KEY[key])
        return [] if height is None else [_height(scene, flat, height, key)]
    return []


def _height(scene: Scene, flat: Flat, height: float, key: str) -> Stroke:
    drawn = "roll_centre_construction_lateral"
    sideways = drawn if key == "roll_centre_construction" else "roll_centre_lateral"
    lateral = value_in(scene.values, BY_KEY[sideways]) or 0.0
    foot = scene.now.on_road((0.0, lateral, 0.0))
    top = plus_scaled(foot, scene.now.up, height)
    return _dimension(scene, flat, foot, top, (0.0, -1.0, 0.0), key, 2.0)


def _kingpin_at(scene: Scene, level: Vec) -> Vec:
    lower = scene.now.left.points["lower_ball"]
    axis = minus(scene.now.left.points["upper_ball"], lower)
    return plus_scaled(lower, axis, (level[2] - lower[2]) / axis[2])


def _dimension(
    scene: Scene, flat: Flat, start: Vec, end: Vec, away: Vec, key: str, steps: float
) -> Dimension:
    ends = flat.place(start), flat.place(end)
    return Dimension(*ends, flat.place(away), _text(scene, key), KIND, f"{key} mark", 9, steps)


def _text(scene: Scene, key: str) -> str:
    value = value_in(scene.values, BY_KEY[key])
    return "" if value is None else scene.words.length(value)


def _angle(scene: Scene, flat: Flat, key: str) -> list[Stroke]:
    """Return the arc of an angle at the wheel, and the line it is measured from."""
    left, hub = scene.now.left, scene.now.left.wheel
    kingpin = unit(minus(left.points["upper_ball"], left.points["lower_ball"]))
    plane = minus((0.0, 0.0, 0.0), hub.down)
    match key, flat.view:
        case "camber", View.FRONT:
            at, base, line, reach = hub.contact, UPRIGHT, plane, 2.1
        case "camber_road", View.FRONT:
            at, base, line, reach = hub.contact, scene.now.up, plane, 2.1
        case "included_angle", View.FRONT:
            at, base, line, reach = hub.kingpin, plane, kingpin, 1.6
        case ("kingpin_inclination", View.FRONT) | ("caster" | "caster_turn_plates", View.SIDE):
            at, base, line, reach = hub.kingpin, UPRIGHT, kingpin, 1.6
        case "toe" | "toe_total" | "toe_length", View.TOP:
            at, base, line, reach = hub.centre, AHEAD, hub.heading, 1.15
        case _:
            return []
    return _arc(flat.place(at), flat.place(base), flat.place(line), reach * hub.radius)


def _arc(centre: Place, base: Place, line: Place, radius: float) -> list[Stroke]:
    start = math.atan2(base[1], base[0])
    turn = math.atan2(line[1], line[0]) - start
    sweep = (turn + math.pi) % (2.0 * math.pi) - math.pi
    size = radius * 1.1 / math.hypot(*base)
    tip = centre[0] + base[0] * size, centre[1] + base[1] * size
    return [OffViewPointer(centre, tip, kind=KIND), Arc(centre, radius, start, sweep, KIND)]


def _to_centre(scene: Scene, flat: Flat, key: str) -> list[Stroke]:
    """Return the line from the contact centre to the instant centre of the view."""
    if flat.view not in CENTRES or not key.startswith(ABOUT_CENTRES[flat.view]):
        return []
    u, v = (value_in(scene.values, BY_KEY[part]) for part in CENTRES[flat.view])
    if u is None or v is None:
        return []
    target = (u, v)
    if flat.view is View.SIDE:
        hub = scene.now.left.wheel.centre
        target = in_body(target, (hub[0], hub[2]), scene.shown.study.proposed.stand)
    return [OffViewPointer(flat.place(scene.now.left.wheel.contact), target, kind=KIND)]
