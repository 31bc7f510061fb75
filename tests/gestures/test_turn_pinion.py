"""The pinion drags as a wedge: the axle turns in its seats."""

from __future__ import annotations

from math import atan, degrees, radians

import pytest

from app.document.model import Change, FrozenMap
from app.document.plausible import all_questions
from app.drawing.views import View
from app.gestures.move_points import MovePoints
from app.session.session import Session
from app.systems.rear.system import REAR
from app.words.changes import suggested_name
from tests.helpers.rear_setups import leaf_car, link_car

pytestmark = pytest.mark.gui


def dragged(setup, to):
    session = Session(setup)
    said = []
    session.said.connect(said.append)
    gesture = MovePoints(session)
    start = View.SIDE.place(setup.evidence["rear.pinion"])
    gesture.begin("rear.pinion", start, View.SIDE)
    gesture.move((start[0] + to[0], start[1] + to[1]))
    shown = session.study
    gesture.commit()
    return session, shown, said


def test_the_joint_follows_the_hand_by_a_wedge(qapp):
    setup = leaf_car()
    session, shown, _ = dragged(setup, (0.0, -10.0))
    (change,) = session.setup.changes
    assert not change.moves
    wedge = change.sets["rear.wedge"]
    assert degrees(wedge) == pytest.approx(-2.0)  # 10 mm down, 280 mm ahead: 2.05°, to a tenth
    assert change.name == "Wedge 2° nose down"
    place = REAR.places(shown)["rear.pinion"]
    # level with the hand to what a tenth of a degree moves it by
    assert place[2] - setup.evidence["rear.pinion"][2] == pytest.approx(-10.0, abs=0.6)
    turned = shown.proposed.rest.values["pinion_turn"][0]
    assert degrees(turned) == pytest.approx(-2.0, abs=0.1)


@pytest.mark.parametrize("to", [(-56.0, 1.0), (56.0, -1.0), (0.0, 0.1)])
def test_a_drag_along_the_pinion_or_of_no_size_leaves_no_change(qapp, to):
    session, _, _ = dragged(leaf_car(), to)  # the joint is 280 mm ahead of the hub, 5 mm below it
    assert not session.setup.changes


def test_a_pointer_that_passes_the_axle_does_not_turn_it_over(qapp):
    session, _, _ = dragged(leaf_car(), (-400.0, -20.0))
    wedge = degrees(session.setup.changes[0].sets["rear.wedge"])
    assert wedge == pytest.approx(-degrees(atan(27.1 / 140.0)), abs=0.1)


def test_a_wedge_steeper_than_wedges_are_is_cautioned(qapp):
    for up, is_told in ((25.0, False), (45.0, True)):
        session, shown, _ = dragged(leaf_car(), (0.0, up))
        wedge = degrees(session.setup.changes[0].sets["rear.wedge"])
        assert (wedge > 6.0) == is_told
        told = [s.text for s in REAR.sentences(shown, ".") if "is steep" in s.text]
        assert len(told) == is_told


def test_a_second_drag_goes_on_from_the_wedge(qapp):
    first = Change("Wedge", sets=FrozenMap({"rear.wedge": radians(-2.0)}))
    session, _, _ = dragged(leaf_car(first), (0.0, -10.0))
    assert degrees(session.setup.changes[0].sets["rear.wedge"]) == pytest.approx(-4.0, abs=0.11)


def test_on_links_it_stays_and_says_why(qapp):
    session, _, said = dragged(link_car(), (0.0, -10.0))
    assert not session.setup.changes
    assert "links its angle comes from their lengths" in said[0]
    MovePoints(session).nudge("rear.pinion", (0.0, 0.0, 1.0), 0.0)
    assert not session.setup.changes


def test_a_move_in_an_old_file_is_asked_about_and_does_nothing():
    move = Change("Old", moves=FrozenMap({"rear.pinion": (0.0, 0.0, -55.0)}))
    setup = leaf_car(move)
    assert any("rear.wedge" in each.text for each in all_questions(setup))
    assert REAR.places(REAR.study(setup))["rear.pinion"] == pytest.approx((-2280.0, 0.0, 300.0))


@pytest.mark.parametrize(
    ("angle", "name"),
    [(2.0, "Wedge 2° nose up"), (-1.5, "Wedge 1.5° nose down"), (0, "Wedges out")],
)
def test_names_of_wedges(angle, name):
    change = Change("", sets=FrozenMap({"rear.wedge": radians(angle)}))
    assert suggested_name(leaf_car(), change) == name
