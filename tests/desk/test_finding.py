"""The search for a change in the window: asked by hand, shown, taken, against the command line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QMenu
from pytestqt.qtbot import QtBot

from app.cli.commands import run
from app.desk.finding.choices import thing_choices
from app.desk.finding.opening import find_where
from app.desk.finding.window import FindWindow
from app.desk.point_menu import point_menu
from app.desk.search import places_of
from app.desk.window import Window
from app.document.files import read_setup
from app.document.model import Limit, Setup
from app.document.plans import Room, Want
from app.drawing.views import View
from app.judge.finder import FindJob, FindReply, answer
from app.panels.lists.result_rows import Row as ResultRow
from app.session.find_keeper import FindKeeper
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from tests.helpers.entering import sample
from tests.helpers.hands import Hand
from tests.helpers.sought import BUMP_STEER, CAMBER_GAIN, GAIN, PIVOTS, TIE_ROD, UPPER_FRONT

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton
WANTS = (CAMBER_GAIN, BUMP_STEER)
ROOMS = {**PIVOTS, **TIE_ROD}


class Here:
    """Stands for the process beside: searches when it is told to, in the test's own process."""

    def __init__(self) -> None:
        self.jobs: list[FindJob] = []
        self.waiting: list[FindReply] = []

    def send(self, job: FindJob) -> None:
        self.jobs.append(job)

    def came(self) -> list[FindReply]:
        came, self.waiting = self.waiting, []
        return came

    def work(self) -> None:
        answer(self.jobs[-1], self.waiting.append, lambda: True)


def asked(**more: Any) -> Setup:
    return sample("small_saloon").having(changes=(), **more)


def opened(qtbot: QtBot, setup: Setup) -> tuple[Window, FindWindow, Here]:
    window, here = Window(Session(setup)), Here()
    qtbot.addWidget(window)
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]
    window.resize(1280, 720)
    window.show()
    found = FindWindow(window, FindKeeper(beside=here))  # type: ignore[arg-type]
    with qtbot.waitActive(found):
        found.open_beside()
    found.asking.finish()
    return window, found, here


def seek(qtbot: QtBot, found: FindWindow, here: Here) -> None:
    QTest.mouseClick(found.seek, LEFT)
    assert found.keeper.is_going
    here.work()
    qtbot.waitUntil(lambda: not found.keeper.is_going)


def choose_answer(found: FindWindow) -> None:
    """Walk with the arrow keys to the first answer."""
    assert found.answers.table is not None
    steps = found.answers.table.heads.index("Answer 1") + 1
    found.answers.setFocus()
    for _ in range(steps + 1):
        QTest.keyClick(found.answers, Qt.Key.Key_Right)
        if found.preview.is_on:
            return


def test_closed_while_it_seeks_it_says_nothing_of_seeking(qtbot: QtBot) -> None:
    pivots = {"front.upper_front": Room(z=(-30.0, 10.0))}
    want = Want("front.camber_gain", keep=True, kind="angle per length")
    _, found, _ = opened(qtbot, asked(rooms=pivots, wants=(want,)))
    QTest.mouseClick(found.seek, LEFT)
    assert found.keeper.is_going
    found.close()
    found.open_beside()
    assert not found.keeper.is_going
    assert "Seeking" not in found.says.text()


@pytest.mark.slow
def test_an_answer_that_is_taken_is_what_the_command_line_writes(
    qtbot: QtBot, tmp_path: Path
) -> None:
    """The same car, wants and room: `wishboard find -o` and the window make one change."""
    path, written = Path("sample_setups/small_saloon.toml").resolve(), tmp_path / "found.toml"
    calls = ["--want", "camber_gain_deg_per_mm=-0.02", "bump_steer_deg_per_mm=0"]
    calls += ["--room", "front.upper_front.z=-30:10", "front.tie_outer.z=-12:12"]
    calls += ["--alike", "front.upper_front,front.upper_rear", "--step", "0.5"]
    assert run(["find", str(path), *calls, "-o", str(written)], lambda _: 1) == 0
    expected = read_setup(written, limit_kinds=LIMIT_KINDS).setup
    car = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    wants = (Want("front.camber_gain", -0.5 * GAIN, kind="angle per length"),)
    wants += (Want("front.bump_steer", 0.0, kind="angle per length"),)
    rooms = {UPPER_FRONT: Room(z=(-30.0, 10.0)), "front.upper_rear": Room(alike=UPPER_FRONT)}
    window, found, here = opened(qtbot, car.having(wants=wants, rooms={**rooms, **TIE_ROD}))
    seek(qtbot, found, here)
    choose_answer(found)
    QTest.mouseClick(found.take, LEFT)
    taken = window.session.history.value
    assert taken.changes == expected.changes
    assert window.session.preview_setup is None
    assert found.isHidden()
    window.session.undo()
    assert window.session.history.value.changes == car.changes


