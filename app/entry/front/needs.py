"""The results that a front's measurements suffice for, and the keys the others still need."""

from __future__ import annotations

from typing import Final

from app.document.model import Setup
from app.entry.needs_rows import needed_keys
from app.entry.part import Row
from app.systems.front.system import FRONT

_ARMS: Final = (
    "front.upper_front",
    "front.upper_rear",
    "front.upper_ball",
    "front.lower_front",
    "front.lower_rear",
    "front.lower_ball",
)
_BALLS: Final = ("front.upper_ball", "front.lower_ball")
_WHEEL: Final = ("front.wheel_centre", "front.tyre_radius", "front.camber", "front.toe")
_TIE: Final = ("front.tie_inner", "front.tie_outer")
_COIL: Final = ("front.spring_arm", "front.spring_body")
_DAMPER: Final = ("front.damper_arm", "front.damper_body")
ROWS: Final = (
    Row("Caster and kingpin", ("caster", "kingpin_inclination"), _BALLS),
    Row("Scrub radius and trail", ("scrub_radius", "mechanical_trail"), (*_BALLS, *_WHEEL)),
    Row(
        "Roll centre and camber gain",
        ("roll_centre_height", "camber_gain"),
        (*_ARMS, *_WHEEL),
        board=True,
    ),
    Row("Bump steer", ("bump_steer",), (*_ARMS, *_WHEEL, *_TIE), board=True),
    Row("Spring's motion ratio", ("spring_motion_ratio",), _COIL),
    Row("Damper's motion ratio", ("damper_motion_ratio",), _DAMPER),
    Row("Wheel rate", ("wheel_rate",), _COIL),
    Row("Ride frequency and settled height", ("ride_frequency", "settled_travel"), _COIL),
    Row("Ride rate with the tyre", ("ride_rate",)),
    Row("Anti-dive", ("anti_dive",)),
    Row("Ackermann share", ("ackermann",)),
    Row("Coil bind", ("coil_bind_travel",)),
    Row("Damper's ends of travel", ("damper_bump_travel", "damper_droop_travel")),
)
_RELAY: Final = ("front.pitman_pivot", "front.pitman_end", "front.idler_pivot", "front.idler_end")


def lacking(setup: Setup, row: Row) -> tuple[str, ...]:
    """Return the keys that a row still lacks in this car."""
    needs = needed_keys(row, FRONT.catalogue)
    if spring_kind(setup) == "torsion bar":
        needs = tuple(key for key in needs if key not in _COIL)
    if "bump_steer" in row.results and setup.readings.get("front.steering.kind") == "relay":
        needs += _RELAY
    return tuple(key for key in needs if key not in setup.readings)


def spring_kind(setup: Setup) -> str:
    """Return the kind of the front's springs: "coil" where nothing is said."""
    kind = setup.readings.get("front.spring.kind")
    return "torsion bar" if kind == "torsion bar" else "coil"
