"""Dimensions of a front: scrub radius, track and trail on the ground, and the moves."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.document.keys import KEYS
from app.drawing.front_scene import Flat, Scene
from app.drawing.space import Vec, minus
from app.drawing.strokes import Dimension, LineKind, Paper, Stroke
from app.drawing.views import View
from app.study import result_of, value_in

LEAST: Final = 0.05  # a smaller step is no move [mm]
TOGETHER: Final = (  # points that one figure serves when they move alike
    ("upper_front", "upper_rear"),
    ("lower_front", "lower_rear"),
    ("spring_body", "damper_body"),
    ("spring_arm", "damper_arm"),
)
UPPER: Final = ("upper_", "spring_", "damper_")


def ground_dimensions(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return scrub radius and track in front view, trail in side view."""
    wheel, other = scene.now.left.wheel, scene.now.right.wheel
    below = flat.place((-scene.now.up[0], -scene.now.up[1], -scene.now.up[2]))
    foot, contact = flat.place(wheel.kingpin), flat.place(wheel.contact)
    if flat.view is View.FRONT:
        return [
            *_ground(scene, foot, contact, below, "scrub", "scrub_radius", 1.0),
            *_track(scene, flat.place(other.contact), contact, below),
        ]
    if flat.view is View.SIDE:
        return _ground(scene, foot, contact, below, "trail", "mechanical_trail", 1.0)
    return []


def _ground(
    scene: Scene, start: Paper, end: Paper, away: Paper, name: str, result: str, steps: float
) -> list[Stroke]:
    value = value_in(scene.values, result_of(result))
    if value is None:
        return []
    text = f"{name} {scene.words.bare(value)}"
    return [Dimension(start, end, away, text, key=name, priority=6, steps=steps)]


def _track(scene: Scene, start: Paper, end: Paper, away: Paper) -> list[Stroke]:
    if not scene.options.far_side:
        return []
    size = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    text = f"track {scene.words.bare(size)}"
    return [Dimension(start, end, away, text, key="track", priority=5, steps=2.2)]


def move_dimensions(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return the moves of the changed points of the left side, as far as the view shows them."""
    across, upward = flat.view.value
    moved = {key: move for key, move in scene.moves.items() if _name(key) in scene.now.left.points}
    strokes: list[Stroke] = []
    for axis in (upward, across):
        for key, move in _alone(scene, moved, axis):
            strokes.append(_move(scene, flat, key, move, axis))
    return strokes


def _name(key: str) -> str:
    return key.removeprefix("front.")


def _alone(scene: Scene, moves: dict[str, Vec], axis: int) -> Iterator[tuple[str, Vec]]:
    """Yield the moves to dimension along an axis: of two points that go together only one."""
    for key, move in moves.items():
        first = next((a for a, b in TOGETHER if _name(key) == b), None)
        twin = moves.get(f"front.{first}")
        served = twin is not None and abs(twin[axis] - move[axis]) < LEAST
        if abs(move[axis]) >= LEAST and not served:
            yield key, move


def _move(scene: Scene, flat: Flat, key: str, move: Vec, axis: int) -> Dimension:
    place = scene.now.left.points[_name(key)]
    step: Vec = tuple(move[i] if i == axis else 0.0 for i in range(3))  # type: ignore[assignment]
    text = scene.words.move(axis, move[axis], 1.0 if place[1] >= 0 else -1.0)
    return Dimension(
        flat.place(minus(place, step)),
        flat.place(place),
        _away(scene, flat, key, axis),
        text,
        LineKind.MOVE,
        f"{key} {axis}",
        8,
    )


def _away(scene: Scene, flat: Flat, key: str, axis: int) -> Paper:
    """Return the side to which a move is set off: away from the part that hangs on the point."""
    if axis == flat.view.value[0]:  # along the paper's width
        return (0.0, 1.0) if _name(key).startswith(UPPER) else (0.0, -1.0)
    if flat.view is View.FRONT:
        return (1.0, 0.0) if KEYS[key].on_part else (-1.0, 0.0)
    name, at = _name(key), scene.now.left.points
    hung = at["lower_ball" if name.startswith("lower_") else "upper_ball"]
    ahead = at[name][flat.view.value[0]] >= hung[flat.view.value[0]]
    return (1.0, 0.0) if ahead else (-1.0, 0.0)
