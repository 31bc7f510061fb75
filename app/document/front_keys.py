"""The keys of the double-wishbone front: one row each."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.quantities import DEGREE
from app.document.schema import FRONT, Key, Range, point

_HERE: Final = ("front.kind", "double wishbone")
_COIL: Final = ("front.spring.kind", "coil")
_TORSION: Final = ("front.spring.kind", "torsion bar")
_RELAY: Final = ("front.steering.kind", "relay")
_ANGLES: Final = (-5 * DEGREE, 5 * DEGREE)

NEWTON_METRE: Final = 1000.0  # N·mm

# What is usual, here and for the rear, is common practice without a source.
_X: Final = (-600.0, 700.0)
_Z: Final = (80.0, 900.0)
_INNER: Final[tuple[Range, Range, Range]] = (_X, (100.0, 600.0), _Z)
_OUTER: Final[tuple[Range, Range, Range]] = (_X, (400.0, 900.0), _Z)
_RELAY_AREA: Final[tuple[Range, Range, Range]] = (_X, (-700.0, 700.0), _Z)


def _plain(name: str, kind: str, title: str, purpose: str, **more: object) -> Key:
    return replace(Key(f"front.{name}", kind, title, purpose, FRONT), **more)  # type: ignore[arg-type]


_GENERAL: Final = (
    Key(
        "front.kind",
        "choice",
        "Front suspension",
        "",
        FRONT,
        needs=("front",),
        choices=("double wishbone",),
        settable=False,
    ),
    _plain(
        "lower_arm",
        "choice",
        "Lower arm",
        "how it is built and drawn; it moves as one rigid arm",
        needs=_HERE,
        choices=("one piece", "link and strut rod"),
    ),
    _plain(
        "tyre_radius",
        "length",
        "Tyre radius, loaded",
        "wheel centre to ground with the car on its wheels",
        needs=_HERE,
        over=0.0,
        least=10.0,
        most=2000.0,
        usual=(230.0, 420.0),
        short="Tyre radius",
    ),
    _plain(
        "tyre_rate",
        "spring rate",
        "Tyre rate",
        "in series with the spring for ride rate and frequency",
        over=0.0,
        usual=(80.0, 400.0),
    ),
    _plain(
        "tyre_width",
        "length",
        "Tyre width",
        "drawing, and whether an arm meets the tyre",
        over=0.0,
        usual=(110.0, 300.0),
    ),
    _plain(
        "toe_diameter",
        "length",
        "Diameter toe is measured at",
        "toe as a length; twice the tyre radius when not given",
        over=0.0,
        usual=(300.0, 800.0),
    ),
    _plain(
        "camber",
        "angle",
        "Camber",
        "static; + leans out at the top",
        needs=_HERE,
        usual=_ANGLES,
        least=-45 * DEGREE,
        most=45 * DEGREE,
        short="Camber",
    ),
    _plain(
        "toe",
        "angle",
        "Toe-in per wheel",
        "static; + toe-in",
        needs=_HERE,
        usual=(-2 * DEGREE, 2 * DEGREE),
        least=-45 * DEGREE,
        most=45 * DEGREE,
        short="Toe-in per wheel",
    ),
    _plain(
        "camber_right",
        "angle",
        "Camber, right",
        "when the right wheel was measured by itself",
        usual=_ANGLES,
        least=-45 * DEGREE,
        most=45 * DEGREE,
    ),
    _plain(
        "toe_right",
        "angle",
        "Toe-in, right",
        "when the right wheel was measured by itself",
        usual=(-2 * DEGREE, 2 * DEGREE),
        least=-45 * DEGREE,
        most=45 * DEGREE,
    ),
    _plain(
        "arch_height",
        "length",
        "Wheel centre to arch",
        "ride height as a shop measures it",
        over=0.0,
        usual=(200.0, 600.0),
    ),
)

_POINTS: Final = (
    point("front.upper_front", "Upper arm, front pivot", "body", FRONT, _INNER, _HERE),
    point("front.upper_rear", "Upper arm, rear pivot", "body", FRONT, _INNER, _HERE),
    point("front.upper_ball", "Upper ball joint", "knuckle", FRONT, _OUTER, _HERE, True),
    point(
        "front.lower_front",
        "Lower arm, front pivot",
        "body; of a link and strut rod: the strut rod's bush",
        FRONT,
        _INNER,
        _HERE,
    ),
    point(
        "front.lower_rear",
        "Lower arm, rear pivot",
        "body; of a link and strut rod: the lateral link's bush",
        FRONT,
        _INNER,
        _HERE,
    ),
    point("front.lower_ball", "Lower ball joint", "knuckle", FRONT, _OUTER, _HERE, True),
    point(
        "front.strut_joint",
        "Strut rod to link",
        "where the strut rod bolts to the lateral link; for the drawing",
        FRONT,
        (_X, (200.0, 900.0), _Z),
        (),
        True,
    ),
    point("front.tie_inner", "Tie rod, inner end", "rack or relay link", FRONT, _INNER, _HERE),
    point("front.tie_outer", "Tie rod, outer end", "steering arm", FRONT, _OUTER, _HERE, True),
    point("front.wheel_centre", "Wheel centre", "hub", FRONT, _OUTER, _HERE, True),
    point(
        "front.spring_body",
        "Spring, body end",
        "upper seat's centre",
        FRONT,
        _INNER,
        _COIL,
        pair="front.spring_arm",
    ),
    point(
        "front.spring_arm",
        "Spring, arm end",
        "seat on the arm",
        FRONT,
        _OUTER,
        _COIL,
        True,
        "front.spring_body",
    ),
    point("front.damper_body", "Damper, body end", "", FRONT, _INNER, pair="front.damper_arm"),
    point("front.damper_arm", "Damper, arm end", "", FRONT, _OUTER, (), True, "front.damper_body"),
    point("front.pitman_pivot", "Pitman arm, pivot", "steering box", FRONT, _RELAY_AREA, _RELAY),
    point(
        "front.pitman_end",
        "Pitman arm, end",
        "relay link's joint",
        FRONT,
        _RELAY_AREA,
        _RELAY,
        True,
    ),
    point("front.idler_pivot", "Idler arm, pivot", "body", FRONT, _RELAY_AREA, _RELAY),
    point(
        "front.idler_end", "Idler arm, end", "relay link's joint", FRONT, _RELAY_AREA, _RELAY, True
    ),
)
_BOTH_SIDES: Final = _POINTS[:14]  # the relay crosses the car: it has no right-hand half


def _right(row: Key) -> Key:
    """Return the row of the same point measured on the right side."""
    x, y, z = row.usual  # type: ignore[misc]
    return replace(
        row,
        name=row.name.replace("front.", "front.right."),
        title=f"{row.title}, right",
        usual=(x, (-y[1], -y[0]), z),
        needs=("front.right",) if row.needs == _HERE else (),
        pair=row.pair.replace("front.", "front.right.") if "damper" in row.name else "",
    )


_PARTS: Final = (
    _plain(
        "spring.kind",
        "choice",
        "Spring",
        "a torsion bar lies on the lower arm's axis",
        needs=("front.spring",),
        choices=("coil", "torsion bar"),
        settable=False,
    ),
    _plain(
        "spring.on",
        "choice",
        "Spring stands on",
        "",
        needs=("front.spring",),
        choices=("upper arm", "lower arm"),
    ),
    _plain(
        "spring.rate",
        "spring rate",
        "Spring rate",
        "at the spring; of a torsion bar: torque per degree",
        needs=("front.spring",),
        over=0.0,
        usual=(15.0, 250.0),
        torsion="torsional rate",
        torsion_usual=(5 * NEWTON_METRE / DEGREE, 120 * NEWTON_METRE / DEGREE),
        short="Spring",
    ),
    _plain(
        "spring.free_length",
        "length",
        "Spring, free length",
        "checked against the load the spring carries",
        over=0.0,
        usual=(150.0, 600.0),
        short="Spring, free length",
    ),
    _plain(
        "spring.preload",
        "torque",
        "Torsion bar, torque at measured height",
        "a torsion bar's counterpart of the free length",
        usual=(2e5, 4e6),
        short="Torsion bar, torque",
    ),
    _plain(
        "spring.solid_length",
        "length",
        "Spring, solid length",
        "coil bind",
        over=0.0,
        usual=(80.0, 350.0),
    ),
    _plain(
        "damper.on",
        "choice",
        "Damper stands on",
        "where the spring stands when not given",
        choices=("upper arm", "lower arm"),
    ),
    _plain(
        "damper.closed_length",
        "length",
        "Damper, closed length",
        "where it bottoms",
        over=0.0,
        usual=(120.0, 500.0),
    ),
    _plain(
        "damper.open_length",
        "length",
        "Damper, open length",
        "where it tops out",
        over=0.0,
        usual=(180.0, 750.0),
    ),
    _plain(
        "travel.bump",
        "length",
        "Bump travel to the stop",
        "wheel travel up from measured height",
        over=0.0,
        usual=(30.0, 150.0),
    ),
    _plain(
        "travel.rebound",
        "length",
        "Rebound travel to the stop",
        "wheel travel down from measured height",
        over=0.0,
        usual=(30.0, 150.0),
    ),
    _plain(
        "steering.kind",
        "choice",
        "Steering",
        "a relay has pitman arm, idler arm and relay link",
        needs=("front.steering",),
        choices=("rack", "relay"),
        settable=False,
    ),
    _plain(
        "steering.travel",
        "length",
        "Steering travel each way",
        "of the rack, or of the relay link along Y",
        over=0.0,
        usual=(40.0, 120.0),
    ),
    _plain("steering.pitman_axis", "direction", "Pitman arm, axis", "vertical when not given"),
    _plain("steering.idler_axis", "direction", "Idler arm, axis", "vertical when not given"),
    _plain("joints.upper_ball_axis", "direction", "Upper ball joint, stud", "for its swing"),
    _plain("joints.lower_ball_axis", "direction", "Lower ball joint, stud", "for its swing"),
    _plain("joints.tie_inner_axis", "direction", "Tie rod inner joint, stud", "for its swing"),
    _plain("joints.tie_outer_axis", "direction", "Tie rod outer joint, stud", "for its swing"),
)

FRONT_KEYS: Final = (*_GENERAL, *_POINTS, *map(_right, _BOTH_SIDES), *_PARTS)
