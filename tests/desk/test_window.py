"""What a person does with the window by hand: drag, read, take back, pose."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from pytestqt.qtbot import QtBot

from app.desk.head import Head
from app.desk.window import Window
from app.document.model import Change, FrozenMap
from app.systems.rear.system import REAR
from geometry.errors import LegsDontMeet
from tests.helpers.hands import Hand

pytestmark = pytest.mark.gui

UPPER = ("front.upper_front", "front.upper_rear")
ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def moved(window: Window, key: str) -> tuple[float, float, float]:
    setup, active = window.session.setup, window.session.active
    assert active is not None
    return setup.changes[active].moves.get(key, (0.0, 0.0, 0.0))


def new_change(window: Window) -> None:
    window.session.set_active(None)


def test_a_drag_of_both_upper_pivots_makes_one_named_change_and_the_car_answers(
    window: Window, hand: Hand
) -> None:
    new_change(window)
    before = window.session.study.unsettled.rest.values["roll_centre_height"][0]
    window.session.select(UPPER)
    hand.press(UPPER[0])
    hand.move_mm(0.0, -12.0)
    assert window.session.history.undo_words == ""  # nothing is kept while the hand moves
    during = window.session.study.proposed.rest.values["roll_centre_height"][0]
    hand.let_go()
    change = window.session.setup.changes[window.session.active]
    assert moved(window, UPPER[0]) == moved(window, UPPER[1])
    assert moved(window, UPPER[0])[2] == pytest.approx(-12.0, abs=1.01)
    assert change.name.startswith("Upper pivots")
    assert change.name.endswith("lower")
    after = window.session.study.proposed.rest.values["roll_centre_height"][0]
    assert after == pytest.approx(during, abs=1e-9)
    assert window.session.study.unsettled.rest.values["roll_centre_height"][0] > before + 10.0
    assert "upper arm, front pivot" in window.actions_.undo.text()


def test_what_was_dropped_shows_no_note_until_the_pointer_comes_back(
    window: Window, hand: Hand
) -> None:
    hand.drag_mm("front.upper_front", 0.0, -22.0)
    hand.at = hand.place_of("front.upper_front")
    hand.move(0.0, 0.0)
    assert hand.view.attention.hovered == hand.view.dropped == "front.upper_front"
    hand.at = hand.at + QPointF(60.0, 60.0)
    hand.move(0.0, 0.0)
    hand.at = hand.place_of("front.upper_front")
    hand.move(0.0, 0.0)
    assert hand.view.attention.hovered == "front.upper_front"
    assert hand.view.dropped is None


def test_figures_of_what_cannot_be_as_proposed_are_greyed_and_said_so(
    window: Window, qtbot: QtBot
) -> None:
    session, results = window.session, window.results
    session.show(REAR)
    qtbot.waitUntil(lambda: window.sentences.is_begun)
    assert not results.is_stopped
    high = Change("Dampers up", moves=FrozenMap({"rear.damper_body": (0.0, 0.0, 200.0)}))
    session.commit(session.setup.having(changes=(*session.setup.changes, high)), "up")
    qtbot.waitUntil(lambda: results.is_stopped)
    assert results.problem.isVisible()
    assert "can't be made, or can't stand, as proposed" in results.problem.text()
    assert results.view.paper.greyed
    session.undo()
    qtbot.waitUntil(lambda: not results.is_stopped)
    assert not results.problem.isVisible()


def test_the_head_names_the_end_of_a_change_that_is_not_shown(window: Window) -> None:
    (name,) = (change.name for change in window.session.setup.changes if change.on)
    head = window.findChild(Head)
    assert isinstance(head, Head)
    assert head.proposal.text() == f"proposed: {name}"
    window.session.show(REAR)
    assert head.proposal.text() == f"proposed: {name} (front)"


def test_moves_snap_to_whole_millimetres_and_alt_suspends_that(window: Window, hand: Hand) -> None:
    new_change(window)
    hand.drag_mm(UPPER[0], 0.0, -17.3)
    snapped = moved(window, UPPER[0])[2]
    assert snapped == pytest.approx(round(snapped), abs=1e-9)
    window.session.undo()
    new_change(window)
    hand.press(UPPER[0])
    hand.move_mm(13.37, -17.41, ALT)
    hand.let_go()
    free = moved(window, UPPER[0])[2]
    assert abs(free - round(free)) > 1e-3


def test_shift_keeps_a_drag_to_one_direction(window: Window, hand: Hand) -> None:
    new_change(window)
    hand.press(UPPER[0])
    hand.move_mm(3.0, -12.0, SHIFT)
    hand.let_go()
    move = moved(window, UPPER[0])
    assert move[1] == 0.0
    assert move[2] < -10.0


def test_escape_takes_a_drag_back_and_leaves_no_step(
    window: Window, hand: Hand, qtbot: QtBot
) -> None:
    new_change(window)
    before = window.session.setup
    hand.press(UPPER[0])
    hand.move_mm(0.0, -15.0)
    assert window.session.setup != before
    qtbot.keyClick(hand.view, Qt.Key.Key_Escape)
    hand.let_go()
    assert window.session.setup == before
    assert window.session.history.undo_words == ""
    assert window.session.active is None


def test_undo_and_redo_bring_setup_and_study_back(window: Window, hand: Hand) -> None:
    before = window.session.setup
    new_change(window)
    hand.drag_mm("front.lower_rear", 0.0, 15.0)
    after = window.session.setup
    assert after != before
    window.actions_.undo.trigger()
    assert window.session.setup == before
    assert window.session.study.setup == window.session.shown_setup
    window.actions_.redo.trigger()
    assert window.session.setup == after
    assert window.session.study.setup == window.session.shown_setup


def test_an_impossible_drag_greys_the_board_names_the_points_and_goes_back(
    window: Window, hand: Hand
) -> None:
    new_change(window)
    before = window.session.setup
    hand.press("front.upper_front")
    hand.move_mm(-60.0, 300.0)
    hand.move_mm(-250.0, 900.0)
    assert isinstance(window.session.problem, LegsDontMeet)
    assert "mm" in window.session.problem_words
    assert window.session.study is not None  # the last one that worked stays
    hand.let_go()
    assert window.session.problem is None
    assert window.session.setup == before


def test_a_locked_point_stays_where_it_is(window: Window, hand: Hand) -> None:
    new_change(window)
    window.session.lock(UPPER[0], frozenset({0, 1, 2}))
    hand.drag_mm(UPPER[0], 0.0, -9.0)
    changes = window.session.setup.changes
    assert all(UPPER[0] not in change.moves for change in changes[3:])


def test_arrow_keys_nudge_and_a_run_of_them_is_one_step(
    window: Window, hand: Hand, qtbot: QtBot
) -> None:
    new_change(window)
    view = hand.view
    view.setFocus()
    while view.current != "front.lower_rear":
        qtbot.keyClick(view, Qt.Key.Key_BracketRight)
    for _ in range(3):
        qtbot.keyClick(view, Qt.Key.Key_Up)
    qtbot.keyClick(view, Qt.Key.Key_Down, SHIFT)
    assert moved(window, "front.lower_rear") == pytest.approx((0.0, 0.0, -7.0))
    window.session.undo()
    assert len(window.session.setup.changes) == len(window.session.history.steps[0].value.changes)


def test_dragging_the_wheel_travels_it_and_the_ground_rolls_the_car(
    window: Window, hand: Hand
) -> None:
    hand.press("wheel:left")
    hand.move_mm(0.0, 25.0)
    hand.let_go()
    assert window.session.pose.travel == pytest.approx(25.0, abs=1.5)
    window.pose_at_rest()
    hand.press("ground:")
    hand.move_mm(0.0, 12.0)
    hand.let_go()
    assert window.session.pose.roll != 0.0
    window.pose_at_rest()
    assert window.session.proposed is window.session.study.proposed.rest


def test_the_car_stands_where_its_springs_carry_it_until_it_is_held(window: Window) -> None:
    stands = window.session.study.stands
    assert stands > 5.0
    assert window.session.study.proposed.stand.travel == pytest.approx(stands)
    window.actions_.settle.trigger()
    assert window.session.setup.heights == {"front": "as measured"}
    assert window.session.study.proposed.stand.travel == 0.0
    window.actions_.settle.trigger()
    assert window.session.setup.heights == {}


def test_one_switch_shows_both_cars_from_one_place_in_the_body(window: Window) -> None:
    stands = window.session.study.stands
    window.actions_.in_body.trigger()
    assert window.session.proposed.values["wheel_travel"][0, 0] == pytest.approx(-stands)
    assert window.session.measured.values["wheel_travel"][0, 0] == 0.0
    window.actions_.in_body.trigger()
    assert window.session.proposed is window.session.study.proposed.rest


def test_inches_change_what_is_shown_but_not_the_file(window: Window) -> None:
    setup = window.session.setup
    window.actions_.units.trigger()
    assert window.session.units == "in"
    assert window.session.setup == setup
    assert window.session.is_saved
