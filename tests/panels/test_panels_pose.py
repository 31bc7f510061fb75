"""The pose strip: each test is one thing that a user slides, types or plays."""

from __future__ import annotations

import re
from math import degrees, radians

import pytest
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from app.document.edits import set_value, switch_change
from app.document.model import Units
from app.panels.strip import PoseStrip
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.rear.system import REAR
from tests.helpers.panel_windows import CONTROL, LEFT, NONE, saloon, saloon_session, shown

pytestmark = pytest.mark.gui


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def strip(qtbot: QtBot, session: Session) -> PoseStrip:
    made = PoseStrip(session)
    shown(qtbot, made, 1280, 48)
    return made


def type_travel(strip: PoseStrip, text: str, driver: str = "travel") -> None:
    field = strip.drivers[driver].field  # type: ignore[index]
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_A, CONTROL)
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


def test_dragging_the_slider_travels_the_wheel(strip: PoseStrip, session: Session) -> None:
    slider = strip.drivers["travel"].slider
    y, x = slider.height() // 2, slider.width() // 2
    QTest.mousePress(slider, LEFT, NONE, QPoint(x, y))
    QTest.mouseMove(slider, QPoint(x + 20, y))
    QTest.mouseRelease(slider, LEFT, NONE, QPoint(x + 20, y))
    assert session.pose.travel > 5.0
    assert strip.drivers["travel"].unit.text() == "mm\nbump"


def test_arrow_keys_move_the_slider_by_half_a_millimetre(
    strip: PoseStrip, session: Session
) -> None:
    QTest.keyClick(strip.drivers["travel"].slider, Qt.Key.Key_Right)
    assert session.pose.travel == pytest.approx(0.5)


def test_a_typed_travel_is_shown_to_the_point(strip: PoseStrip, session: Session) -> None:
    type_travel(strip, "-12,25")
    assert session.pose.travel == pytest.approx(-12.25)
    assert strip.drivers["travel"].unit.text() == "mm\nrebound"


def test_roll_is_typed_in_degrees_and_says_which_way(strip: PoseStrip, session: Session) -> None:
    type_travel(strip, "1.5", "roll")
    assert degrees(session.pose.roll) == pytest.approx(1.5)
    assert strip.drivers["roll"].unit.text() == "°\nleans right"


def test_a_travel_in_inches_may_be_a_fraction(strip: PoseStrip, session: Session) -> None:
    session.set_units("in")
    type_travel(strip, "1 1/4")
    assert session.pose.travel == pytest.approx(31.75)


def test_what_lies_beyond_the_stops_goes_to_the_stop_and_says_so(
    strip: PoseStrip, session: Session
) -> None:
    said: list[str] = []
    session.said.connect(said.append)
    type_travel(strip, "200")
    assert session.pose.travel == pytest.approx(75.0)
    assert said == ["Travel goes no further than 75 mm."]


@pytest.mark.qt_log_ignore("raise", extend=True)  # the offscreen platform says so of a tool-tip
def test_what_cannot_be_read_leaves_the_pose_and_is_said(
    strip: PoseStrip, session: Session
) -> None:
    said: list[str] = []
    session.said.connect(said.append)
    type_travel(strip, "up a bit")
    assert session.pose == Pose()
    assert "is no number" in said[0]


def test_a_double_click_on_a_slider_goes_back_to_zero(strip: PoseStrip, session: Session) -> None:
    session.set_pose(Pose(travel=20.0, roll=radians(1.0)))
    QTest.mouseDClick(strip.drivers["travel"].slider, LEFT)
    assert session.pose == Pose(roll=radians(1.0))


def test_playing_runs_bump_until_escape(qtbot: QtBot, strip: PoseStrip, session: Session) -> None:
    QTest.mouseClick(strip.drivers["travel"].play, LEFT)
    qtbot.waitUntil(lambda: session.pose.travel > 5.0)
    QTest.keyClick(strip, Qt.Key.Key_Escape)
    assert strip.player.driver == ""
    assert not any(clock.isActive() for clock in strip.player.findChildren(QTimer))


