"""The results of the rear, on leaf springs and on links: the rear's part of the one catalogue."""

from __future__ import annotations

from typing import Final

from geometry.catalogue.rear_common import COMMON_RESULTS
from geometry.catalogue.rear_dampers import DAMPERS
from geometry.catalogue.rear_full_loads import FULL_LOADS, TORQUE
from geometry.catalogue.rear_hop import HOP
from geometry.catalogue.rear_leaf import LEAF_ONLY, PACK
from geometry.catalogue.rear_links import LINK_ONLY
from geometry.catalogue.rear_pinion import WOUND_UP
from geometry.catalogue.result import Result

__all__ = ["HOP", "LEAF_RESULTS", "LINK_RESULTS", "PACK", "REAR_RESULTS", "TORQUE"]

LEAF_RESULTS: Final[tuple[Result, ...]] = (*COMMON_RESULTS, *WOUND_UP, *DAMPERS, *LEAF_ONLY)
LINK_RESULTS: Final[tuple[Result, ...]] = (
    *COMMON_RESULTS,
    *DAMPERS,
    *LINK_ONLY,
    *FULL_LOADS,
)
REAR_RESULTS: Final = {
    **{result.key: result for result in LINK_RESULTS},
    **{result.key: result for result in LEAF_RESULTS},
}
"""Every result of the rear by key, whichever axle has it."""
