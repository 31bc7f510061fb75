"""While a hand moves, what may trail does, and comes to the same when the hand rests."""

from __future__ import annotations

import numpy as np
import pytest
from PySide6.QtCore import QTimer
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.board.view import BoardView
from app.document.edits import move_points
from app.document.files import read_setup
from app.document.model import Change, Setup
from app.document.samples import first_sample
from app.drawing.layout import lay_out
from app.drawing.strokes import Handle, HandleShape
from app.drawing.views import Frame, View
from app.paint.handles import Attention, paint_handles
from app.paint.lettering import screen_lettering
from app.paint.palette import LIGHT
from app.paint.pens import Pens
from app.paint.stamps import Stamps
from app.panels.lists.result_rows import WAIT, Row, lines_of, said_by
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from app.systems.front.drawing.drawing import front_drawings
from app.systems.front.study import FrontAnswers
from app.systems.front.system import FRONT
from app.systems.rear.system import REAR
from app.systems.shown import Overlay, Shown
from geometry.catalogue.rear import LEAF_RESULTS
from tests.helpers.rear_cars import BARS, leaf_setup, link_setup

pytestmark = pytest.mark.gui
AREA = (0.0, 0.0, 600.0, 460.0)
GROUPS = {result.group for result in LEAF_RESULTS}
FRAME = Frame(0.45, 300.0, 400.0)


def sample():
    return read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup


def lowered(setup, by: float):
    return move_points(setup, 0, ("front.upper_front",), (0.0, 0.0, -by))


def drawing(setup):
    found = FRONT.study(setup)
    return front_drawings(Shown(found, found.proposed.rest, found.measured.rest))[View.FRONT]


def measure(text: str, bold: bool) -> tuple[float, float]:
    return 7.0 * len(text), 15.0


def test_a_drag_tells_tables_and_curves_late_and_the_results_at_once(qtbot: QtBot) -> None:
    session, told = Session(sample()), []
    for name in ("study_changed", "setup_changed", "curves_changed", "study_completed"):
        getattr(session, name).connect(lambda name=name: told.append(name))
    session.preview(lowered(session.setup, 1.0))
    assert told == ["setup_changed", "study_changed"]
    session.preview(lowered(session.setup, 1.0))
    assert told[2:] == ["study_changed"]
    qtbot.waitUntil(lambda: "study_completed" in told)
    assert told[3:] == ["setup_changed", "curves_changed", "study_completed"]


def test_a_pause_is_counted_from_the_painted_frame(qtbot: QtBot) -> None:
    class Picture(QWidget):
        def paintEvent(self, event: QPaintEvent) -> None:
            waiting.append([timer.interval() for timer in timers if timer.isActive()])

    session, waiting, picture = Session(sample()), [], Picture()
    timers = [each for each in session.findChildren(QTimer) if each.interval() > 0]
    qtbot.addWidget(picture)
    with qtbot.waitExposed(picture):
        picture.show()
    session.study_changed.connect(picture.update)
    waiting.clear()
    session.preview(lowered(session.setup, 1.0))
    qtbot.waitUntil(lambda: bool(waiting))
    assert waiting == [[]]
    qtbot.waitSignal(session.study_completed).wait()
    assert not session.study.short


