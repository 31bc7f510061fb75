"""Motions added to a rear's pose: the springs' S shape under wind-up."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from app.document.units import format_value
from app.drawing.strokes import (
    Circle,
    Label,
    LineKind,
    Points,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.rear.drawing.leaves import bearing
from app.systems.rear.drawing.modes import mode_strokes
from app.systems.rear.drawing.parts import NOSE, SNUBBER, middle_of_tube
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.drawing.spring import TUBE, helper_gap
from app.systems.rear.places import Spring
from geometry.leaf.shape import wound_line
from geometry.leaf.wind_up import WindUp

KIND: Final = LineKind.PATH


def motion_strokes(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return the wind-up or the mode that is shown."""
    display = scene.options.overlay
    if display.mode is not None and scene.car.hop is not None:
        return list(mode_strokes(scene, flat, display.mode))
    if display.thrust and scene.car.twist is not None and flat.view is View.SIDE:
        return list(_wound(scene, flat, scene.car.twist))
    return []


# Wind-up


def _wound(scene: RearScene, flat: Flat, twist: WindUp) -> Iterator[Stroke]:
    leaf, spring = scene.car.leaf, scene.now.left.spring
    assert leaf is not None
    assert spring is not None
    share, factor = scene.options.overlay.thrust, scene.options.overlay.exaggeration
    push = share * scene.car.single["full_thrust"] if share > 0 else -share * twist.thrust.min()
    rotation, couple = (_at(push, twist, row) for row in (twist.rotation, twist.couple))
    change = np.array([_at(push, twist, row) for row in twist.bending_change])
    line = wound_line(
        leaf.loop,
        bearing(leaf, helper_gap(leaf, scene.car, scene.shown.proposed)),
        change,
        rotation,
        factor,
        (spring.bends[0] - leaf.loop.curvatures[0]) / leaf.loop.split[0],
        spring.angle,
    )
    yield Polyline(line, KIND)
    yield from _wound_axle(scene, flat, line, factor * rotation)
    torque = format_value(
        abs(couple), "torque", scene.words.units, decimal=scene.words.decimal, places=0
    )
    way = "" if rotation >= 0 else " nose down"
    words = f"wind-up at {torque}: {scene.words.angle(abs(rotation))}{way}, drawn ×{factor:g}"
    at = line[len(line) // 4]
    yield Label(words, (float(at[0]), float(at[1])), KIND, "wind-up", 8, "above", True)


def _at(push: float, twist: WindUp, row: Points) -> float:
    return float(np.interp(push, twist.thrust, row))


def _wound_axle(scene: RearScene, flat: Flat, line: Points, turn: float) -> Iterator[Stroke]:
    """Yield tube and pinion as the seat of the wound spring carries them."""
    spring = scene.now.left.spring
    assert spring is not None
    start = flat.place(middle_of_tube(scene.now))
    off = start[0] - spring.seat[0], start[1] - spring.seat[2]
    seat = line[len(line) // 2 - 1 : len(line) // 2 + 1].mean(axis=0)
    c, s = math.cos(turn), math.sin(turn)
    tube = float(seat[0] + off[0] * c - off[1] * s), float(seat[1] + off[0] * s + off[1] * c)
    yield Circle(tube, TUBE, KIND)
    nose = scene.now.pitch + turn
    joint = tube[0] + NOSE * math.cos(nose), tube[1] + NOSE * math.sin(nose)
    yield Polyline(np.array([tube, joint]), KIND)
    yield from _wound_bar(scene, spring, seat, turn)


def _wound_bar(scene: RearScene, spring: Spring, seat: Points, turn: float) -> Iterator[Stroke]:
    """Yield the traction bar as the seat carries it."""
    at = scene.now.left.points
    if "bar_axle" not in at or "bar_snubber" not in at:
        return
    ends = np.array([[at[name][0], at[name][2]] for name in ("bar_axle", "bar_snubber")])
    c, s = math.cos(turn), math.sin(turn)
    off = ends - np.array([spring.seat[0], spring.seat[2]])
    carried = seat + off @ np.array([[c, s], [-s, c]])
    yield Polyline(carried, KIND)
    yield Circle((float(carried[1, 0]), float(carried[1, 1])), SNUBBER, KIND)
