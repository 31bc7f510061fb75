"""A view under hand and keyboard: each test is one thing that a user does."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.board.view import BoardView
from app.document.model import Units
from app.drawing.strokes import Drawing, Handle, HandleShape
from app.drawing.views import View
from tests.helpers.demo_drawing import demo_drawing
from tests.helpers.drawings import drawing_of
from tests.helpers.views import BALL, NONE, key, pixel, wheel

pytestmark = pytest.mark.gui

UPPER = "front.upper_front"

LEFT = Qt.MouseButton.LeftButton

SHIFT = Qt.KeyboardModifier.ShiftModifier

CONTROL = Qt.KeyboardModifier.ControlModifier

ALT = Qt.KeyboardModifier.AltModifier


def heard(signal: object) -> list[tuple[object, ...]]:
    """Collect what a signal says."""
    said: list[tuple[object, ...]] = []
    signal.connect(lambda *words: said.append(words))  # type: ignore[attr-defined]
    return said


def press(view: BoardView, at: QPoint, keys: Qt.KeyboardModifier = NONE) -> None:
    QTest.mousePress(view, LEFT, keys, at)


def move(view: BoardView, at: QPoint, keys: Qt.KeyboardModifier = NONE) -> None:
    place = QPointF(at)
    kind, none = QEvent.Type.MouseMove, Qt.MouseButton.NoButton
    event = QMouseEvent(kind, place, view.mapToGlobal(place), none, LEFT, keys)
    QApplication.sendEvent(view, event)


def release(view: BoardView, at: QPoint) -> None:
    QTest.mouseRelease(view, LEFT, NONE, at)


# The hand


def test_a_drag_says_where_the_point_should_go_without_a_jump(view: BoardView) -> None:
    pressed, dragged, released = heard(view.pressed), heard(view.dragged), heard(view.released)
    at = pixel(view, UPPER) + QPoint(3, -2)  # not quite in the middle of it
    press(view, at)
    QTest.mouseMove(view, at + QPoint(20, 30))
    QTest.mouseMove(view, at + QPoint(40, 60))
    release(view, at + QPoint(40, 60))
    assert pressed[0][:2] == (UPPER, (365.0, 561.0))
    u, v = dragged[-1][1]
    assert u == pytest.approx(365.0 + 40 / view.frame.scale)
    assert v == pytest.approx(561.0 - 60 / view.frame.scale)
    assert len(dragged) == 2
    assert released == [(UPPER,)]


def test_a_click_that_trembles_moves_nothing(view: BoardView) -> None:
    dragged, at = heard(view.dragged), pixel(view, UPPER)
    press(view, at)
    QTest.mouseMove(view, at + QPoint(1, 1))
    release(view, at + QPoint(1, 1))
    assert dragged == []


def test_escape_in_a_drag_takes_it_back(view: BoardView) -> None:
    cancelled, released, dragged = heard(view.cancelled), heard(view.released), heard(view.dragged)
    at = pixel(view, BALL)
    press(view, at)
    QTest.mouseMove(view, at + QPoint(30, 0))
    key(view, Qt.Key.Key_Escape)
    assert cancelled == [()]
    assert not view.is_dragging()
    count = len(dragged)
    QTest.mouseMove(view, at + QPoint(60, 0))
    release(view, at + QPoint(60, 0))
    assert len(dragged) == count
    assert released == []


def test_the_modifiers_of_a_drag_are_handed_on(view: BoardView) -> None:
    pressed, at = heard(view.pressed), pixel(view, UPPER)
    press(view, at, SHIFT)
    release(view, at)
    assert pressed[0][2] == SHIFT


def test_a_press_selects_and_control_adds(view: BoardView) -> None:
    asked = heard(view.selection_requested)
    QTest.mouseClick(view, LEFT, NONE, pixel(view, BALL))
    QTest.mouseClick(view, LEFT, CONTROL, pixel(view, "front.lower_ball"))
    assert asked == [(BALL, False), ("front.lower_ball", True)]


def test_a_drag_of_one_of_two_selected_points_keeps_both_selected(view: BoardView) -> None:
    view.set_selection({UPPER, "front.upper_rear"})
    asked = heard(view.selection_requested)
    press(view, pixel(view, UPPER))
    release(view, pixel(view, UPPER))
    assert asked == []


def test_a_drag_of_a_selected_point_with_control_keeps_it_and_a_click_takes_it_out(
    view: BoardView,
) -> None:
    view.set_selection({UPPER, "front.upper_rear"})
    asked, at = heard(view.selection_requested), pixel(view, UPPER)
    press(view, at, CONTROL)
    move(view, at + QPoint(9, 0), CONTROL)
    release(view, at + QPoint(9, 0))
    assert asked == []
    QTest.mouseClick(view, LEFT, CONTROL, pixel(view, UPPER))
    assert asked == [(UPPER, True)]


@pytest.mark.parametrize(("units", "step"), [("mm", 1.0), ("in", 25.4 / 32)])
@pytest.mark.parametrize("scale", [0.05, 0.3, 4.0])
def test_with_control_each_whole_step_has_pixels_of_its_own_at_any_zoom(
    view: BoardView, units: Units, step: float, scale: float
) -> None:
    view.set_units(units)
    view.zoom(scale / view.frame.scale)
    places, at = heard(view.dragged), pixel(view, UPPER)
    press(view, at)
    for down in range(4, 60):
        move(view, at + QPoint(0, down), CONTROL)
    heights = [place[1] for _, place, _ in places]
    assert all(0.0 < above - below <= 0.51 * step for above, below in pairwise(heights))


def test_a_drag_goes_on_from_where_it_is_when_control_is_let_go(view: BoardView) -> None:
    places, at = heard(view.dragged), pixel(view, UPPER)
    press(view, at)
    move(view, at + QPoint(40, 0), CONTROL)
    move(view, at + QPoint(41, 0))
    step = places[1][1][0] - places[0][1][0]
    assert step == pytest.approx(1.0 / view.frame.scale)


def test_of_points_upon_each_other_the_selected_one_is_taken(qtbot: QtBot, view: BoardView) -> None:
    twins = [Handle(k, (100.0, 100.0), HandleShape.CIRCLE, k) for k in ("one", "two")]
    view.set_drawing(drawing_of(*twins))
    pressed = heard(view.pressed)
    view.set_selection({"two"})
    QTest.mouseClick(view, LEFT, NONE, pixel(view, "one"))
    assert pressed[0][0] == "two"


def test_a_click_on_empty_paper_selects_nothing_and_a_drag_pushes_it(view: BoardView) -> None:
    asked, empty, before = heard(view.selection_requested), QPoint(700, 60), view.frame
    QTest.mouseClick(view, LEFT, NONE, empty)
    assert asked == [("", False)]
    press(view, empty)
    QTest.mouseMove(view, empty + QPoint(-50, 25))
    release(view, empty + QPoint(-50, 25))
    assert (view.frame.x - before.x, view.frame.y - before.y) == (-50, 25)
    assert len(asked) == 1


def test_the_middle_button_or_space_push_the_paper_even_from_a_point(view: BoardView) -> None:
    pressed, at, before = heard(view.pressed), pixel(view, BALL), view.frame
    QTest.mousePress(view, Qt.MouseButton.MiddleButton, NONE, at)
    QTest.mouseMove(view, at + QPoint(10, 0))
    QTest.mouseRelease(view, Qt.MouseButton.MiddleButton, NONE, at + QPoint(10, 0))
    QTest.keyPress(view, Qt.Key.Key_Space)
    press(view, at + QPoint(10, 0))
    QTest.mouseMove(view, at + QPoint(30, 0))
    release(view, at + QPoint(30, 0))
    QTest.keyRelease(view, Qt.Key.Key_Space)
    assert view.frame.x - before.x == 30
    assert pressed == []


def test_the_wheel_of_the_mouse_zooms_about_the_pointer(view: BoardView) -> None:
    at, before = QPoint(300, 200), view.frame
    place = before.to_paper(300, 200)
    wheel(view, at, 2)
    assert view.frame.scale > before.scale
    assert view.frame.to_paper(300, 200) == pytest.approx(place)


def test_the_car_s_wheel_and_the_ground_can_be_taken(view: BoardView) -> None:
    pressed, dragged = heard(view.pressed), heard(view.dragged)
    tyre = QPoint(*(round(c) for c in view.frame.to_device((790.0, 450.0))))
    ground = QPoint(*(round(c) for c in view.frame.to_device((200.0, 0.0))))
    press(view, tyre)
    QTest.mouseMove(view, tyre + QPoint(0, -20))
    release(view, tyre + QPoint(0, -20))
    QTest.mouseClick(view, LEFT, NONE, ground)
    assert [words[0] for words in pressed] == ["wheel:front", "ground:front"]
    assert dragged[0][1][1] - pressed[0][1][1] == pytest.approx(20 / view.frame.scale)


def test_hovering_names_the_point_and_leaving_forgets_it(view: BoardView) -> None:
    hovered = heard(view.hovered)
    QTest.mouseMove(view, pixel(view, BALL))
    QTest.mouseMove(view, QPoint(700, 60))
    assert hovered == [(BALL,), (None,)]


def test_a_double_click_opens_a_point_or_fills_the_board_with_the_view(view: BoardView) -> None:
    opened, filled = heard(view.point_double_clicked), heard(view.title_double_clicked)
    QTest.mouseDClick(view, LEFT, NONE, pixel(view, BALL))
    QTest.mouseDClick(view, LEFT, NONE, view.title_rect().center().toPoint())
    assert opened == [(BALL,)]
    assert filled == [()]


def test_the_menu_is_asked_for_by_mouse_and_by_keyboard(view: BoardView) -> None:
    asked, at = heard(view.context_requested), pixel(view, BALL)
    for reason in (QContextMenuEvent.Reason.Mouse, QContextMenuEvent.Reason.Keyboard):
        view.current = BALL
        QApplication.sendEvent(view, QContextMenuEvent(reason, at, view.mapToGlobal(at)))
    assert [words[0] for words in asked] == [BALL, BALL]
    assert asked[0][1] == asked[1][1] == view.mapToGlobal(at)


# The keyboard


def test_brackets_and_page_keys_walk_the_points_and_come_round(view: BoardView) -> None:
    asked, keys = heard(view.selection_requested), view.aim.keys()
    key(view, Qt.Key.Key_BracketRight)
    key(view, Qt.Key.Key_PageDown)
    key(view, Qt.Key.Key_BracketLeft)
    key(view, Qt.Key.Key_PageUp)
    assert asked == [(k, False) for k in (keys[0], keys[1], keys[0], keys[-1])]


@pytest.mark.parametrize(
    ("modifier", "step"), [(NONE, 1.0), (SHIFT, 10.0), (ALT, 0.1), (CONTROL, 0.1)]
)
def test_arrows_nudge_the_point_with_the_keyboard(
    view: BoardView, modifier: Qt.KeyboardModifier, step: float
) -> None:
    nudged = heard(view.nudged)
    key(view, Qt.Key.Key_BracketRight)
    key(view, Qt.Key.Key_Up, modifier)
    key(view, Qt.Key.Key_Left, modifier)
    assert nudged == [(UPPER, 0.0, step, modifier), (UPPER, -step, 0.0, modifier)]


def test_in_inches_an_arrow_nudges_a_thirty_second(view: BoardView) -> None:
    nudged = heard(view.nudged)
    view.set_units("in")
    key(view, Qt.Key.Key_BracketRight)
    key(view, Qt.Key.Key_Right)
    assert nudged[0][1] == pytest.approx(25.4 / 32)


def test_enter_opens_the_point_with_the_keyboard(view: BoardView) -> None:
    opened = heard(view.point_double_clicked)
    key(view, Qt.Key.Key_BracketRight)
    key(view, Qt.Key.Key_Return)
    assert opened == [(UPPER,)]


def test_f_fits_and_plus_and_minus_zoom(view: BoardView) -> None:
    fitted = view.frame
    key(view, Qt.Key.Key_Plus)
    assert view.frame.scale > fitted.scale
    key(view, Qt.Key.Key_Minus)
    assert view.frame.scale == pytest.approx(fitted.scale)
    view.pan(500, 500)
    key(view, Qt.Key.Key_F)
    assert view.frame == fitted


def test_tab_leaves_the_view(qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    view, field = BoardView(View.SIDE), QLineEdit()
    column.addWidget(view)
    column.addWidget(field)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    view.setFocus()
    key(view, Qt.Key.Key_Tab)
    assert field.hasFocus()


def test_a_point_that_is_gone_loses_the_keyboard(view: BoardView) -> None:
    key(view, Qt.Key.Key_BracketRight)
    view.set_drawing(demo_drawing(View.SIDE))
    assert view.current == UPPER
    view.set_drawing(Drawing())
    assert view.current is None
    assert view.attention.focused is None
