"""The holes that are drilled anew at the front, and which are drilled together. No Qt."""

from __future__ import annotations

from collections.abc import Iterator

from app.document.model import Setup
from app.systems.holes import Drilled, lone


def front_holes(setup: Setup) -> Iterator[Drilled]:
    """Yield what may be drilled: arms, damper and steering. A coil's seat is no hole."""
    values = setup.evidence
    yield _arm("upper")
    if values.get("front.lower_arm") == "link and strut rod":  # two mounts, far from each other
        yield lone(setup, "front.lower_front", "across", has_size=True)
        yield lone(setup, "front.lower_rear", "across", has_size=True)
    else:
        yield _arm("lower")
    yield lone(setup, "front.damper_body")
    if values.get("front.steering.kind") == "relay":
        yield lone(setup, "front.pitman_pivot", is_hole=False)
        yield lone(setup, "front.idler_pivot", is_hole=False)
    else:
        yield lone(setup, "front.tie_inner", "across", is_hole=False)


def _arm(arm: str) -> Drilled:
    keys = (f"front.{arm}_front", f"front.{arm}_rear")
    title = f"{arm.capitalize()} arm pivots"
    return Drilled(keys, title, ("front", "rear"), "lengthwise", has_size=True)
