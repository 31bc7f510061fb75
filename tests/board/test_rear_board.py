"""The rear under hand and keyboard: each test is one thing that a user does."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.board.board import Board
from app.board.hover import hover_note
from app.board.view import BoardView
from app.desk.point_editor import PointEditor
from app.document.model import Change, FrozenMap, Setup, Vec
from app.document.moves import point_in
from app.drawing.strokes import Handle
from app.drawing.views import View
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from tests.helpers.front_setups import front_setup
from tests.helpers.rear_setups import ONTO_LINKS, leaf_car, link_car

pytestmark = pytest.mark.gui

LEFT, NO_BUTTON = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
NONE = Qt.KeyboardModifier.NoModifier
RIGHT_DAMPER = "rear.right.damper_axle"


def opened(qtbot: QtBot, setup: Setup) -> tuple[Session, Board]:
    session = Session(setup)
    session.show(REAR)
    board = Board(session, QWidget())
    qtbot.addWidget(board)
    board.resize(1200, 860)
    with qtbot.waitExposed(board):
        board.show()
    QApplication.processEvents()
    return session, board


def whole_car() -> Setup:
    """Return a car of which both ends are given."""
    rear = leaf_car()
    front = front_setup()
    return front.having(evidence=FrozenMap({**front.evidence, **rear.evidence}))


def move(view: BoardView, at: QPointF, kind: QEvent.Type = QEvent.Type.MouseMove) -> None:
    button = NO_BUTTON if kind is QEvent.Type.MouseMove else LEFT
    held = NO_BUTTON if kind is QEvent.Type.MouseButtonRelease else LEFT
    event = QMouseEvent(kind, at, view.mapToGlobal(at), button, held, NONE)
    QApplication.sendEvent(view, event)


def place_of(view: BoardView, key: str) -> QPointF:
    item = view.aim.find(key)
    assert item is not None, key
    return view.place_of(item)


def drag(view: BoardView, start: QPointF, du: float, dv: float, let_go: bool = True) -> None:
    """Drag by paper millimetres."""
    end = start + QPointF(du * view.frame.scale, -dv * view.frame.scale)
    move(view, start, QEvent.Type.MouseButtonPress)
    for share in (0.3, 0.7, 1.0):
        move(view, start + share * (end - start))
    if let_go:
        move(view, end, QEvent.Type.MouseButtonRelease)


def places(session: Session) -> dict[str, Vec]:
    assert session.study is not None
    return session.system.places(session.study)  # type: ignore[arg-type]


def test_the_rear_shows_its_side_view_first_and_the_front_comes_back_as_it_was(
    qtbot: QtBot,
) -> None:
    session, board = opened(qtbot, whole_car())
    front, side = board.views[View.FRONT], board.views[View.SIDE]
    QApplication.processEvents()
    assert side.width() > 1.4 * front.width()
    assert side.mapTo(board, QPoint()).x() < front.mapTo(board, QPoint()).x()
    assert side.title == "Rear, side view"
    session.show(FRONT)
    QApplication.processEvents()
    assert front.mapTo(board, QPoint()).x() < side.mapTo(board, QPoint()).x()
    assert front.title == "Front view"
    assert front.frame.scale == side.frame.scale
    assert front.aim.find("front.upper_front") is not None


def test_the_side_view_has_a_scale_of_its_own_and_the_others_share_theirs(qtbot: QtBot) -> None:
    _, board = opened(qtbot, leaf_car())
    front, side, top = (board.views[view] for view in View)
    assert side.frame.scale > front.frame.scale
    before = side.frame
    front.zoom(2.0)
    assert side.frame == before
    assert top.frame.scale == front.frame.scale
    assert top.frame.x == pytest.approx(front.frame.x)
    side.zoom(1.5)
    assert front.frame.scale != side.frame.scale


def test_a_double_click_on_the_title_fills_the_board_and_back(qtbot: QtBot) -> None:
    _, board = opened(qtbot, leaf_car())
    side = board.views[View.SIDE]
    title = side.title_rect().center().toPoint()
    QTest.mouseDClick(side, LEFT, NONE, title)
    assert board.is_filled()
    assert side.isVisible()
    assert not board.views[View.TOP].isVisible()
    QTest.mouseDClick(side, LEFT, NONE, title)
    assert not board.is_filled()
    assert board.views[View.TOP].isVisible()


def test_dragging_the_right_damper_leaves_the_left_one_and_names_the_change(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    top = board.views[View.TOP]
    left = places(session)["rear.damper_axle"]
    drag(top, place_of(top, RIGHT_DAMPER), 0.0, -260.0)
    assert session.history.undo_words == "move rear damper, axle end, right"
    assert places(session)["rear.damper_axle"] == pytest.approx(left)
    assert places(session)[RIGHT_DAMPER][0] == pytest.approx(-2690.0, abs=1.0)
    assert session.setup.changes[-1].name == "Right damper behind the axle"


def test_the_right_damper_is_taken_from_where_the_left_one_s_job_put_it(qtbot: QtBot) -> None:
    both = Change("Dampers back", moves=FrozenMap({"rear.damper_axle": (-50.0, -10.0, 0.0)}))
    session, board = opened(qtbot, leaf_car(both))
    session.set_active(0)
    top = board.views[View.TOP]
    before = places(session)[RIGHT_DAMPER]
    assert before == pytest.approx((-2480.0, -390.0, 230.0), abs=1e-6)
    drag(top, place_of(top, RIGHT_DAMPER), 0.0, -40.0)
    assert places(session)[RIGHT_DAMPER] == pytest.approx((-2520.0, -390.0, 230.0), abs=1.0)
    assert places(session)["rear.damper_axle"] == pytest.approx((-2480.0, 390.0, 230.0), abs=1e-6)
    drag(top, place_of(top, RIGHT_DAMPER), 0.0, 90.0)  # back to where it was measured
    assert places(session)[RIGHT_DAMPER][0] == pytest.approx(-2430.0, abs=1.0)


def test_everything_follows_a_front_eye_under_the_hand(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    side = board.views[View.SIDE]
    assert session.proposed is not None
    before = float(session.proposed.values["roll_steer"][0])
    drag(side, place_of(side, "rear.front_eye"), 0.0, -30.0, let_go=False)
    moved = float(session.proposed.values["roll_steer"][0])
    assert abs(moved - before) > 0.01
    assert session.preview_setup is not None
    eye = side.aim.find("rear.front_eye")
    assert isinstance(eye, Handle)
    assert eye.moved
    assert eye.at[1] == pytest.approx(285.0, abs=1.0)
    QTest.keyClick(side, Qt.Key.Key_Escape)
    assert session.preview_setup is None
    assert float(session.proposed.values["roll_steer"][0]) == before


def test_a_shackle_out_of_reach_greys_the_drawing_and_says_how_far(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    side = board.views[View.SIDE]
    last = places(session)["rear.rear_eye"]
    drag(side, place_of(side, "rear.shackle_body"), -600.0, 0.0, let_go=False)
    assert session.problem is not None
    assert "mm apart" in session.problem_words
    for key in ("rear.rear_eye", "rear.shackle_body"):
        handle = side.aim.find(key)
        assert isinstance(handle, Handle)
        assert handle.wrong
    move(side, QPointF(5, 5), QEvent.Type.MouseButtonRelease)
    assert session.problem is None
    assert places(session)["rear.rear_eye"] == pytest.approx(last)


def test_links_that_cannot_be_joined_are_named_by_their_ends(qtbot: QtBot) -> None:
    session, board = opened(qtbot, link_car())
    top = board.views[View.TOP]
    drag(top, place_of(top, "rear.lateral_body"), -300.0, 0.0, let_go=False)
    assert session.problem is not None
    assert "upper link, body end and upper link, axle end" in session.problem_words
    wrong = {h.key for h in top.aim.handles if h.wrong}
    assert wrong == {"rear.upper_body", "rear.upper_axle"}
    QTest.keyClick(top, Qt.Key.Key_Escape)
    assert session.problem is None


def test_arrows_nudge_the_point_with_the_keyboard(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    side = board.views[View.SIDE]
    at = place_of(side, "rear.front_eye").toPoint()
    QTest.mouseClick(side, LEFT, NONE, at)
    side.setFocus()
    QTest.keyClick(side, Qt.Key.Key_Down)
    QTest.keyClick(side, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    assert session.setup.changes[-1].moves["rear.front_eye"] == pytest.approx((0.0, 0.0, -11.0))
    session.undo()
    assert not session.setup.changes


def test_a_new_place_is_typed(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    editor = PointEditor(session, RIGHT_DAMPER, board)
    editor.fields[0].setText("-2690")
    editor.accept()
    assert places(session)[RIGHT_DAMPER] == pytest.approx((-2690.0, -400.0, 230.0), abs=1e-6)
    assert session.setup.changes[-1].name == "Right damper behind the axle"


def test_two_selected_points_are_typed_together_and_the_dialog_says_both(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    before = places(session)
    session.select(("rear.damper_axle", RIGHT_DAMPER))
    editor = PointEditor(session, RIGHT_DAMPER, board)
    assert editor.several.text().startswith("Both move by the same step")
    editor.fields[0].setText("-20")
    editor.accept()
    for key in session.selection:
        assert places(session)[key][0] == pytest.approx(before[key][0] - 20.0, abs=1e-6)


def test_a_locked_axis_is_not_typed_over(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    session.lock(RIGHT_DAMPER, frozenset({0}))
    editor = PointEditor(session, RIGHT_DAMPER, board)
    assert [field.isEnabled() for field in editor.fields] == [False, True, True]


def test_the_wheel_travels_and_the_ground_rolls(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car())
    side, front = board.views[View.SIDE], board.views[View.FRONT]
    wheel = side.aim.find("wheel:left")
    assert wheel is not None
    rim = QPointF(*side.frame.to_device((-2560.0 - 305.0, 305.0)))
    drag(side, rim, 0.0, 30.0)
    assert session.pose.travel == pytest.approx(30.0, abs=1.5)
    session.set_pose(Pose())
    ground = QPointF(*front.frame.to_device((300.0, 0.0)))
    drag(front, ground, 0.0, 15.0)
    assert session.pose.roll == pytest.approx(-0.05, abs=0.01)


def test_hovering_says_what_a_point_is_and_how_it_moved(qtbot: QtBot) -> None:
    session, _ = opened(
        qtbot, leaf_car(Change("d", moves=FrozenMap({"rear.damper_axle": (-20.0, 0.0, 0.0)})))
    )
    said = hover_note(session, RIGHT_DAMPER)
    assert said.startswith("Rear damper, axle end, right\nmeasured −2430.0, −400.0, 230.0 mm")
    assert "moved −20.0" in said
    assert "on the axle" in said
    assert "proposed −2450.0, −400.0" in said
    assert "moves the damper's lower end" in said
    assert "on the body; moves the leaf spring" in hover_note(session, "rear.front_eye")


def test_points_that_only_a_change_gives_are_dragged_in_that_change(qtbot: QtBot) -> None:
    session, board = opened(qtbot, leaf_car(ONTO_LINKS))
    session.set_active(0)
    side = board.views[View.SIDE]
    assert "new with a change" in hover_note(session, "rear.lower_body")
    drag(side, place_of(side, "rear.lower_body"), 0.0, 20.0)
    assert session.problem is None
    assert point_in(session.setup.changes[0].sets, "rear.lower_body")[2] == pytest.approx(
        290.0, abs=1.0
    )
    assert places(session)["rear.lower_body"][2] == pytest.approx(290.0, abs=1.0)
