"""Motions added to a rear's pose: the springs' S shape under wind-up, the axle in a mode."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from app.document.units import format_value, number_of
from app.drawing.space import plus_scaled
from app.drawing.strokes import (
    Circle,
    Label,
    LineKind,
    Mark,
    MarkShape,
    Points,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.front.drawing.scene import Flat
from app.systems.front.drawing.wheel import tyre_outline
from app.systems.rear.drawing.leaves import bearing, drawn_leaves
from app.systems.rear.drawing.parts import NOSE, axle_strokes, middle_of_tube
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.drawing.spring import TUBE, helper_gap
from app.systems.rear.places import RearPlaces, Spring, swung
from geometry.leaf.hop import MODE_NAMES
from geometry.leaf.rear import LeafRear
from geometry.leaf.shape import wound_line
from geometry.leaf.wind_up import WindUp

SWING: Final = 45.0  # the largest motion of a mode as drawn [mm]
KIND: Final = LineKind.PATH


def motion_strokes(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return the wind-up or the mode that is shown."""
    display = scene.options.overlay
    if display.mode is not None and scene.car.hop is not None:
        return list(_mode(scene, flat, display.mode, display.phase))
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
        bearing(leaf, helper_gap(leaf, scene.shown.proposed)),
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


# Modes


def _mode(scene: RearScene, flat: Flat, index: int, phase: float) -> Iterator[Stroke]:
    hop = scene.car.hop
    assert hop is not None
    turned = np.real(hop.own.shapes[index] * np.exp(1j * phase)) * SWING / 1e3
    ahead, rise, lift, nose = (float(v) for v in turned)
    moved = swung(scene.now, (1e3 * ahead, 0.0, 1e3 * rise), lift, nose)
    yield from axle_strokes(moved, flat, KIND)
    for side in (moved.left, moved.right):
        if side is moved.left or flat.view is not View.SIDE:
            outline = tyre_outline(side.wheel, scene.tyre_width, flat)
            yield Polyline(outline, KIND, closed=True)
    yield from _swinging_dampers(moved, flat)
    if flat.view is View.SIDE:
        yield from _swinging_leaf(scene, moved, ahead, rise, nose)
        yield from _node(scene, flat, float(hop.own.node_ahead[index]))
        yield from _mode_words(scene, flat, index)


def _swinging_dampers(moved: RearPlaces, flat: Flat) -> Iterator[Stroke]:
    for side in (moved.left, moved.right):
        if "damper_body" in side.points:
            yield flat.line(KIND, side.points["damper_body"], side.points["damper_axle"])


def _swinging_leaf(
    scene: RearScene, moved: RearPlaces, ahead: float, rise: float, nose: float
) -> Iterator[Stroke]:
    """Yield the main leaf with its seat carried along and its eyes where they are."""
    leaf, spring = scene.car.leaf, scene.now.left.spring
    if leaf is None or spring is None:
        return
    frame = scene.now.frame.now
    off = spring.seat[0] - frame[0], spring.seat[2] - frame[2]
    step = 1e3 * ahead - nose * off[1], 1e3 * rise + nose * off[0]
    yield Polyline(_carried(leaf, spring, step, nose), KIND)


def _carried(leaf: LeafRear, spring: Spring, step: tuple[float, float], nose: float) -> Points:
    """Return the main leaf's top with the seat moved and turned: clamped there, pinned at an eye.

    The shape functions of a beam with one end free to turn (textbook).
    """
    line = next(drawn_leaves(leaf.loop, leaf.stages.pack, spring, 0.0)).upper
    along = line[:, 0] - spring.seat[0]
    half = 0.5 * leaf.loop.clamp
    length = np.where(along > 0, leaf.loop.front, leaf.loop.rear)
    share = np.clip((np.abs(along) - half) / length, 0.0, 1.0)
    held = 1.0 - 1.5 * share**2 + 0.5 * share**3
    slope = np.sign(along) * length * (share - 1.5 * share**2 + 0.5 * share**3)
    rise = (step[1] + nose * np.clip(along, -half, half)) * held + nose * slope
    return np.column_stack([line[:, 0] + step[0] * (1.0 - share), line[:, 1] + rise])


def _node(scene: RearScene, flat: Flat, ahead: float) -> Iterator[Stroke]:
    """Mark where along the axle's own line a mode doesn't rise."""
    if not np.isfinite(ahead) or abs(ahead) > 1500.0:
        return
    at = flat.place(plus_scaled(scene.now.middle, (1.0, 0.0, 0.0), ahead))
    yield Mark(at, MarkShape.CENTRE, KIND)
    where = "ahead" if ahead > 0 else "behind"
    text = f"stands still {scene.words.length(abs(ahead))} {where}"
    yield Label(text, at, KIND, "node", 6, "below")


def _mode_words(scene: RearScene, flat: Flat, index: int) -> Iterator[Stroke]:
    hop, decimal = scene.car.hop, scene.words.decimal
    assert hop is not None
    beats, ratio = float(hop.own.frequency[index]), float(hop.own.damping[index])
    words = (
        f"{MODE_NAMES[index]} {number_of(beats, 'plain', 'mm', decimal=decimal, places=1)} Hz, "
        f"damping {number_of(ratio, 'plain', 'mm', decimal=decimal, places=2)}; "
        f"drawn with {scene.words.length(SWING)} of swing"
    )
    top = plus_scaled(scene.now.middle, (0.0, 0.0, 1.0), scene.now.left.wheel.radius + 30.0)
    yield Label(words, flat.place(top), KIND, "mode", 8, "above", True)
