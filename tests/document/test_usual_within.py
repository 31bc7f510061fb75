"""How well numbers are usually measured, and how a ± is typed."""

from __future__ import annotations

from math import radians

import pytest

from app.document.entries import EntryError
from app.document.keys import KEYS, is_measured_number
from app.document.usual_within import (
    _OWN_SHARES,
    _OWN_SIZES,
    CHOSEN,
    parse_within,
    usual_within,
)

INCH = 25.4


def test_every_own_entry_is_a_measured_number_of_the_file() -> None:
    names = {*_OWN_SIZES, *_OWN_SHARES, *CHOSEN}
    assert all(is_measured_number(KEYS[name]) for name in names)
    assert not {*_OWN_SIZES} & {*_OWN_SHARES}


def test_angles_are_offered_a_tenth_of_a_degree_and_rates_two_percent() -> None:
    assert usual_within("front.camber", 0.0, "angle", "mm") == pytest.approx(radians(0.1))
    assert usual_within("front.spring.rate", 55.0, "spring rate", "mm") == pytest.approx(1.1)
    assert usual_within("front.spring.rate", 53.7, "spring rate", "mm") == pytest.approx(1.1)
    assert usual_within("front.wheel_centre", 3.0, "ratio", "mm") is None


def test_a_tape_in_inches_is_read_to_its_lines() -> None:
    assert usual_within("front.tyre_radius", 300.0, "length", "in") == pytest.approx(INCH / 32)
    assert usual_within("front.tyre_radius", 300.0, "length", "mm") == 1.0
    assert usual_within("front.toe_diameter", 400.0, "length", "mm") is None  # it is chosen


def test_a_share_is_of_the_value_but_of_the_car_where_the_value_is_one() -> None:
    assert parse_within("2 %", "front.spring.rate", "spring rate", -50.0, "mm") == pytest.approx(
        1.0
    )
    assert parse_within("1,5%", "front.spring.rate", "spring rate", 200.0, "mm") == pytest.approx(
        3.0
    )
    assert parse_within("1 %", "car.front_share", "ratio", 0.54, "mm") == pytest.approx(0.01)
    assert parse_within("0", "front.camber", "angle", 0.5, "mm") == 0.0
    assert parse_within("6'", "front.camber", "angle", 0.5, "mm") == pytest.approx(radians(0.1))


@pytest.mark.parametrize(
    ("text", "words"),
    [("-1", "below 0"), ("two", "no number"), ("2 %", "needs the value")],
)
def test_what_is_no_uncertainty_is_refused(text: str, words: str) -> None:
    with pytest.raises(EntryError, match=words):
        parse_within(text, "rear.block", "length", None, "mm")


def test_what_cant_be_below_nothing_is_off_by_no_more_than_itself() -> None:
    """A leaf of 5 mm ± 5.1 mm is a slip of the keyboard; camber may be off by more than it is."""
    with pytest.raises(EntryError, match="more than the value itself"):
        parse_within("5.1", "rear.pack.leaf.3.thickness", "length", 5.0, "mm")
    with pytest.raises(EntryError, match="more than the value itself"):
        parse_within("120 %", "front.spring.rate", "spring rate", 50.0, "mm")
    assert parse_within("2", "front.camber", "angle", 0.0, "mm") == pytest.approx(radians(2.0))
    assert parse_within("3", "rear.block", "length", 0.0, "mm") == 3.0
