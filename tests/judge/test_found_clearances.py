"""An answer of a search that doesn't keep a clearance says so."""

from __future__ import annotations

from dataclasses import replace

from app.judge.found import Answer
from app.judge.found_words import broken_words
from app.systems.front.system import FRONT
from tests.systems.clearance.test_clearances import saloon, study


def test_a_change_that_is_found_tells_the_clearance_it_does_not_keep() -> None:
    studies = (study("front"), study("rear"))
    answer = Answer(saloon(), studies, (), (), 0.0, (), (), (), (), ())
    assert answer.is_met  # as found the car doesn't keep it either
    words = " ".join(broken_words(answer, "mm"))
    assert "Tyre" in words
    assert "inner wing" in words
    pairs = [each.clearance.between for each in answer.broken_clearances]
    assert ("tyre", "inner wing") in pairs
    assert ("tyre", "spring") not in pairs


def test_one_that_the_car_kept_spoils_an_answer() -> None:
    setup = saloon()
    nearer = [  # between tyre and spring 47.9 mm are left as found, 43.9 mm as built
        replace(each, at_least=45.0 if each.between == ("tyre", "spring") else None)
        for each in setup.clearances
    ]
    changed = setup.having(clearances=tuple(nearer))
    answer = Answer(changed, (FRONT.study(changed),), (), (), 0.0, (), (), (), (), ())
    assert [check.held_before for check in answer.broken_clearances] == [True]
    assert not answer.is_met