def test_choosing_shows_on_the_drawing_and_closing_leaves_everything_as_it_was(
    qtbot: QtBot,
) -> None:
    setup = asked(wants=(CAMBER_GAIN,), rooms=PIVOTS)
    window, found, here = opened(qtbot, setup)
    session = window.session
    seek(qtbot, found, here)
    table = found.answers.table
    assert table is not None
    assert table.is_met
    assert session.preview_setup is None  # nothing is shown before one is chosen
    assert not found.take.isEnabled()
    choose_answer(found)
    assert session.setup.changes[-1] == table.changes[-1]
    assert session.history.value == setup
    assert found.take.isEnabled()
    QTest.keyClick(found.answers, Qt.Key.Key_Left)  # the car as found: nothing is shown
    assert session.preview_setup is None
    choose_answer(found)
    QTest.keyClick(found, Qt.Key.Key_Escape)
    assert found.isHidden()
    assert session.setup == setup
    assert len(session.history.steps) == 1


def test_an_answer_gives_way_to_edits_and_is_old_after_them(qtbot: QtBot) -> None:
    """What is edited begins from the car as it is, never from an answer that is only shown."""
    setup = sample("small_saloon").having(wants=(CAMBER_GAIN,), rooms=PIVOTS, limits={})
    window, found, here = opened(qtbot, setup)
    session = window.session
    seek(qtbot, found, here)
    choose_answer(found)
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is window)
    window.board.views[View.FRONT].setFocus()
    assert found.preview.is_on  # to look at the drawing is no edit
    window.changes.view.setFocus()
    assert session.preview_setup is None
    window.changes.view.setCurrentIndex(window.changes.model.index(1, 0))
    QTest.keyClick(window.changes.view, Qt.Key.Key_Space)
    after = session.history.value
    assert len(after.changes) == len(setup.changes)
    assert after.changes[1].on
    assert "changed since" in found.says.text()
    choose_answer(found)
    assert session.preview_setup is None
    assert not found.take.isEnabled()
    session.undo()
    choose_answer(found)
    assert found.preview.is_on
    QTest.mouseClick(window.changes.view.viewport(), LEFT)  # the keyboard may come later
    assert session.preview_setup is None
    choose_answer(found)
    Hand(window.board.views[View.FRONT]).drag_mm(UPPER_FRONT, 0.0, -5.0)
    assert len(session.history.value.changes) == len(setup.changes)  # no answer came with the drag
    session.undo()
    header = found.answers.horizontalHeader()
    last = header.sectionViewportPosition(header.count() - 1) + 5
    QTest.mouseClick(header.viewport(), LEFT, pos=QPoint(last, 5))
    assert found.preview.is_on
    window.filing.letting_go.emit()  # before a car is saved or closed
    assert session.preview_setup is None


def test_rows_are_typed_by_hand_and_what_is_wrong_is_told_beside_them(qtbot: QtBot) -> None:
    window, found, here = opened(qtbot, asked(limits={}))
    QTest.mouseClick(found.seek, LEFT)
    assert "Nothing is wanted yet" in found.asking.wrong.text()
    QTest.keyClick(found, Qt.Key.Key_W, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: len(found.wants.rows) == 1)  # a button that is typed goes down first
    (want,) = found.wants.rows
    assert want.result.hasFocus()
    pick(want.result, "camber gain")
    QTest.keyClicks(want.value, "half")
    QTest.mouseClick(found.seek, LEFT)
    assert "no number" in want.wrong.text()
    assert "no number" in want.value.accessibleDescription()
    assert want.value.text() == "half"
    assert not here.jobs
    want.value.clear()
    QTest.keyClicks(want.value, "-0.5")
    assert want.wrong.isHidden()
    QTest.mouseClick(found.seek, LEFT)
    assert "Nothing may move yet" in found.asking.wrong.text()
    QTest.keyClick(found, Qt.Key.Key_R, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: len(found.rooms.rows) == 1)
    (room,) = found.rooms.rows
    pick(room.key, "upper arm, front")
    assert (room.low.text(), room.high.text()) == ("−10", "10")
    room.high.setText("-20")
    QTest.mouseClick(found.seek, LEFT)
    assert "less than" in room.wrong.text()
    room.high.setText("5")
    found.asking.step.setEditText("a bit")
    QTest.mouseClick(found.seek, LEFT)
    assert "In steps of" in found.asking.wrong.text()
    found.asking.step.setEditText("1/32 in")
    QTest.mouseClick(found.seek, LEFT)
    (job,) = here.jobs
    assert job.setup is not None
    assert job.step == pytest.approx(25.4 / 32)
    assert job.setup.wants[0].value == pytest.approx(-0.5 * GAIN)
    assert job.setup.rooms == {UPPER_FRONT: Room(z=(-10.0, 5.0))}
    QTest.mouseClick(found.stop, LEFT)
    assert here.jobs[-1].setup is None
    assert "Stopped" in found.says.text()
    kept = window.session.history.value
    assert kept == asked(limits={}, wants=job.setup.wants, rooms=job.setup.rooms)
    assert not accessible_names(found) - {""} & {"value", "low"}


