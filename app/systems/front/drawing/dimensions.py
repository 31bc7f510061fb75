"""Dimensions of a front: scrub radius, track and trail on the ground, and the moves."""

from __future__ import annotations

from typing import Final

from app.document.address import key_of
from app.document.keys import KEYS
from app.drawing.strokes import Dimension, LineKind, Place, Stroke
from app.drawing.views import View
from app.systems.answers import value_in
from app.systems.drawing.flat import Flat
from app.systems.drawing.points import dimensioned, move_dimension
from app.systems.front.drawing.scene import Scene
from app.systems.front.places import Side
from geometry.catalogue.front import BY_KEY

TOGETHER: Final = (  # points that one figure serves when they move alike
    ("upper_front", "upper_rear"),
    ("lower_front", "lower_rear"),
    ("spring_body", "damper_body"),
    ("spring_arm", "damper_arm"),
)
UPPER: Final = ("upper_", "spring_", "damper_")


def ground_dimensions(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return scrub radius and track in front view, trail in side view."""
    wheel, left, right = scene.told.wheel, scene.now.left.wheel, scene.now.right.wheel
    below = flat.place((-scene.now.up[0], -scene.now.up[1], -scene.now.up[2]))
    foot, contact = flat.place(wheel.kingpin), flat.place(wheel.contact)
    if flat.view is View.FRONT:
        return [
            *_ground(scene, foot, contact, below, "scrub", "scrub_radius", 1.0),
            *_track(scene, flat.place(right.contact), flat.place(left.contact), below),
        ]
    if flat.view is View.SIDE:
        return _ground(scene, foot, contact, below, "trail", "mechanical_trail", 1.0)
    return []


def _ground(
    scene: Scene, start: Place, end: Place, away: Place, name: str, result: str, steps: float
) -> list[Stroke]:
    value = value_in(scene.values, BY_KEY[result], scene.options.side)
    if value is None:
        return []
    text = f"{name} {scene.words.bare(value)}"
    kind = LineKind.RESULT if scene.options.result == result else LineKind.DIMENSION
    return [Dimension(start, end, away, text, kind, name, 6, steps)]


def _track(scene: Scene, start: Place, end: Place, away: Place) -> list[Stroke]:
    if not scene.options.far_side:
        return []
    size = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    text = f"track {scene.words.taped(size)}"
    return [Dimension(start, end, away, text, key="track", priority=5, steps=2.2)]


def move_dimensions(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return the moves of changed points as far as the view shows them.

    The right is only dimensioned where it is moved otherwise than the left.
    """
    across, upward = flat.view.value
    strokes: list[Stroke] = []
    sides = [("left", scene.now.left, scene.moves)]
    if flat.view is not View.SIDE and scene.options.far_side:
        sides.append(("right", scene.now.right, scene.own_moves))
    for which, side, moves in sides:
        moved = {name: move for name, move in moves.items() if name in side.points}
        for axis in (upward, across):
            for name in dimensioned(moved, axis, TOGETHER):
                key, away = f"{which} {name} {axis}", _away(side, flat, name, axis)
                place, move = side.points[name], moved[name]
                strokes.append(move_dimension(scene.words, flat, key, place, move, axis, away))
    return strokes


def _away(side: Side, flat: Flat, name: str, axis: int) -> Place:
    """Return the side to which a move is set off: away from the part that hangs on the point."""
    if axis == flat.view.value[0]:  # along the paper's width
        return (0.0, 1.0) if name.startswith(UPPER) else (0.0, -1.0)
    across, at = flat.view.value[0], side.points
    hung = at["wheel_centre" if flat.view is View.FRONT else _ball(name)]
    outward = 1.0 if at[name][across] >= hung[across] else -1.0
    on_part = KEYS[key_of("front", "left", name)].on_part
    return (-outward if on_part and flat.view is View.FRONT else outward, 0.0)


def _ball(name: str) -> str:
    return "lower_ball" if name.startswith("lower_") else "upper_ball"
