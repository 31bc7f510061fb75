"""Setups that say how well they were measured, and others that say nothing of it."""

from __future__ import annotations

from app.document.model import Change, FrozenMap, Setup
from tests.helpers.front_setups import front_setup

LOWERED = Change("lower", moves=FrozenMap({"front.upper_front": (0.0, 0.0, -15.0)}))


def known(*changes: Change, within: float = 1.5) -> Setup:
    """The plain front, every point measured within so much."""
    setup = front_setup(changes=changes)
    evidence = FrozenMap({**setup.evidence, "sheet.measured_within": within})
    return setup.having(evidence=evidence)


def exact(setup: Setup) -> Setup:
    """Return a setup that nobody says how well was measured: it is told and printed fast."""
    untold = FrozenMap(setup.evidence).without("sheet.measured_within", "sheet.datum_within")
    return setup.having(evidence=untold, within=FrozenMap(), tapes=())
