"""Dimensions of a front: scrub radius, track and trail on the ground, and the moves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.address import key_of
from app.document.keys import KEYS
from app.drawing.space import Vec, minus
from app.drawing.strokes import Dimension, LineKind, Place, Stroke
from app.drawing.views import View
from app.systems.answers import value_in
from app.systems.front.drawing.scene import Flat, Scene
from app.systems.front.places import Side
from geometry.catalogue.front import BY_KEY

LEAST: Final = 0.05  # a smaller step is no move [mm]
TOGETHER: Final = (  # points that one figure serves when they move alike
    ("upper_front", "upper_rear"),
    ("lower_front", "lower_rear"),
    ("spring_body", "damper_body"),
    ("spring_arm", "damper_arm"),
)
KIND: Final = LineKind.MOVE
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
            for name in _alone(moved, axis):
                text = _move_text(scene, side, name, moved[name], axis)
                key = f"{which} {name} {axis}"
                strokes.append(_move(side, flat, name, key, moved[name], axis, text))
    return strokes


def _alone(moves: dict[str, Vec], axis: int) -> Iterator[str]:
    """Yield the points whose move is dimensioned: of two that go together only one."""
    for name, move in moves.items():
        first = next((a for a, b in TOGETHER if name == b), "")
        served = first in moves and abs(moves[first][axis] - move[axis]) < LEAST
        if abs(move[axis]) >= LEAST and not served:
            yield name


def _move_text(scene: Scene, side: Side, name: str, move: Vec, axis: int) -> str:
    before = minus(side.points[name], move)  # a point that crosses the middle goes inboard
    return scene.words.move(axis, move[axis], 1.0 if before[1] >= 0 else -1.0)


def _move(
    side: Side, flat: Flat, name: str, key: str, move: Vec, axis: int, text: str
) -> Dimension:
    place = side.points[name]
    step: Vec = tuple(move[i] if i == axis else 0.0 for i in range(3))  # type: ignore[assignment]
    ends = flat.place(minus(place, step)), flat.place(place)
    return Dimension(*ends, _away(side, flat, name, axis), text, KIND, key, 8)


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
