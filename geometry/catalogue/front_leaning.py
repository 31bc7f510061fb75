"""The front's results of body roll and of steer."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.result import LEANING, Result

LEANING_RESULTS: Final[tuple[Result, ...]] = (
    Result(
        key="wheel_travel",
        title="Wheel travel",
        kind="length",
        scope="wheel",
        group=LEANING,
        plus="bump",
        minus="rebound",
        definition="Rise of the wheel centre against the body.",
        source="ISO 8855 (from memory)",
        decimals=1,
    ),
    Result(
        key="body_height_change",
        title="Body height change",
        kind="length",
        scope="axle",
        group=LEANING,
        plus="body higher",
        minus="body lower",
        definition="Height of the body's datum above the road, against the measured car's.",
        source="derived",
        decimals=1,
    ),
    Result(
        key="roll_camber",
        title="Roll camber",
        kind="angle per angle",
        scope="wheel",
        group=LEANING,
        plus="outer wheel leans out",
        minus="outer wheel leans in",
        definition="Camber to the road of the outer wheel, per degree of body roll.",
        formula="d camber to the road/d roll; 1 - (t/2)/swing arm",
        source="Milliken & Milliken 17.4 (from memory)",
        decimals=3,
        first=True,
    ),
    Result(
        key="roll_steer",
        title="Roll steer",
        kind="angle per angle",
        scope="axle",
        group=LEANING,
        plus="understeer",
        minus="oversteer",
        definition="Turn of both wheels out of the corner, per degree of body roll.",
        formula="d steer/d roll",
        source="ISO 8855 (from memory)",
        decimals=3,
        first=True,
    ),
    Result(
        key="steer_angle_inner",
        title="Steer, left wheel",
        kind="angle",
        scope="axle",
        group=LEANING,
        plus="to the left",
        minus="to the right",
        definition=(
            "Heading of the left wheel against the car's length: the inner one in a left turn, the "
            "outer one in a right turn."
        ),
        source="ISO 8855 (from memory)",
    ),
    Result(
        key="steer_angle_outer",
        title="Steer, right wheel",
        kind="angle",
        scope="axle",
        group=LEANING,
        plus="to the left",
        minus="to the right",
        definition=(
            "Heading of the right wheel against the car's length: the outer one in a left turn, "
            "the inner one in a right turn."
        ),
        source="ISO 8855 (from memory)",
    ),
    Result(
        key="toe_out_on_turns",
        title="Toe-out on turns, outer at inner 20°",
        kind="angle",
        scope="car",
        group=LEANING,
        plus="outer wheel's angle",
        definition="Outer wheel's heading when the inner one is at 20°, in a left turn.",
        source="common practice",
    ),
    Result(
        key="ackermann",
        title="Ackermann share at inner 20°",
        kind="percent",
        scope="car",
        group=LEANING,
        plus="towards ideal",
        minus="away from ideal",
        definition=(
            "How much of the ideal difference the wheels steer, the inner one at 20°; the ideal "
            "by the kingpin axes at the ground. Other definitions give other figures: the share "
            "by the track is one."
        ),
        formula="100·(inner - outer)/(inner - ideal outer), cot outer - cot inner = b/L",
        source="ISO 8855, 7.1.9; common practice",
        needs=("car.wheelbase",),
        decimals=0,
    ),
    Result(
        key="ackermann_track",
        title="Ackermann by the track, outer 10°",
        kind="percent",
        scope="car",
        group=LEANING,
        plus="towards ideal",
        minus="away from ideal",
        definition=(
            "The same by the track, the outer wheel at 10°: how reports of racing cars often "
            "state it."
        ),
        formula="100·(inner - outer)/(ideal inner - outer), cot outer - cot inner = t/L",
        source="common practice, no source",
        needs=("car.wheelbase",),
        decimals=0,
    ),
    Result(
        key="ackermann_steer",
        title="Ackermann share, at this steer",
        kind="percent",
        scope="axle",
        group=LEANING,
        plus="towards ideal",
        minus="away from ideal",
        definition=(
            "The share as at inner 20°, at each steer from 5° of the inner wheel on. Less than "
            "that says more of the toe as set than of the steering."
        ),
        formula="100·(inner - outer)/(inner - ideal outer)",
        source="ISO 8855, 7.1.9; common practice",
        needs=("car.wheelbase",),
        decimals=0,
        least_span=20.0,
    ),
    Result(
        key="ackermann_track_steer",
        title="Ackermann by the track, at this steer",
        kind="percent",
        scope="axle",
        group=LEANING,
        plus="towards ideal",
        minus="away from ideal",
        definition=(
            "The share by the track as at outer 10°, at each steer from 5° of the inner wheel on; "
            "the track as it is there."
        ),
        formula="100·(inner - outer)/(ideal inner - outer)",
        source="common practice, no source",
        needs=("car.wheelbase",),
        decimals=0,
        least_span=20.0,
    ),
)