def pick(field: QComboBox, words: str) -> None:
    """Type a part of the words of a choice."""
    line = field.lineEdit()
    assert line is not None
    line.setText(words)  # typed, it would open the list that it completes from
    QTest.keyClick(line, Qt.Key.Key_Tab)


def accessible_names(found: FindWindow) -> set[str]:
    names = {field.accessibleName() for row in found.wants.rows for field in row.fields.values()}
    return names | {f.accessibleName() for row in found.rooms.rows for f in row.fields.values()}


def test_wants_and_room_are_kept_with_the_car_as_one_step(qtbot: QtBot) -> None:
    """When the search begins, when one turns to the window, when this is closed."""
    setup = asked(wants=(CAMBER_GAIN,), rooms=PIVOTS)
    window, found, _ = opened(qtbot, setup)
    session = window.session
    type_over(found.wants.rows[0].value, "-0.75")
    window.activateWindow()
    qtbot.waitUntil(lambda: session.history.value.wants[0].value == pytest.approx(-0.75 * GAIN))
    assert not session.is_saved  # so that leaving asks
    found.activateWindow()
    qtbot.waitUntil(found.isActiveWindow)
    type_over(found.wants.rows[0].value, "-0.8")
    QTest.mouseClick(found.seek, LEFT)
    assert session.history.value.wants[0].value == pytest.approx(-0.8 * GAIN)
    assert session.history.value.rooms == setup.rooms
    QTest.mouseClick(found.stop, LEFT)
    type_over(found.rooms.rows[0].high, "7")
    found.close()
    assert session.history.value.rooms[UPPER_FRONT].z == (-30.0, 7.0)
    assert len(session.history.steps) == 2
    session.undo()
    assert session.history.value == setup
    assert found.wants.rows[0].value.text() == "−0.5"  # the rows follow the step back


def type_over(field: QLineEdit, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)


def test_a_row_that_cannot_be_read_is_asked_about_before_it_is_lost(qtbot: QtBot) -> None:
    window, found, _ = opened(qtbot, asked(wants=(CAMBER_GAIN,), rooms=PIVOTS))
    del window.filing.may_leave  # type: ignore[attr-defined]
    told: list[str] = []
    window.filing.asker.leave_behind = lambda words: bool(told.append(words))  # type: ignore[method-assign]
    QTest.mouseClick(found.asking.add_want, LEFT)  # an empty one is nothing to lose
    assert window.filing.may_leave()
    assert not told
    pick(found.wants.rows[1].result, "bump steer")
    type_over(found.wants.rows[1].value, "nought")
    window.session.commit(window.session.history.value.having(wants=()), "no wants")
    assert [row.value.text() for row in found.wants.rows] == ["nought"]  # it stands nowhere else
    assert not window.filing.may_leave()
    assert told == [
        f"{found.windowTitle()}: 1 row can't be read yet, and no file can hold what stands there."
    ]


def test_while_an_answer_is_shown_undo_says_why_it_waits(qtbot: QtBot) -> None:
    window, found, here = opened(qtbot, asked(wants=(CAMBER_GAIN,), rooms=PIVOTS, limits={}))
    session, undo = window.session, window.actions_.undo
    session.commit(session.setup.having(title="Another"), "title")
    seek(qtbot, found, here)
    choose_answer(found)
    assert not undo.isEnabled()
    assert "Answer 1 is shown" in undo.toolTip()
    said: list[str] = []
    session.said.connect(said.append)
    window.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is window)
    QTest.keyClick(
        window.board.views[View.FRONT], Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier
    )
    assert said == [window.actions_.why_held()]
    assert session.history.value.title == "Another"
    found.close()
    assert undo.isEnabled()
    assert "Answer" not in undo.toolTip()


