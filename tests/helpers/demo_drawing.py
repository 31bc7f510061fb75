"""An invented double-wishbone front as strokes, to paint and to take hold of in tests."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from app.drawing.strokes import (
    Arc,
    Bounds,
    Circle,
    Coil,
    Damper,
    Dimension,
    Drawing,
    Grip,
    Handle,
    HandleShape,
    Hatch,
    Label,
    LineKind,
    Mark,
    MarkShape,
    OffViewPointer,
    Polyline,
    Stroke,
)
from app.drawing.views import View
from tests.helpers.drawings import drawing_of

K = LineKind
Vec = tuple[float, float, float]

POINTS: dict[str, Vec] = {
    "front.upper_front": (110.0, 365.0, 561.0),
    "front.upper_rear": (-120.0, 372.0, 554.0),
    "front.upper_ball": (-12.0, 628.0, 560.0),
    "front.strut_rod": (420.0, 345.0, 232.0),
    "front.lower_link": (-20.0, 262.0, 248.0),
    "front.lower_ball": (4.0, 684.0, 205.0),
    "front.tie_rod_inner": (-150.0, 335.0, 262.0),
    "front.tie_rod_outer": (-146.0, 650.0, 238.0),
}
MEASURED = {"front.upper_front": (110.0, 365.0, 585.0), "front.upper_rear": (-120.0, 372.0, 578.0)}
NAMES = {
    "front.upper_front": "Upper arm, front pivot",
    "front.upper_rear": "Upper arm, rear pivot",
    "front.upper_ball": "Upper ball joint",
    "front.strut_rod": "Strut rod, body bush",
    "front.lower_link": "Lateral link, body bush",
    "front.lower_ball": "Lower ball joint",
    "front.tie_rod_inner": "Tie rod, inner",
    "front.tie_rod_outer": "Tie rod, outer",
}
JOINTS = {"front.upper_ball", "front.lower_ball", "front.tie_rod_outer"}
FITTED = {
    View.FRONT: Bounds(-120.0, -90.0, 860.0, 780.0),
    View.SIDE: Bounds(-360.0, -90.0, 460.0, 780.0),
    View.TOP: Bounds(-120.0, -330.0, 860.0, 450.0),
}
RODS = (
    ("front.upper_front", "front.upper_ball", K.PROPOSED),
    ("front.upper_rear", "front.upper_ball", K.PROPOSED),
    ("front.lower_link", "front.lower_ball", K.PROPOSED),
    ("front.strut_rod", "front.lower_ball", K.PROPOSED),
    ("front.upper_ball", "front.lower_ball", K.PROPOSED),
    ("front.tie_rod_inner", "front.tie_rod_outer", K.PROPOSED_THIN),
)


def demo_drawing(view: View) -> Drawing:
    """Return the demo car's front in a view."""
    own = {View.FRONT: _front, View.SIDE: _side, View.TOP: _top}[view]()
    drawing = drawing_of(*own, *_rods(view), *_handles(view))
    return replace(drawing, bounds=FITTED[view])


def _line(*places: tuple[float, float], kind: LineKind, closed: bool = False) -> Polyline:
    return Polyline(np.array(places), kind, closed, filled=closed)


def _rods(view: View) -> list[Stroke]:
    ends = [(view.place(POINTS[a]), view.place(POINTS[b]), kind) for a, b, kind in RODS]
    was = [(view.place(p), view.place(POINTS["front.upper_ball"])) for p in MEASURED.values()]
    return [_line(a, b, kind=K.MEASURED) for a, b in was] + [
        _line(a, b, kind=kind) for a, b, kind in ends
    ]


def _handles(view: View) -> list[Stroke]:
    return [
        Handle(
            key,
            view.place(at),
            HandleShape.CIRCLE if key in JOINTS else HandleShape.SQUARE,
            NAMES[key],
            ", ".join(f"{c:.1f}" for c in at) + " mm",
            moved=key in MEASURED,
            locked=key == "front.strut_rod",
        )
        for key, at in POINTS.items()
    ]


