"""The pinion turns with the axle: dragging its joint turns the axle in its seats, by a wedge."""

from __future__ import annotations

from math import atan2, cos, hypot, radians, sin
from typing import Final

from app.document.edits import EditError, reset_value, set_value
from app.document.freed import WEDGE
from app.document.model import Setup, Vec
from app.document.moves import Numbers, measured_place, proposed_settings
from app.systems.rear.inputs import rear_kind

PINION: Final = "rear.pinion"
ON_LINKS: Final = (
    "The pinion can't be moved by itself: on links its angle comes from their lengths. Make the "
    "upper links longer or shorter, or move their ends."
)
AT_THE_MIDDLE: Final = "The pinion joint stands at the middle of the axle: it has no angle there."
_STEP: Final = radians(0.1)  # finer than wedges are made (common practice, no source)
_MOST: Final = radians(45.0)
_NEAR: Final = 0.5  # of the joint's distance: a pointer nearer to the axle turns it no faster
_NEAREST: Final = 1.0  # mm from the axle's middle at which a joint has no angle


def fixed_because(setup: Setup, key: str) -> str:
    """Say why the pinion's joint can't be moved on this axle; empty where it can."""
    if key != PINION:
        return ""
    if rear_kind(proposed_settings(setup)) != "leaf axle":
        return ON_LINKS
    return "" if hypot(*_from_axle(setup)) >= _NEAREST else AT_THE_MIDDLE


def turned_axle(setup: Setup, index: int, step: Vec) -> Setup:
    """Return the setup whose change turns the axle so that the pinion's joint goes by `step` [mm].

    Raises
    ------
    EditError
        The pinion can't be turned on this axle.
    """
    reason = fixed_because(setup, PINION)
    if reason:
        raise EditError(reason)
    before, was = (
        Numbers(each).get(WEDGE) or 0.0 for each in (proposed_settings(setup), setup.evidence)
    )
    ahead, above = _from_axle(setup)
    reach, stands = hypot(ahead, above), atan2(above, ahead) + before - was
    across = step[2] * cos(stands) - step[0] * sin(stands)
    along = reach + step[0] * cos(stands) + step[2] * sin(stands)
    turned = atan2(across, max(along, _NEAR * reach))  # the angle of the pointer about the axle
    wedge = min(max(round((before + turned) / _STEP) * _STEP, -_MOST), _MOST) + 0.0
    without = reset_value(setup, index, WEDGE)
    is_idle = abs(wedge - (Numbers(proposed_settings(without)).get(WEDGE) or 0.0)) < _STEP / 2
    return without if is_idle else set_value(setup, index, WEDGE, wedge)


def _from_axle(setup: Setup) -> tuple[float, float]:
    """Return the pinion's joint as measured ahead of and above the wheel centres [mm]."""
    joint, hub = (measured_place(setup, key) for key in (PINION, "rear.wheel_centre"))
    return joint[0] - hub[0], joint[2] - hub[2]
