"""The points of the double-wishbone front: one row each."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.schema import FRONT, Key, Range, point

HERE: Final = ("front.kind", "double wishbone")
COIL: Final = ("front.spring.kind", "coil")
RELAY: Final = ("front.steering.kind", "relay")

# What is usual, here and for the rear, is common practice without a source.
_X: Final = (-600.0, 700.0)
_Z: Final = (80.0, 900.0)
_INNER: Final[tuple[Range, Range, Range]] = (_X, (100.0, 600.0), _Z)
_OUTER: Final[tuple[Range, Range, Range]] = (_X, (400.0, 900.0), _Z)
_RELAY_AREA: Final[tuple[Range, Range, Range]] = (_X, (-700.0, 700.0), _Z)

_LEFT: Final = (
    point(
        "front.upper_front",
        "Upper arm, front pivot",
        "the upper arm's front pivot",
        "body",
        FRONT,
        _INNER,
        HERE,
    ),
    point(
        "front.upper_rear",
        "Upper arm, rear pivot",
        "the upper arm's rear pivot",
        "body",
        FRONT,
        _INNER,
        HERE,
    ),
    point(
        "front.upper_ball",
        "Upper ball joint",
        "the upper ball joint",
        "knuckle",
        FRONT,
        _OUTER,
        HERE,
        True,
    ),
    point(
        "front.lower_front",
        "Lower arm, front pivot",
        "the lower arm's front pivot",
        "body; of a link and strut rod: the strut rod's bush",
        FRONT,
        _INNER,
        HERE,
    ),
    point(
        "front.lower_rear",
        "Lower arm, rear pivot",
        "the lower arm's rear pivot",
        "body; of a link and strut rod: the lateral link's bush",
        FRONT,
        _INNER,
        HERE,
    ),
    point(
        "front.lower_ball",
        "Lower ball joint",
        "the lower ball joint",
        "knuckle",
        FRONT,
        _OUTER,
        HERE,
        True,
    ),
    point(
        "front.strut_joint",
        "Strut rod to link",
        "the strut rod's joint on the link",
        "where the strut rod bolts to the lateral link; for the drawing",
        FRONT,
        (_X, (200.0, 900.0), _Z),
        (),
        True,
    ),
    point(
        "front.tie_inner",
        "Tie rod, inner end",
        "the tie rods' inner ends",
        "rack or relay link",
        FRONT,
        _INNER,
        HERE,
    ),
    point(
        "front.tie_outer",
        "Tie rod, outer end",
        "the tie rods' outer ends",
        "steering arm",
        FRONT,
        _OUTER,
        HERE,
        True,
    ),
    point(
        "front.wheel_centre", "Wheel centre", "the wheel centre", "hub", FRONT, _OUTER, HERE, True
    ),
    point(
        "front.spring_body",
        "Spring, body end",
        "the spring's body seat",
        "upper seat's centre",
        FRONT,
        _INNER,
        COIL,
        pair="front.spring_arm",
    ),
    point(
        "front.spring_arm",
        "Spring, arm end",
        "the spring's seat on the arm",
        "seat on the arm",
        FRONT,
        _OUTER,
        COIL,
        True,
        "front.spring_body",
    ),
    point(
        "front.damper_body",
        "Damper, body end",
        "the damper's body end",
        "",
        FRONT,
        _INNER,
        pair="front.damper_arm",
    ),
    point(
        "front.damper_arm",
        "Damper, arm end",
        "the damper's arm end",
        "",
        FRONT,
        _OUTER,
        (),
        True,
        "front.damper_body",
    ),
    point(
        "front.pitman_pivot",
        "Pitman arm, pivot",
        "the pitman arm's pivot",
        "steering box",
        FRONT,
        _RELAY_AREA,
        RELAY,
    ),
    point(
        "front.pitman_end",
        "Pitman arm, end",
        "the pitman arm's end",
        "relay link's joint",
        FRONT,
        _RELAY_AREA,
        RELAY,
        True,
    ),
    point(
        "front.idler_pivot",
        "Idler arm, pivot",
        "the idler arm's pivot",
        "body",
        FRONT,
        _RELAY_AREA,
        RELAY,
    ),
    point(
        "front.idler_end",
        "Idler arm, end",
        "the idler arm's end",
        "relay link's joint",
        FRONT,
        _RELAY_AREA,
        RELAY,
        True,
    ),
)
_BOTH_SIDES: Final = _LEFT[:14]  # the relay crosses the car: it has no right-hand half


def _right(row: Key) -> Key:
    """Return the row of the same point measured on the right side."""
    x, y, z = row.usual  # type: ignore[misc]
    return replace(
        row,
        name=row.name.replace("front.", "front.right."),
        title=f"{row.title}, right",
        usual=(x, (-y[1], -y[0]), z),
        needs=("front.right",) if row.needs == HERE else (),
        pair=row.pair.replace("front.", "front.right.") if "damper" in row.name else "",
    )


FRONT_POINTS: Final = (*_LEFT, *map(_right, _BOTH_SIDES))
