"""A drag of points from begin to commit or cancel: plain calls on a session, no window."""

from __future__ import annotations

import pytest

from app.document.edits import switch_change
from app.document.model import AS_MEASURED, Vec
from app.document.moves import measured_place, proposed_place, subtract
from app.drawing.views import View
from app.gestures.move_points import SNAP, MovePoints
from app.session.session import Session
from tests.helpers.panel_windows import saloon_session
from tests.helpers.setup_edits import move_point

pytestmark = pytest.mark.gui

UPPER, REAR_PIVOT, BALL = "front.upper_front", "front.upper_rear", "front.upper_ball"
TIE, RIGHT_TIE = "front.tie_outer", "front.right.tie_outer"
LOWERED = 0  # the change of the sample that lowers both upper pivots by 22 mm
HELD = (100.0, 50.0)  # where a hand takes hold, on paper


@pytest.fixture
def session() -> Session:
    return saloon_session(active=LOWERED)


@pytest.fixture
def drag(session: Session) -> MovePoints:
    return MovePoints(session)


def begin(drag: MovePoints, key: str, view: View = View.FRONT) -> None:
    drag.begin(key, HELD, view)


def pull(drag: MovePoints, right: float, up: float, **how: bool) -> None:
    drag.move((HELD[0] + right, HELD[1] + up), **how)


def moves_of(session: Session, index: int = LOWERED) -> dict[str, tuple[float, float, float]]:
    return dict(session.setup.changes[index].moves)


def moved_by(session: Session, key: str) -> Vec:
    """Return how far the proposal takes a point from where it was measured [mm]."""
    setup = session.setup
    return subtract(proposed_place(setup, key), measured_place(setup, key))


@pytest.mark.parametrize(
    ("view", "move"),
    [
        (View.FRONT, (0.0, 3.0, 5.0)),  # the car's left is on the right of the paper
        (View.SIDE, (3.0, 0.0, 5.0)),  # forward is to the right
        (View.TOP, (5.0, 3.0, 0.0)),  # forward is up
    ],
)
def test_a_hand_moves_a_point_along_the_two_axes_that_its_view_shows(
    session: Session, drag: MovePoints, view: View, move: tuple[float, float, float]
) -> None:
    before = moved_by(session, BALL)
    begin(drag, BALL, view)
    pull(drag, 3.0, 5.0, free=True)
    assert moves_of(session)[BALL] == pytest.approx(move)
    after = moved_by(session, BALL)
    assert [b - a for a, b in zip(before, after, strict=True)] == pytest.approx(move)


def test_a_drag_adds_to_what_the_change_moves_already(session: Session, drag: MovePoints) -> None:
    begin(drag, UPPER)
    pull(drag, 0.0, -4.0)
    assert moves_of(session)[UPPER] == (0.0, 0.0, -26.0)
    assert moves_of(session)[REAR_PIVOT] == (0.0, 0.0, -22.0)


def test_the_way_there_does_not_matter(session: Session, drag: MovePoints) -> None:
    begin(drag, UPPER)
    for right, up in ((50.0, 3.0), (-7.0, 9.0), (1.0, 1.0), (2.0, -6.0)):
        pull(drag, right, up, free=True)
    assert moves_of(session)[UPPER] == pytest.approx((0.0, 2.0, -28.0))


def test_letting_go_is_one_step_of_history_that_undo_takes_back_whole(
    session: Session, drag: MovePoints
) -> None:
    before, steps = session.setup, len(session.history.steps)
    begin(drag, UPPER)
    for up in (-1.0, -2.0, -3.0):
        pull(drag, 0.0, up)
        assert len(session.history.steps) == steps  # the hand only shows
    drag.commit()
    assert len(session.history.steps) == steps + 1
    assert session.history.undo_words == "move upper arm, front pivot"
    session.undo()
    assert session.setup == before


def test_cancelling_leaves_no_trace(session: Session, drag: MovePoints) -> None:
    session.set_active(None)
    before, history = session.setup, session.history
    begin(drag, UPPER)
    pull(drag, 0.0, -9.0)
    assert session.active == len(before.changes)  # a new change is under the hand
    drag.cancel()
    assert session.setup == before
    assert session.history is history
    assert session.active is None


