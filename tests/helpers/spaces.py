"""Cars with envelopes of their parts, and clearances between these."""

from __future__ import annotations

from app.document.clearances import Clearance, Envelope
from app.document.model import Setup

WING = Envelope(
    "front", "inner wing", "box", (-330.0, 440.0, 420.0), (330.0, 440.0, 420.0), None, 4.0, 400.0
)
SPRING = Envelope(
    "front", "spring", "cylinder", "front.spring_body", "front.spring_arm", radius=55.0
)
ROD = Envelope("front", "tie rod", "capsule", "front.tie_inner", "front.tie_outer", radius=9.0)
LINK = Envelope("front", "link", "capsule", "front.lower_rear", "front.lower_ball", radius=18.0)
REAR_TYRE = Envelope("rear", "tyre", "tyre", width=145.0)
RAIL = Envelope(
    "rear", "rail", "box", (-2800.0, 520.0, 420.0), (-2200.0, 520.0, 420.0), None, 60.0, 90.0
)
TUBE = Envelope(
    "rear",
    "tube",
    "capsule",
    (-2490.0, 100.0, 292.0),
    "rear.wheel_centre",
    radius=38.0,
    moves_with="axle",
)
FRONT_PAIRS = (("tyre", "inner wing"), ("tyre", "spring"), ("tie rod", "link"))
REAR_PAIRS = (("tyre", "rail"), ("tube", "rail"))


def with_spaces(setup: Setup, least: float | None = 12.0) -> Setup:
    """Return a saloon with envelopes at both ends; all pairs shall stay so far apart [mm]."""
    front = [Clearance("front", pair, least, "owner") for pair in FRONT_PAIRS]
    rear = [Clearance("rear", pair, least) for pair in REAR_PAIRS]
    ends = {end for end in ("front", "rear") if f"{end}.kind" in setup.evidence}
    envelopes = (WING, SPRING, ROD, LINK, REAR_TYRE, RAIL, TUBE)
    return setup.having(
        envelopes=tuple(each for each in envelopes if each.end in ends),
        clearances=tuple(each for each in (*front, *rear) if each.end in ends),
    )
