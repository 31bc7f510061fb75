"""A pose that a car can't take is an ordinary case: it is told, and nothing is lost."""

from __future__ import annotations

from collections.abc import Callable
from math import sin

import pytest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.board.board import Board
from app.document.edits import set_value, switch_change
from app.document.files import read_setup
from app.document.samples import sample_paths
from app.drawing.views import View
from app.gestures.move_points import MovePoints
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import BY_KEY, LIMIT_KINDS
from app.systems.front.system import FRONT
from app.systems.pose import posed_car, posed_cars
from app.systems.rear.system import REAR
from geometry.errors import GeometryError, ShackleOutOfReach
from tests.helpers.panel_windows import shown
from tests.helpers.setup_edits import move_point

pytestmark = pytest.mark.gui

SAMPLES = {path.stem: path for path in sample_paths()}
FAR = {  # sample, axle, pose out of reach, words of the two points
    "front, droop": ("small_saloon", "front", Pose(-300.0), "upper ball joint"),
    "front, steer": ("small_saloon", "front", Pose(0.0, 0.0, 200.0), "tie rod, outer end"),
    "front, roll": ("inch_sedan", "front", Pose(0.0, 0.8), "upper ball joint"),
    "leaves, bump": ("small_saloon", "rear", Pose(300.0), "shackle"),
    "leaves, travel and roll": ("torsion_coupe", "rear", Pose(80.0, 0.3), "shackle"),
    "links, roll": ("hillclimb_special", "rear", Pose(0.0, 0.8), "link, axle end"),
}


def session_of(sample: str, axle: str) -> Session:
    session = Session(read_setup(SAMPLES[sample], limit_kinds=LIMIT_KINDS).setup)
    session.show(BY_KEY[axle])
    return session


@pytest.mark.parametrize(("sample", "axle", "pose", "words"), FAR.values(), ids=FAR)
def test_the_last_good_picture_stays_and_two_points_are_named(
    qapp: object, sample: str, axle: str, pose: Pose, words: str
) -> None:
    session = session_of(sample, axle)
    session.set_pose(Pose(5.0))
    before = session.proposed
    session.set_pose(pose)
    assert session.proposed is before
    assert words in session.problem_words.lower()
    session.set_pose(Pose(6.0))
    assert session.problem is None
    assert session.proposed is not before


UNITS_OF_STEPS = {
    "undo": lambda s: s.undo(),
    "redo": lambda s: (s.undo(), s.redo()),
    "toggle": lambda s: s.commit(switch_change(s.setup, 0, not s.setup.changes[0].on), "toggle"),
    "settle": lambda s: s.choose_height("as measured" if s.height == "settles" else "settles"),
    "units": lambda s: s.set_units("in"),
    "change over": lambda s: (s.show(FRONT), s.show(REAR)),
    "cancel": lambda s: s.cancel(),
}


@pytest.mark.parametrize("step", UNITS_OF_STEPS.values(), ids=UNITS_OF_STEPS)
def test_every_step_is_taken_behind_a_pose_that_cannot_be(
    qapp: object, step: Callable[[Session], object]
) -> None:
    session = session_of("small_saloon", "rear")
    key = "rear.shackle_body"
    session.commit(move_point(session.setup, 3, key, (0.0, 0.0, 2.0)), "one")
    session.commit(move_point(session.setup, 3, key, (0.0, 0.0, 2.0)), "two")
    session.set_pose(Pose(300.0))
    assert session.problem is not None
    step(session)
    session.set_pose(Pose())
    assert session.problem is None
    assert session.study is not None
    fresh = posed_cars(session.study, Pose(), session.in_body)[1]
    assert session.proposed is not None
    assert session.proposed.values["roll_centre_height"] == pytest.approx(
        fresh.values["roll_centre_height"]
    )
    assert session.study.setup == session.shown_setup


