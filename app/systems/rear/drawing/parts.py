"""The axle and what hangs on it as strokes: tube, pinion, dampers, traction bars, links, coils."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import numpy as np

from app.drawing.space import Vec, minus, plus_scaled, unit
from app.drawing.strokes import Circle, Coil, Damper, Label, LineKind, Points, Polyline, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.rear.drawing.leaves import stack_depth
from app.systems.rear.drawing.scene import RearScene
from app.systems.rear.drawing.spring import TUBE
from app.systems.rear.places import RearPlaces, RearSide
from geometry.leaf.snubbers import tip_height

Line = tuple[str, LineKind, tuple[Vec, ...]]  # name, kind, places

COIL: Final = 118.0  # diameter of a coil, its wire left out [mm]
DAMPER: Final = 46.0
CASING: Final = 110.0  # radius of the casing in the middle of the axle [mm]
NOSE: Final = 270.0  # axle to pinion joint, where it isn't given [mm]
LINK_END: Final = 9.0  # radius of the bush of a link on the far side [mm]
SNUBBER: Final = 15.0  # radius [mm]
AT_AXLE: Final = 20.0  # nearer than this a damper stands at the axle [mm]
ENDS: Final = ("damper_body", "damper_axle")
APART: Final = 4.0  # nearer than this, two places are drawn as one [mm]
SEEN: Final = 0.3  # a measured part that moved less than this is not drawn again [mm]


def part_strokes(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return the axle and its parts, from back to front."""
    strokes: list[Stroke] = [*_dampers(scene, flat), *_coils(scene, flat)]
    if scene.options.far_side and flat.view is not View.SIDE:
        for _, _, ends in members(scene.now.right):
            strokes.append(flat.line(LineKind.FAR, *ends))
            strokes += [Circle(flat.place(end), LINK_END, LineKind.FAR) for end in ends]
    strokes += ghost_parts(scene, flat)
    strokes += axle_strokes(scene.now, flat, LineKind.PROPOSED)
    strokes += _pinion(scene, flat)
    strokes += [flat.line(kind, *ends) for _, kind, ends in members(scene.now.left)]
    strokes += [flat.line(kind, *ends) for _, kind, ends in lateral_link(scene.now.left)]
    strokes += _traction_bar(scene, flat)
    return strokes


def ghost_parts(scene: RearScene, flat: Flat) -> list[Stroke]:
    """Return the measured parts that the proposal moved, thin and dashed."""
    if scene.was is None:
        return []
    lines = _axle_edges(scene.was, flat)
    moved = not scene.same_kind or _far(_axle_edges(scene.now, flat), lines) > SEEN
    strokes: list[Stroke] = []
    if moved:
        strokes += axle_strokes(scene.was, flat, LineKind.MEASURED)
    now, was = _named(scene.now), _named(scene.was)
    for name, ends in was.items():
        if name not in now or max(map(math.dist, ends, now[name])) > SEEN:
            strokes.append(flat.line(LineKind.MEASURED, *ends))
    return strokes


def _named(places: RearPlaces) -> dict[str, tuple[Vec, ...]]:
    """Return the lines that a ghost is compared by: members and dampers of both sides."""
    lines = {name: ends for name, _, ends in (*members(places.left), *lateral_link(places.left))}
    for which, side in (("left", places.left), ("right", places.right)):
        at = side.points
        if "damper_body" in at:
            lines[f"{which} damper"] = at["damper_body"], at["damper_axle"]
    return lines


def _far(one: Points, other: Points) -> float:
    return float(np.abs(one - other).max())


# The axle


def _axle_edges(places: RearPlaces, flat: Flat) -> Points:
    """Return the middle of the tube from wheel to wheel, as seen, shape (2, 2)."""
    ends = tube_ends(places)
    return np.array([flat.place(ends[0]), flat.place(ends[1])])


def tube_ends(places: RearPlaces) -> tuple[Vec, Vec]:
    """Return the tube's ends inside the wheels, right and left."""
    centre = places.left.points.get("axle_centre", places.middle)
    off = minus(centre, places.middle)
    rise: Vec = (off[0], 0.0, off[2])
    ends = []
    for wheel in (places.right.wheel, places.left.wheel):
        inner = plus_scaled(wheel.centre, wheel.spin, -70.0)
        ends.append((inner[0] + rise[0], inner[1], inner[2] + rise[2]))
    return ends[0], ends[1]


