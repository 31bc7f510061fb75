"""Rows of the rear's part of the catalogue about pinion and propshaft."""

from __future__ import annotations

from math import radians
from typing import Final

from geometry.catalogue.result import MOVING, Result, Scope

_PINION: Final = ("rear.axle.pinion_angle",)
_GEARBOX: Final = (*_PINION, "rear.gearbox_angle")
_GEARBOX_JOINT: Final = ("rear.gearbox_angle", "rear.pinion", "rear.gearbox_joint")
_JOINTS: Final = (*_PINION, *_GEARBOX_JOINT)
_DRIVE: Final = (
    *(f"rear.drive.{name}" for name in ("engine_torque", "gear", "final_drive", "grip")),
    *("car.mass", "car.front_share", "car.rear_unsprung"),
)
_PRACTICE: Final = "common practice: equal, about 3° at ride, 5° wound up"


def _angle(
    key: str,
    title: str,
    definition: str,
    needs: tuple[str, ...],
    *,
    scope: Scope = "axle",
    source: str = "derived",
) -> Result:
    return Result(
        key=key,
        title=title,
        kind="angle",
        scope=scope,
        group=MOVING,
        plus="nose up",
        minus="nose down",
        definition=definition,
        source=source,
        needs=needs,
        least_span=radians(1.0),
    )


PINION: Final = (
    Result(
        key="pinion_angle",
        title="Pinion angle",
        kind="angle",
        scope="axle",
        group=MOVING,
        plus="nose up",
        minus="nose down",
        definition="Of the pinion to the ground.",
        source="derived",
        needs=_PINION,
        first=True,
        plotted=2,
        least_span=radians(1.0),
    ),
    _angle(
        "pinion_turn",
        "Pinion turns by",
        "Turn of the axle since it was measured, to the ground; known without the pinion's angle.",
        (),
    ),
    _angle(
        "pinion_to_gearbox",
        "Pinion against the gearbox",
        "Pinion's angle less the gearbox output's.",
        _GEARBOX,
    ),
    _angle(
        "pinion_joint_angle",
        "Pinion joint, working angle",
        "Pinion's angle less the propshaft's, in side view.",
        _JOINTS,
        source=_PRACTICE,
    ),
    _angle(
        "gearbox_joint_angle",
        "Gearbox joint, working angle",
        "Gearbox output's angle less the propshaft's, in side view.",
        _GEARBOX_JOINT,
        source=_PRACTICE,
    ),
)
"""Of every rear."""

WOUND_UP: Final = (
    _angle(
        "pinion_to_gearbox_full",
        "Pinion against the gearbox, full drive",
        "The same with the axle wound up by full drive.",
        (*_GEARBOX, *_DRIVE),
        scope="car",
    ),
    _angle(
        "pinion_joint_angle_full",
        "Pinion joint, working angle, full drive",
        "The same with the axle wound up by full drive.",
        (*_JOINTS, *_DRIVE),
        scope="car",
        source=_PRACTICE,
    ),
    _angle(
        "gearbox_joint_angle_full",
        "Gearbox joint, working angle, full drive",
        "The same with the axle wound up by full drive.",
        (*_GEARBOX_JOINT, *_DRIVE),
        scope="car",
        source=_PRACTICE,
    ),
)
"""Of one on leaf springs, which wind up."""