@pytest.mark.parametrize(
    ("sample", "axle"),
    [("small_saloon", "front"), ("small_saloon", "rear"), ("hillclimb_special", "rear")],
)
def test_the_proposal_stands_lower_by_what_it_settles_and_travels_from_there(
    qapp: object, sample: str, axle: str
) -> None:
    """The wheel has risen into the body by it, and the pose that is asked for comes on top."""
    session = session_of(sample, axle)
    key = "front.spring.free_length" if axle == "front" else "rear.spring.free_length"
    if sample == "small_saloon" and axle == "rear":
        key = "rear.block"
    now = session.setup.evidence.get(key, 0.0)
    step = 12.0 if key == "rear.block" else -12.0
    session.commit(set_value(session.setup, 0, key, float(now) + step), "lower")  # type: ignore[arg-type]
    session.commit(switch_change(session.setup, 0, True), "on")
    sinks = session.stands()
    assert sinks is not None
    assert sinks > 5.0
    session.set_pose(Pose(7.0))
    assert session.proposed is not None
    assert session.measured is not None
    both = session.proposed, session.measured
    rises = [float(sweep.values["wheel_travel"].flat[0]) for sweep in both]
    assert rises == pytest.approx([7.0, 7.0], abs=1e-6)
    session.set_in_body(True)
    rises = [float(sweep.values["wheel_travel"].flat[0]) for sweep in (session.proposed, both[1])]
    assert rises == pytest.approx([7.0 - sinks, 7.0], abs=1e-6)


@pytest.mark.parametrize(("travel", "roll"), [(200.0, 0.3), (-150.0, 0.3), (200.0, -0.3)])
def test_a_lean_out_of_reach_names_the_travel_of_the_side_that_ends(
    qapp: object, travel: float, roll: float
) -> None:
    """It is the axle's, and the spring base's half times sin(roll) more."""
    session = session_of("small_saloon", "rear")
    answers = session.study_of(REAR)
    assert answers is not None
    leaf = answers.proposed.leaf
    assert leaf is not None
    lever = leaf.spring_base / 2 * sin(abs(roll))
    with pytest.raises(ShackleOutOfReach, match="limit=") as caught:
        posed_car(answers.proposed, Pose(travel, roll))
    told = caught.value
    assert told.travel == pytest.approx(travel + lever if travel > 0 else travel - lever)
    assert told.limit * told.travel > 0.0
    assert abs(told.limit) < abs(told.travel)


def test_settled_and_travelled_out_of_reach_in_a_drag_the_points_go_back(qapp: object) -> None:
    session = session_of("small_saloon", "rear")
    session.set_pose(Pose(30.0))
    before, hand = session.setup, MovePoints(session)
    hand.begin("rear.rear_eye", (0.0, 0.0), View.SIDE)
    told = []
    for up in range(8, 81, 8):
        hand.move((0.0, float(up)))
        told.append(session.problem_words)
    assert "shackle" in told[-1]
    hand.commit()
    assert session.setup == before
    assert session.problem is None


def test_a_measured_car_that_cannot_be_there_is_left_out(qapp: object) -> None:
    """The proposal can go where the measured car can't: it is shown alone."""
    session = session_of("small_saloon", "front")
    answers = FRONT.study(session.setup)
    low = float(answers.measured.travel.at[0])
    for travel in range(int(low), -400, -5):
        pose = Pose(float(travel))
        try:
            measured, _ = posed_cars(answers, pose, False)
        except GeometryError:
            continue
        if measured is None:
            session.set_pose(pose)
            assert session.measured is None
            assert session.problem is None
            return
    pytest.fail("both cars end at the same travel")


def test_the_board_stays_drawn_and_says_so(qtbot: QtBot) -> None:
    session = session_of("torsion_coupe", "rear")
    board = Board(session, QWidget())
    shown(qtbot, board, 1000, 800)
    session.set_pose(Pose(80.0, 0.3))
    assert "shackle" in session.problem_words
    wrong = {handle.key for handle in board.views[View.SIDE].aim.handles if handle.wrong}
    assert wrong == {"rear.rear_eye", "rear.shackle_body"}
    board.close()
