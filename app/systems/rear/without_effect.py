"""Jobs on a kind of axle that the car as built hasn't: they do nothing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from app.document.keys import KEYS
from app.document.model import Setup
from app.document.moves import BY_VALUE, proposed_settings
from app.systems.rear.inputs import rear_kind

_ON: Final = {"leaf axle": "leaf springs", "five-link axle": "links"}


def without_effect(setup: Setup, touched: Iterable[str]) -> str:
    """Say why moving and setting keys does nothing at the rear; empty where some of it does."""
    keys = [key for key in touched if key.startswith("rear.")]
    if "rear.kind" in keys:
        return ""
    kind = rear_kind(proposed_settings(setup))
    if not keys or kind is None:
        return ""
    if BY_VALUE.issuperset(keys):
        return "the pinion turns with the axle: a wedge turns it"
    if any(kind in KEYS[key].fits for key in keys):
        return ""
    return f"the axle as built is on {_ON[kind]}"
