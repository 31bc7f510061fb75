"""In side view the near side is under the hand; what stands apart is taken by itself."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.board.hit_test import Aim
from app.desk.point_menu import point_menu
from app.document.moves import total_moves
from app.drawing.views import Frame, View
from app.gestures.move_points import MovePoints
from app.session.session import Session
from app.systems.rear.drawing.drawing import rear_drawing
from app.systems.rear.system import REAR
from app.systems.shown import Shown
from tests.helpers.rear_studies import load

pytestmark = pytest.mark.gui


def aimed(name: str) -> Aim:
    study = REAR.study(load(name).having(changes=()))
    return Aim(rear_drawing(Shown(study, study.proposed.rest), View.SIDE))


@pytest.mark.parametrize("point", ["upper_body", "lower_body"])
def test_a_press_on_either_of_two_links_ends_takes_the_near_one(point: str) -> None:
    aim, frame = aimed("hillclimb_special"), Frame(0.5, 0.0, 0.0)
    keys = [item.key for item in aim.items if item.key.endswith(point)]
    assert keys == [f"rear.{point}", f"rear.right.{point}"]  # measured 2 to 4 mm apart
    for key in keys:
        x, y = frame.to_device(aim.find(key).at)
        assert aim.at(frame, x, y) == f"rear.{point}"
    assert aim.at(frame, x, y, ("rear.right." + point,)) == f"rear.{point}"


def test_a_damper_that_stands_apart_is_taken_by_itself() -> None:
    aim, frame = aimed("torsion_coupe"), Frame(0.5, 0.0, 0.0)
    x, y = frame.to_device(aim.find("rear.right.damper_axle").at)
    assert aim.at(frame, x, y) == "rear.right.damper_axle"


def test_a_right_hand_points_move_is_offered_for_both_sides(qtbot: QtBot) -> None:
    session = Session(load("hillclimb_special").having(changes=()))
    session.show(REAR)
    right = "rear.right.upper_body"
    MovePoints(session).nudge(right, (4.0, 5.0, -10.0), 0.0)
    owner = QWidget()
    qtbot.addWidget(owner)
    menu = point_menu(session, right, owner, lambda key: None)
    (both,) = [action for action in menu.actions() if "both sides" in action.text()]
    both.trigger()
    moves = total_moves(session.setup)
    assert moves[right] == (4.0, 5.0, -10.0)
    assert moves["rear.upper_body"] == (4.0, -5.0, -10.0)
    assert "on both sides" in session.history.undo_words
    session.undo()
    assert "rear.upper_body" not in total_moves(session.setup)
