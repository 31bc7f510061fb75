"""The results of full drive and full braking, which an axle on leaves and one on links share."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.rear_common import LOAD
from geometry.catalogue.result import Result

TORQUE: Final = "Under torque"

ENGINE: Final = tuple(f"rear.drive.{name}" for name in ("engine_torque", "gear", "final_drive"))
ON_ROAD: Final = ("car.mass", "car.front_share")
DRIVE: Final = (*ENGINE, "rear.drive.grip", *LOAD)
FULL_LOADS: Final[tuple[Result, ...]] = (
    Result(
        key="full_thrust",
        title="Thrust, full",
        kind="force",
        scope="car",
        group=TORQUE,
        plus="forward",
        definition=(
            "The lesser of what the engine gives through the gears and what the tyres hold with "
            "the load that pulling away brings them; the engine's alone where those aren't known."
        ),
        formula="grip·W_r/(1 - grip·h/ℓ) at the tyres",
        source="textbook statics",
        needs=ENGINE,
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
            "At the rear wheels, the whole car slowed as hard as the tyres allow: the lesser of "
            "the brakes' rear share and what the unloaded tyres hold."
        ),
        formula="the lesser of grip·m·g·share and grip·(W_r - grip·m·g·h/ℓ)",
        source="textbook statics",
        needs=("rear.drive.grip", *ON_ROAD),
        decimals=0,
    ),
)
