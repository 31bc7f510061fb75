"""The results that only a rear on links has."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.rear_common import LOAD
from geometry.catalogue.rear_hop import LINK_HOP
from geometry.catalogue.result import CENTRES, SPRING, Result

LINK_ONLY: Final[tuple[Result, ...]] = (
    Result(
        key="spring_length",
        title="Coil length",
        kind="length",
        scope="axle",
        group=SPRING,
        definition="Between its seats.",
        source="common practice",
        needs=("rear.spring_axle",),
        decimals=1,
    ),
    Result(
        key="spring_load",
        title="Coil force",
        kind="force",
        scope="axle",
        group=SPRING,
        plus="pushes the axle down",
        definition="At the coil.",
        source="virtual work",
        needs=("rear.spring.rate", *LOAD),
        decimals=0,
        identity="coil_force",  # not the load on a leaf, though both are spring loads
    ),
    Result(
        key="spring_motion_ratio",
        title="Coil motion ratio",
        kind="ratio",
        scope="axle",
        group=SPRING,
        plus="compresses in bump",
        minus="extends in bump",
        definition="-d(length)/d(wheel travel), both wheels.",
        source="Milliken & Milliken ch. 16 (from memory)",
        needs=("rear.spring_axle",),
        decimals=3,
        first=True,
    ),
    Result(
        key="wheel_rate_spring",
        title="Wheel rate, from the coil's rate",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition="K·MR².",
        source="Milliken & Milliken ch. 16 (from memory)",
        needs=("rear.spring.rate", *LOAD),
    ),
    Result(
        key="wheel_rate_geometry",
        title="Wheel rate, from the changing ratio",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        minus="softer",
        definition="F·dMR/dz.",
        source="Milliken & Milliken ch. 16 (from memory)",
        needs=("rear.spring.rate", *LOAD),
    ),
    Result(
        key="wheel_rate_bushes",
        title="Wheel rate, from the bushes",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition="The links' bushes bind.",
        source="derived",
        needs=("rear.spring.rate", *LOAD),
    ),
    Result(
        key="roll_wheel_rate",
        title="Wheel rate in roll",
        kind="spring rate",
        scope="axle",
        group=SPRING,
        plus="stiffer",
        definition="Coils and bushes; no stabiliser bar.",
        source="derived",
        needs=("rear.spring.rate", *LOAD),
    ),
    Result(
        key="roll_axis_slope",
        title="Roll axis slope",
        kind="angle",
        scope="axle",
        group=CENTRES,
        plus="rises to the front",
        minus="falls to the front",
        definition="At the axle, from the motion.",
        source="derived",
        first=True,
    ),
    *LINK_HOP,
)
