"""What kind of work a move of a point is."""

from __future__ import annotations

from typing import Final

from app.document.model import Setup, Vec
from app.document.point_names import point_part

_SHIM: Final = 8.0  # mm; a pack of shims is no thicker (common practice, no source)
_PIVOTS: Final = ("upper_front", "upper_rear", "lower_front", "lower_rear")


def is_across(setup: Setup, key: str, move: Vec) -> bool:
    """Tell whether an end of an arm's shaft moves straight across the car.

    No hole in a face does that. A link and a strut rod have no shaft but a bush each.
    """
    has_shaft = key.endswith(_PIVOTS) and not point_part(key, setup.evidence)
    return has_shaft and move[0] == move[2] == 0.0


def is_shim(setup: Setup, key: str, move: Vec) -> bool:
    """Tell whether an arm's pivot moves straight across the car by no more than shims do."""
    return is_across(setup, key, move) and abs(move[1]) <= _SHIM


def shaft_of(key: str) -> str:
    """Return a name for the shaft, of one arm and side, that a pivot is an end of."""
    return key.rpartition("_")[0]
