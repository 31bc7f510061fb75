"""The sheet's limits say which of them may or may not be kept, and no figure says too much."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.document.model import FrozenMap, Limit, Units
from app.judge.banded import with_bands_at_rest
from app.sheet.pdf import write_sheet
from app.systems.answers import value_at_rest
from app.systems.front.system import FRONT
from app.systems.limits import limit_checks
from app.words.bands import banded_text
from geometry.catalogue.front import BY_KEY
from tests.helpers.known_setups import LOWERED, known, through_infinity
from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import TODAY

pytestmark = pytest.mark.gui


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_limit_that_may_or_may_not_be_kept(tmp_path: Path, units: Units) -> None:
    height, gain = BY_KEY["roll_centre_height"], BY_KEY["camber_gain"]
    car = FRONT.study(known(LOWERED)).proposed
    values = [value_at_rest(car, result) for result in (height, gain)]
    assert values[0] is not None
    assert values[1] is not None
    limits = {
        "front.roll_centre_height": Limit(minimum=values[0], kind="length"),
        "front.camber_gain": Limit(minimum=2.0 * values[1], kind="angle per length"),
        "front.upper_ball_swing": Limit(maximum=1.0, kind="angle"),
    }
    setup = known(LOWERED).having(limits=FrozenMap(limits), units=units)
    study = with_bands_at_rest(FRONT.study(setup), 40)
    study = through_infinity(study, "swing_arm_length")
    write_sheet([study], path := tmp_path / "sheet.pdf", today=TODAY)
    text = " ".join(texts_of(path))
    assert "kept? 50 %" in text
    assert "may or may not be kept; so probably it is." in text
    assert "– may be anywhere, through infinity" in text
    row = text[text.index("Swing arm length") :][:70]
    assert row.split().count("–") == 2, row  # as found and the change: as built it is known
    assert text.count("kept?") == 1 + 1  # the words under the table
    assert study.bands is not None
    within = study.bands.within("built", height)
    swing = next(one for one in limit_checks(study) if one.result.key == "upper_ball_swing")
    most = study.bands.within_most("built", swing.result)
    assert most is not None
    assert swing.proposed is not None
    assert f"{banded_text(swing.proposed.value, most, swing.result, units)} at most" in text
    assert f"{banded_text(values[0], within, height, units)} at least" in text
