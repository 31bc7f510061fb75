"""A drag snaps what the change then says: whole steps, whatever it said before."""

from __future__ import annotations

import pytest

from app.document.edits import move_points
from app.document.model import Units
from app.drawing.views import View
from app.gestures.move_points import MovePoints
from app.session.session import Session
from tests.helpers.panel_windows import saloon_session

pytestmark = pytest.mark.gui

KEY = "front.upper_ball"
PLACES = (100.0, 50.0)  # where a hand takes hold, on paper [mm]
STEP: dict[Units, float] = {"mm": 1.0, "in": 25.4 / 32}


def dragged(session: Session, up: float, free: bool = False) -> float:
    """Return the change's whole move upwards after a drag in the front view."""
    assert session.active is not None
    gesture = MovePoints(session)
    gesture.begin(KEY, PLACES, View.FRONT)
    gesture.move((PLACES[0], PLACES[1] + up), free=free)
    gesture.commit()
    return session.setup.changes[session.active].moves[KEY][2]


def session_with(before: float, units: Units = "mm") -> Session:
    """Return a session whose active change has moved the point so far already."""
    setup = saloon_session().setup.having(units=units)
    session = Session(move_points(setup, 0, (KEY,), (0.0, 0.0, before)))
    session.set_active(0)
    return session


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("before", [-7.3, -0.4, 2.6])
@pytest.mark.parametrize("up", [-4.1, 3.4])
def test_the_whole_move_snaps_not_the_last_step(units: Units, before: float, up: float) -> None:
    whole = dragged(session_with(before, units), up)
    step = STEP[units]
    assert abs(whole / step - round(whole / step)) < 1e-9
    assert abs(whole - (before + up)) <= step / 2 + 1e-9


def test_a_free_drag_keeps_every_part_of_a_step() -> None:
    assert dragged(session_with(-7.3), -1.25, free=True) == pytest.approx(-8.55)


def test_a_direction_that_the_hand_did_not_take_keeps_its_fractions() -> None:
    session = saloon_session(active=0)
    session.commit(move_points(session.setup, 0, (KEY,), (0.0, 1.3, 0.0)), "move")
    dragged(session, -2.2)
    assert session.setup.changes[0].moves[KEY] == pytest.approx((0.0, 1.3, -2.0))


def test_a_drag_is_one_step_that_undo_takes_back() -> None:
    session = session_with(-7.3)
    before = session.setup
    dragged(session, -2.2)
    assert session.setup != before
    session.undo()
    assert session.setup == before


def test_escape_leaves_nothing_of_a_drag() -> None:
    session = session_with(-7.3)
    before, history = session.setup, session.history
    gesture = MovePoints(session)
    gesture.begin(KEY, PLACES, View.FRONT)
    gesture.move((PLACES[0], PLACES[1] - 9.0))
    assert session.setup != before
    gesture.cancel()
    assert session.setup == before
    assert session.preview_setup is None
    assert session.history is history
