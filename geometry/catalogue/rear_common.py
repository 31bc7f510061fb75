"""Rows of the rear's part of the catalogue that both kinds of axle have, and what rows need."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.rear_pinion import PINION
from geometry.catalogue.result import CENTRES, LEANING, MOVING, SPRING, Asked, Result

CAR: Final = ("car.wheelbase", "car.cg_height")
_BRAKES: Final = (*CAR, "car.front_brake_share")
LOAD: Final = ("car.mass", "car.front_share", "car.rear_unsprung")
_GILLESPIE: Final = "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (from memory)"
_MILLIKEN: Final = "Milliken & Milliken 17.5 (from memory)"


_MOVING: Final = (
    Result(
        key="wheelbase_change",
        title="Wheelbase change",
        kind="length",
        scope="axle",
        group=MOVING,
        plus="longer",
        minus="shorter",
        definition="Wheel centre's x against the measured height.",
        source="derived",
        decimals=1,
        plotted=5,
        least_span=8.0,
    ),
    Result(
        key="anti_squat",
        title="Anti-squat",
        kind="percent",
        scope="axle",
        group=MOVING,
        plus="resists squat",
        minus="adds to squat",
        definition=(
            "Share of the squat pulling away that the axle's path holds up: the side-view "
            "centre seen from the contact point."
        ),
        formula="100·(h_ic/d)/(h/L)",
        source=_MILLIKEN,
        needs=CAR,
        decimals=1,
        first=True,
        plotted=1,
        least_span=20.0,
        asked=Asked(5, "squats less pulling away", "squats more pulling away"),
    ),
    Result(
        key="anti_lift",
        title="Anti-lift under braking",
        kind="percent",
        scope="axle",
        group=MOVING,
        plus="resists lift",
        minus="adds to lift",
        definition="The same, times the rear's share of braking; brakes on the axle.",
        source=_MILLIKEN,
        needs=_BRAKES,
        decimals=1,
    ),
)
_SQUARE: Final = (
    Result(
        key="thrust_angle",
        title="Thrust angle",
        kind="angle",
        scope="axle",
        group=MOVING,
        plus="to the left",
        minus="to the right",
        definition=(
            "Heading of the axle, from where each side holds it; 0 where the right side's points "
            "mirror the left one's."
        ),
        source="derived",
    ),
    Result(
        key="wheelbase_difference",
        title="Wheelbase, left less right",
        kind="length",
        scope="axle",
        group=MOVING,
        plus="longer on the left",
        minus="longer on the right",
        definition=(
            "Between the wheel centres of each side, the front ones where they were measured. "
            "Without a front in the file: what the thrust angle makes over the track."
        ),
        source="derived",
        decimals=1,
    ),
)
_CENTRES: Final = (
    Result(
        key="roll_centre_height",
        title="Roll centre height",
        short="Roll centre",
        kind="length",
        scope="axle",
        group=CENTRES,
        plus="above the ground",
        minus="below the ground",
        definition=(
            "On leaves: the line from the front eye to the rear eye, read at the axle. On "
            "links: where the lateral link crosses the middle, carried along the roll axis to"
            " the axle."
        ),
        source=_GILLESPIE,
        decimals=1,
        first=True,
        plotted=3,
        least_span=40.0,
        asked=Asked(3, "higher above its road", "lower above its road"),
    ),
    Result(
        key="roll_centre_other",
        title="Roll centre, other bound",
        kind="length",
        scope="axle",
        group=CENTRES,
        plus="above the ground",
        minus="below the ground",
        definition=(
            "On leaves: at the main leaf over the axle. On links: from the side force in the "
            "bushes. The truth lies between the two."
        ),
        source="derived",
        decimals=1,
    ),
    Result(
        key="side_centre_x",
        sampled=True,
        title="Side-view centre, from the front axle",
        kind="length",
        scope="axle",
        group=CENTRES,
        plus="ahead of it",
        minus="behind it",
        definition="Instant centre of the axle in bounce; body axes.",
        source=_MILLIKEN,
        decimals=0,
    ),
    Result(
        key="side_centre_z",
        sampled=True,
        title="Side-view centre, height",
        kind="length",
        scope="axle",
        group=CENTRES,
        plus="above the datum",
        minus="below the datum",
        definition="The same point's z.",
        source=_MILLIKEN,
        decimals=0,
    ),
    Result(
        key="side_swing_arm_length",
        sampled=True,
        title="Side-view swing arm",
        kind="length",
        scope="axle",
        group=CENTRES,
        plus="centre ahead of the axle",
        minus="centre behind the axle",
        definition="From the axle to the side-view centre.",
        source=_MILLIKEN,
        decimals=0,
    ),
)
_LEANING: Final = (
    Result(
        key="roll_steer",
        title="Roll steer",
        kind="angle per angle",
        scope="axle",
        group=LEANING,
        plus="understeer",
        minus="oversteer",
        definition="Turn of the axle out of the corner, per degree of body roll, from the motion.",
        formula="d axle steer/d body roll",
        source="derived",
        decimals=3,
        first=True,
        plotted=4,
        least_span=0.04,
        asked=Asked(4),
    ),
    Result(
        key="roll_steer_textbook",
        title="Roll steer, textbook line",
        kind="angle per angle",
        scope="axle",
        group=LEANING,
        plus="understeer",
        minus="oversteer",
        definition=(
            "On leaves: slope of the line through the eyes. On links: from the links' slopes."
        ),
        source=f"{_GILLESPIE}; Olley (from memory)",
        decimals=3,
    ),
    Result(
        key="axle_steer",
        title="Axle steer",
        kind="angle",
        scope="axle",
        group=LEANING,
        plus="to the left",
        minus="to the right",
        definition="Heading of the axle in roll.",
        source="derived",
        decimals=3,
    ),
    Result(
        key="axle_shift",
        title="Axle shift, sideways",
        kind="length",
        scope="axle",
        group=LEANING,
        plus="to the left",
        minus="to the right",
        definition="Of the axle's middle against the body.",
        source="derived",
        decimals=1,
        plotted=8,
        least_span=8.0,
    ),
    Result(
        key="wheel_travel",
        title="Wheel travel",
        kind="length",
        scope="axle",
        group=LEANING,
        plus="bump",
        minus="rebound",
        definition="Rise of the wheel centres against the body.",
        source="ISO 8855 (from memory)",
        decimals=1,
    ),
)
_RIDE: Final = (
    Result(
        key="wheel_rate",
        title="Wheel rate in bounce",
        short="Wheel rate, bounce",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition="One wheel's, both moving together; every part included.",
        source="derived",
        needs=LOAD,
        first=True,
        plotted=6,
        least_span=4.0,
        asked=Asked(1, "stiffer", "softer"),
    ),
    Result(
        key="ride_rate",
        title="Ride rate, tyre in series",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition="Wheel rate and tyre rate in series.",
        source="Gillespie eq. 5-9 ff. (from memory)",
        needs=(*LOAD, "rear.tyre_rate"),
    ),
    Result(
        key="ride_frequency",
        title="Ride frequency",
        kind="frequency",
        scope="axle",
        group=SPRING,
        plus="quicker",
        definition=(
            "How fast the body bobs on its springs and tyres; on the springs alone where no "
            "tyre rate is given."
        ),
        formula="(1/2π)·sqrt(rate/sprung mass)",
        source="Gillespie eq. 5-11 (from memory)",
        needs=LOAD,
        first=True,
        asked=Asked(2, "quicker", "slower"),
    ),
    Result(
        key="settled_travel",
        title="Stands lower by",
        kind="length",
        scope="car",
        group=SPRING,
        plus="car sits lower",
        minus="car sits higher",
        definition=(
            "How far the wheel rises into the body from where the car was found: until its springs "
            "carry the same load, or to where it is held."
        ),
        source="virtual work",
        needs=LOAD,
        decimals=1,
        first=True,
    ),
)

COMMON_RESULTS: Final[tuple[Result, ...]] = (
    *PINION,
    *_MOVING,
    *_SQUARE,
    *_CENTRES,
    *_LEANING,
    *_RIDE,
)
