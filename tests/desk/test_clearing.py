"""Clearances made, changed and taken away in the window, by real keys and clicks."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.desk.clearing.window import DROP, KEPT, MEND, ClearancesWindow
from app.desk.window import Window
from app.document.clearances import Clearance
from app.document.files import read_setup
from app.drawing.views import View
from app.panels.lists.result_rows import Row
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from tests.helpers.answers import Answers
from tests.helpers.entering import sample
from tests.helpers.hands import Hand

pytestmark = pytest.mark.gui
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture(name="window")
def _window(qtbot: QtBot) -> Iterator[Window]:
    window = Window(Session(sample("small_saloon")))
    window.asker = window.filing.asker = Answers(window)
    window.resize(1280, 720)
    with qtbot.waitExposed(window):
        window.show()
    yield window
    window.close()
    window.deleteLater()


@pytest.fixture(name="asked")
def _asked(window: Window) -> ClearancesWindow:
    QTest.keyClick(window, Qt.Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    found = window.findChild(ClearancesWindow)
    assert isinstance(found, ClearancesWindow)
    assert found.isVisible()
    return found


def press(button: QPushButton) -> None:
    QTest.mouseClick(button, LEFT)


def write(text: str) -> None:
    """Type in the place of what stands where the keyboard is."""
    field = QApplication.focusWidget()
    assert field is not None
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(field, text)


def click_point(window: Window, key: str) -> None:
    hand = Hand(window.board.views[View.FRONT])
    hand.press(key)
    hand.let_go()


def make_a_rod(window: Window, asked: ClearancesWindow) -> None:
    """Add a rod from the upper arm's front pivot to its ball, and the tyre's distance to it."""
    press(asked.parts.add)
    write("upper leg")
    for end, key in (("from", "front.upper_front"), ("to", "front.upper_ball")):
        press(asked.part.picks[end])
        click_point(window, key)
    asked.part.sizes["radius"].setFocus()
    write("15")
    press(asked.pairs.add)
    asked.pair.least.setFocus()
    write("10")


def test_a_part_is_picked_on_the_drawing_kept_saved_and_undone(
    window: Window, asked: ClearancesWindow, tmp_path: Path
) -> None:
    before = window.session.setup
    make_a_rod(window, asked)
    assert asked.errors == {}
    press(asked.keep)
    assert asked.says.text() == KEPT
    setup = window.session.setup
    assert (setup.envelopes[0].start, setup.envelopes[0].finish) == (
        "front.upper_front",
        "front.upper_ball",
    )
    assert setup.clearances == (Clearance("front", ("tyre", "upper leg"), 10.0),)
    rows = window.results.view.results.lines
    assert any(isinstance(row, Row) and row.result.title == "Tyre to upper leg" for row in rows)
    assert asked.pair.says.text().startswith("As found ")
    assert window.filing.write(tmp_path / "car.toml")
    assert read_setup(tmp_path / "car.toml", limit_kinds=LIMIT_KINDS).setup == setup
    window.session.undo()
    assert window.session.setup == before
    assert asked.typed.envelopes == ()
    window.session.redo()
    press(asked.parts.take_away)  # with the pair that it is in
    press(asked.keep)
    assert window.session.setup.envelopes == window.session.setup.clearances == ()


def test_what_cannot_be_read_is_gone_to_and_not_kept(asked: ClearancesWindow) -> None:
    press(asked.parts.add)
    press(asked.keep)
    assert asked.session.setup.envelopes == ()
    assert asked.says.text() == MEND
    assert asked.focusWidget() is asked.part.axes["from.x"]
    assert "Radius: A number is missing." in asked.part.fault.text()
    asked.leave.click()
    assert (asked.isVisible(), asked.says.text()) == (True, DROP)
    asked.leave.click()
    assert asked.isHidden()


def test_typed_numbers_follow_the_units_and_both_ends_are_kept_in_one_step(
    window: Window, asked: ClearancesWindow
) -> None:
    make_a_rod(window, asked)
    window.session.set_units("in")
    assert asked.part.sizes["radius"].text().startswith("0.59055")
    rear = next(each for each in window.session.systems() if each.key == "rear")
    window.session.show(rear)
    assert asked.end_head.text() == "Parts of the rear"
    assert asked.typed.envelopes == ()
    press(asked.parts.add)
    asked.part.kind.setCurrentIndex(asked.part.kind.findData("tyre"))
    asked.part.kind.activated.emit(asked.part.kind.currentIndex())
    asked.part.sizes["width"].setFocus()
    write("6 1/2")
    window.filing.let_go()  # as before a sheet is printed, or the car is saved
    told = {each.end: each for each in window.session.setup.envelopes}
    assert told["rear"].width == pytest.approx(165.1)
    assert told["front"].radius == pytest.approx(15.0)
    window.session.undo()
    assert window.session.setup.envelopes == ()
