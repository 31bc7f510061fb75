"""The one list of the front's results: panels, curves, sheet, command line and docs all read it."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.front_centres import CENTRE_RESULTS
from geometry.catalogue.front_leaning import LEANING_RESULTS
from geometry.catalogue.front_ride import RIDE_RESULTS
from geometry.catalogue.front_wheel import WHEEL_RESULTS
from geometry.catalogue.result import (
    ANGLES,
    CENTRES,
    GROUND,
    JOINTS,
    LEANING,
    MOVING,
    SPRING,
    SUFFIX,
    Result,
    machine_name,
)

__all__ = [
    "ANGLES",
    "BY_KEY",
    "CENTRES",
    "GROUND",
    "JOINTS",
    "LEANING",
    "MOVING",
    "RESULTS",
    "SPRING",
    "SUFFIX",
    "Result",
    "machine_name",
]

RESULTS: Final[tuple[Result, ...]] = (
    *WHEEL_RESULTS,
    *CENTRE_RESULTS,
    *LEANING_RESULTS,
    *RIDE_RESULTS,
)
BY_KEY: Final = {result.key: result for result in RESULTS}
