"""The points of the rear, of an axle on two leaf springs or on five links: one row each."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.schema import LEAF, LINKS, REAR, Key, Range, point

_LEAF: Final = ("rear.kind", "leaf axle")
_LINKS: Final = ("rear.kind", "five-link axle")
EITHER: Final = ("rear.kind", "leaf axle", "five-link axle")

_Z: Final = (80.0, 900.0)
_SIDE: Final = (200.0, 800.0)
_AHEAD: Final = (-4400.0, -900.0)  # behind the front wheel centres; a spring reaches past its axle
_SHAFT: Final = (-3500.0, -300.0)  # behind the engine, ahead of the axle
_AREA: Final[tuple[Range, Range, Range]] = (_AHEAD, _SIDE, _Z)
_ACROSS: Final[tuple[Range, Range, Range]] = (_AHEAD, (-800.0, 800.0), _Z)
_LEFT: Final[tuple[Range, Range, Range]] = (_AHEAD, (30.0, 800.0), _Z)
_HUB: Final[tuple[Range, Range, Range]] = (_AHEAD, (500.0, 900.0), (200.0, 450.0))

_DAMPER: Final = ("rear.damper_body", "rear.damper_axle")
_COIL: Final = ("rear.spring_body", "rear.spring_axle")
_SPRING: Final = ("rear.spring",)
_LEFT_HAND: Final = (
    point(
        "rear.front_eye", "Spring, front eye", "the springs' front eyes", "body", LEAF, _AREA, _LEAF
    ),
    point(
        "rear.rear_eye",
        "Spring, rear eye",
        "the springs' rear eyes",
        "shackle's lower pin",
        LEAF,
        _AREA,
        _LEAF,
        True,
    ),
    point(
        "rear.shackle_body",
        "Shackle, body pin",
        "the shackles' body pins",
        "body",
        LEAF,
        _AREA,
        _LEAF,
    ),
    point(
        "rear.centre_bolt",
        "Spring, centre bolt",
        "the springs' centre bolts",
        "main leaf at the middle of the seat",
        LEAF,
        _AREA,
        _LEAF,
        True,
    ),
    point(
        "rear.axle_centre",
        "Axle tube, centre",
        "the axle tube",
        "above or below the spring seat; the wheel centre's x and z when not given",
        REAR,
        _ACROSS,
        (),
        True,
    ),
    point(
        "rear.wheel_centre",
        "Rear wheel centre",
        "the rear wheel centres",
        "hub",
        REAR,
        _HUB,
        EITHER,
        True,
    ),
    point(
        "rear.damper_body",
        "Rear damper, body end",
        "the rear damper's body end",
        "",
        REAR,
        _LEFT,
        pair=_DAMPER[1],
    ),
    point(
        "rear.damper_axle",
        "Rear damper, axle end",
        "the rear damper's axle end",
        "",
        REAR,
        _LEFT,
        (),
        True,
        _DAMPER[0],
    ),
    point(
        "rear.pinion",
        "Pinion joint",
        "the pinion joint",
        "propshaft's joint",
        REAR,
        _ACROSS,
        (),
        True,
    ),
    point(
        "rear.gearbox_joint",
        "Gearbox joint",
        "the gearbox joint",
        "propshaft's front joint, on the body",
        REAR,
        (_SHAFT, (-800.0, 800.0), _Z),
    ),
    point(
        "rear.bar_axle",
        "Traction bar, axle end",
        "the traction bar's axle end",
        "spring seat",
        LEAF,
        _AREA,
        (),
        True,
    ),
    point(
        "rear.bar_snubber",
        "Traction bar, snubber",
        "the traction bar's snubber",
        "its tip",
        LEAF,
        _AREA,
        (),
        True,
    ),
    point(
        "rear.lower_body",
        "Lower link, body end",
        "the lower link's body end",
        "body",
        LINKS,
        _AREA,
        _LINKS,
    ),
    point(
        "rear.lower_axle",
        "Lower link, axle end",
        "the lower link's axle end",
        "axle",
        LINKS,
        _AREA,
        _LINKS,
        True,
    ),
    point(
        "rear.upper_body",
        "Upper link, body end",
        "the upper link's body end",
        "body",
        LINKS,
        _AREA,
        _LINKS,
    ),
    point(
        "rear.upper_axle",
        "Upper link, axle end",
        "the upper link's axle end",
        "axle",
        LINKS,
        _AREA,
        _LINKS,
        True,
    ),
    point(
        "rear.lateral_body",
        "Lateral link, body end",
        "the lateral link's body end",
        "body",
        LINKS,
        _ACROSS,
        _LINKS,
    ),
    point(
        "rear.lateral_axle",
        "Lateral link, axle end",
        "the lateral link's axle end",
        "axle",
        LINKS,
        _ACROSS,
        _LINKS,
        True,
    ),
    point(
        "rear.spring_body",
        "Rear coil, body end",
        "the rear coil's body seat",
        "",
        LINKS,
        _LEFT,
        _SPRING,
        pair=_COIL[1],
    ),
    point(
        "rear.spring_axle",
        "Rear coil, axle end",
        "the rear coil's axle seat",
        "",
        LINKS,
        _LEFT,
        _SPRING,
        True,
        _COIL[0],
    ),
)
_ONE_ONLY: Final = (
    "rear.axle_centre",
    "rear.pinion",
    "rear.gearbox_joint",
    "rear.lateral_body",
    "rear.lateral_axle",
)


def _right(row: Key) -> Key:
    """Return the row of the same point measured on the right side; each may be given alone."""
    x, y, z = row.usual  # type: ignore[misc]
    return replace(
        row,
        name=row.name.replace("rear.", "rear.right."),
        title=f"{row.title}, right",
        usual=(x, (-y[1], -y[0]), z),
        needs=(),
        pair="",
    )


REAR_POINTS: Final = (
    *_LEFT_HAND,
    *(_right(row) for row in _LEFT_HAND if row.name not in _ONE_ONLY),
)
