"""Rows of the rear's part of the catalogue about its dampers, whatever holds the axle."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.result import SPRING, Result

_ENDS: Final = ("rear.damper_axle",)
_CLOSED: Final = (*_ENDS, "rear.damper.closed_length")
_OPEN: Final = (*_ENDS, "rear.damper.open_length")

DAMPERS: Final = (
    Result(
        key="damper_length",
        title="Damper length",
        kind="length",
        scope="wheel",
        group=SPRING,
        definition="Between the damper's eyes.",
        source="common practice",
        needs=_ENDS,
        decimals=1,
        plotted=9,
        least_span=40.0,
    ),
    Result(
        key="damper_motion_ratio",
        title="Damper motion ratio",
        kind="ratio",
        scope="wheel",
        group=SPRING,
        plus="compresses in bump",
        minus="extends in bump",
        definition="Shortening of the damper per travel of both wheels together.",
        formula="-d(damper length)/d(wheel travel)",
        source="Milliken & Milliken ch. 16 (from memory)",
        needs=_ENDS,
        decimals=3,
    ),
    Result(
        key="damper_stroke",
        title="Damper stroke used",
        kind="percent",
        scope="wheel",
        group=SPRING,
        plus="of the way from open to closed",
        minus="longer than open",
        definition="How much of the damper's stroke is used; above 100 it is shorter than closed.",
        formula="100·(open - length)/(open - closed)",
        source="common practice",
        needs=(*_CLOSED, "rear.damper.open_length"),
        decimals=0,
        first=True,
        least_span=20.0,
    ),
    Result(
        key="damper_bump_travel",
        title="Damper closed at travel",
        kind="length",
        scope="car",
        group=SPRING,
        plus="bump",
        minus="rebound",
        definition=(
            "Travel of both wheels, from where the car stands, at which the first damper is at its "
            "closed length."
        ),
        source="common practice",
        needs=_CLOSED,
        decimals=1,
    ),
    Result(
        key="damper_droop_travel",
        title="Damper open at travel",
        kind="length",
        scope="car",
        group=SPRING,
        plus="bump",
        minus="rebound",
        definition=(
            "Travel of both wheels, from where the car stands, at which the first damper is at its "
            "open length."
        ),
        source="common practice",
        needs=_OPEN,
        decimals=1,
    ),
    Result(
        key="damper_bump_roll",
        title="Damper closed at body roll",
        kind="angle",
        scope="car",
        group=SPRING,
        plus="to either side",
        definition="Least body roll at which a damper is at its closed length.",
        source="common practice",
        needs=_CLOSED,
        decimals=1,
    ),
    Result(
        key="damper_droop_roll",
        title="Damper open at body roll",
        kind="angle",
        scope="car",
        group=SPRING,
        plus="to either side",
        definition="Least body roll at which a damper is at its open length.",
        source="common practice",
        needs=_OPEN,
        decimals=1,
    ),
)
