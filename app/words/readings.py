"""What a reading is called: a coordinate, a value, a tape, or what all points share."""

from __future__ import annotations

from app.document.keys import KEYS
from app.document.model import Setup
from app.document.point_names import point_title

_SHARED = {"datum level": "Level of the datum", "datum centreline": "Centreline of the datum"}
_DIRECTIONS = {"x": "lengthwise", "y": "across", "z": "height"}


def reading_title(name: str, setup: Setup) -> str:
    """Return a reading as people call it: "Upper ball joint, height", "Tape 3"."""
    if name in _SHARED:
        return _SHARED[name]
    if name in KEYS:
        return KEYS[name].title
    key, _, axis = name.rpartition(".")
    if key in KEYS and axis in _DIRECTIONS:
        return f"{point_title(key, setup.evidence)}, {_DIRECTIONS[axis]}"
    return name.capitalize()
