"""Marks of results under a real mouse and real keys: each test is one thing a hand does."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.board.board import Board
from app.board.hover import hover_note
from app.board.view import BoardView
from app.drawing.views import View
from app.judge.drawn import Drawn
from app.session.session import Session
from app.systems.rear.system import REAR
from tests.gestures.test_draw_result import HEIGHT, height, roomy_session
from tests.helpers.hands import Hand
from tests.helpers.sought import saloon

pytestmark = pytest.mark.gui

MARK = "result:roll_centre_height"


@pytest.fixture
def session() -> Session:
    return roomy_session()


@pytest.fixture
def board(qtbot: QtBot, session: Session) -> Board:
    made = Board(session, QWidget())
    qtbot.addWidget(made)
    made.resize(1100, 800)
    with qtbot.waitExposed(made):
        made.show()
    return made


@pytest.fixture
def view(board: Board) -> BoardView:
    return board.views[View.FRONT]


def test_the_mark_follows_the_hand_up_and_down(session: Session, view: BoardView) -> None:
    start, hand = height(session), Hand(view)
    hand.press(MARK)
    hand.move_mm(25.0, -8.0)
    item = view.aim.find(MARK)
    assert item is not None
    assert item.at == pytest.approx((0.0, start - 8.0), abs=3.0)  # in the body, which settles
    hand.let_go()
    assert height(session) == pytest.approx(round(start - 8.0), abs=1.01)
    assert session.history.undo_words.startswith("draw roll centre height to ")
    assert session.selection == ()


def test_escape_takes_the_mark_back(session: Session, view: BoardView) -> None:
    setup, hand = session.setup, Hand(view)
    hand.press(MARK)
    hand.move_mm(0.0, -12.0)
    assert session.setup is not setup
    QTest.keyClick(view, Qt.Key.Key_Escape)
    hand.let_go()
    assert session.setup is setup


def test_arrows_move_the_mark_that_has_the_keyboard(session: Session, view: BoardView) -> None:
    start = height(session)
    view.setFocus()
    keys = view.aim.keys()
    while view.current != MARK:
        QTest.keyClick(view, Qt.Key.Key_BracketRight)
        assert view.current in keys
    for _ in range(2):
        QTest.keyClick(view, Qt.Key.Key_Down)
    assert height(session) == pytest.approx(start - 2.0, abs=1e-6)


def test_enter_asks_for_the_value(qtbot: QtBot, board: Board, view: BoardView) -> None:
    view.point_double_clicked.emit("front.upper_front")
    with qtbot.waitSignal(board.value_asked) as asked:
        view.point_double_clicked.emit(MARK)
    assert asked.args == [HEIGHT]


def test_a_screen_reader_finds_the_marks_with_their_values(view: BoardView) -> None:
    spoken = QAccessible.queryAccessibleInterface(view)
    names = [spoken.child(n).text(QAccessible.Text.Name) for n in range(spoken.childCount())]
    assert any(name.startswith("Roll centre, ") for name in names)


def test_the_rear_marks_its_roll_centre_in_both_upright_views(
    session: Session, board: Board
) -> None:
    session.show(REAR)
    for kind in (View.FRONT, View.SIDE):
        assert board.views[kind].aim.find(MARK) is not None
    assert board.results.drawn(MARK) == Drawn("rear", ("roll_centre_height",))
    assert board.views[View.TOP].aim.find(MARK) is None


def test_without_room_the_note_on_a_mark_says_how_to_give_some() -> None:
    assert hover_note(Session(saloon()), MARK).endswith(
        "Give points room first: point's menu, Room to move."
    )
    assert "Give" not in hover_note(roomy_session(), MARK)
