"""Room on the board: a slot in the views that show its axes, with ends under mouse and keyboard."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.board.board import Board
from app.board.hover import hover_note
from app.document.edits import move_points
from app.document.model import Change, Setup
from app.document.plans import Room
from app.drawing.strokes import LineKind, Polyline
from app.drawing.views import View
from app.session.session import Session
from tests.helpers.entering import sample
from tests.helpers.hands import Hand
from tests.helpers.sought import UPPER_FRONT, UPPER_REAR

pytestmark = pytest.mark.gui

HIGH, LOW = f"room:{UPPER_FRONT}:z:high", f"room:{UPPER_FRONT}:z:low"
BOTH = {UPPER_FRONT: Room(y=(-20.0, 5.0), z=(-60.0, 40.0)), UPPER_REAR: Room(alike=UPPER_FRONT)}


def board_of(qtbot: QtBot, setup: Setup) -> Board:
    from PySide6.QtWidgets import QWidget

    board = Board(Session(setup), QWidget())
    qtbot.addWidget(board)
    board.resize(1400, 900)
    board.show()
    return board


def slots(board: Board, view: View) -> list[np.ndarray]:
    drawing = board.views[view].drawing
    closed = (s for s in drawing.strokes if isinstance(s, Polyline) and s.kind is LineKind.ROOM)
    return [np.array(s.points) for s in closed if s.closed]


def bare(**more: object) -> Setup:
    return sample("small_saloon").having(changes=(), **more)


def test_a_slot_stands_where_its_axes_are_seen_and_stays_while_its_point_moves(
    qtbot: QtBot,
) -> None:
    """Room is from the measured place: a change that moves the point leaves the slot."""
    board = board_of(qtbot, bare(rooms=BOTH))
    front, side, top = (board.views[view] for view in View)
    at = np.array(front.aim.find(UPPER_FRONT).at)
    slot = slots(board, View.FRONT)[0]
    assert (slot.min(axis=0) - at, slot.max(axis=0) - at) == (
        pytest.approx([-20.0, -60.0]),
        pytest.approx([5.0, 40.0]),
    )
    assert len(slots(board, View.FRONT)) == 2  # what is alike has the same
    assert {g.key for g in front.aim.stops} >= {HIGH, LOW, f"room:{UPPER_FRONT}:y:low"}
    assert f"room:{UPPER_FRONT}:y:low" not in {g.key for g in side.aim.stops}
    assert HIGH not in {g.key for g in top.aim.stops}
    session = board.session
    lower = move_points(
        session.setup.having(changes=(Change("lower"),)), 0, (UPPER_FRONT,), (0.0, 0.0, -22.0)
    )
    session.commit(lower, "lower")
    at = np.array(front.aim.find(UPPER_FRONT).at)
    slot = slots(board, View.FRONT)[0]
    assert slot.max(axis=0)[1] - at[1] == pytest.approx(62.0)


def test_an_end_is_dragged_as_one_step_and_does_not_pass_the_other(qtbot: QtBot) -> None:
    board = board_of(qtbot, bare(rooms=BOTH))
    session, hand = board.session, Hand(board.views[View.FRONT])
    start = session.history.value
    hand.press(HIGH)
    hand.move_mm(0.0, 12.3)
    assert session.preview_setup is not None
    hand.let_go()
    assert session.history.value.rooms[UPPER_FRONT].z == (-60.0, 52.0)  # whole millimetres
    assert session.history.undo_words.startswith("room of upper arm")
    hand.drag_mm(HIGH, 0.0, -400.0)
    assert session.history.value.rooms[UPPER_FRONT].z == (-60.0, -60.0)
    session.undo()
    session.undo()
    assert session.history.value == start
    hand.press(LOW)
    hand.move_mm(0.0, -9.0)
    QTest.keyClick(board.views[View.FRONT], Qt.Key.Key_Escape)
    hand.let_go()
    assert session.history.value == start
    assert session.preview_setup is None


def test_the_keyboard_walks_to_an_end_and_moves_it(qtbot: QtBot) -> None:
    board = board_of(qtbot, bare(rooms={UPPER_FRONT: Room(z=(-30.0, 5.0))}))
    view, session = board.views[View.SIDE], board.session
    view.setFocus()
    for _ in view.aim.items:
        QTest.keyClick(view, Qt.Key.Key_BracketRight)
        if view.current == HIGH:
            break
    assert view.current == HIGH
    QTest.keyClick(view, Qt.Key.Key_Up)
    QTest.keyClick(view, Qt.Key.Key_Up)
    assert session.history.value.rooms[UPPER_FRONT].z == (-30.0, 7.0)
    assert len(session.history.steps) == 2  # they merge
    assert "7 mm higher than measured" in hover_note(session, HIGH)
    assert "room ends 7 mm higher" in view.aim.find(HIGH).name


def test_an_end_can_be_taken_hold_of_at_any_zoom(qtbot: QtBot) -> None:
    """Where 5 mm are two pixels its head stands clear of the point, and pulls at the end."""
    board = board_of(qtbot, bare(rooms={UPPER_FRONT: Room(z=(-5.0, 5.0))}))
    view = board.views[View.SIDE]
    for zoom in (0.5, 4.0, 4.0):
        view.zoom(zoom, Hand(view).place_of(UPPER_FRONT))
        for end in (HIGH, LOW):
            spot = view.place_of(view.aim.find(end))
            assert view.aim.at(view.frame, spot.x(), spot.y()) == end
        point = Hand(view).place_of(UPPER_FRONT)
        assert view.aim.at(view.frame, point.x(), point.y()) == UPPER_FRONT


def test_the_menu_of_an_end_is_that_of_its_point(qtbot: QtBot) -> None:
    board = board_of(qtbot, bare(rooms=BOTH))
    view, asked = board.views[View.FRONT], []
    board.menu_asked.connect(lambda key, _: asked.append(key))
    view.context_requested.emit(HIGH, view.rect().center())
    view.context_requested.emit(None, view.rect().center())
    assert asked == [UPPER_FRONT, None]
