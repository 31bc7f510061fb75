"""What is said of the whole car follows from its balance, and the biggest comes first."""

from __future__ import annotations

import re

import pytest

from app.document.files import read_setup
from app.document.model import Change, Setup
from app.document.samples import sample_paths
from app.judge.balance import balances
from app.judge.whole_car import all_sentences
from app.systems.answers import Study
from app.systems.every import LIMIT_KINDS, given_systems
from tests.helpers.long_cases import typical_of

SAMPLES = {path.stem: read_setup(path, limit_kinds=LIMIT_KINDS).setup for path in sample_paths()}


def car_of(setup: Setup) -> list[Study]:
    return [system.study(setup) for system in given_systems(setup)]


def with_change(name: str, change: str) -> Setup:
    setup = SAMPLES[name]
    changes = (Change(**{**vars(c), "on": c.name == change}) for c in setup.changes)
    return setup.having(changes=tuple(changes))


def texts(setup: Setup, end: int) -> list[str]:
    car = car_of(setup)
    return [sentence.text for sentence in all_sentences(car[end], car)]


EVERY = [(name, change.name) for name, setup in SAMPLES.items() for change in setup.changes]


@pytest.mark.parametrize(("name", "change"), typical_of(EVERY, EVERY[1::2]))
def test_a_car_rolls_less_only_where_its_balance_says_so(name: str, change: str) -> None:
    setup = with_change(name, change)
    car = car_of(setup)
    told = [text for end in car for text in (s.text for s in all_sentences(end, car))]
    rolls = [text for text in told if "the body rolls" in text and "per g" in text]
    cars = balances(car)
    if abs(cars["proposed"].roll - cars["measured"].roll) < 0.0017:
        assert rolls == []
        return
    (words,) = rolls
    assert ("rolls less" in words) == (cars["proposed"].roll < cars["measured"].roll)
    others = " ".join(text for text in told if text != words)
    assert "rolls less" not in others
    assert "rolls more" not in others


def test_a_link_job_that_stiffens_the_rear_in_roll_says_so_first() -> None:
    told = texts(with_change("hillclimb_special", "Upper links' front ends 25 mm lower"), 1)
    first = " ".join(told[:2])
    assert re.search(r"Wheel rate in roll goes from 11\.\d to 2\d\.\d N/mm", first)
    assert "towards oversteer" in first


def test_without_masses_it_says_what_moved_and_not_what_follows() -> None:
    setup = with_change("torsion_coupe", "Rear axle on links")
    evidence = {key: value for key, value in setup.evidence.items() if key != "car.cg_height"}
    told = texts(setup.having(evidence=evidence), 1)
    assert any("rear roll centre goes from" in text for text in told)
    assert not any("rolls" in text for text in told)


def test_the_car_as_found_is_told_once() -> None:
    car = car_of(SAMPLES["small_saloon"].having(changes=()))
    told = [[s.text for s in all_sentences(end, car)] for end in car]
    whole = [text for ends in told for text in ends if "In a corner the body rolls" in text]
    assert len(whole) == 1


@pytest.mark.parametrize(("name", "change"), typical_of(EVERY, EVERY[1::2]))
def test_no_figure_has_two_units(name: str, change: str) -> None:
    car = car_of(with_change(name, change))
    told = " ".join(s.text for end in car for s in all_sentences(end, car))
    assert "° %" not in told
