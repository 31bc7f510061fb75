"""The parts of a front as strokes: arms, upright, steering, springs; the far side; the ghost."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from app.drawing.space import Vec, dot, minus, plus_scaled, unit
from app.drawing.strokes import Circle, Coil, Damper, LineKind, Stroke
from app.drawing.views import View
from app.systems.drawing.flat import Flat
from app.systems.front.drawing.scene import Scene
from app.systems.front.places import Side

Line = tuple[str, LineKind, tuple[Vec, ...]]  # name, kind, places

COIL: Final = 104.0  # diameter of a coil, its wire left out [mm]
DAMPER: Final = 44.0
BAR: Final = 620.0  # length of a torsion bar drawn behind its arm [mm]
APART: Final = 4.0  # nearer than this, two places are drawn as one [mm]
SEEN: Final = 0.3  # a measured part that moved less than this is not drawn again [mm]


def part_strokes(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return ghost, far side and near side, from back to front."""
    left, right = scene.now.left, scene.now.right
    strokes: list[Stroke] = []
    if scene.options.far_side and flat.view is not View.SIDE:
        strokes += [flat.line(LineKind.FAR, *ends) for _, _, ends in _members(scene, right)]
        strokes += _spring(scene, flat, right, LineKind.FAR)
    strokes += _spring(scene, flat, left, LineKind.SPRING)
    strokes += _ghost(scene, flat)
    lines = (*_steering(scene), *_members(scene, left))
    strokes += [flat.line(kind, *ends) for _, kind, ends in lines]
    return strokes


def _members(scene: Scene, side: Side) -> Iterator[Line]:
    """Yield the lines of arms, upright and tie rod of one side."""
    at = side.points
    ball, lower = at["upper_ball"], at["lower_ball"]
    yield "tie rod", LineKind.PROPOSED_THIN, (at["tie_inner"], at["tie_outer"])
    yield "upper arm", LineKind.PROPOSED, (at["upper_front"], ball, at["upper_rear"])
    yield from _lower_arm(scene, at)
    yield "upright", LineKind.PROPOSED, (lower, ball)
    yield (
        "steering arm",
        LineKind.PROPOSED_THIN,
        (_foot(at["tie_outer"], lower, ball), at["tie_outer"]),
    )
    hub = at["wheel_centre"]
    yield "spindle", LineKind.PROPOSED_THIN, (_foot(hub, lower, ball), hub)
    for name, foot in side.feet.items():
        seat = at[f"{name}_arm"]
        if math.dist(seat, foot) > APART:
            yield f"{name} seat", LineKind.PROPOSED_THIN, (foot, seat)


def _lower_arm(scene: Scene, at: Mapping[str, Vec]) -> Iterator[Line]:
    """Yield one arm, or the lateral link with the strut rod bolted to it."""
    front, rear, ball = at["lower_front"], at["lower_rear"], at["lower_ball"]
    joint = at.get("strut_joint")
    if scene.setup.evidence.get("front.lower_arm") != "link and strut rod" or joint is None:
        yield "lower arm", LineKind.PROPOSED, (front, ball, rear)
        return
    yield "link", LineKind.PROPOSED, (rear, ball)
    yield "strut rod", LineKind.PROPOSED, (front, joint)
    link = _foot(joint, rear, ball)
    if math.dist(joint, link) > APART:
        yield "bracket", LineKind.PROPOSED, (joint, link)


def _foot(place: Vec, start: Vec, end: Vec) -> Vec:
    """Return the place of a line that is nearest to a place beside it."""
    line = minus(end, start)
    return plus_scaled(start, line, dot(minus(place, start), line) / dot(line, line))