@pytest.mark.parametrize("back", [(0.0, 0.0), (0.2, -0.2)])  # less than half a snap
def test_a_hand_that_comes_back_to_where_it_began_leaves_no_step(
    session: Session, drag: MovePoints, back: tuple[float, float]
) -> None:
    session.set_active(None)
    history = session.history
    begin(drag, UPPER)
    pull(drag, 0.0, -9.0)
    pull(drag, *back)
    drag.commit()
    assert session.history is history
    assert session.active is None
    assert session.preview_setup is None


def test_a_hand_that_never_moved_leaves_no_step(session: Session, drag: MovePoints) -> None:
    history, active = session.history, session.active
    begin(drag, UPPER)
    drag.commit()
    assert (session.history, session.active) == (history, active)


def test_selected_points_go_together_when_one_of_them_is_taken(
    session: Session, drag: MovePoints
) -> None:
    session.select((UPPER, REAR_PIVOT))
    begin(drag, REAR_PIVOT)
    pull(drag, 2.0, -4.0)
    drag.commit()
    assert moves_of(session)[UPPER] == moves_of(session)[REAR_PIVOT] == (0.0, 2.0, -26.0)
    assert session.history.undo_words == "move upper arm, front pivot and upper arm, rear pivot"


def test_a_point_that_is_not_selected_goes_alone(session: Session, drag: MovePoints) -> None:
    session.select((UPPER, REAR_PIVOT))
    begin(drag, BALL)
    pull(drag, 0.0, 2.0)
    assert moves_of(session)[UPPER] == (0.0, 0.0, -22.0)
    assert moves_of(session)[BALL] == (0.0, 0.0, 2.0)


@pytest.mark.parametrize(
    ("pulled", "move"),
    [((7.0, 4.0), (0.0, 7.0, 0.0)), ((4.0, -7.0), (0.0, 0.0, -7.0)), ((5.0, 5.0), (0.0, 5.0, 0.0))],
)
def test_along_one_axis_the_larger_direction_counts(
    session: Session,
    drag: MovePoints,
    pulled: tuple[float, float],
    move: tuple[float, float, float],
) -> None:
    begin(drag, TIE)
    pull(drag, *pulled, one_axis=True)
    assert moves_of(session)[TIE] == move


def test_a_locked_axis_stays_for_the_locked_point_alone(session: Session, drag: MovePoints) -> None:
    session.lock(UPPER, frozenset({1}))
    session.select((UPPER, REAR_PIVOT))
    begin(drag, REAR_PIVOT)
    pull(drag, 6.0, -3.0)
    assert moves_of(session)[UPPER] == (0.0, 0.0, -25.0)
    assert moves_of(session)[REAR_PIVOT] == (0.0, 6.0, -25.0)


@pytest.mark.parametrize("units", ["mm", "in"])
def test_a_free_hand_is_followed_between_the_steps_of_the_snap(
    session: Session, drag: MovePoints, units: str
) -> None:
    session.set_units(units)  # type: ignore[arg-type]
    step = SNAP[session.units]
    begin(drag, TIE)
    pull(drag, 0.37 * step, 2.37 * step, free=True)
    assert moves_of(session)[TIE] == pytest.approx((0.0, 0.37 * step, 2.37 * step))


def test_a_direction_that_the_hand_does_not_take_is_not_rounded(
    session: Session, drag: MovePoints
) -> None:
    """A move of 0.4 mm typed before stays 0.4 mm while the hand goes up alone."""
    session.commit(move_point(session.setup, LOWERED, TIE, (0.0, 0.4, 0.0)), "type")
    begin(drag, TIE)
    pull(drag, 0.0, 3.0)
    assert moves_of(session)[TIE] == (0.0, 0.4, 3.0)


def test_a_right_hand_point_starts_from_where_the_left_ones_job_took_it(
    session: Session, drag: MovePoints
) -> None:
    session.commit(move_point(session.setup, LOWERED, TIE, (0.0, 3.0, 2.0)), "left")
    begin(drag, RIGHT_TIE)
    pull(drag, -1.0, 1.0)  # outboard, for the right wheel
    assert moves_of(session)[TIE] == (0.0, 3.0, 2.0)
    assert moves_of(session)[RIGHT_TIE] == (0.0, -4.0, 3.0)


