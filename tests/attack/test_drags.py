"""Wild drags: no exception, no number that is none, no jump; and undo leads all the way back."""

from __future__ import annotations

from itertools import product
from math import hypot
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.document import edits
from app.document.files import read_setup
from app.drawing.views import View
from app.gestures.move_points import MovePoints
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import BY_KEY, LIMIT_KINDS
from app.systems.rear.system import REAR
from tests.attack.drags import CARS, wild_run
from tests.attack.nasty_files import NASTY
from tests.attack.shown import wrong_drawing, wrong_figures, wrong_words
from tests.attack.wild import Story, Tally, watched
from tests.helpers.long_cases import typical_of

pytestmark = pytest.mark.gui

SEED = 1957
RUNS = len(CARS)
MOVES = 10

# Drags of the rear to where its shackle can't follow: what is dragged in
# the side view, how far [mm], and at what travel [mm] of a car that is let settle.
OUT_OF_REACH = [
    ("small_saloon", "rear.rear_eye", (0.0, 72.0), 30.0),
    ("inch_sedan", "rear.shackle_body", (-112.0, 0.0), -30.0),
    ("inch_sedan", "rear.rear_eye", (0.0, 80.0), 30.0),
    ("inch_sedan", "rear.front_eye", (112.0, 0.0), -30.0),
    ("torsion_coupe", "rear.rear_eye", (160.0, 0.0), 30.0),
]

CORNERS = (
    ("torsion_coupe", "front"),
    ("inch_sedan", "rear"),
    ("hillclimb_special", "rear"),
)


def sample(name: str) -> Session:
    path = next(path for path in CARS if path.stem == name)
    return Session(read_setup(path, limit_kinds=LIMIT_KINDS).setup)


def nasty(name: str, folder: Path) -> Session:
    path = folder / "car.toml"
    path.write_bytes(next(each for each in NASTY if each.name == name).data)
    return Session(read_setup(path, limit_kinds=LIMIT_KINDS).setup)


def wrong(session: Session) -> list[str]:
    return [*wrong_figures(session), *wrong_drawing(session), *wrong_words(session)]


@pytest.fixture(scope="module")
def tally(qapp: object) -> Tally:
    total = Tally()
    for number in range(RUNS):
        total.add(wild_run(SEED, number, MOVES))
    return total


@pytest.mark.slow
def test_wild_drags_leave_no_exception_no_lost_number_and_no_jump(tally: Tally) -> None:
    assert tally.failures == []
    assert tally.moves >= RUNS * MOVES
    assert tally.compared > 15


@pytest.mark.slow
def test_wild_drags_can_all_be_taken_back(tally: Tally) -> None:
    assert tally.undone == RUNS


@pytest.mark.parametrize(
    ("car", "key", "move", "travel"), typical_of(OUT_OF_REACH, OUT_OF_REACH[:1])
)
def test_a_drag_out_of_reach_in_a_pose_is_told_and_taken_back(
    qtbot: QtBot,
    car: str,
    key: str,
    move: tuple[float, float],
    travel: float,
) -> None:
    session = sample(car)
    session.show(REAR)
    session.set_active(None)
    session.set_pose(Pose(travel))
    before, points = session.setup, MovePoints(session)
    points.begin(key, (0.0, 0.0), View.SIDE)
    count = round(hypot(*move) / 4.0)
    for step in range(1, count + 1):
        points.move((move[0] * step / count, move[1] * step / count), free=True)
        assert session.study is not None
        assert session.proposed is not None
        assert wrong(session) == []
    points.commit()
    session.undo()
    assert session.setup == before
    assert session.problem is None
    assert wrong(session) == []


@pytest.mark.parametrize("roll", [0.1, -0.1])
@pytest.mark.parametrize(
    ("name", "travel"),
    [("rear-bump-200", 200.0), ("shackle-far-in-roll", 40.0), ("shackle-far-in-roll", 30.0)],
)
def test_a_pose_of_roll_at_the_end_of_travel_is_shown_or_told(
    qtbot: QtBot, tmp_path: Path, name: str, travel: float, roll: float
) -> None:
    session = nasty(name, tmp_path)
    session.show(REAR)
    session.set_pose(Pose(travel, 0.0))
    session.set_pose(Pose(travel, roll))
    assert session.proposed is not None
    assert wrong(session) == []
    session.set_pose(Pose())
    assert session.problem is None
    assert wrong(session) == []


@pytest.mark.parametrize(
    ("car", "axle"), typical_of(product((path.stem for path in CARS), ("front", "rear")), CORNERS)
)
def test_every_corner_of_the_poses_is_shown_or_told(qtbot: QtBot, car: str, axle: str) -> None:
    session, story = sample(car), Story(f"corners of {car}", Tally())
    session.show(BY_KEY[axle])
    assert session.study is not None
    ranges = session.study.ranges
    with watched(story):
        for in_body in (False, True):
            session.set_in_body(in_body)
            for travel in ranges.travel[:2]:
                for roll in ranges.roll[:2]:
                    for steer in {*ranges.steer[:2]}:
                        session.set_pose(Pose(travel, roll, steer))
                        assert wrong(session) == []
    assert story.tally.failures == []


def test_a_job_switched_off_takes_its_points_from_the_jobs_that_move_them(qtbot: QtBot) -> None:
    session = sample("small_saloon")
    session.show(REAR)
    bars = next(
        index
        for index, change in enumerate(session.setup.changes)
        if "rear.bar_snubber" in change.sets
    )
    session.commit(edits.switch_change(session.setup, bars, True), "bars on")
    session.set_active(None)
    points = MovePoints(session)
    points.begin("rear.bar_snubber", (0.0, 0.0), View.SIDE)
    points.move((0.0, 10.0))
    points.commit()
    assert wrong(session) == []
    session.commit(edits.switch_change(session.setup, bars, False), "bars off")
    assert wrong(session) == []
