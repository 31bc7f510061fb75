"""The front of a car as a drawing in each view: what board, sheet and picture files paint."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Final

from app.document.address import Point, is_right, key_of
from app.document.keys import KEYS, points_of
from app.drawing.space import Vec
from app.drawing.strokes import (
    Bounds,
    Drawing,
    Handle,
    Stroke,
)
from app.drawing.views import View
from app.systems.clearance.drawing import space_strokes
from app.systems.clearance.results import is_clearance
from app.systems.drawing.flat import FLATS, Flat
from app.systems.drawing.ground import BESIDE, ground_strokes
from app.systems.drawing.points import point_handle
from app.systems.drawing.wheel import tyre_reach
from app.systems.front.drawing.adjusters import adjuster_strokes
from app.systems.front.drawing.centres import centre_handles, centre_strokes
from app.systems.front.drawing.dimensions import ground_dimensions, move_dimensions
from app.systems.front.drawing.parts import part_strokes
from app.systems.front.drawing.results import result_strokes
from app.systems.front.drawing.scene import Scene, scene_of
from app.systems.front.drawing.wheel import ghost_wheel, wheel_lines, wheel_strokes
from app.systems.front.study import FrontAnswers
from app.systems.shown import Options, Shown
from geometry.front.sweeps import Sweep

AROUND: Final = 20.0  # paper around what fits [mm]
UNDER: Final = 75.0  # paper under the ground, for its dimensions [mm]
PLAIN: Final = Options()


def front_drawings(
    shown: Shown[FrontAnswers, Sweep],
    options: Options = PLAIN,
    views: Collection[View] = tuple(View),
) -> dict[View, Drawing]:
    """Return these views; what they share is worked out once."""
    scene = scene_of(shown, options)
    return {view: _drawing(scene, FLATS[view]) for view in views}


def _drawing(scene: Scene, flat: Flat) -> Drawing:
    options, bounds = scene.options, _bounds(scene, flat)
    strokes: list[Stroke] = [*wheel_strokes(scene, flat), *ghost_wheel(scene, flat)]
    strokes += _ground(scene, flat, bounds)
    if options.construction:
        strokes += centre_strokes(scene, flat)
    strokes += space_strokes(scene.spaces, flat.view, options, scene.words)
    strokes += part_strokes(scene, flat)
    strokes += wheel_lines(scene, flat)
    if options.dimensions:
        strokes += ground_dimensions(scene, flat)
        strokes += move_dimensions(scene, flat)
    if options.result and not is_clearance(options.result):
        strokes += result_strokes(scene, flat, options.result)
    if options.handles:
        strokes += adjuster_strokes(scene, flat)
        strokes += _handles(scene, flat)
    if options.results_held:
        strokes += centre_handles(scene, flat)
    return Drawing(tuple(strokes), bounds)


def _ground(scene: Scene, flat: Flat, bounds: Bounds) -> list[Stroke]:
    left, right = scene.now.left.wheel, scene.now.right.wheel
    middle = (left.centre[0] + right.centre[0]) / 2
    roll = f"body roll {scene.words.angle(float(scene.values.poses.roll[0]))}"
    roll_words = roll if scene.options.handles else None
    return ground_strokes(flat, bounds, left, right, middle, roll_words)


def _handles(scene: Scene, flat: Flat) -> Iterator[Handle]:
    """Yield the points that can be moved, in the order of the schema; the near side's first.

    Right-hand points are those that were measured themselves or move by themselves.
    """
    left, right = scene.now.left.points, scene.now.right.points
    names = [Point.at(key).name for key in points_of(scene.setup, "front") if not is_right(key)]
    for name in names:
        if name in left:
            key = key_of("front", "left", name)
            yield _handle(scene, flat, key, left[name], name in scene.moves)
    for name in names:
        if name in right and _is_own(scene, flat, name):
            key = key_of("front", "right", name)
            yield _handle(scene, flat, key, right[name], name in scene.own_moves)


def _is_own(scene: Scene, flat: Flat, name: str) -> bool:
    """Tell whether a right-hand point can be taken hold of by itself."""
    key = key_of("front", "right", name)
    if not scene.options.far_side or flat.view is View.SIDE or key not in KEYS:
        return False
    return key in scene.setup.evidence or name in scene.own_moves


def _handle(scene: Scene, flat: Flat, key: str, place: Vec, moved: bool) -> Handle:
    return point_handle(scene.shown, scene.words, flat, key, place, moved)


def _bounds(scene: Scene, flat: Flat) -> Bounds:
    """Return the rectangle around what is drawn of the car, its ground included."""
    across, upward = flat.view.value
    left, right = _span(scene, across, flat.view)
    bottom, top = _span(scene, upward, flat.view)
    below = AROUND if flat.view is View.TOP else UNDER
    return Bounds(left - AROUND, bottom - below, right + AROUND, top + AROUND)


def _span(scene: Scene, axis: int, view: View) -> tuple[float, float]:
    """Return the least and greatest coordinate of points and tyres along a car axis."""
    now, width = scene.now, scene.tyre_width
    sides = (
        (now.left,) if view is View.SIDE or not scene.options.far_side else (now.left, now.right)
    )
    places = [place[axis] for side in sides for place in side.points.values()]
    for side in sides:
        places += tyre_reach(side.wheel, axis, width)
    low, high = min(places), max(places)
    if axis == 1:
        return min(low, 0.0) - BESIDE, high + BESIDE
    return low, high
