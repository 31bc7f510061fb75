"""The owner's page of a car whose wheels a proposal makes unlike: each has its own figures."""

from __future__ import annotations

import numpy as np
import pytest

from app.document.model import Change, FrozenMap
from app.document.plans import Together
from app.judge.compare import comparison
from app.judge.compare_bands import banded
from app.shop.proposals import proposal_page
from app.systems.front.system import FRONT
from app.words.results import result_number
from geometry.catalogue.front import BY_KEY
from tests.helpers.known_setups import exact
from tests.helpers.sheets import sample


def test_unlike_wheels_have_a_row_each() -> None:
    moves = FrozenMap({"front.right.upper_front": (0.0, 6.0, -12.0)})
    changes = (Change("right lower", moves=moves, on=True),)
    proposals = (Together("One side", ("right lower",)),)
    setup = exact(sample("small_saloon")).having(changes=changes, together=proposals)
    page = proposal_page(setup)
    assert page is not None
    study, caster = FRONT.study(setup), BY_KEY["caster"]
    for side, name in enumerate(("left", "right")):
        (row,) = (each for each in page.rows if each.title.startswith(f"Caster, {name}"))
        cars = (study.measured, study.proposed)
        told = [
            result_number(float(np.ravel(c.rest.values["caster"])[side]), caster, "mm")
            for c in cars
        ]
        assert [figure.text for figure in row.figures] == told
    left, right = np.ravel(study.proposed.rest.values["caster"])
    assert result_number(float(left), caster, "mm") != result_number(float(right), caster, "mm")


def test_no_proposal_is_said_to_oversteer_where_its_band_lets_it_be_either(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Lowering turns roll steer from 0.015 to -0.013, each known within 0.04."""
    lower, mended = "Upper pivots 22 mm lower", "Outer tie rod ends 2 mm higher"
    sets = ((lower,), (lower, mended))
    setup = sample("small_saloon").having(together=tuple(Together(" ".join(s), s) for s in sets))
    exactly = comparison(setup, sets)
    known = banded(exactly, samples=0, which=lambda row: row.result.key == "roll_steer")
    said = []
    for compared in (exactly, known):
        monkeypatch.setattr("app.shop.proposals.known_comparison", lambda _, now=compared: now)
        page = proposal_page(setup)
        assert page is not None
        said.append(" ".join(each.text for words in page.words for each in words.sentences))
    assert "oversteer: as the body rolls" in said[0]
    assert "oversteer: as the body rolls" not in said[1]
