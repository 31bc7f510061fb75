"""The leaf springs as strokes: packs with clips, seats and blocks, eyes and shackles."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, degrees, sin
from typing import Final

import numpy as np

from app.drawing.space import Vec
from app.drawing.strokes import Circle, Label, LineKind, Place, Points, Polyline, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.rear.answers import RearAnswers, RearSweep
from app.systems.rear.drawing.leaves import Drawn, drawn_leaves, stack_depth
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.places import RearPlaces, RearSide, Spring
from geometry.leaf.axle import SHACKLE_MARGIN
from geometry.leaf.rear import LeafRear

EYE: Final = 17.0  # outer radius of an eye where its diameter isn't given [mm]
CLIP: Final = 0.82  # where a clip sits on its leaf, as a share of its length
TUBE: Final = 38.0  # radius of an axle tube as drawn [mm]
PLATE: Final = 9.0  # of the spring plate, and how far U-bolts stand out [mm]
THIN: Final = LineKind.PROPOSED_THIN


def spring_strokes(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return the springs as the view shows them: bent in side view, else as wide as they are."""
    leaf, side = scene.car.leaf, scene.now.left
    if leaf is None or side.spring is None:
        return []
    if flat.view is not View.SIDE:
        strokes = _seen_flat(leaf, scene.now, flat, scene.now.left, THIN)
        if scene.options.far_side:
            strokes += _seen_flat(leaf, scene.now, flat, scene.now.right, LineKind.FAR)
        return strokes
    return [
        *_pack(scene, leaf, side.spring),
        *_seat(scene, leaf, side.spring),
        *_eyes(scene, side),
        *_shackle(scene, side),
    ]


