"""Rows of the rear's part of the catalogue that both kinds of axle have, and what rows need."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.result import CENTRES, LEANING, MOVING, SPRING, Result

CAR: Final = ("car.wheelbase", "car.cg_height")
_BRAKES: Final = (*CAR, "car.front_brake_share")
LOAD: Final = ("car.mass", "car.front_share", "car.rear_unsprung")
_GILLESPIE: Final = "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory)"
_MILLIKEN: Final = "Milliken & Milliken 17.5 (from memory)"


def rear_result(
    key: str,
    title: str,
    kind: str,
    group: str,
    signs: tuple[str, str],
    definition: str,
    source: str,
    needs: tuple[str, ...] = (),
    decimals: int = 2,
    scope: str = "axle",
) -> Result:
    """Return a row; `signs` is what + and - mean."""
    plus, minus = signs
    return Result(key, title, kind, scope, group, plus, minus, definition, source, needs, decimals)  # type: ignore[arg-type]


_MOVING: Final = (
    rear_result(
        "pinion_angle",
        "Pinion angle",
        "angle",
        MOVING,
        ("nose up", "nose down"),
        "Of the pinion to the ground; 0 at the measured height where it isn't given.",
        "derived",
    ),
    rear_result(
        "wheelbase_change",
        "Wheelbase change",
        "length",
        MOVING,
        ("longer", "shorter"),
        "Wheel centre's x against the measured height.",
        "derived",
        decimals=1,
    ),
    rear_result(
        "anti_squat",
        "Anti-squat",
        "percent",
        MOVING,
        ("resists squat", "adds to squat"),
        "100·(h_ic/d)/(h/L): the side-view centre seen from the contact point.",
        _MILLIKEN,
        CAR,
        1,
    ),
    rear_result(
        "anti_lift",
        "Anti-lift under braking",
        "percent",
        MOVING,
        ("resists lift", "adds to lift"),
        "The same, times the rear's share of braking; brakes on the axle.",
        _MILLIKEN,
        _BRAKES,
        1,
    ),
)
_CENTRES: Final = (
    rear_result(
        "roll_centre_height",
        "Roll centre height",
        "length",
        CENTRES,
        ("above the ground", "below the ground"),
        "On leaves: the line from the front eye to the rear eye, read at the axle. On links: where "
        "the lateral link crosses the middle, carried along the roll axis to the axle.",
        _GILLESPIE,
        decimals=1,
    ),
    rear_result(
        "roll_centre_other",
        "Roll centre, other view",
        "length",
        CENTRES,
        ("above the ground", "below the ground"),
        "On leaves: at the main leaf over the axle. On links: from the side force in the bushes. "
        "The truth lies between the two.",
        "derived",
        decimals=1,
    ),
    rear_result(
        "side_centre_x",
        "Side-view centre, from the front axle",
        "length",
        CENTRES,
        ("ahead of it", "behind it"),
        "Instant centre of the axle in bounce; body axes.",
        _MILLIKEN,
        decimals=0,
    ),
    rear_result(
        "side_centre_z",
        "Side-view centre, height",
        "length",
        CENTRES,
        ("above the datum", "below the datum"),
        "The same point's z.",
        _MILLIKEN,
        decimals=0,
    ),
    rear_result(
        "side_swing_arm_length",
        "Side-view swing arm",
        "length",
        CENTRES,
        ("centre ahead of the axle", "centre behind the axle"),
        "From the axle to the side-view centre.",
        _MILLIKEN,
        decimals=0,
    ),
)
_LEANING: Final = (
    rear_result(
        "roll_steer",
        "Roll steer",
        "ratio",
        LEANING,
        ("understeer", "oversteer"),
        "d axle steer/d body roll, from the motion.",
        "derived",
        decimals=3,
    ),
    rear_result(
        "roll_steer_textbook",
        "Roll steer, textbook line",
        "ratio",
        LEANING,
        ("understeer", "oversteer"),
        "On leaves: slope of the line through the eyes. On links: from the links' slopes.",
        f"{_GILLESPIE}; Olley (from memory)",
        decimals=3,
    ),
    rear_result(
        "axle_steer",
        "Axle steer",
        "angle",
        LEANING,
        ("to the left", "to the right"),
        "Heading of the axle in roll.",
        "derived",
        decimals=3,
    ),
    rear_result(
        "axle_shift",
        "Axle shift, sideways",
        "length",
        LEANING,
        ("to the left", "to the right"),
        "Of the axle's middle against the body.",
        "derived",
        decimals=1,
    ),
    rear_result(
        "wheel_travel",
        "Wheel travel",
        "length",
        LEANING,
        ("bump", "rebound"),
        "Rise of the wheel centres against the body.",
        "ISO 8855 (from memory)",
        decimals=1,
    ),
)
_RIDE: Final = (
    rear_result(
        "wheel_rate",
        "Wheel rate in bounce",
        "spring rate",
        SPRING,
        ("stiffer", ""),
        "One wheel's, both moving together; every part included.",
        "derived",
        LOAD,
    ),
    rear_result(
        "ride_rate",
        "Ride rate, tyre in series",
        "spring rate",
        SPRING,
        ("stiffer", ""),
        "Wheel rate and tyre rate in series.",
        "Gillespie eq. 5-9 ff. (from memory)",
        (*LOAD, "rear.tyre_rate"),
    ),
    rear_result(
        "ride_frequency",
        "Ride frequency",
        "frequency",
        SPRING,
        ("quicker", ""),
        "(1/2π)·sqrt(rate/sprung mass), with the tyre where its rate is given.",
        "Gillespie eq. 5-11 (from memory)",
        LOAD,
    ),
    rear_result(
        "settled_travel",
        "Settles by, same load",
        "length",
        SPRING,
        ("car sits lower", "car sits higher"),
        "How far the wheel rises into the body until the springs carry the same load.",
        "virtual work",
        LOAD,
        1,
        "car",
    ),
)

COMMON_RESULTS: Final[tuple[Result, ...]] = (*_MOVING, *_CENTRES, *_LEANING, *_RIDE)
