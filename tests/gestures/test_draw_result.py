"""A result drawn from begin to commit or cancel: plain calls on a session, no window."""

from __future__ import annotations

from typing import Any

import pytest
from pytestqt.qtbot import QtBot

from app.document.edits import set_height
from app.document.model import AS_MEASURED, FrozenMap
from app.document.plans import Room
from app.gestures.draw_result import DrawResult
from app.judge.drawn import Drawing, Drawn
from app.session.session import Session
from tests.helpers.sought import saloon

pytestmark = pytest.mark.gui

HEIGHT = Drawn("front", ("roll_centre_height",))
UPPER = "front.upper_front"
ROOMS = {
    UPPER: Room(z=(-30.0, 10.0)),
    "front.upper_rear": Room(alike=UPPER),
    "front.lower_rear": Room(z=(-12.0, 12.0)),
}


def roomy_session(**more: object) -> Session:
    return Session(saloon(rooms=FrozenMap(ROOMS), **more))


@pytest.fixture
def session() -> Session:
    return roomy_session()


@pytest.fixture
def hand(session: Session) -> DrawResult:
    return DrawResult(session)


def height(session: Session) -> float:
    assert session.study is not None
    return float(session.study.proposed.rest.values["roll_centre_height"][0])


def test_a_hand_draws_the_roll_centre_and_lets_go_as_one_step(
    session: Session, hand: DrawResult
) -> None:
    start, steps = height(session), session.history.index
    hand.begin(HEIGHT)
    hand.move((-3.2,))
    assert height(session) == pytest.approx(round(start - 3.2), abs=1e-3)
    hand.move((-7.4,))
    hand.commit()
    wanted = round(start - 7.4)
    assert height(session) == pytest.approx(wanted, abs=1e-6)
    assert session.history.index == steps + 1
    assert session.history.undo_words == f"draw roll centre height to {wanted}.0 mm"
    session.undo()
    assert height(session) == start


def counted(monkeypatch: pytest.MonkeyPatch, name: str) -> list[Any]:
    """Count the calls of a method of drawings."""
    calls: list[Any] = []
    method = getattr(Drawing, name)

    def call(self: Drawing, *given: Any) -> Any:
        calls.append(given)
        return method(self, *given)

    monkeypatch.setattr(Drawing, name, call)
    return calls


