"""The results that only a rear on leaf springs has."""

from __future__ import annotations

from math import radians
from typing import Final

from geometry.catalogue.rear_common import CAR, LOAD
from geometry.catalogue.result import SPRING, Asked, Result

PACK: Final = "Leaf pack"
TORQUE: Final = "Under torque"
HOP: Final = "Hop and tramp"

_DRIVE: Final = (
    "rear.drive.engine_torque",
    "rear.drive.gear",
    "rear.drive.final_drive",
    "rear.drive.grip",
    *LOAD,
)
_AXLE: Final = (
    "rear.axle.mass",
    "rear.axle.pitch_inertia",
    "rear.axle.roll_inertia",
    "rear.tyre_rate",
    "rear.damper.rate",
    "rear.damper_axle",
)
_LEAF_RIDE: Final = (
    Result(
        key="spring_load",
        title="Load on one spring",
        kind="force",
        scope="axle",
        group=SPRING,
        plus="pushes the axle down",
        definition="At the wheel, without the unsprung weight.",
        source="virtual work",
        needs=LOAD,
        decimals=0,
    ),
    Result(
        key="wheel_rate_tips",
        title="Wheel rate, if leaves touch at tips",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition=(
            "All of it, with the shackle's part, by the softer limit: the real pack lies between."
        ),
        source="derived",
        needs=LOAD,
    ),
    Result(
        key="wheel_rate_pack",
        title="Wheel rate, the leaves' part",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition="The pack's own, by one curvature: with the shackle's it is the wheel rate.",
        source="derived",
        needs=LOAD,
    ),
    Result(
        key="wheel_rate_shackle",
        title="Wheel rate, the shackle's part",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        minus="softer",
        definition="Load times the change of the shackle's leverage.",
        source="derived",
        needs=LOAD,
    ),
    Result(
        key="roll_wheel_rate",
        title="Wheel rate in roll",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition=(
            "(k_f + k_r)·(spring base/track)²: the housing keeps the seats from turning; the "
            "least it can be."
        ),
        source="derived",
    ),
)
_PACK: Final = (
    Result(
        key="pack_rate",
        title="Pack rate, one curvature",
        kind="spring rate",
        scope="car",
        group=PACK,
        plus="stiffer",
        definition="Of the leaves that bear at ride, all bent alike, seat free: the stiffer limit.",
        source="spring handbooks; derived",
        first=True,
    ),
    Result(
        key="pack_rate_tips",
        title="Pack rate, tip contact",
        kind="spring rate",
        scope="car",
        group=PACK,
        plus="stiffer",
        definition="Each leaf touches the one above at its tip: the softer limit.",
        source="derived",
    ),
    Result(
        key="static_deflection",
        title="Static deflection",
        kind="length",
        scope="car",
        group=PACK,
        plus="from free",
        definition="Of the pack from free at ride.",
        source="derived",
        needs=LOAD,
        decimals=1,
    ),
    Result(
        key="stress_ride",
        title="Highest stress at ride",
        kind="stress",
        scope="car",
        group=PACK,
        definition="Of any leaf, by either model, under the load before the shackle's lever.",
        source="beam theory (textbook)",
        needs=LOAD,
        decimals=0,
    ),
    Result(
        key="stress_bump",
        title="Highest stress at full bump",
        short="Stress at full bump",
        kind="stress",
        scope="car",
        group=PACK,
        definition="Of any leaf, by either model, under the load before the shackle's lever.",
        source="beam theory (textbook)",
        needs=LOAD,
        decimals=0,
        first=True,
        asked=Asked(7, "more stress in a leaf", "less stress in the leaves"),
    ),
    Result(
        key="stress_margin",
        title="Left of the stress limit at bump",
        short="Stress left at bump",
        kind="percent",
        scope="car",
        group=PACK,
        plus="below the limit",
        minus="past the limit",
        definition="1 - stress/limit of the leaf with the least.",
        source="beam theory (textbook)",
        needs=(*LOAD, "rear.pack.limit_stress"),
        decimals=0,
        first=True,
    ),
    Result(
        key="shackle_angle",
        title="Shackle to the line of the eyes",
        short="Shackle",
        kind="angle",
        scope="axle",
        group=PACK,
        definition=(
            "At the rear eye; 60° to 90° at ride, never near 0: past the line of the leaf it "
            "turns over."
        ),
        source="common practice",
        decimals=1,
        plotted=7,
        least_span=radians(10.0),
    ),
)
_TORQUE: Final = (
    Result(
        key="full_thrust",
        title="Thrust, full",
        kind="force",
        scope="car",
        group=TORQUE,
        plus="forward",
        definition=(
            "The lesser of engine torque through the gears and grip·W_r/(1 - grip·h/ℓ), which the "
            "tyres hold with the load that pulling away brings them."
        ),
        source="textbook statics",
        needs=_DRIVE,
        decimals=0,
    ),
    Result(
        key="full_braking",
        title="Braking force, full",
        kind="force",
        scope="car",
        group=TORQUE,
        plus="rearward",
        definition=(
            "At the rear wheels, with the whole car slowed by grip·g: the lesser of the brakes' "
            "rear share of grip·m·g and grip·(W_r - grip·m·g·h/ℓ), which the unloaded tyres hold."
        ),
        source="textbook statics",
        needs=_DRIVE,
        decimals=0,
    ),
    Result(
        key="wind_up_stiffness",
        title="Wind-up stiffness, both springs",
        short="Wind-up, both springs",
        kind="torsional rate",
        scope="car",
        group=TORQUE,
        plus="stiffer",
        definition="2·k_f·k_r·L²/(k_f + k_r), load held.",
        source="derived",
        decimals=0,
        first=True,
    ),
    Result(
        key="wind_up_full",
        title="Wind-up at full thrust",
        kind="angle",
        scope="car",
        group=TORQUE,
        plus="nose up",
        minus="nose down",
        definition="Turn of the axle from where it stands: the pinion turns with it.",
        source="derived",
        needs=_DRIVE,
        first=True,
        asked=Asked(6, "the axle winds up more", "the axle winds up less"),
    ),
    Result(
        key="lift_full",
        title="Body lift at full thrust",
        short="Lift, full thrust",
        kind="length",
        scope="car",
        group=TORQUE,
        plus="rises",
        minus="drops",
        definition="From the springs and bars, load held: what load transfer adds isn't in it.",
        source="derived",
        needs=_DRIVE,
        decimals=1,
        first=True,
    ),
    Result(
        key="eye_load_least",
        title="Least eye load at full thrust",
        short="Least eye load, thrust",
        kind="force",
        scope="car",
        group=TORQUE,
        plus="pushes up",
        minus="pulls down",
        definition="Of the front and the rear eye on the body, by moments about the front eye.",
        source="textbook statics",
        needs=_DRIVE,
        decimals=0,
        first=True,
    ),
    Result(
        key="bars_close_at",
        title="Traction bars close at",
        kind="force",
        scope="car",
        group=TORQUE,
        plus="thrust",
        definition="Thrust at which the snubbers touch.",
        source="derived",
        needs=(*_DRIVE, "rear.traction_bar.gap"),
        decimals=0,
    ),
    Result(
        key="anti_squat_bars",
        title="Anti-squat, bars closed",
        kind="percent",
        scope="car",
        group=TORQUE,
        plus="resists squat",
        minus="adds to squat",
        definition="With the snubbers' stiffness in the seats' pitch.",
        source="derived",
        needs=(*CAR, "rear.traction_bar.gap"),
        decimals=1,
    ),
)
_HOP: Final = tuple(
    Result(
        key=f"{key}_{what}",
        title=f"{words}, {of}",
        kind=kind,
        scope="car",
        group=HOP,
        plus=plus,
        minus=minus,
        definition=(
            f"Of the mode that is mostly {words.lower()}: a linear indication; grip and leaf "
            "friction are not in it."
        ),
        source="textbook eigenproblem",
        needs=_AXLE,
        decimals=decimals,
        first=True,
    )
    for key, words in (("hop", "Hop"), ("tramp", "Tramp"), ("wind_up", "Wind-up"))
    for what, of, kind, plus, minus, decimals in (
        ("frequency", "frequency", "frequency", "quicker", "", 1),
        ("damping", "damping ratio", "ratio", "dies out", "grows", 2),
    )
)
LEAF_ONLY: Final[tuple[Result, ...]] = (*_LEAF_RIDE, *_PACK, *_TORQUE, *_HOP)
