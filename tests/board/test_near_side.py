"""In side view the near side is under the hand; what stands apart is taken by itself."""

from __future__ import annotations

import pytest

from app.board.hit_test import Aim
from app.drawing.views import Frame, View
from app.systems.rear.drawing.drawing import rear_drawing
from app.systems.rear.system import REAR
from app.systems.shown import Shown
from tests.helpers.rear_studies import load


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
