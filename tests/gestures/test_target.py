"""Which change an edit goes into, and whose name follows what it does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.document.edits import rename_change
from app.document.files import read_setup
from app.document.model import Setup
from app.document.samples import first_sample
from app.gestures.target import renamed, with_target
from app.systems.every import LIMIT_KINDS
from tests.helpers.setup_edits import move_point

UPPER, TIE = "front.upper_front", "front.tie_outer"
OFF = 2  # a change of the sample that is off


@pytest.fixture
def setup() -> Setup:
    return read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup


def test_the_active_change_is_the_one(setup: Setup) -> None:
    assert with_target(setup, 0) == (setup, 0)


def test_one_that_is_off_is_switched_on_and_no_other_is_touched(setup: Setup) -> None:
    target, index = with_target(setup, OFF)
    assert index == OFF
    assert target.changes[OFF] == replace(setup.changes[OFF], on=True)
    others = [each for at, each in enumerate(target.changes) if at != OFF]
    assert others == [each for at, each in enumerate(setup.changes) if at != OFF]


@pytest.mark.parametrize("active", [None, 7, 99])  # the sample has seven
def test_where_none_is_active_an_empty_one_comes_last(setup: Setup, active: int | None) -> None:
    target, index = with_target(setup, active)
    assert index == len(setup.changes) == len(target.changes) - 1
    assert target.changes[:-1] == setup.changes
    made = target.changes[-1]
    assert made.on
    assert not made.moves
    assert not made.sets


def test_a_second_new_change_has_a_name_of_its_own(setup: Setup) -> None:
    once, _ = with_target(setup, None)
    twice, _ = with_target(once, None)
    names = [change.name for change in twice.changes]
    assert len(set(names)) == len(names)


def test_a_made_name_follows_what_the_change_does(setup: Setup) -> None:
    target, index = with_target(setup, None)
    up = move_point(target, index, TIE, (0.0, 0.0, 2.0))
    once = renamed(target, up, index, "mm")
    assert once.changes[index].name == "Tie rod, outer end 2 mm higher"
    down = move_point(once, index, TIE, (0.0, 0.0, -5.0))
    twice = renamed(once, down, index, "mm")
    assert twice.changes[index].name == "Tie rod, outer end 3 mm lower"


def test_a_name_that_was_given_stays(setup: Setup) -> None:
    target, index = with_target(setup, None)
    given = rename_change(target, index, "What the owner asked for")
    moved = move_point(given, index, TIE, (0.0, 0.0, 2.0))
    assert renamed(given, moved, index, "mm") == moved


def test_a_made_name_that_another_change_has_gets_a_number(setup: Setup) -> None:
    taken = setup
    for _ in range(2):
        target, index = with_target(taken, None)
        taken = renamed(target, move_point(target, index, TIE, (0.0, 0.0, 4.0)), index, "mm")
    first, second = taken.changes[-2:]
    assert first.name == "Tie rod, outer end 4 mm higher"
    assert second.name == "Tie rod, outer end 4 mm higher (2)"


def test_a_made_name_is_in_the_units_that_are_shown(setup: Setup) -> None:
    target, index = with_target(setup, None)
    moved = move_point(target, index, UPPER, (0.0, 0.0, -25.4))
    name = renamed(target, moved, index, "in").changes[index].name
    assert name == "Upper arm, front pivot 1 in lower"
    assert renamed(target, moved, index, "in").units == "mm"  # the file keeps its own
