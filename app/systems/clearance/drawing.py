"""Envelopes on a drawing: their quiet outlines, and how near pairs are in the pose shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, Final

import numpy as np

from app.document.address import SIDES
from app.document.clearances import BOX, EDGE, TYRE, Clearance, Envelope, envelopes_by_name
from app.document.model import Vec
from app.drawing.strokes import (
    Label,
    LineKind,
    Mark,
    MarkShape,
    Place,
    Points,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from app.systems.answers import Study
from app.systems.clearance.placing import Placing
from app.systems.clearance.results import key_of_clearance
from app.systems.clearance.shapes import shape_of
from app.systems.clearance.words import TOUCHES
from app.systems.shown import Options
from app.words.drawings import DrawingWords
from geometry.clearance.nearest import Nearest, nearest
from geometry.clearance.shapes import Shape, joined
from geometry.dataclass import dataclass

_ROUND: Final = np.linspace(0.0, 2.0 * np.pi, 36, endpoint=False)
_CLOSE: Final = 2.0  # mm on paper between two marks that are one
_DRAWN: Final = 0.02  # mm that a gap on the drawing may be off: it is worked out in every frame
_FINE: Final = 50.0  # mm beyond which a gap is told to the whole mm


@dataclass(frozen=True)
class Spaces:
    """What stands about the parts in the pose shown: shapes of two rows, left and right.

    `near` has a row for each clearance, of the side whose figures are told.
    """

    envelopes: Mapping[str, Envelope]
    shapes: Mapping[str, Shape]
    clearances: tuple[Clearance, ...]
    near: Nearest | None
    side: int


def spaces_of(study: Study[Any], placing: Placing, side: int) -> Spaces | None:
    """Return the envelopes of one pose; None where the file gives none."""
    setup, end = study.setup, study.system.key
    own = tuple(each for each in setup.clearances if each.end == end)
    if not own and not any(each.end == end for each in setup.envelopes):
        return None
    asked = {name for each in own for name in each.between}
    every = envelopes_by_name(end, setup.envelopes, setup.evidence)
    envelopes = {n: e for n, e in every.items() if n in asked or e in setup.envelopes}
    shapes = {n: shape_of(e, placing, setup, study.changed) for n, e in envelopes.items()}
    told = tuple(each for each in own if _is_on(each, envelopes, side))
    near = None
    if told:
        row = np.array([side])
        first, second = (
            joined([shapes[each.between[place]].of(row) for each in told]) for place in (0, 1)
        )
        near = nearest(first, second, error=_DRAWN)
    return Spaces(envelopes, shapes, told, near, side)


def space_strokes(
    spaces: Spaces | None, view: View, options: Options, words: DrawingWords
) -> list[Stroke]:
    """Return outlines of envelopes, and lines between those that must stay apart."""
    if spaces is None or options.overlay.is_on:
        return []
    strokes: list[Stroke] = []
    if options.construction:
        for name, envelope in spaces.envelopes.items():
            if envelope.kind != TYRE:  # which is drawn as what it is
                strokes += _outlines(spaces, name, envelope, view, options)
    if options.dimensions:
        strokes += _gaps(spaces, view, options, words)
    return strokes


def _is_on(clearance: Clearance, envelopes: Mapping[str, Envelope], side: int) -> bool:
    sides = {envelopes[name].side for name in clearance.between}
    return sides <= {"both", SIDES[side]}


def _outlines(
    spaces: Spaces, name: str, envelope: Envelope, view: View, options: Options
) -> Iterator[Stroke]:
    """Yield an envelope's outline on each side that is drawn, and its name on the near one."""
    far = 1 - spaces.side
    if options.far_side and view is not View.SIDE and envelope.side != SIDES[spaces.side]:
        yield Polyline(outline(spaces.shapes[name], far, view), LineKind.FAR, closed=True)
    if envelope.side == SIDES[far]:
        return
    points = outline(spaces.shapes[name], spaces.side, view)
    yield Polyline(points, LineKind.GHOST, closed=True)
    if envelope.kind not in (BOX, EDGE):  # rods and coils are drawn as what they are
        return
    top = points[np.argmax(points[:, 1])]
    yield Label(name, (float(top[0]), float(top[1])), LineKind.GHOST, f"envelope {name}", 0)