def test_a_press_makes_the_drawing_that_the_first_move_takes(
    session: Session, hand: DrawResult, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    start, made = height(session), counted(monkeypatch, "__init__")
    said: list[str] = []
    session.said.connect(said.append)
    hand.prepare(HEIGHT)
    qtbot.waitUntil(lambda: len(made) == 1)
    assert height(session) == start
    hand.begin(HEIGHT)
    hand.move((-3.2,))
    assert len(made) == 1
    assert height(session) == pytest.approx(round(start - 3.2), abs=1e-3)
    hand.cancel()
    hand.prepare(HEIGHT)
    qtbot.waitUntil(lambda: len(made) == 2)
    session.lock("front.lower_rear", frozenset({2}))  # what it was made of is another
    hand.begin(HEIGHT)
    hand.move((-3.2,))
    assert len(made) == 3
    assert not said
    hand.cancel()


def test_what_stays_is_known_where_the_hand_rests(
    session: Session, hand: DrawResult, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    start, settled = height(session), counted(monkeypatch, "settled")
    hand.begin(HEIGHT)
    hand.move((-3.2,))
    hand.move((-7.4,))
    resting = ((float(round(start - 7.4)),),)  # a hand of another test may rest meanwhile
    qtbot.waitUntil(lambda: resting in settled)
    del settled[:]
    hand.commit()
    assert not settled
    assert height(session) == pytest.approx(round(start - 7.4), abs=1e-6)
    hand.begin(HEIGHT)
    hand.move((2.0,))
    hand.commit()  # without a rest
    assert len(settled) == 1


def test_the_change_it_goes_into_is_named_from_what_moved(
    session: Session, hand: DrawResult
) -> None:
    hand.begin(HEIGHT)
    hand.move((-20.0,))
    hand.commit()
    (change,) = session.setup.changes
    assert session.active == 0
    assert not change.name.startswith("New")
    assert set(change.moves) == set(ROOMS)


def test_back_where_it_began_it_leaves_no_step(session: Session, hand: DrawResult) -> None:
    setup = session.setup
    hand.begin(HEIGHT)
    hand.move((-9.0,))
    hand.move((0.3,))
    assert session.setup.changes[-1].moves == {}
    hand.commit()
    assert session.setup is setup
    assert session.active is None


def test_cancel_takes_it_back(session: Session, hand: DrawResult) -> None:
    setup = session.setup
    hand.begin(HEIGHT)
    hand.move((-9.0,))
    hand.cancel()
    assert session.setup is setup
    hand.move((-20.0,))
    assert session.setup is setup


def test_alt_suspends_the_snap(session: Session, hand: DrawResult) -> None:
    start = height(session)
    hand.begin(HEIGHT)
    hand.move((-3.217,), free=True)
    assert height(session) == pytest.approx(start - 3.217, abs=1e-3)


def test_at_a_bound_it_says_so_once_and_stays(session: Session, hand: DrawResult) -> None:
    said: list[str] = []
    session.said.connect(said.append)
    hand.begin(HEIGHT)
    hand.move((500.0,))
    stuck = height(session)
    hand.move((600.0,))
    assert height(session) == stuck
    assert len(said) == 1
    assert said[0].startswith("Roll centre height goes no further. At the end of their room: ")
    hand.move((5.0,))
    assert hand.note == ""


def test_without_room_it_says_how_to_give_some_and_moves_nothing() -> None:
    session = Session(saloon())
    hand = DrawResult(session)
    said: list[str] = []
    session.said.connect(said.append)
    hand.begin(HEIGHT)
    hand.move((-9.0,))
    hand.move((-19.0,))
    hand.commit()
    assert session.history.index == 0
    (words,) = said
    assert words.startswith("Roll centre height: nothing has room yet. Give points room first")


def test_a_height_chosen_meanwhile_does_not_end_it(session: Session, hand: DrawResult) -> None:
    hand.begin(HEIGHT)
    hand.move((-9.0,))
    session.choose_height(AS_MEASURED)
    hand.move((-12.0,))
    hand.commit()
    assert session.setup.heights["front"] == AS_MEASURED
    assert session.setup == set_height(session.setup, "front", AS_MEASURED)
    assert "draw roll centre" in session.history.undo_words


def test_steps_by_keys_merge_and_end_where_one_step_would(
    session: Session, hand: DrawResult
) -> None:
    start, index = height(session), session.history.index
    for number in range(3):
        hand.nudge(HEIGHT, (-2.0,), 0.1 * number)
    assert height(session) == pytest.approx(start - 6.0, abs=1e-6)
    assert session.history.index == index + 1
    by_steps = session.setup.changes[-1].moves
    session.undo()
    assert hand.set_to(HEIGHT, (start - 6.0,)) == ""
    for key, move in session.setup.changes[-1].moves.items():
        assert by_steps[key] == pytest.approx(move, abs=1e-6)


def test_a_typed_value_beyond_the_room_is_refused_with_the_nearest(
    session: Session, hand: DrawResult
) -> None:
    words = hand.set_to(HEIGHT, (500.0,))
    assert "goes no further" in words
    assert "It comes to " in words
    assert session.history.index == 0


def test_two_results_are_held_where_they_could_last_be_had_together(
    session: Session, hand: DrawResult
) -> None:
    hand.begin(Drawn("front", ("instant_centre_y", "instant_centre_z")))
    hand.move((40.0, 5.0))
    held = session.setup
    assert held.changes
    hand.move((-9000.0, 9000.0))
    assert session.setup is held
    assert hand.note.startswith("Instant centre goes no further")
    hand.move((0.0, 0.0))
    assert not session.setup.changes[-1].moves