def test_an_end_that_is_dragged_on_the_board_is_followed_by_its_row(qtbot: QtBot) -> None:
    window, found, _ = opened(qtbot, asked(wants=(CAMBER_GAIN,), rooms=TIE_ROD))
    found.wants.rows[0].value.setText("-0.6")
    hand = Hand(window.board.views[View.FRONT])
    hand.view.zoom(5.0, hand.place_of("front.tie_outer"))
    hand.drag_mm("room:front.tie_outer:z:high", 0.0, 8.0)
    (row,) = found.rooms.rows
    assert (row.low.text(), row.high.text()) == ("−12", "20")
    assert found.wants.rows[0].value.text() == "-0.6"  # nothing typed is lost by it


def test_inches_turn_the_rows_and_lose_nothing(qtbot: QtBot) -> None:
    """Fields show what a hand can read; untouched, they are what the file says."""
    setup = asked(wants=(CAMBER_GAIN,), rooms=PIVOTS)
    window, found, _ = opened(qtbot, setup)
    window.toggle_units()
    row = found.rooms.rows[0]
    assert (row.low.text(), row.high.text()) == ("−1.1811", "0.3937")
    assert row.units[0].text() == "in"
    found.close()
    found.open_beside()
    assert window.session.history.value == setup
    found.wants.rows[0].weight.setText("two")
    window.toggle_units()
    window.toggle_units()
    assert found.wants.rows[0].weight.text() == "two"
    assert found.asking.step.currentText() == "1/32 in"
    window.toggle_units()
    assert found.rooms.rows[0].low.text() == "−30"
    assert window.session.history.value == setup


def test_it_begins_from_a_point_a_result_or_a_limit(qtbot: QtBot) -> None:
    limit = Limit(maximum=0.2, kind="angle")
    window, found, _ = opened(qtbot, asked(limits={"front.caster": limit}))
    menu = point_menu(window.session, UPPER_FRONT, window, lambda _: None, window.find_where)
    named(menu, "Find where").trigger()
    assert [row.typed().key for row in found.rooms.rows] == [UPPER_FRONT]
    menu = point_menu(window.session, UPPER_FRONT, window, lambda _: None, window.find_where)
    named(menu, "Find where").trigger()
    assert len(found.rooms.rows) == 1  # it has its row
    assert "Find where this must be…" in {place.words for place in places_of(window)}  # Ctrl+F
    view = window.results.view
    view.open_result("camber_gain")
    QTest.keyClick(view, Qt.Key.Key_W)
    assert [row.typed().result for row in found.wants.rows] == ["front.camber_gain"]
    assert found.wants.rows[0].value.hasFocus() or not found.isActiveWindow()
    (caster,) = (
        line
        for line in view.results.lines
        if isinstance(line, ResultRow) and line.result.key == "caster"
    )
    named(view.menu(caster), "keeps its limit").trigger()
    assert found.wants.rows[1].typed().how == "at_most"
    assert found.wants.rows[1].value.text() == "11.459"


def named(menu: QMenu, words: str) -> Any:
    (action,) = (each for each in menu.actions() if words in each.text())
    return action


def test_it_says_nothing_is_wanted_only_where_nothing_is_on_its_way(qtbot: QtBot) -> None:
    setup = asked(wants=(BUMP_STEER,), rooms=TIE_ROD)
    window = Window(Session(setup))
    qtbot.addWidget(window)
    found = FindWindow(window)
    assert not found.wants.rows
    assert found.wants.nothing.isHidden()
    assert found.rooms.nothing.isHidden()
    assert found.asking.read() == setup  # with the rows that were to come
    assert (len(found.wants.rows), len(found.rooms.rows)) == (1, 1)


def test_what_cannot_be_moved_is_not_offered_and_said(qtbot: QtBot) -> None:
    """The pinion of an axle on links is turned with its links."""
    window = Window(Session(sample("hillclimb_special")))
    qtbot.addWidget(window)
    said: list[str] = []
    window.session.said.connect(said.append)
    assert "rear.pinion" not in dict(thing_choices(window.session))
    find_where(window, "rear.pinion")
    assert said
    assert window.findChild(FindWindow) is None


def test_room_is_given_and_taken_on_a_points_menu(qtbot: QtBot) -> None:
    session = Session(asked())
    owner = QLineEdit()
    qtbot.addWidget(owner)

    def part(words: str) -> Any:
        menu = point_menu(session, UPPER_FRONT, owner, lambda _: None)
        return named(named(menu, "Room to move").menu(), words)

    part("Z").trigger()
    assert session.history.value.rooms == {UPPER_FRONT: Room(z=(-10.0, 10.0))}
    part("Y").trigger()
    part("Z").trigger()
    assert session.history.value.rooms == {UPPER_FRONT: Room(y=(-10.0, 10.0))}
    part("No room").trigger()
    assert not session.history.value.rooms
    assert len(session.history.steps) == 5
