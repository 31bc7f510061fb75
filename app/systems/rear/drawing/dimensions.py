"""Dimensions of a rear: track and spring base on the ground, and the moves."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from app.drawing.space import Vec
from app.drawing.strokes import Dimension, Place, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.drawing.points import dimensioned, move_dimension
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.places import RearSide

TOGETHER: Final = (  # points that one figure serves when they move alike
    ("damper_body", "damper_axle"),
    ("spring_body", "spring_axle"),
    ("lower_body", "lower_axle"),
    ("upper_body", "upper_axle"),
    ("lateral_body", "lateral_axle"),
    ("bar_axle", "bar_snubber"),
    ("rear_eye", "shackle_body"),
)
HIGH: Final = ("damper_body", "spring_body", "upper_", "shackle_body")


def ground_dimensions(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield spring base and track in front view."""
    if flat.view is not View.FRONT or not scene.options.far_side:
        return
    now = scene.now
    below = flat.place((-now.up[0], -now.up[1], -now.up[2]))
    wheels = flat.place(now.right.wheel.contact), flat.place(now.left.wheel.contact)
    yield _between(scene, *wheels, below, "track", 2.2)
    seats = [_seat(side) for side in (now.right, now.left)]
    if seats[0] is not None and seats[1] is not None:
        start, end = (flat.place(now.on_road(seat)) for seat in seats if seat is not None)
        name = "springs" if now.left.spring is not None else "coils"
        yield _between(scene, start, end, below, name, 1.0)


def _seat(side: RearSide) -> Vec | None:
    return side.spring.seat if side.spring is not None else side.points.get("spring_axle")


def _between(
    scene: RearScene, start: Place, end: Place, away: Place, name: str, steps: float
) -> Dimension:
    size = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    text = f"{name} {scene.words.taped(size)}"
    return Dimension(start, end, away, text, key=name, priority=5, steps=steps)


def move_dimensions(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the moves of changed points as far as the view shows them.

    A job on a left-hand point is done on the right as its mirror: the right is only dimensioned
    where it stands elsewhere; in side view that is the right damper.
    """
    sides = [("left", scene.now.left, scene.moves)]
    if scene.options.far_side:
        sides.append(("right", scene.now.right, _visible_moves(scene.own_moves, flat)))
    for which, side, moves in sides:
        side_moves = {name: move for name, move in moves.items() if name in side.points}
        for axis in (flat.view.value[1], flat.view.value[0]):
            for name in dimensioned(side_moves, axis, TOGETHER):
                if flat.view is View.TOP and axis == 0 and _is_in_side_view(which, name):
                    continue
                key, place = f"{which} {name} {axis}", side.points[name]
                away = _away(scene, flat, name, place, axis)
                yield move_dimension(scene.words, flat, key, place, side_moves[name], axis, away)


def _is_in_side_view(which: str, name: str) -> bool:
    """Tell whether a move along the car is told in side view: once is enough."""
    return which == "left" or name.startswith("damper_")


def _visible_moves(moves: Mapping[str, Vec], flat: Flat) -> Mapping[str, Vec]:
    if flat.view is not View.SIDE:
        return moves
    return {name: move for name, move in moves.items() if name.startswith("damper_")}


def _away(scene: RearScene, flat: Flat, name: str, place: Vec, axis: int) -> Place:
    """Return the side to which a move is set off: away from the axle."""
    across, _ = flat.view.value
    if axis == across:
        return (0.0, 1.0) if name.startswith(HIGH) else (0.0, -1.0)
    return (1.0 if place[across] >= scene.now.middle[across] else -1.0, 0.0)
