"""The rear of a car as a drawing in each view: what board, sheet and picture files paint."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from typing import Final

import numpy as np

from app.document.address import key_of, named
from app.document.keys import KEYS
from app.drawing.space import Vec
from app.drawing.strokes import (
    Bounds,
    Drawing,
    Grip,
    Handle,
    LineKind,
    Mark,
    MarkShape,
    Points,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.clearance.drawing import space_strokes
from app.systems.clearance.results import is_clearance
from app.systems.drawing.flat import FLATS, Flat
from app.systems.drawing.ground import BESIDE, ground_strokes
from app.systems.drawing.points import point_handle
from app.systems.drawing.wheel import SEEN, rim_outline, tyre_outline, tyre_reach
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.rear.drawing.centres import centre_handles, centre_strokes
from app.systems.rear.drawing.dimensions import ground_dimensions, move_dimensions
from app.systems.rear.drawing.motion import motion_strokes
from app.systems.rear.drawing.parts import part_strokes
from app.systems.rear.drawing.results import result_strokes
from app.systems.rear.drawing.scene import RearScene, rear_scene_of
from app.systems.rear.drawing.spring import spring_ghost, spring_strokes
from app.systems.shown import Options, Shown

AROUND: Final = 24.0  # paper around what fits [mm]
UNDER: Final = {View.FRONT: 130.0, View.SIDE: 50.0, View.TOP: AROUND}  # paper below [mm]
UPON: Final = 2.0  # a right-hand point nearer to its left-hand one is not shown in side view [mm]
ALONE: Final = ("damper_body", "damper_axle")  # right-hand points that can be taken by themselves
FAR_AHEAD: Final = "gearbox_joint"  # the drawing isn't made small for it
PLAIN: Final = Options()
POINTS: Final = tuple(named("rear", "left", KEYS))


def rear_drawings(
    shown: Shown[RearAnswers, RearSweep],
    options: Options = PLAIN,
    views: Collection[View] = tuple(View),
) -> dict[View, Drawing]:
    """Return these views; what they share is worked out once."""
    scene = rear_scene_of(shown, options)
    return {view: _drawing(scene, FLATS[view]) for view in views}


def rear_drawing(
    shown: Shown[RearAnswers, RearSweep], view: View, options: Options = PLAIN
) -> Drawing:
    """Return one view."""
    return _drawing(rear_scene_of(shown, options), FLATS[view])


def _drawing(scene: RearScene, flat: Flat) -> Drawing:
    options, bounds = scene.options, _bounds(scene, flat)
    strokes: list[Stroke] = [*_wheels(scene, flat), *_ground(scene, flat, bounds)]
    swings = options.overlay.mode is not None  # the rest steps back while a mode is shown
    centres = centre_strokes(scene, flat) if options.construction and not swings else []
    strokes += [stroke for stroke in centres if not isinstance(stroke, Mark)]
    strokes += spring_ghost(scene, flat)
    strokes += spring_strokes(scene, flat)
    strokes += space_strokes(scene.spaces, flat.view, options, scene.words)
    strokes += part_strokes(scene, flat)
    strokes += [stroke for stroke in centres if isinstance(stroke, Mark)]  # over the parts
    strokes += motion_strokes(scene, flat)
    if options.dimensions:
        strokes += ground_dimensions(scene, flat)
    if options.dimensions and not swings and not options.overlay.thrust:
        strokes += move_dimensions(scene, flat)
    if options.result and not is_clearance(options.result):
        strokes += result_strokes(scene, flat, options.result)
    if options.handles:
        strokes += _handles(scene, flat)
    if options.results_held and not swings:
        strokes += centre_handles(scene, flat)
    return Drawing(tuple(strokes), bounds)


# Wheels and ground


def _wheels(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    left, width = scene.now.left.wheel, scene.tyre_width
    outline = tyre_outline(left, width, flat)
    if scene.options.far_side and flat.view is not View.SIDE:
        far = tyre_outline(scene.now.right.wheel, width, flat)
        yield Polyline(far, LineKind.FAR, closed=True)
    yield Polyline(outline, LineKind.WHEEL, closed=True, filled=flat.view is not View.SIDE)
    if flat.view is View.SIDE:
        yield Polyline(rim_outline(left, flat), LineKind.WHEEL, closed=True)
    if scene.options.handles and flat.view is not View.TOP:
        yield _wheel_grip(scene, outline, flat.view)
    yield from _ghost_wheel(scene, flat)
    yield Mark(flat.place(left.centre), MarkShape.CROSS, LineKind.PROPOSED_THIN)


def _wheel_grip(scene: RearScene, outline: Points, view: View) -> Grip:
    travel = scene.result("wheel_travel") or 0.0
    closed = np.vstack([outline, outline[:1]])
    inside = view is View.FRONT
    return Grip("wheel:left", closed, "Left rear wheel", scene.words.risen(travel), inside)


def _ghost_wheel(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the measured wheel where it stands more than a line beside the proposed one."""
    if scene.was is None:
        return
    now, was = scene.now.left.wheel, scene.was.left.wheel
    if math.dist(flat.place(now.centre), flat.place(was.centre)) > SEEN:
        yield Polyline(tyre_outline(was, scene.tyre_width, flat), LineKind.MEASURED, closed=True)


