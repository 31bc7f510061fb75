"""The keys of the double-wishbone front: one row each."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.front_points import FRONT_POINTS, HERE
from app.document.quantities import DEGREE
from app.document.schema import FRONT, Key

_TORSION: Final = ("front.spring.kind", "torsion bar")
_ANGLES: Final = (-5 * DEGREE, 5 * DEGREE)

NEWTON_METRE: Final = 1000.0  # N·mm


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
        needs=HERE,
        choices=("one piece", "link and strut rod"),
    ),
    _plain(
        "tyre_radius",
        "length",
        "Tyre radius, loaded",
        "wheel centre to ground, along the wheel, with the car on its wheels",
        needs=HERE,
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
        needs=HERE,
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
        needs=HERE,
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
        settable=False,
    ),
    _plain(
        "bump_steer_travel",
        "length",
        "Bump steer over ±",
        "wheel travel each way over which its toe range is told; 50 mm when not given",
        over=0.0,
        least=5.0,
        most=500.0,
        usual=(20.0, 80.0),
        settable=False,
    ),
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

FRONT_KEYS: Final = (*_GENERAL, *FRONT_POINTS, *_PARTS)
