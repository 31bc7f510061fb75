"""Nudging points by exact steps: what is one step of history, and what begins another."""

from __future__ import annotations

import pytest

from app.gestures.move_points import CALM, MovePoints
from app.session.session import Session
from tests.helpers.panel_windows import saloon_session

pytestmark = pytest.mark.gui

UPPER, REAR_PIVOT, TIE = "front.upper_front", "front.upper_rear", "front.tie_outer"
UP = (0.0, 0.0, 1.0)
DOWN = (0.0, 0.0, -1.0)


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def nudges(session: Session) -> MovePoints:
    return MovePoints(session)


def steps(session: Session) -> int:
    return len(session.history.steps) - 1


def test_a_nudge_is_exactly_its_step(session: Session, nudges: MovePoints) -> None:
    nudges.nudge(TIE, (0.0, 0.1, -0.25), now=0.0)
    assert session.setup.changes[0].moves[TIE] == (0.0, 0.1, -0.25)
    assert session.history.undo_words == "nudge tie rod, outer end"


def test_nudges_in_a_row_are_one_step_and_undone_together(
    session: Session, nudges: MovePoints
) -> None:
    before = session.setup
    for press in range(5):
        nudges.nudge(TIE, UP, now=0.2 * press)
    assert session.setup.changes[0].moves[TIE] == (0.0, 0.0, 5.0)
    assert steps(session) == 1
    session.undo()
    assert session.setup == before


@pytest.mark.parametrize(("pause", "count"), [(CALM, 1), (CALM + 0.01, 2)])
def test_after_a_calm_the_next_one_is_a_step_of_its_own(
    session: Session, nudges: MovePoints, pause: float, count: int
) -> None:
    nudges.nudge(TIE, UP, now=0.0)
    nudges.nudge(TIE, UP, now=pause)
    assert steps(session) == count


def test_another_point_is_another_step(session: Session, nudges: MovePoints) -> None:
    nudges.nudge(TIE, UP, now=0.0)
    nudges.nudge(UPPER, UP, now=0.1)
    nudges.nudge(TIE, UP, now=0.2)
    assert steps(session) == 3


def test_there_and_back_leaves_no_step(session: Session, nudges: MovePoints) -> None:
    before = session.setup
    nudges.nudge(TIE, UP, now=0.0)
    nudges.nudge(TIE, DOWN, now=0.1)
    assert session.setup == before
    assert steps(session) == 0


def test_selected_points_are_nudged_together(session: Session, nudges: MovePoints) -> None:
    session.select((UPPER, REAR_PIVOT))
    nudges.nudge(UPPER, DOWN, now=0.0)
    moves = session.setup.changes[0].moves
    assert moves[UPPER] == moves[REAR_PIVOT] == (0.0, 0.0, -23.0)
    assert steps(session) == 1


def test_a_locked_axis_is_not_nudged(session: Session, nudges: MovePoints) -> None:
    session.lock(TIE, frozenset({2}))
    nudges.nudge(TIE, (0.0, 2.0, 2.0), now=0.0)
    assert session.setup.changes[0].moves[TIE] == (0.0, 2.0, 0.0)


def test_without_an_active_change_the_first_nudge_makes_one_and_the_next_goes_on_with_it(
    session: Session, nudges: MovePoints
) -> None:
    session.set_active(None)
    count = len(session.setup.changes)
    nudges.nudge(TIE, UP, now=0.0)
    nudges.nudge(TIE, UP, now=0.1)
    assert len(session.setup.changes) == count + 1
    assert session.active == count
    made = session.setup.changes[count]
    assert made.moves == {TIE: (0.0, 0.0, 2.0)}
    assert made.name == "Tie rod, outer end 2 mm higher"  # the name follows what it does