def _steering(scene: Scene) -> Iterator[Line]:
    """Yield the rack, or pitman arm, idler arm and relay link."""
    left, right = scene.now.left.points, scene.now.right.points
    if "pitman_end" not in left:
        yield "rack", LineKind.PROPOSED_THIN, (right["tie_inner"], left["tie_inner"])
        return
    yield "pitman arm", LineKind.PROPOSED_THIN, (left["pitman_pivot"], left["pitman_end"])
    yield "idler arm", LineKind.PROPOSED_THIN, (left["idler_pivot"], left["idler_end"])
    yield "relay link", LineKind.PROPOSED_THIN, (left["pitman_end"], left["idler_end"])
    for at in (left, right):
        foot = _foot(at["tie_inner"], left["pitman_end"], left["idler_end"])
        if math.dist(foot, at["tie_inner"]) > APART:
            yield "relay arm", LineKind.PROPOSED_THIN, (foot, at["tie_inner"])


def _spring(scene: Scene, flat: Flat, side: Side, kind: LineKind) -> list[Stroke]:
    """Return coil and damper, or the torsion bar behind the lower arm."""
    at = side.points
    strokes: list[Stroke] = []
    if "damper_body" in at:
        strokes += _damper(scene, flat, at, kind)
    if "spring_body" in at:
        strokes += _coil(flat, at["spring_body"], at["spring_arm"], kind)
    elif scene.setup.evidence.get("front.spring.kind") == "torsion bar":
        strokes += _torsion_bar(flat, at, kind)
    return strokes


def _coil(flat: Flat, body: Vec, arm: Vec, kind: LineKind) -> list[Stroke]:
    start, end = flat.place(body), flat.place(arm)
    if math.dist(start, end) > 0.6 * COIL:
        return [Coil(start, end, COIL, kind=kind)]
    thin = kind if kind is LineKind.FAR else LineKind.WHEEL
    ends = (start,) if math.dist(start, end) < APART else (start, end)
    return [Circle(end, 0.5 * COIL, thin) for end in ends]


def _damper(scene: Scene, flat: Flat, at: Mapping[str, Vec], kind: LineKind) -> list[Stroke]:
    body, arm = at["damper_body"], at["damper_arm"]
    start, end = flat.place(body), flat.place(arm)
    damper_kind = kind if kind is LineKind.FAR else LineKind.DAMPER
    if math.dist(start, end) < DAMPER:
        return [Circle(start, 0.5 * DAMPER, damper_kind)]
    seats = scene.shown.study.measured.front.car.seats
    length_at_rest = math.dist(*(_row(seats[name]) for name in ("damper_body", "damper_arm")))
    foreshortening = math.dist(start, end) / max(math.dist(body, arm), 1.0)
    return [Damper(start, end, DAMPER, 0.58 * length_at_rest * foreshortening, damper_kind)]


def _row(seat: tuple[object, ...]) -> tuple[float, ...]:
    return tuple(float(part.flat[0]) for part in seat)  # type: ignore[attr-defined]


def _torsion_bar(flat: Flat, at: Mapping[str, Vec], kind: LineKind) -> list[Stroke]:
    """Return the bar on the lower arm's axis, rearwards, as two lines or, on edge, as a ring."""
    front, rear = at["lower_front"], at["lower_rear"]
    axis = unit(minus(rear, front))
    end = plus_scaled(rear, axis, BAR)
    if math.dist(flat.place(rear), flat.place(end)) < 0.3 * BAR:
        return [Circle(flat.place(rear), 13.0, kind), Circle(flat.place(rear), 7.0, kind)]
    return [flat.line(kind, front, end), Circle(flat.place(end), 16.0, kind)]


def _ghost(scene: Scene, flat: Flat) -> list[Stroke]:
    """Return the measured parts that the proposal moved, thin and dashed."""
    if scene.was is None:
        return []
    now = {name: ends for name, _, ends in _members(scene, scene.now.left)}
    was = {name: ends for name, _, ends in _members(scene, scene.was.left)}
    return [
        flat.line(LineKind.MEASURED, *ends)
        for name, ends in was.items()
        if name not in now or max(map(math.dist, ends, now[name])) > SEEN
    ]