def test_the_play_button_stops_what_it_started(
    qtbot: QtBot, strip: PoseStrip, session: Session
) -> None:
    play = strip.drivers["roll"].play
    QTest.mouseClick(play, LEFT)
    qtbot.waitUntil(lambda: session.pose.roll != 0.0)
    QTest.mouseClick(play, LEFT)
    assert strip.player.driver == ""
    assert play.accessibleName() == "Run roll"
    QTest.mouseClick(play, LEFT)
    assert strip.player.driver == "roll"
    strip.player.stop()


def test_it_settles_says_how_far_and_is_held_as_a_step_of_history(
    strip: PoseStrip, session: Session
) -> None:
    travel = session.stands()
    assert travel is not None
    assert travel > 5.0
    assert strip.height_.words.text() == f"stands {travel:.0f} mm lower, 0.5° nose down"
    QTest.mouseClick(strip.height_.hold, LEFT)
    assert session.setup.heights == {"front": "as measured"}
    assert strip.height_.words.text() == "stands where it was"
    assert session.history.undo_words == "Front held at the measured height"
    session.undo()
    assert session.height == "settles"
    assert strip.height_.settle.isChecked()
    assert strip.height_.words.text() == f"stands {travel:.0f} mm lower, 0.5° nose down"


@pytest.mark.qt_log_ignore("raise", extend=True)  # the offscreen platform says so of a tool-tip
def test_a_height_is_typed_as_it_is_measured_at_the_arch(
    strip: PoseStrip, session: Session
) -> None:
    arch = session.setup.evidence["front.arch_height"]
    field = strip.height_.arch
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, f"{arch - 10.0:g}")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert session.setup.heights == {"front": arch - 10.0}
    assert session.stands() == pytest.approx(10.0)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "12")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert session.setup.heights == {"front": arch - 10.0}
    assert "Beyond the stops" in field.accessibleDescription()


@pytest.mark.qt_log_ignore("raise", extend=True)  # the offscreen platform says so of a tool-tip
@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("far", ["1", "700"])
def test_the_nearest_height_that_is_told_can_be_typed(
    strip: PoseStrip, session: Session, units: Units, far: str
) -> None:
    session.set_units(units)
    field = strip.height_.arch
    _type_anew(field, far)
    assert session.setup.heights == {}
    nearest = re.search(r"Beyond the stops: ([\d.]+) ", field.accessibleDescription())
    assert nearest is not None
    _type_anew(field, nearest[1])
    size = 25.4 if units == "in" else 1.0
    assert session.setup.heights == {"front": pytest.approx(float(nearest[1]) * size)}


def _type_anew(field: QLineEdit, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


def test_without_a_mass_it_cannot_settle_and_says_what_it_needs(
    strip: PoseStrip, session: Session
) -> None:
    setup = saloon()
    kept = {key: value for key, value in setup.evidence.items() if key != "car.mass"}
    session.open(setup.having(evidence=kept), None)
    assert strip.height_.words.text() == "at the measured height: weights not given"
    assert "mass as driven" in strip.height_.settle.toolTip()


def test_where_no_car_could_be_built_the_strip_gives_no_wrong_reason(qtbot: QtBot) -> None:
    setup = set_value(saloon(), 0, "rear.shackle_length", 3.0)
    session = Session(switch_change(setup, 0, True))
    session.show(REAR)
    assert session.study is None
    made = PoseStrip(session)
    qtbot.addWidget(made)
    assert made.height_.words.text() == ""


def test_one_click_goes_back_to_the_design(strip: PoseStrip, session: Session) -> None:
    session.set_pose(Pose(10.0, radians(1.0), 5.0))
    QTest.mouseClick(strip.reset, LEFT)
    assert session.pose == Pose()
