"""Clearances on the sheet: figures, limit, the pose, and what isn't kept."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.helpers.printed_cells import texts_of
from tests.helpers.sheets import clashes_of, needs_poppler, printed, sample, words_of

pytestmark = pytest.mark.gui


@needs_poppler
def test_clearances_stand_under_the_limits_and_on_no_other_words(tmp_path: Path) -> None:
    setup = sample("taped_saloon")
    tight = replace(setup.clearances[0], at_least=25.4)
    setup = setup.having(clearances=(tight, *setup.clearances[1:]), units="in")
    sheet = printed(setup, tmp_path / "sheet.pdf")
    text = " ".join(texts_of(sheet))
    assert "Clearances, the least over travel and steer" in text
    at = text.index("Clearances, the least over travel and steer")
    block = text[at : at + 400]
    assert "Tyre to chassis leg" in block
    assert "NOT KEPT" in block
    assert "rack 2.60 in to the right" in block
    assert "at least 1.00 in" in block
    assert "Tyre to chassis leg is 0.79 in" in text  # said on the work order too
    for words in words_of(sheet)[1:]:  # the work order has no table of them
        assert not clashes_of(words)
