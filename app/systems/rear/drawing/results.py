"""What a result of the rear is measured between, marked when the user asks for its meaning."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from app.drawing.space import plus_scaled
from app.drawing.strokes import Arc, Circle, Dimension, LineKind, OffViewPointer, Place, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import RING, Flat
from app.systems.rear.drawing.centres import drawn_centre, roll_centre_place
from app.systems.rear.drawing.scene import RearScene

KIND: Final = LineKind.RESULT
RINGS: Final = {
    "shackle_angle": ("rear_eye",),
    "damper_motion_ratio": ("damper_axle", "wheel_centre"),
    "damper_length": ("damper_axle", "damper_body"),
    "spring_motion_ratio": ("spring_axle", "wheel_centre"),
    "spring_length": ("spring_axle", "spring_body"),
    "wheel_rate": ("centre_bolt", "spring_axle", "wheel_centre"),
    "wheel_rate_shackle": ("rear_eye", "shackle_body"),
    "wheel_rate_bars": ("bar_snubber",),
    "spring_load": ("centre_bolt", "spring_axle"),
    "eye_load_least": ("front_eye", "rear_eye"),
    "roll_steer": ("front_eye", "lower_body"),
    "roll_steer_textbook": ("front_eye", "rear_eye", "lower_body", "lower_axle"),
    "wind_up_stiffness": ("front_eye", "centre_bolt", "rear_eye"),
    "wind_up_full": ("front_eye", "centre_bolt", "rear_eye"),
    "bars_close_at": ("bar_snubber",),
}
TO_CENTRE: Final = ("anti_squat", "anti_lift", "side_centre_x", "side_centre_z")


def result_strokes(scene: RearScene, flat: Flat, key: str) -> Iterator[Stroke]:
    """Yield the marks of a result that is asked about, as far as the view shows what it is."""
    at = scene.now.left.points
    yield from (
        Circle(flat.place(at[name]), RING, KIND) for name in RINGS.get(key, ()) if name in at
    )
    if key == "shackle_angle" and flat.view is View.SIDE:
        yield from _shackle(scene, flat)
    if key in ("roll_centre_height", "roll_centre_other") and flat.view is not View.TOP:
        yield from _height(scene, flat, key)
    if key in TO_CENTRE and flat.view is View.SIDE:
        yield from _to_centre(scene, flat)
    if key == "pinion_angle" and flat.view is View.SIDE:
        middle = flat.place(scene.now.middle)
        yield Arc(middle, 230.0, 0.0, scene.now.pitch, KIND)
        yield OffViewPointer(middle, (middle[0] + 260.0, middle[1]), kind=KIND)


def _shackle(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the arc between the shackle and the line of the eyes."""
    at = scene.now.left.points
    if scene.now.left.spring is None:
        return
    eye = flat.place(at["rear_eye"])
    first, second = (_bearing(eye, flat.place(at[n])) for n in ("front_eye", "shackle_body"))
    sweep = (second - first + math.pi) % math.tau - math.pi
    yield Arc(eye, 70.0, first, sweep, KIND)


def _bearing(start: Place, end: Place) -> float:
    return math.atan2(end[1] - start[1], end[0] - start[0])


def _height(scene: RearScene, flat: Flat, key: str) -> Iterator[Stroke]:
    height = scene.result(key)
    if height is None:
        return
    top = roll_centre_place(scene.now, height)
    foot = plus_scaled(top, scene.now.up, -height)
    text = scene.words.length(height)
    yield Dimension(flat.place(foot), flat.place(top), (-1.0, 0.0), text, KIND, key, steps=2.0)


def _to_centre(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    x, z = scene.result("side_centre_x"), scene.result("side_centre_z")
    if x is not None and z is not None:
        target = drawn_centre(scene, (x, z))
        yield OffViewPointer(flat.place(scene.now.left.wheel.contact), target, kind=KIND)
