"""An answer of a search that doesn't keep a clearance says so."""

from __future__ import annotations

from app.judge.find import Answer
from app.judge.found_words import broken_words
from tests.systems.clearance.test_clearances import saloon, study


def test_a_change_that_is_found_tells_the_clearance_it_does_not_keep() -> None:
    studies = (study("front"), study("rear"))
    answer = Answer(saloon(), studies, (), (), 0.0, (), (), (), (), ())
    assert not answer.is_met
    words = " ".join(broken_words(answer, "mm"))
    assert "Tyre" in words
    assert "inner wing" in words
    pairs = [each.clearance.between for each in answer.broken_clearances]
    assert ("tyre", "inner wing") in pairs
    assert ("tyre", "spring") not in pairs
