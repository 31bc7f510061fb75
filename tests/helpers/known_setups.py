"""Setups that say how well they were measured, and others that say nothing of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from app.document.model import Change, FrozenMap, Setup
from app.systems.answers import Study
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


def through_infinity(study: Study[Any], key: str) -> Study[Any]:
    """Return a study with bands in which a result of the car as found may be anywhere."""
    assert study.bands is not None
    found = study.bands.cars["found"]
    endless = replace(found, rest={**found.rest, key: np.array([np.nan, np.nan])})
    return replace(study, bands=replace(study.bands, cars={**study.bands.cars, "found": endless}))