def test_both_sides_taken_together_move_by_as_much(session: Session, drag: MovePoints) -> None:
    session.commit(move_point(session.setup, LOWERED, TIE, (0.0, 0.0, 2.0)), "left")
    session.select((TIE, RIGHT_TIE))
    begin(drag, TIE)
    pull(drag, 0.0, 5.0)
    assert moved_by(session, TIE) == (0.0, 0.0, 7.0)
    assert moved_by(session, RIGHT_TIE) == (0.0, 0.0, 7.0)


def test_a_change_that_is_off_is_switched_on_by_the_hand(
    session: Session, drag: MovePoints
) -> None:
    session.commit(switch_change(session.setup, LOWERED, False), "off")
    session.set_active(LOWERED)
    begin(drag, UPPER)
    assert not session.setup.changes[LOWERED].on  # taking hold shows nothing yet
    pull(drag, 0.0, -1.0)
    drag.commit()
    assert session.setup.changes[LOWERED].on
    assert moves_of(session)[UPPER] == (0.0, 0.0, -23.0)


def test_where_nothing_can_be_built_the_points_go_back_and_it_is_said(
    session: Session, drag: MovePoints
) -> None:
    said: list[str] = []
    session.said.connect(said.append)
    before, history = session.setup, session.history
    begin(drag, UPPER)
    pull(drag, 0.0, 2000.0)
    assert session.problem is not None
    drag.commit()
    assert session.setup == before
    assert session.history is history
    assert session.problem is None
    assert said[-1].endswith("The points went back.")
    assert "pper" in said[-1]  # which points they were


def test_a_hand_that_went_too_far_may_come_back_and_let_go(
    session: Session, drag: MovePoints
) -> None:
    begin(drag, UPPER)
    pull(drag, 0.0, 2000.0)
    pull(drag, 0.0, -2.0)
    assert session.problem is None
    drag.commit()
    assert moves_of(session)[UPPER] == (0.0, 0.0, -24.0)


def test_another_setup_under_the_hand_is_let_go_of(session: Session, drag: MovePoints) -> None:
    begin(drag, UPPER)
    pull(drag, 0.0, -3.0)
    other = move_point(session.history.value, LOWERED, TIE, (0.0, 0.0, 1.0))
    session.commit(other, "another step")
    pull(drag, 0.0, -9.0)
    drag.commit()
    assert session.setup == other
    assert session.history.undo_words == "another step"


@pytest.mark.parametrize("active", [LOWERED, None])
def test_a_height_chosen_under_the_hand_is_a_step_and_the_drag_goes_on(
    active: int | None,
) -> None:
    session = saloon_session(active=active)
    drag, before = MovePoints(session), session.history.value
    begin(drag, UPPER)
    pull(drag, 0.0, -3.0)
    session.choose_height(AS_MEASURED)
    assert session.setup.heights == {"front": AS_MEASURED}
    assert session.history.undo_words == "Front held at the measured height"
    assert session.history.value == before.having(heights=session.setup.heights)
    pull(drag, 0.0, -9.0)
    assert session.study is not None
    assert session.study.choice == AS_MEASURED
    drag.commit()
    heights = [change.moves.get(UPPER, (0.0, 0.0, 0.0))[2] for change in session.setup.changes]
    assert heights[LOWERED] == (-31.0 if active == LOWERED else -22.0)
    assert sum(heights) == -31.0
    assert session.setup.heights == {"front": AS_MEASURED}
    session.undo()
    assert session.setup == before.having(heights={"front": AS_MEASURED})
    session.undo()
    assert session.setup == before


def test_a_drag_given_up_after_a_height_was_chosen_leaves_the_height(
    session: Session, drag: MovePoints
) -> None:
    before = session.history.value
    begin(drag, UPPER)
    pull(drag, 0.0, -3.0)
    session.choose_height(AS_MEASURED)
    drag.cancel()
    assert session.setup == before.having(heights={"front": AS_MEASURED})


def test_moves_without_a_hold_do_nothing(session: Session, drag: MovePoints) -> None:
    history = session.history
    pull(drag, 5.0, 5.0)
    drag.commit()
    drag.cancel()
    assert session.history is history
    assert session.preview_setup is None
