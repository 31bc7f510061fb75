"""The parts of a front between its known points: arms, knuckle, rods, spring, wheel."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import Final

import numpy as np

from app.document.model import Setup, Vec
from app.drawing.strokes import (
    Circle,
    Coil,
    Damper,
    LineKind,
    Mark,
    MarkShape,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from geometry.dataclass import dataclass

WIDTH: Final = 165.0  # mm, of a tyre whose width isn't given
RIM: Final = 0.66  # of the tyre's radius
COIL: Final = 95.0  # mm, the diameter a spring is drawn with
TUBE: Final = 42.0  # mm, a damper's
_ARMS: Final = (
    ("upper_front", "upper_ball"),
    ("upper_rear", "upper_ball"),
    ("upper_ball", "lower_ball"),
)
_ONE_PIECE: Final = (("lower_front", "lower_ball"), ("lower_rear", "lower_ball"))
_STEERING: Final = (
    ("tie_inner", "tie_outer"),
    ("pitman_pivot", "pitman_end"),
    ("pitman_end", "idler_end"),
    ("idler_end", "idler_pivot"),
)


@dataclass(frozen=True, slots=True)
class Build:
    """How a front is built, as far as it is drawn; `spring` is the arm it stands on, or the bar."""

    lower_arm: str = "one piece"
    spring: str = "lower arm"
    steering: str = "rack"


def build_of(setup: Setup) -> Build:
    """Return how a car's front is built."""
    evidence = setup.readings
    spring = evidence.get("front.spring.on", "")
    if evidence.get("front.spring.kind") != "coil":
        spring = evidence.get("front.spring.kind", "")
    return Build(
        str(evidence.get("front.lower_arm", "one piece")),
        str(spring),
        str(evidence.get("front.steering.kind", "rack")),
    )


def car_strokes(
    view: View,
    points: Mapping[str, Vec],
    build: Build,
    radius: float | None,
    width: float | None = None,
) -> list[Stroke]:
    """Return the parts whose two ends are both known, the far ones first."""
    strokes = wheel_strokes(view, points, radius, width or WIDTH)
    strokes += _spring_and_damper(view, points, build)
    strokes += [
        _line(view, points, a, b, LineKind.PROPOSED_THIN)
        for a, b in _known_parts(_STEERING, points)
    ]
    strokes += [
        _line(view, points, a, b, LineKind.PROPOSED) for a, b in _known_parts(_ARMS, points)
    ]
    strokes += [_line(view, points, a, b, LineKind.PROPOSED) for a, b in _lower(points, build)]
    strokes += _steering_arm(view, points)
    return strokes


def _known_parts(
    pairs: tuple[tuple[str, str], ...], points: Mapping[str, Vec]
) -> list[tuple[str, str]]:
    return [(a, b) for a, b in pairs if a in points and b in points]


def _lower(points: Mapping[str, Vec], build: Build) -> list[tuple[str, str]]:
    """Return the lower arm's lines: two legs, or a link and a rod that meets it at its joint."""
    if build.lower_arm != "link and strut rod" or "strut_joint" not in points:
        return _known_parts(_ONE_PIECE, points)
    pairs = (
        ("lower_rear", "strut_joint"),
        ("strut_joint", "lower_ball"),
        ("lower_front", "strut_joint"),
    )
    return _known_parts(pairs, points)


def _line(view: View, points: Mapping[str, Vec], a: str, b: str, kind: LineKind) -> Stroke:
    return Polyline(np.array([view.place(points[a]), view.place(points[b])]), kind)


def _steering_arm(view: View, points: Mapping[str, Vec]) -> list[Stroke]:
    """Return the line from the outer tie-rod end square to the ball joints' line."""
    if not all(name in points for name in ("tie_outer", "upper_ball", "lower_ball")):
        return []
    lower = np.array(points["lower_ball"])
    axis = np.array(points["upper_ball"]) - lower
    outer = np.array(points["tie_outer"])
    foot = lower + axis * float((outer - lower) @ axis / max(axis @ axis, 1e-9))
    ends = np.array([view.place(tuple(foot.tolist())), view.place(points["tie_outer"])])
    return [Polyline(ends, LineKind.PROPOSED_THIN)]


def wheel_strokes(
    view: View, points: Mapping[str, Vec], radius: float | None, width: float
) -> list[Stroke]:
    """Return the wheel about its centre, where that is known."""
    if "wheel_centre" not in points:
        return []
    centre = view.place(points["wheel_centre"])
    mark: list[Stroke] = [Mark(centre, MarkShape.CROSS, LineKind.WHEEL)]
    if radius is None or not 0.0 < radius < 2000.0:
        return mark
    if view is View.SIDE:
        rings = [Circle(centre, radius, LineKind.WHEEL, filled=True)]
        return [*rings, Circle(centre, RIM * radius, LineKind.WHEEL), *mark]
    u, v = centre
    across, up = (width / 2, radius)
    corners = [
        (u - across, v - up),
        (u + across, v - up),
        (u + across, v + up),
        (u - across, v + up),
    ]
    return [Polyline(np.array(corners), LineKind.WHEEL, closed=True, filled=True), *mark]


def _spring_and_damper(view: View, points: Mapping[str, Vec], build: Build) -> list[Stroke]:
    strokes: list[Stroke] = []
    if "damper_body" in points and "damper_arm" in points:
        body, arm = view.place(points["damper_body"]), view.place(points["damper_arm"])
        strokes.append(Damper(body, arm, TUBE, 0.55 * hypot(body[0] - arm[0], body[1] - arm[1])))
    if "spring_body" in points and "spring_arm" in points:
        body, arm = view.place(points["spring_body"]), view.place(points["spring_arm"])
        if hypot(body[0] - arm[0], body[1] - arm[1]) > COIL:
            strokes.append(Coil(body, arm, COIL, 6.0))
        else:
            strokes.append(Circle(arm, COIL / 2, LineKind.SPRING))
    if build.spring == "torsion bar":
        strokes += _torsion_bar(view, points)
    return strokes


def _torsion_bar(view: View, points: Mapping[str, Vec]) -> list[Stroke]:
    """Return the bar on the lower arm's axis, running rearwards out of the arm."""
    if "lower_front" not in points or "lower_rear" not in points:
        return []
    front, rear = np.array(points["lower_front"]), np.array(points["lower_rear"])
    along = (rear - front) / max(float(np.linalg.norm(rear - front)), 1e-9)
    end = tuple((rear + 260.0 * along).tolist())
    return [
        Polyline(np.array([view.place(points["lower_rear"]), view.place(end)]), LineKind.SPRING)
    ]
