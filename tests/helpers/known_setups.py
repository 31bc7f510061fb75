"""Invented fronts that say how well they were measured."""

from __future__ import annotations

from app.document.model import Change, FrozenMap, Setup
from tests.helpers.front_setups import front_setup

LOWERED = Change("lower", moves=FrozenMap({"front.upper_front": (0.0, 0.0, -15.0)}))


def known(*changes: Change, within: float = 1.5) -> Setup:
    """The plain front, every point measured within so much."""
    setup = front_setup(changes=changes)
    evidence = FrozenMap({**setup.evidence, "sheet.measured_within": within})
    return setup.having(evidence=evidence)
