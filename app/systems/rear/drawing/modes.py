"""The axle swinging in one of its modes, with its dampers as they are or in another layout."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from app.document.units import number_of
from app.drawing.space import plus, plus_scaled
from app.drawing.strokes import Circle, Label, LineKind, Mark, MarkShape, Points, Polyline, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.drawing.wheel import RIM, Wheel, tyre_outline
from app.systems.rear.drawing.leaves import drawn_leaves
from app.systems.rear.drawing.parts import (
    NOSE,
    SNUBBER,
    axle_strokes,
    lateral_link,
    members,
    middle_of_tube,
)
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.places import RearPlaces, RearSide, Spring, swung
from app.systems.rear.words.hop import mode_name, ratio_words
from geometry.leaf.rear import LeafRear
from geometry.modes.dampers import LAYOUTS, Damper, damper_layouts
from geometry.modes.hop import Hop
from geometry.modes.modes import Modes

SWING: Final = 45.0  # the largest motion of a mode as drawn [mm]
SPOKES: Final = 6
KIND: Final = LineKind.PATH


def mode_strokes(scene: RearScene, flat: Flat, index: int) -> Iterator[Stroke]:
    """Return the axle in a mode, at the phase and with the dampers that are shown."""
    hop, display = scene.car.hop, scene.options.overlay
    assert hop is not None
    modes = _modes(hop, display.layout)
    turned = np.real(modes.motion(index) * np.exp(1j * display.phase)) * SWING / 1e3
    ahead, rise, lift, nose, left, yaw = (float(v) for v in turned)
    still = _with_dampers(scene.now, hop, display.layout)
    moved = swung(still, (1e3 * ahead, 1e3 * left, 1e3 * rise), (yaw, lift, nose))
    yield from axle_strokes(moved, flat, KIND)
    yield from _wheels(scene, flat, moved, nose)
    yield from _parts(moved, flat)
    if flat.view is not View.FRONT:
        yield _pinion(moved, flat)
    if flat.view is View.SIDE:
        yield from _leaf(scene, moved, ahead, rise, nose)
        yield from _bar(moved, flat)
        yield from _node(scene, flat, float(modes.node_ahead[index]))
        yield _words(scene, flat, modes, index)


def _modes(hop: Hop, layout: int | None) -> Modes:
    return hop.own if layout is None else hop.layouts[layout]


def _with_dampers(places: RearPlaces, hop: Hop, layout: int | None) -> RearPlaces:
    """Return the places with the dampers where a layout has them."""
    if layout is None:
        return places
    left, right = damper_layouts(*hop.dampers[:2])[layout]
    return replace(
        places,
        left=_side_with(places, places.left, left),
        right=_side_with(places, places.right, right),
    )


def _side_with(places: RearPlaces, side: RearSide, damper: Damper) -> RearSide:
    axle = plus((places.middle[0], 0.0, places.middle[2]), damper.at)
    ends = {"damper_axle": axle, "damper_body": plus(axle, damper.towards)}
    return replace(side, points={**side.points, **ends})


def _wheels(scene: RearScene, flat: Flat, moved: RearPlaces, nose: float) -> Iterator[Stroke]:
    """Yield the tyres; in side view with spokes that turn as the axle does."""
    sides = (moved.left,) if flat.view is View.SIDE else (moved.left, moved.right)
    for side in sides:
        yield Polyline(tyre_outline(side.wheel, scene.tyre_width, flat), KIND, closed=True)
    if flat.view is View.SIDE:
        yield from spokes(moved.left.wheel, flat, nose)


def spokes(wheel: Wheel, flat: Flat, nose: float) -> Iterator[Stroke]:
    """Yield a wheel's rim and spokes in side view, turned nose up by an angle [rad]."""
    x, z = flat.place(wheel.centre)
    radius = RIM * wheel.radius
    yield Circle((x, z), radius, KIND)
    for spoke in range(SPOKES):
        angle = nose + 2.0 * math.pi * spoke / SPOKES
        out = np.array([math.cos(angle), math.sin(angle)])
        yield Polyline(np.array([x, z]) + np.outer([0.35 * radius, radius], out), KIND)


def _parts(moved: RearPlaces, flat: Flat) -> Iterator[Stroke]:
    """Yield dampers and links from body to axle."""
    for side in (moved.left, moved.right):
        if "damper_body" in side.points:
            yield flat.line(KIND, side.points["damper_body"], side.points["damper_axle"])
        yield from (flat.line(KIND, *ends) for _, _, ends in members(side))
    yield from (flat.line(KIND, *ends) for _, _, ends in lateral_link(moved.left))


def _pinion(moved: RearPlaces, flat: Flat) -> Stroke:
    """Return the nose, which rises and falls as the axle turns."""
    start = middle_of_tube(moved)
    ahead = math.cos(moved.pitch), 0.0, math.sin(moved.pitch)
    joint = moved.left.points.get("pinion", plus_scaled(start, ahead, NOSE))
    return flat.line(KIND, start, joint)


def _bar(moved: RearPlaces, flat: Flat) -> Iterator[Stroke]:
    at = moved.left.points
    if "bar_axle" in at and "bar_snubber" in at:
        yield flat.line(KIND, at["bar_axle"], at["bar_snubber"])
        yield Circle(flat.place(at["bar_snubber"]), SNUBBER, KIND)


def _leaf(
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


def _words(scene: RearScene, flat: Flat, modes: Modes, index: int) -> Stroke:
    decimal, layout = scene.words.decimal, scene.options.overlay.layout
    beats, ratio = float(modes.named.frequency[index]), float(modes.named.damping[index])
    hertz = number_of(beats, "plain", "mm", decimal=decimal, places=1)
    swing = f"; drawn with {scene.words.length(SWING)} of swing"
    where = swing if layout is None else f", {LAYOUTS[layout]}"
    words = f"{mode_name(modes, index)} {hertz} Hz, damping {ratio_words(ratio, decimal)}{where}"
    top = plus_scaled(scene.now.middle, (0.0, 0.0, 1.0), scene.now.left.wheel.radius + 30.0)
    return Label(words, flat.place(top), KIND, "mode", 8, "above", True)