def axle_strokes(places: RearPlaces, flat: Flat, kind: LineKind) -> list[Stroke]:
    """Return the tube on end in side view; else from wheel to wheel with its casing."""
    start, end = _axle_edges(places, flat)
    filled = kind is LineKind.PROPOSED
    if flat.view is View.SIDE:
        return [Circle((float(end[0]), float(end[1])), TUBE, kind, filled)]
    along = (end - start) / float(np.hypot(*(end - start)))
    across = np.array([-along[1], along[0]])
    middle = (start + end) / 2
    thin = LineKind.PROPOSED_THIN if filled else kind
    sides = [np.array([start + s * TUBE * across, end + s * TUBE * across]) for s in (1.0, -1.0)]
    outline = np.concatenate([sides[0], sides[1][::-1]])
    casing = Circle((float(middle[0]), float(middle[1])), CASING, thin, filled)
    return [Polyline(outline, thin, closed=True, filled=filled), casing]


def _pinion(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    places = scene.now
    start = middle_of_tube(places)
    nose: Vec = (math.cos(places.pitch), 0.0, math.sin(places.pitch))
    joint = places.left.points.get("pinion", plus_scaled(start, nose, NOSE))
    if flat.view is View.FRONT:
        return
    ahead = unit(minus(joint, start))
    first = plus_scaled(start, ahead, TUBE if flat.view is View.SIDE else CASING)
    yield flat.line(LineKind.PROPOSED_THIN, first, joint)
    text = _pinion_words(scene)
    if flat.view is View.SIDE and text:
        yield Label(text, flat.place(joint), LineKind.PROPOSED, "pinion", 5, "above")


def middle_of_tube(places: RearPlaces) -> Vec:
    """Return the middle of the tube."""
    right, left = tube_ends(places)
    return (left[0] + right[0]) / 2, (left[1] + right[1]) / 2, (left[2] + right[2]) / 2


def _pinion_words(scene: RearScene) -> str:
    """Say the pinion's angle; only its turn, where the measured angle isn't given."""
    angle = scene.result("pinion_angle") or 0.0
    has_angle = scene.number("rear.axle.pinion_angle") is not None
    if abs(math.degrees(angle)) < 0.005:
        return f"pinion {scene.words.angle(0.0)}" if has_angle else ""
    way = "nose up" if angle > 0 else "nose down"
    return f"pinion {'' if has_angle else 'turns '}{scene.words.angle(abs(angle))} {way}"


# Dampers and coils


def _dampers(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    left, right = scene.now.left, scene.now.right
    if "damper_body" not in left.points:
        return
    moved = any(name in scene.own_moves for name in ENDS)
    if flat.view is View.SIDE:
        if _apart(scene, flat):
            kind = LineKind.PROPOSED_THIN if moved else LineKind.FAR
            yield from _damper(scene, flat, right, kind)
            yield Circle(flat.place(right.points["damper_axle"]), 0.3 * DAMPER, kind)
    elif scene.options.far_side:
        kind = LineKind.PROPOSED_THIN if moved else LineKind.FAR
        yield from _damper(scene, flat, right, kind)
    yield from _damper(scene, flat, left, LineKind.PROPOSED_THIN)
    yield from _damper_words(scene, flat)


def _apart(scene: RearScene, flat: Flat) -> bool:
    """Tell whether both dampers can be told apart in side view."""
    left, right = (
        [flat.place(side.points[name]) for name in ENDS]
        for side in (scene.now.left, scene.now.right)
    )
    return max(map(math.dist, left, right)) > APART


def _damper(scene: RearScene, flat: Flat, side: RearSide, kind: LineKind) -> Iterator[Stroke]:
    body, axle = side.points["damper_body"], side.points["damper_axle"]
    start, end = flat.place(body), flat.place(axle)
    if math.dist(start, end) < DAMPER:
        yield Circle(start, 0.5 * DAMPER, kind)
        return
    made = scene.number("rear.damper.closed_length") or 0.58 * math.dist(body, axle)
    foreshortening = math.dist(start, end) / max(math.dist(body, axle), 1.0)
    yield Damper(start, end, DAMPER, 0.95 * made * foreshortening, kind)


def where_damper(places: RearPlaces, side: RearSide) -> str:
    """Say on which side of the axle a damper stands."""
    ahead = side.points["damper_axle"][0] - places.middle[0]
    if abs(ahead) < AT_AXLE:
        return "at the axle"
    return "ahead" if ahead > 0 else "behind"


def _damper_words(scene: RearScene, flat: Flat) -> Iterator[Label]:
    if flat.view is not View.SIDE:
        return
    left, right = scene.now.left, scene.now.right
    tops = [flat.place(side.points["damper_body"]) for side in (left, right)]
    words = [where_damper(scene.now, side) + _past_end(scene, side) for side in (left, right)]
    if words[0] == words[1] and math.dist(*tops) < 2 * DAMPER:
        yield Label(f"both dampers {words[0]}", tops[0], LineKind.PROPOSED, "damper", 4, "above")
        return
    moved = [any(name in moves for name in ENDS) for moves in (scene.moves, scene.own_moves)]
    yield Label(
        f"left damper, {words[0]}", tops[0], LineKind.PROPOSED, "damper", 5, "above", moved[0]
    )
    yield Label(
        f"right damper, {words[1]}", tops[1], LineKind.PROPOSED, "far damper", 4, "above", moved[1]
    )


def _past_end(scene: RearScene, side: RearSide) -> str:
    """Say that a damper would have to be longer or shorter than it can be, as posed."""
    length = math.dist(side.points["damper_body"], side.points["damper_axle"])
    closed, opened = (scene.number(f"rear.damper.{end}_length") for end in ("closed", "open"))
    if opened is not None and length > opened:
        return f": {scene.words.bare(length - opened)} past open"
    if closed is not None and length < closed:
        return f": {scene.words.bare(closed - length)} past closed"
    return ""


def _coils(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the coils of an axle on links."""
    if scene.car.links is None:
        return
    sides = [(scene.now.left, LineKind.SPRING)]
    if scene.options.far_side and flat.view is not View.SIDE:
        sides.insert(0, (scene.now.right, LineKind.FAR))
    for side, kind in sides:
        at = side.points
        if "spring_body" in at:
            yield from _coil(flat, at["spring_body"], at["spring_axle"], kind)


def _coil(flat: Flat, body: Vec, axle: Vec, kind: LineKind) -> Iterator[Stroke]:
    start, end = flat.place(body), flat.place(axle)
    if math.dist(start, end) > 0.6 * COIL:
        yield Coil(start, end, COIL, kind=kind)
        return
    thin = kind if kind is LineKind.FAR else LineKind.WHEEL
    ends = (start,) if math.dist(start, end) < APART else (start, end)
    yield from (Circle(place, 0.5 * COIL, thin) for place in ends)


# Links and traction bars


def members(side: RearSide) -> Iterator[Line]:
    """Yield the links of one side, where the axle has them."""
    at = side.points
    if side.spring is not None:
        return
    for name in ("lower", "upper"):
        if f"{name}_body" in at:
            yield f"{name} link", LineKind.PROPOSED, (at[f"{name}_body"], at[f"{name}_axle"])


def lateral_link(side: RearSide) -> Iterator[Line]:
    """Yield the link across the car, where the axle has it; the left side names it."""
    at = side.points
    if side.spring is None and "lateral_body" in at:
        yield "lateral link", LineKind.PROPOSED, (at["lateral_body"], at["lateral_axle"])


def _traction_bar(scene: RearScene, flat: Flat) -> Iterator[Stroke]:
    """Yield the bar under the spring, its snubber and the place that this meets."""
    leaf, spring = scene.car.leaf, scene.now.left.spring
    if leaf is None or spring is None:
        return
    bars, at = leaf.car.bars, scene.now.left.points
    has_bar_points = "bar_axle" in at and "bar_snubber" in at
    if bars is None and not has_bar_points:
        return
    start, tip = (at["bar_axle"], at["bar_snubber"]) if has_bar_points else _plain_bar(scene)
    kind = LineKind.PROPOSED if bars is not None else LineKind.FAR
    yield flat.line(kind, start, tip)
    if flat.view is View.FRONT:
        return
    yield Circle(flat.place(tip), SNUBBER, LineKind.PROPOSED_THIN if bars else LineKind.FAR, True)
    if flat.view is View.TOP:
        return
    words = "traction bar, not fitted"
    if leaf.bars is not None and leaf.snubbers is not None:
        words = f"traction bar, gap {scene.words.bare(leaf.bars.gap)}"
        height = tip_height(leaf.bars.length, spring.seat[2], spring.angle)
        yield _stop(tip, float(leaf.snubbers.touch - height))
    yield Label(words, flat.place(tip), LineKind.PROPOSED, "traction bar", 3, "below")


def _plain_bar(scene: RearScene) -> tuple[Vec, Vec]:
    """Return a bar of which only the length is known: under the seat, straight ahead."""
    leaf, spring = scene.car.leaf, scene.now.left.spring
    assert leaf is not None
    assert spring is not None
    assert leaf.car.bars is not None
    x, y, z = spring.seat
    c, s = math.cos(spring.angle), math.sin(spring.angle)
    depth = stack_depth(leaf.stages.pack) + 20.0
    start: Vec = (x + depth * s, y, z - depth * c)
    return start, plus_scaled(start, (c, 0.0, s), leaf.car.bars.length)


def _stop(tip: Vec, gap: float) -> Stroke:
    """Return the pad on the body, a gap above the snubber of the pose that is shown [mm]."""
    level = tip[2] + SNUBBER + gap
    return Polyline(np.array([(tip[0] - 28.0, level), (tip[0] + 28.0, level)]), LineKind.GROUND)