def spring_ghost(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return the measured springs, thin and dashed: the main leaf and its shackle."""
    was, leaf = scene.was, scene.before.leaf
    if was is None or leaf is None or was.left.spring is None:
        return []
    if flat.view is not View.SIDE:
        ghost_sides = (was.left, was.right) if not scene.same_kind else ()
        kind = LineKind.MEASURED
        return [
            stroke for side in ghost_sides for stroke in _seen_flat(leaf, was, flat, side, kind)
        ]
    spring, at = was.left.spring, was.left.points
    line = main_line(leaf, spring)
    shackle = flat.line(LineKind.MEASURED, at["rear_eye"], at["shackle_body"])
    return [Polyline(line, LineKind.MEASURED), shackle]


def main_line(leaf: LeafRear, spring: Spring) -> Points:
    """Return the upper edge of a main leaf, shape (n, 2) [mm]."""
    return next(drawn_leaves(leaf.loop, leaf.stages.pack, spring, 0.0)).upper


# Side view


def _pack(scene: RearScene, leaf: LeafRear, spring: Spring) -> Iterator[Stroke]:
    pack = leaf.stages.pack
    gap = helper_gap(leaf, scene.car, scene.shown.proposed)
    for number, drawn in enumerate(drawn_leaves(leaf.loop, pack, spring, gap)):
        if number == 0:
            yield Polyline(drawn.outline, THIN, closed=True, filled=True)
            continue
        away = drawn.leaf.contact > 0 and gap > 0.0
        yield Polyline(drawn.outline if away else _under(drawn), THIN, closed=away)
        if drawn.leaf.clipped:
            yield from _clips(drawn, -spring_top(leaf))
    yield from _helper_words(scene, leaf, spring, gap)


def _under(drawn: Drawn) -> Points:
    """Return the tips and the lower edge: the upper one is the leaf above's."""
    return np.concatenate([drawn.upper[:1], drawn.lower, drawn.upper[-1:]])


def spring_top(leaf: LeafRear) -> float:
    """Return how far the main leaf's top is above its middle [mm]."""
    return 0.5 * leaf.stages.pack.main.thickness


def helper_gap(leaf: LeafRear, car: RearAnswers, sweep: RearSweep) -> float:
    """Return the travel left until the helpers bear [mm]; 0 where there are none or they do.

    A pose's travel counts from where the car stands, that of the contact from where it was found.
    """
    contacts = [part.contact for part in leaf.stages.pack.leaves if part.contact > 0]
    at = leaf.travel_at_contact(min(contacts)) if contacts else None
    if at is None:
        return min(contacts, default=0.0)
    return max(at - car.stand.travel - float(sweep.values["wheel_travel"][0]), 0.0)


def _helper_words(scene: RearScene, leaf: LeafRear, spring: Spring, gap: float) -> Iterator[Stroke]:
    if any(part.contact > 0 for part in leaf.stages.pack.leaves):
        words = (
            f"helper bears after {scene.words.taped(gap)} {scene.words.units}"
            if gap > 0
            else "helper bears"
        )
        depth = stack_depth(leaf.stages.pack)
        at = spring.seat[0] - 0.5 * leaf.loop.clamp, spring.seat[2] - depth
        yield Label(words, at, LineKind.DIMENSION, "helper", 2, "below")


def _clips(drawn: Drawn, top: float) -> Iterator[Polyline]:
    """Yield a small strap around the leaf and those above it, near each of its tips."""
    count = len(drawn.upper)
    for place in (round((1.0 - CLIP) * 0.5 * count), count - 1 - round((1.0 - CLIP) * 0.5 * count)):
        low, high = drawn.lower[place], drawn.upper[place]
        out = (high - low) / max(float(np.hypot(*(high - low))), 1e-9)
        yield Polyline(np.array([low - 3.0 * out, high + (9.0 - top) * out]), LineKind.PROPOSED)


def _seat(scene: RearScene, leaf: LeafRear, spring: Spring) -> Iterator[Stroke]:
    """Yield centre bolt, U-bolts around pack and tube, the block between, where there is one."""
    top, depth = spring_top(leaf), stack_depth(leaf.stages.pack)
    tube = _from_seat(spring, scene.now.frame.now)
    over = tube[1] > 0.0  # the axle stands on the spring
    far = max(tube[1] + TUBE, top) if over else top
    near = -depth if over else min(tube[1] - TUBE, -depth)
    half = max(0.5 * leaf.loop.clamp - 6.0, 20.0)
    for along in (half, -half):
        ends = ((along, near - 2 * PLATE), (along, far))
        yield Polyline(np.array([_off_seat(spring, *end) for end in ends]), THIN)
    plate = near - PLATE if over else top + PLATE
    yield Polyline(_box(spring, half + 8.0, plate, plate + (PLATE if over else -PLATE)), THIN, True)
    yield Polyline(
        np.array([_off_seat(spring, 0.0, -depth - 5.0), _off_seat(spring, 0.0, top + 5.0)]), THIN
    )
    block = leaf.car.fit.block
    if block > 0.0:
        start = top if over else -depth
        end = start + block if over else start - block
        yield Polyline(_box(spring, 0.8 * half, start, end), THIN, True, True)
        at = _off_seat(spring, -0.8 * half, 0.5 * (start + end))
        yield Label(f"block {scene.words.taped(block)}", at, LineKind.DIMENSION, "block", 2, "left")


def _from_seat(spring: Spring, place: Vec) -> Place:
    """Return a place along and off a seat, in side view."""
    x, z = place[0] - spring.seat[0], place[2] - spring.seat[2]
    c, s = cos(spring.angle), sin(spring.angle)
    return x * c + z * s, z * c - x * s


def _off_seat(spring: Spring, along: float, up: float) -> Place:
    c, s = cos(spring.angle), sin(spring.angle)
    return spring.seat[0] + along * c - up * s, spring.seat[2] + along * s + up * c


def _box(spring: Spring, half: float, one: float, other: float) -> Points:
    corners = ((-half, one), (half, one), (half, other), (-half, other))
    return np.array([_off_seat(spring, *corner) for corner in corners])


def eye_radius(scene: RearScene) -> float:
    """Return the outer radius of an eye [mm]."""
    bore = scene.number("rear.pack.eye_diameter")
    leaf = scene.car.leaf
    thick = leaf.stages.pack.main.thickness if leaf is not None else 6.0
    return EYE if bore is None else 0.5 * bore + thick


def _eyes(scene: RearScene, side: RearSide) -> Iterator[Stroke]:
    radius = eye_radius(scene)
    for name in ("front_eye", "rear_eye"):
        x, _, z = side.points[name]
        yield Circle((x, z), radius, THIN, filled=True)
    x, _, z = side.points["front_eye"]
    yield Label("front eye", (x, z), LineKind.PROPOSED, "front eye", 1, "left")


def _shackle(scene: RearScene, side: RearSide) -> Iterator[Stroke]:
    start, end = side.points["rear_eye"], side.points["shackle_body"]
    pair = np.array([(start[0], start[2]), (end[0], end[2])])
    yield Polyline(pair, LineKind.PROPOSED)
    angle = scene.result("shackle_angle")
    if angle is None:
        return
    near = min(angle, np.pi - angle) < SHACKLE_MARGIN
    words = f"shackle {degrees(angle):.0f}°"
    words += " to the line of the eyes: too near it" if near else ""
    at = (float(pair[:, 0].mean()), float(pair[:, 1].mean()))
    kind = LineKind.MOVE if near else LineKind.PROPOSED
    yield Label(words, at, kind, "shackle", 7 if near else 4, "right", near)


# Front and top view


def _seen_flat(
    leaf: LeafRear, places: RearPlaces, flat: Flat, side: RearSide, kind: LineKind
) -> list[Stroke]:
    spring = side.spring
    assert spring is not None
    half = 0.5 * leaf.stages.pack.width
    if flat.view is View.TOP:
        strip = _strip(spring, half)
        shackle = flat.line(kind, side.points["rear_eye"], side.points["shackle_body"])
        return [Polyline(strip, kind, closed=True), shackle]
    return [*_stack(places, leaf, spring, half, kind), _hanger(flat, side, kind)]


def _strip(spring: Spring, half: float) -> Points:
    """Return a spring seen from above, as (y, x)."""
    ends = (spring.front_eye, spring.seat, spring.rear_eye)
    left = [(p[1] + half, p[0]) for p in ends]
    right = [(p[1] - half, p[0]) for p in ends]
    return np.array(left + right[::-1])


def _stack(
    places: RearPlaces, leaf: LeafRear, spring: Spring, half: float, kind: LineKind
) -> Iterator[Stroke]:
    """Yield the pack seen on end, tilted with the axle, as (y, z)."""
    _, sine, cosine = places.up
    across, up = (cosine, -sine), (sine, cosine)
    top, bottom = spring_top(leaf), -stack_depth(leaf.stages.pack)
    corners = ((-half, bottom), (half, bottom), (half, top), (-half, top))
    y, z = spring.seat[1], spring.seat[2]
    outline = [(y + u * across[0] + v * up[0], z + u * across[1] + v * up[1]) for u, v in corners]
    yield Polyline(np.array(outline), kind, closed=True, filled=True)
    depth = top
    for one in leaf.stages.pack.leaves[:-1]:
        depth -= one.thickness
        ends = [
            (y + u * across[0] + depth * up[0], z + u * across[1] + depth * up[1])
            for u in (-half, half)
        ]
        yield Polyline(np.array(ends), kind)


def _hanger(flat: Flat, side: RearSide, kind: LineKind) -> Stroke:
    return flat.line(kind, side.points["rear_eye"], side.points["shackle_body"])
