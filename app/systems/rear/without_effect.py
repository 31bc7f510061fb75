"""Jobs on a kind of axle that the car as built hasn't: they do nothing."""

from __future__ import annotations

from typing import Final

from app.document.keys import KEYS
from app.document.model import Change, Setup
from app.document.moves import BY_VALUE, proposed_settings
from app.systems.rear.inputs import rear_kind

_ON: Final = {"leaf axle": "leaf springs", "five-link axle": "links"}


def without_effect(setup: Setup, change: Change) -> str:
    """Say why what a change does at the rear does nothing; empty where some of it does."""
    if "rear.kind" in change.sets:
        return ""
    kind = rear_kind(proposed_settings(setup))
    keys = [key for key in (*change.moves, *change.sets) if key.startswith("rear.")]
    if not keys or kind is None:
        return ""
    if BY_VALUE.issuperset(keys):
        return "the pinion turns with the axle: a wedge turns it"
    if any(kind in KEYS[key].fits for key in keys):
        return ""
    return f"the axle as built is on {_ON[kind]}"
