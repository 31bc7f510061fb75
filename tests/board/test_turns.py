"""Under a moving hand the views beside it take turns; whenever it rests, all are up to date."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.board.board import Board
from app.drawing.views import View
from app.session.session import Session
from tests.helpers.hands import Hand
from tests.helpers.panel_windows import saloon_session

pytestmark = pytest.mark.gui
KEY = "front.upper_front"


@pytest.fixture
def session(qtbot: QtBot) -> Session:
    return saloon_session()


@pytest.fixture
def board(qtbot: QtBot, session: Session) -> Board:
    made = Board(session, QWidget())
    qtbot.addWidget(made)
    made.resize(QSize(1000, 700))
    with qtbot.waitExposed(made):
        made.show()
    return made


def heights(board: Board) -> dict[View, float]:
    """Return what each view that shows heights has of the point's; the top view has none."""
    views = {view: board.views[view].aim.find(KEY).at for view in View}
    return {View.FRONT: views[View.FRONT][1], View.SIDE: views[View.SIDE][1]}


def wheels(board: Board) -> set[float]:
    """Return the heights at which the views that show the wheel have its lowest place [mm]."""
    grips = (board.views[view].aim.find("wheel:left") for view in (View.FRONT, View.SIDE))
    return {round(float(grip.outline[:, 1].min()), 6) for grip in grips}


@pytest.fixture
def held(board: Board) -> Hand:
    hand = Hand(board.views[View.FRONT])
    hand.press(KEY)
    return hand


def test_the_hands_own_view_shows_every_frame_and_another_is_one_behind_at_most(
    board: Board, session: Session, held: Hand
) -> None:
    seen: list[dict[View, float]] = []
    session.study_changed.connect(lambda: seen.append(heights(board)))
    for _ in range(4):
        held.move(0.0, 10.0)
    now = [each[View.FRONT] for each in seen]
    assert len(now) >= 10
    assert len(set(now)) == len(now)
    for place in range(1, len(seen)):
        assert seen[place][View.SIDE] in (now[place], now[place - 1])
    assert any(each[View.SIDE] != each[View.FRONT] for each in seen)


def test_every_view_is_up_to_date_when_the_hand_rests(
    board: Board, session: Session, held: Hand, qtbot: QtBot
) -> None:
    for way in (10.0, 15.0):  # an odd and an even number of frames
        with qtbot.waitSignal(session.study_completed, timeout=2000):
            held.move(0.0, way)
            if way == 15.0:
                held.move(0.0, 5.0)
        found = heights(board)
        assert found[View.SIDE] == pytest.approx(found[View.FRONT], abs=1e-9)


@pytest.mark.parametrize("end", ["release", "escape"])
def test_every_view_is_up_to_date_when_the_hand_is_done(
    board: Board, session: Session, held: Hand, end: str
) -> None:
    held.move(0.0, 20.0)
    board.release() if end == "release" else board.views[View.FRONT].let_go()
    assert session.preview_setup is None
    found = heights(board)
    assert found[View.SIDE] == pytest.approx(found[View.FRONT], abs=1e-9)


@pytest.mark.parametrize("end", ["rests", "lets go"])
def test_a_hand_on_the_wheel_is_followed_by_the_views_beside_it_in_turns(
    board: Board, session: Session, qtbot: QtBot, end: str
) -> None:
    hand = Hand(board.views[View.FRONT])
    wheel = "wheel:left"
    hand.press(wheel)
    seen: list[int] = []
    session.study_changed.connect(lambda: seen.append(len(wheels(board))))
    hand.move(0.0, 20.0)
    assert 2 in seen  # the side view is a frame behind
    if len(wheels(board)) == 1:
        hand.move(0.0, 20.0)  # five frames more: it is the side view's turn to wait
    assert len(wheels(board)) == 2
    if end == "lets go":
        board.release()
        assert len(wheels(board)) == 1
    qtbot.waitUntil(lambda: len(wheels(board)) == 1)
