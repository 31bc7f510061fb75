"""The round of Tab: forwards and backwards, front and rear, it reaches everything and ends."""

from __future__ import annotations

from collections.abc import Callable
from math import radians

import pytest

pytest.importorskip("PySide6")

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.edits import switch_change
from app.document.files import read_setup
from app.document.keys import KEYS
from app.document.moves import right_moves_of_their_own
from app.document.samples import first_sample
from app.document.units import format_point
from app.drawing.strokes import Label
from app.drawing.views import View
from app.panels.lists.sentence_lines import SentenceLine
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.every import LIMIT_KINDS
from tests.helpers.setup_edits import move_point
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui

MOST = 120


@pytest.fixture
def window(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> Window:
    window = Window(Session(read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup))
    qtbot.addWidget(window)
    monkeypatch.setattr(window.filing, "may_leave", lambda: True)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    qtbot.waitUntil(lambda: window.curves.sheet is not None)
    qtbot.waitUntil(lambda: len(window.sentences.words.shown()) > 3)
    return window


def round_of(key: Qt.Key) -> list[QWidget]:
    """Press a key until the keyboard is where it was."""
    stops: list[QWidget] = []
    for _ in range(MOST):
        stop = QApplication.focusWidget()
        assert stop is not None
        if stops and stop is stops[0]:
            return stops
        assert stop not in stops, f"Tab stays with {stop.accessibleName()}"
        stops.append(stop)
        QTest.keyClick(stop, key)
    raise AssertionError("Tab never comes back to where it began.")


def has(stops: list[QWidget], test: Callable[[QWidget], bool]) -> bool:
    return any(test(stop) for stop in stops)


@pytest.mark.parametrize("end", ["front", "rear"])
def test_tab_reaches_every_part_both_ways(window: Window, end: str) -> None:
    if end == "rear":
        window.change_over()
        QApplication.processEvents()
    next(view for view in window.board.views.values() if view.isVisible()).setFocus()
    forwards = round_of(Qt.Key.Key_Tab)
    backwards = round_of(Qt.Key.Key_Backtab)
    assert {id(stop) for stop in forwards} == {id(stop) for stop in backwards}
    parts: list[QWidget] = [window.results.view, window.changes.view, window.points.table]
    parts += [
        window.strip.drivers["travel"].slider,
        window.strip.height_.arch,
        window.strip.reset,
    ]
    for part in parts:
        assert part in forwards, part.accessibleName()
    assert has(forwards, lambda stop: isinstance(stop, SentenceLine))
    if end == "front":
        assert has(forwards, lambda stop: stop.accessibleName().startswith("Remove the change"))
    for stop in forwards:
        assert stop.accessibleName() or getattr(stop, "text", str)(), stop


def test_sentences_follow_the_results(window: Window) -> None:
    window.board.views[next(iter(window.board.views))].setFocus()
    stops = round_of(Qt.Key.Key_Tab)
    place = stops.index(window.results.view)
    assert isinstance(stops[place + 1], SentenceLine)


def test_enter_on_a_sentence_takes_the_keyboard_to_its_result(window: Window) -> None:
    line = next(line for line in window.sentences.words.shown() if line.line.key)
    line.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    line.setFocus()
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.results.view.hasFocus()
    assert window.results.view.paper.opened == line.line.key


def spoken(thing: QWidget) -> QAccessibleInterface:
    interface = QAccessible.queryAccessibleInterface(thing)
    assert interface is not None
    return interface


NAME, DESCRIPTION = QAccessible.Text.Name, QAccessible.Text.Description


def test_views_are_named_as_they_are_titled(window: Window) -> None:
    window.change_over()
    for view in window.board.views.values():
        assert spoken(view).text(NAME) == view.title
    assert any("Rear" in view.title for view in window.board.views.values())


def test_a_points_name_carries_its_coordinates(window: Window) -> None:
    view = spoken(window.board.views[View.FRONT])
    points = [view.child(number) for number in range(view.childCount())]
    names = [point.text(NAME) for point in points]
    assert any("front pivot" in name.lower() and "538.0" in name for name in names), names
    assert {point.role() for point in points} == {QAccessible.Role.Graphic}


def test_one_of_several_is_a_radio_button(window: Window) -> None:
    buttons = [*window.curves.drivers.buttons(), *window.results.sides.buttons()]
    buttons += [window.strip.height_.settle, window.strip.height_.hold]
    for button in buttons:
        assert spoken(button).role() == QAccessible.Role.RadioButton, button.text()
        assert spoken(button).state().checked == button.isChecked()


def test_sliders_speak_millimetres_and_degrees(window: Window) -> None:
    window.session.set_pose(Pose(travel=75.0, roll=radians(2.0)))
    names = {key: spoken(row.slider).text(NAME) for key, row in window.strip.drivers.items()}
    assert names["travel"] == "Travel 75.0 mm bump"
    assert names["roll"] == "Roll 2.00 ° leans right"


def test_a_refusal_is_forgotten_once_it_is_mended(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.panels.entry.QToolTip.showText", lambda *_, **__: None)
    field = window.strip.drivers["travel"].field
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "z")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert spoken(field).text(DESCRIPTION)
    field.selectAll()
    QTest.keyClicks(field, "75")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert not spoken(field).text(DESCRIPTION)


def test_work_is_announced(window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    heard: list[str] = []
    monkeypatch.setattr("app.desk.speaking.announce", lambda _widget, words: heard.append(words))

    def next_words() -> str:
        qtbot.waitUntil(lambda: bool(heard))
        words = " ".join(heard)
        heard.clear()
        return words

    session, view = window.session, window.board.views[View.FRONT]
    view.setFocus()
    QTest.keyClick(view, Qt.Key.Key_BracketRight)
    QTest.keyClick(view, Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier)
    key = session.selection[0]
    place = session.system.places(session.study)[key]
    assert f"{KEYS[key].title}: {format_point(place, 'mm')}." in next_words()
    session.undo()
    assert "Undone" in next_words()
    session.choose_height("as measured")
    assert "past its limit" in next_words()
    session.commit(switch_change(session.setup, 0, False), "Untick the first change")
    assert "Untick the first change" in next_words()
    window.change_over()
    assert next_words().startswith("Rear.")


def test_a_move_on_one_side_of_an_unlike_car_is_said(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = Session(sample("hillclimb_special"))
    window = Window(session)
    monkeypatch.setattr(window.filing, "may_leave", lambda: True)
    qtbot.addWidget(window)
    heard: list[str] = []
    session.said.connect(heard.append)
    own = next(iter(right_moves_of_their_own(session.setup, "front")))
    assert session.active is not None
    moved = move_point(session.setup, session.active, f"front.{own}", (0.0, 0.0, -3.0))
    session.commit(moved, "move it")
    assert any("moved on the left only" in words for words in heard)
    heard.clear()
    both = move_point(session.setup, session.active, "front.upper_front", (0.0, 0.0, -3.0))
    session.commit(both, "move another")
    assert not any("only" in words for words in heard)


def test_choosing_the_right_wheel_turns_drawing_and_points(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = Window(Session(sample("hillclimb_special")))
    monkeypatch.setattr(window.filing, "may_leave", lambda: True)
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    table, view = window.points.table, window.board.views[View.FRONT]

    def top_key() -> str:
        return table.points.keys[table.rowAt(4)]

    assert "right" not in top_key()
    QTest.mouseClick(window.results.sides.button(1), Qt.MouseButton.LeftButton)
    assert "right" in top_key()
    assert view.drawing is not None
    texts = [stroke.text for stroke in view.drawing.strokes if isinstance(stroke, Label)]
    assert "camber 0.90°, right" in texts
    item = view.aim.find("front.right.tie_inner")
    assert item is not None
