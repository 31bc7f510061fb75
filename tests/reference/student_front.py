"""A published front of a racing car with its results: hardpoints, roll centre, steering.

Source: a student competition team's report on its geometry, August 2026, in a public repository
(read in full; hardpoints in ISO 8855 axes on its page "9", roll on "2g", steering on "4b"). The
report checked its figures by a second calculation.
"""

from __future__ import annotations

from math import radians
from typing import Final

POINTS: Final = {
    "upper_front": (120.0, 175.0, 308.58),
    "upper_rear": (-120.0, 175.0, 308.58),
    "upper_ball": (-12.28, 536.97, 385.40),
    "lower_front": (130.0, 175.0, 117.38),
    "lower_rear": (-130.0, 175.0, 117.38),
    "lower_ball": (10.06, 582.0, 130.0),
    "tie_inner": (-30.0, 270.0, 158.30),
    "tie_outer": (84.59, 590.29, 178.75),
    "wheel_centre": (0.0, 613.58, 245.0),
}
VALUES: Final = {
    "front__tyre_radius": 245.084,  # 245 mm of height at 1.5 deg of camber, along the wheel
    "front__camber": radians(-1.5),
    "front__toe": 0.0,
    "front__steering__travel": 38.0,
    "car__wheelbase": 1540.0,
    "front__spring__kind": None,
    "front__spring__on": None,
}

ROLL: Final = 1.5  # deg, of the body to its left
ROLL_CENTRE: Final = (33.89, -111.46)
"""Height above the road and place in the body's own axes [mm], by the lines, at that roll."""

WHEEL_TRAVEL: Final = (16.228, 16.158)
"""Of each wheel in that roll [mm]: half the track times the roll's sine as the report has it, and
with both contacts on one flat road. Its place sideways is in proportion."""

ACKERMANN: Final = 70.04
"""[%] at 10 deg of the outer wheel, the ideal inner angle by the track at the contacts."""