def _front() -> list[Stroke]:
    tyre = [(667.0, 0.0), (818.0, 2.0), (815.0, 636.0), (664.0, 634.0)]
    far = [(-u, v) for u, v in tyre]
    centre, contact = (-2557.0, 529.0), (742.0, 0.0)
    return [
        _line(*far, kind=K.FAR, closed=True),
        _line(*tyre, kind=K.WHEEL, closed=True),
        *(
            _line((-POINTS[a][1], POINTS[a][2]), (-POINTS[b][1], POINTS[b][2]), kind=K.FAR)
            for a, b, _ in RODS
        ),
        Hatch((-880.0, 0.0), (900.0, 0.0)),
        _line((0.0, -110.0), (0.0, 780.0), kind=K.CENTRELINE),
        Label("centreline", (0.0, 770.0), K.CENTRELINE),
        Damper((470.0, 745.0), (505.0, 500.0), 45.0, 140.0),
        Coil((468.0, 745.0), (502.0, 565.0), 92.0, 7),
        _line((628.0, 640.0), (712.0, -30.0), kind=K.AXIS),
        _line((742.0, -5.0), (737.0, 720.0), kind=K.CENTRELINE),
        Arc((742.0, 0.0), 690.0, math.radians(90.0), math.radians(0.4), K.PATH),
        Label("camber −0.50°", (737.0, 700.0), K.PROPOSED, "camber", 3, "above", True),
        OffViewPointer((628.0, 560.0), centre, "instant centre 3.3 m inboard, 0.5 m up"),
        OffViewPointer((684.0, 205.0), centre),
        OffViewPointer(contact, centre),
        OffViewPointer(contact, (-8000.0, 900.0), "", K.CONSTRUCTION_WAS),
        Mark((0.0, 121.0), MarkShape.CENTRE, K.CONSTRUCTION),
        Mark((0.0, 83.0), MarkShape.CENTRE, K.CONSTRUCTION_WAS),
        Label("roll centre 121 mm", (0.0, 121.0), K.CONSTRUCTION, "rc", 9, "right", True),
        Label("was 83", (0.0, 83.0), K.CONSTRUCTION_WAS, "rc was", 2),
        Mark((742.0, 318.0), MarkShape.CROSS, K.WHEEL),
        Mark(contact, MarkShape.DOT, K.CONSTRUCTION),
        Dimension((708.0, 0.0), contact, (0.0, -1.0), "scrub 34", key="scrub"),
        Dimension((-742.0, 0.0), contact, (0.0, -1.0), "track 1484", steps=2.2, key="track"),
        Dimension((365.0, 585.0), (365.0, 561.0), (-1.0, 0.0), "24 lower", K.MOVE, "move"),
        Grip("wheel:front", np.array([*tyre, tyre[0]]), "Left wheel", "travel 0 mm", inside=True),
        Grip("ground:front", np.array([(-880.0, 0.0), (600.0, 0.0)]), "Ground", "roll 0.0°"),
    ]


def _side() -> list[Stroke]:
    return [
        Circle((0.0, 318.0), 318.0, K.WHEEL, filled=True),
        Circle((0.0, 318.0), 195.0, K.FAR),
        Hatch((-420.0, 0.0), (620.0, 0.0)),
        Damper((0.0, 745.0), (0.0, 500.0), 45.0, 140.0),
        Coil((0.0, 745.0), (0.0, 565.0), 92.0, 7),
        Mark((0.0, 318.0), MarkShape.CROSS, K.WHEEL),
        Label("caster 1.9°", (-30.0, 700.0), K.PROPOSED, "caster", 3, "left", True),
        _line((-20.0, 690.0), (10.0, -30.0), kind=K.AXIS),
        OffViewPointer((4.0, 205.0), (-6000.0, 700.0), "side centre 6.0 m behind, 0.7 m up"),
        Mark((-340.0, 520.0), MarkShape.GRAVITY, K.PROPOSED_THIN),
        Label("centre of gravity", (-340.0, 520.0), K.PROPOSED_THIN, "cg"),
    ]


def _top() -> list[Stroke]:
    tyre = [(667.0, -318.0), (818.0, -318.0), (818.0, 318.0), (667.0, 318.0)]
    return [
        _line(*tyre, kind=K.WHEEL, closed=True),
        _line((0.0, -360.0), (0.0, 460.0), kind=K.CENTRELINE),
        _line((335.0, -150.0), (-335.0, -150.0), kind=K.GHOST),
        _line((100.0, -180.0), (300.0, -180.0), kind=K.HIDDEN),
        Mark((742.0, 0.0), MarkShape.CROSS, K.WHEEL),
        Label("toe-in 0.10°", (742.0, 318.0), K.PROPOSED, "toe", 3, "above", True),
        Label("rack", (0.0, -150.0), K.GHOST, "rack", 0, "below"),
    ]