def _ground(scene: RearScene, flat: Flat, bounds: Bounds) -> list[Stroke]:
    left, right = scene.now.left.wheel, scene.now.right.wheel
    roll = f"body roll {scene.words.angle(scene.now.roll)}" if scene.options.handles else None
    return ground_strokes(flat, bounds, left, right, scene.now.middle[0], roll)


# Points that can be taken hold of


def _handles(scene: RearScene, flat: Flat) -> Iterator[Handle]:
    """Yield left-hand points in the order of the schema, then the right-hand ones there are."""
    now = scene.now
    names = [name for name in POINTS if name in now.left.points]
    keys = {name: key for name in names if scene.fits(key := key_of("rear", "left", name))}
    for name, key in keys.items():
        yield _handle(scene, flat, key, now.left.points[name], name in scene.moves)
    if scene.options.far_side:
        for name in keys:
            if _is_shown(scene, flat, name, now.right.points):
                key, moved = key_of("rear", "right", name), name in scene.own_moves
                yield _handle(scene, flat, key, now.right.points[name], moved)


def _is_shown(scene: RearScene, flat: Flat, name: str, at: Mapping[str, Vec]) -> bool:
    """Tell whether a right-hand point can be taken: it is given, moved by itself, or a damper's."""
    key = key_of("rear", "right", name)
    if key not in KEYS:
        return False
    if not (name in ALONE or name in scene.own_moves or key in scene.setup.evidence):
        return False
    if flat.view is not View.SIDE:
        return True
    return math.dist(flat.place(at[name]), flat.place(scene.now.left.points[name])) > UPON


def _handle(scene: RearScene, flat: Flat, key: str, place: Vec, moved: bool) -> Handle:
    return point_handle(scene.shown, scene.words, flat, key, place, moved)


# What fits


def _bounds(scene: RearScene, flat: Flat) -> Bounds:
    """Return the rectangle around what is drawn of the car, its ground included."""
    across, upward = flat.view.value
    left, right = _span(scene, across, flat.view)
    bottom, top = _span(scene, upward, flat.view)
    return Bounds(left - AROUND, bottom - UNDER[flat.view], right + AROUND, top + AROUND)


def _span(scene: RearScene, axis: int, view: View) -> tuple[float, float]:
    """Return the least and greatest coordinate of points and tyres along a car axis."""
    now, width = scene.now, scene.tyre_width
    sides = (now.left, now.right) if scene.options.far_side else (now.left,)
    ends = [tyre_reach(side.wheel, axis, width) for side in sides]
    ends += [(place[axis], place[axis]) for place in _drawn_points(scene)]
    low, high = min(end[0] for end in ends), max(end[1] for end in ends)
    return (low - BESIDE, high + BESIDE) if axis == 1 or view is View.SIDE else (low, high)


def _drawn_points(scene: RearScene) -> Iterator[Vec]:
    """Yield the points of the kind of axle there is, and of that which was there."""
    cars = [(scene.now, scene.car.kind)]
    if scene.was is not None:
        cars.append((scene.was, scene.before.kind))
    for places, kind in cars:
        sides = (places.left, places.right) if scene.options.far_side else (places.left,)
        for side in sides:
            fitting = (
                name
                for name in side.points
                if kind in KEYS[key_of("rear", "left", name)].fits and name != FAR_AHEAD
            )
            yield from (side.points[name] for name in fitting)