def test_the_measured_car_is_posed_once_in_a_drag(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    posed, solve = [], FrontAnswers.at_pose
    monkeypatch.setattr(
        FrontAnswers, "at_pose", lambda car, pose: posed.append((car, pose)) or solve(car, pose)
    )
    session = Session(lowered(sample(), 1.0))
    session.set_pose(Pose(travel=20.0))
    found = session.study.measured
    for _ in range(3):
        session.preview(lowered(session.setup, 1.0))
    assert [pose.travel for car, pose in posed if car is found] == [20.0]
    assert len(posed) == 5
    session.set_pose(Pose(travel=30.0))
    assert [pose.travel for car, pose in posed if car is found] == [20.0, 30.0]
    assert session.measured.values["wheel_travel"][0, 0] == pytest.approx(30.0)


def test_a_drag_that_rests_comes_to_the_whole_study_of_its_setup(qtbot: QtBot) -> None:
    session = Session(sample())
    session.preview(lowered(session.setup, 7.0))
    assert session.study.short
    with qtbot.waitSignal(session.study_completed):
        pass
    whole = FRONT.study(session.setup)
    for sweep in ("travel", "roll", "steer"):
        camber = getattr(session.study.proposed, sweep).values["camber"]
        assert camber == pytest.approx(getattr(whole.proposed, sweep).values["camber"], abs=1e-9)


@pytest.mark.parametrize(
    ("setup", "point"),
    [(leaf_setup(BARS), "rear.front_eye"), (link_setup(Change("links")), "rear.upper_body")],
)
def test_a_rears_drag_leaves_out_what_nobody_sees_until_it_rests(
    qtbot: QtBot, setup: Setup, point: str
) -> None:
    session = Session(setup)
    session.preview(move_points(setup, 0, (point,), (0.0, 0.0, -7.0)))
    hasty = session.study
    assert hasty.short
    whole = REAR.study(session.setup)
    every = set(whole.proposed.single)
    assert set(hasty.proposed.single) == every - hasty.proposed.late
    assert hasty.missing == whole.missing
    with qtbot.waitSignal(session.study_completed):
        pass
    rested = session.study
    assert not rested.short
    assert not rested.proposed.late
    for found in (hasty, rested):
        for key, value in whole.proposed.travel.values.items():
            assert found.proposed.travel.values[key] == pytest.approx(value, abs=1e-9, nan_ok=True)
        for key, value in found.proposed.single.items():
            assert value == pytest.approx(whole.proposed.single[key], rel=1e-9, abs=1e-6)
    for key, value in whole.proposed.roll.values.items():
        assert rested.proposed.roll.values[key] == pytest.approx(value, abs=1e-9, nan_ok=True)
    assert set(rested.proposed.single) == every
    assert (rested.proposed.twist is None) == (whole.proposed.twist is None)
    assert (rested.proposed.hop is None) == (whole.proposed.hop is None)


def test_a_rear_that_swings_is_solved_whole_in_every_frame(qtbot: QtBot) -> None:
    setup = leaf_setup(BARS)
    session = Session(setup)
    session.preview(move_points(setup, 0, ("rear.front_eye",), (0.0, 0.0, -3.0)))
    session.lay_over(Overlay(mode=1))
    assert session.study.proposed.hop is not None
    session.preview(move_points(setup, 0, ("rear.front_eye",), (0.0, 0.0, -4.0)))
    assert session.study.proposed.hop is not None


def test_results_of_modes_and_torque_say_that_they_wait(qtbot: QtBot) -> None:
    session = Session(leaf_setup(BARS))
    session.preview(move_points(session.setup, 0, ("rear.front_eye",), (0.0, 0.0, -7.0)))
    rows = [line for line in lines_of(session, frozenset(GROUPS)) if isinstance(line, Row)]
    known = {row.result.key for row in rows if row.result.key in session.study.measured.single}
    waiting = {row.result.key for row in rows if said_by(row, session, 0).proposed == WAIT}
    assert waiting == session.study.proposed.late & known
    assert "hop_frequency" in waiting
    assert "full_thrust" in waiting


def test_words_that_trust_their_slots_stand_where_a_check_leaves_them() -> None:
    setup = sample()
    first = lay_out(drawing(setup), FRAME, AREA, measure)
    again = lay_out(drawing(setup), FRAME, AREA, measure, 1.0, first.slots, trusting=True)
    for one, other in zip(again.texts, first.texts, strict=True):
        assert one.text == other.text
        assert one.box == pytest.approx(other.box)
    assert again.slots == first.slots


def test_words_that_trust_their_slots_move_with_their_anchors() -> None:
    setup = sample()
    first = lay_out(drawing(setup), FRAME, AREA, measure)
    pushed = FRAME.moved(3.0, -2.0)
    moved = lay_out(drawing(setup), pushed, AREA, measure, 1.0, first.slots, trusting=True)
    before = {text.text: text.box for text in first.texts}
    for text in moved.texts:
        if text.text in before and "centre " not in text.text:  # centres are named at the edge
            step = np.subtract(text.box, before[text.text])
            assert step == pytest.approx((3.0, -2.0, 0.0, 0.0), abs=1e-9)


def test_a_new_label_is_placed_with_care_even_by_a_trusting_layout() -> None:
    plain = lay_out(drawing(sample()), FRAME, AREA, measure)
    slots = dict(plain.slots)
    del slots["scrub"]
    trusting = lay_out(drawing(sample()), FRAME, AREA, measure, 1.0, slots, trusting=True)
    assert "scrub" in trusting.slots


def test_a_view_checks_its_labels_when_the_hand_rests(qtbot: QtBot) -> None:
    view = BoardView(View.FRONT)
    qtbot.addWidget(view)
    view.resize(600, 460)
    view.set_drawing(drawing(sample()))
    with qtbot.waitExposed(view):
        view.show()
    view.grab()
    view.set_drawing(drawing(lowered(sample(), 30.0)))
    view.grab()
    area = view.paper_area()
    box = (area.x(), area.y(), area.width(), area.height())

    def boxes_meet_no_handle() -> bool:
        layout = lay_out(view.drawing, view.frame, box, screen_lettering().measure, 1.0,
                         view._slots, trusting=True)  # fmt: skip
        return not any(
            x < at[0] < x + wide and y < at[1] < y + high
            for x, y, wide, high in (text.box for text in layout.texts)
            for _, at in layout.handles
        )

    qtbot.waitUntil(lambda: not view._check.isActive() and boxes_meet_no_handle())


@pytest.mark.parametrize("shape", HandleShape)
@pytest.mark.parametrize("moved", [False, True])
def test_a_stamped_handle_looks_as_one_painted_there(qapp, shape, moved) -> None:
    handle = Handle("a", (0.0, 0.0), shape, "A", moved=moved)
    place, pens = (20.25, 19.5), Pens(LIGHT, 1.0)
    pictures = []
    for stamps in (None, Stamps()):
        image = QImage(40, 40, QImage.Format.Format_RGB32)
        image.fill(LIGHT.colour("paper"))
        with QPainter(image) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            paint_handles(painter, [(handle, place)], pens, Attention(), stamps)
        pictures.append(np.frombuffer(image.constBits(), dtype=np.uint8).astype(int))
    assert np.abs(pictures[0] - pictures[1]).max() <= 3