def _gaps(spaces: Spaces, view: View, options: Options, words: DrawingWords) -> Iterator[Stroke]:
    """Yield the shortest line between two envelopes, where a view shows it best, with its length.

    It is that of the pose shown, not the least of all poses.
    """
    near = spaces.near
    if near is None:
        return
    for row, clearance in enumerate(spaces.clearances):
        ends = _vec(near.on_first[row]), _vec(near.on_second[row])
        if _best_view(*ends) is not view:
            continue
        gap, least = float(near.gap[row]), clearance.at_least or 0.0
        is_past = gap <= 0.0 or gap < least
        key = key_of_clearance(clearance)
        is_asked = key == options.result
        kind = LineKind.RESULT if is_past or is_asked else LineKind.MOVE
        start, end = map(view.place, ends)
        yield Polyline((start, end), kind)
        yield from (Mark(at, MarkShape.DOT, kind) for at in _apart(start, end))
        middle = (0.5 * (start[0] + end[0]), 0.5 * (start[1] + end[1]))
        weight = 9 if is_past else 5  # what isn't kept is told before a move
        yield Label(_gap_text(gap, words), middle, kind, key, weight, "above", is_past)


def _gap_text(gap: float, words: DrawingWords) -> str:
    """Return how much is free: "68 mm free", "8.5 mm free", "touches"."""
    if gap <= 0.0:
        return TOUCHES
    fine = 1 if words.units == "mm" else 2
    return f"{words.length(gap, fine - 1 if gap > _FINE else fine)} free"


def _best_view(start: Vec, end: Vec) -> View:
    """Return the view in which a line is the longest."""
    line = [abs(a - b) for a, b in zip(start, end, strict=True)]
    return max(View, key=lambda view: sum(line[axis] ** 2 for axis in view.value))


def _apart(start: Place, end: Place) -> Sequence[Place]:
    is_one = abs(start[0] - end[0]) + abs(start[1] - end[1]) < _CLOSE
    return (start,) if is_one else (start, end)


def outline(shape: Shape, row: int, view: View) -> Points:
    """Return the outline of one envelope as a view shows it: a closed chain."""
    lines = np.stack([shape.start[row], shape.end[row], shape.across[row], shape.over[row]])
    return _outline(lines.tobytes(), float(shape.ball[row]), float(shape.disc[row]), view)


@lru_cache(maxsize=64)
def _outline(lines: bytes, ball: float, disc: float, view: View) -> Points:
    """Return the same; what is fixed to the body stays as it is from frame to frame."""
    across, upward = view.value
    return _hull(_surface(np.frombuffer(lines).reshape(4, 3), disc)[:, [across, upward]], ball)


def _surface(lines: Points, disc: float) -> Points:
    """Return places whose hull is the envelope without its ball, (n, 3)."""
    ends, (across, over) = lines[:2], lines[2:]
    if disc:
        line = ends[1] - ends[0]
        side = np.cross(np.eye(3)[np.argmin(np.abs(line))], line)
        side /= np.linalg.norm(side)
        other = np.cross(line / np.linalg.norm(line), side)
        rim = disc * (np.cos(_ROUND)[:, None] * side + np.sin(_ROUND)[:, None] * other)
    else:
        rim = np.stack([a * across + b * over for a in (-1.0, 1.0) for b in (-1.0, 1.0)])
    return np.asarray((ends[:, None] + rim).reshape(-1, 3))


def _hull(points: Points, ball: float) -> Points:
    """Return the hull of places on paper with a circle about each.

    References
    ----------
    A. M. Andrew, "Another efficient algorithm for convex hulls in two dimensions", Information
    Processing Letters 9 (1979) 216-219 (from memory).
    """
    if ball:
        circle = ball * np.stack([np.cos(_ROUND), np.sin(_ROUND)], axis=1)
        points = (points[:, None] + circle).reshape(-1, 2)
    places = sorted({(round(u, 6), round(v, 6)) for u, v in points.tolist()})
    half = [_chain(run) for run in (places, places[::-1])]
    return np.array([*half[0][:-1], *half[1][:-1]] or places)


def _chain(places: Sequence[Place]) -> list[Place]:
    chain: list[Place] = []
    for place in places:
        while len(chain) > 1 and _turn(chain[-2], chain[-1], place) <= 0.0:
            chain.pop()
        chain.append(place)
    return chain


def _turn(a: Place, b: Place, c: Place) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _vec(row: Points) -> Vec:
    x, y, z = row.tolist()
    return (x, y, z)
