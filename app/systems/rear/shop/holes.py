"""The holes that are drilled anew at the rear. No Qt."""

from __future__ import annotations

from collections.abc import Iterator

from app.document.model import Setup
from app.document.moves import proposed_settings
from app.systems.holes import Drilled, lone


def rear_holes(setup: Setup) -> Iterator[Drilled]:
    """Yield what may be drilled for the axle that will be fitted. A coil's seat is no hole."""
    if proposed_settings(setup).get("rear.kind") == "leaf axle":
        yield lone("rear.front_eye", "Spring's front hanger")
        yield lone("rear.shackle_body", "Shackle's body pin")
    else:
        yield lone("rear.lower_body", "Lower link, body end")
        yield lone("rear.upper_body", "Upper link, body end")
        yield lone("rear.lateral_body", "Lateral link, body end", "across")
    yield lone("rear.damper_body", "Rear damper, body end")
