"""The holes that are drilled anew at the rear. No Qt."""

from __future__ import annotations

from collections.abc import Iterator

from app.document.model import Setup
from app.document.moves import proposed_settings
from app.systems.holes import Drilled, lone


def rear_holes(setup: Setup) -> Iterator[Drilled]:
    """Yield what may be drilled for the axle that will be fitted. A coil's seat is no hole."""
    if proposed_settings(setup).get("rear.kind") == "leaf axle":
        yield lone(setup, "rear.front_eye")
        yield lone(setup, "rear.shackle_body")
    else:
        yield lone(setup, "rear.lower_body")
        yield lone(setup, "rear.upper_body")
        yield lone(setup, "rear.lateral_body", "across")
    yield lone(setup, "rear.damper_body")
