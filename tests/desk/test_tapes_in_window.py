"""Two points are picked on the board with the mouse, and the tape between them is typed."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox
from pytestqt.qtbot import QtBot

from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.files import read_setup
from app.document.samples import first_sample
from app.drawing.views import View
from app.filing.dialogs import Answer
from app.panels.lists.tape_dialog import TapeDialog
from tests.helpers.answers import Answers
from tests.helpers.hands import Hand

pytestmark = pytest.mark.gui


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    application()
    window = open_window(None)
    copy = tmp_path / "car.toml"
    shutil.copy(first_sample(), copy)
    window.asker = window.filing.asker = Answers(window)
    assert window.filing.read(copy)
    window.resize(1600, 1000)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    QApplication.processEvents()
    yield window
    window.asker.on_unsaved = Answer.DISCARD
    window.close()


def test_two_points_picked_on_the_board_are_taped_and_saved(window: Window) -> None:
    hand, control = Hand(window.board.views[View.FRONT]), Qt.KeyboardModifier.ControlModifier
    hand.press("front.upper_ball")
    hand.let_go()
    hand.press("front.lower_ball", control)
    hand.let_go()
    QTest.keyClick(window.board.views[View.FRONT], Qt.Key.Key_T)
    dialog = window.findChild(TapeDialog)
    assert dialog.between == ("front.upper_ball", "front.lower_ball")
    QTest.keyClicks(dialog.length, "342.5")
    ok = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(ok, Qt.MouseButton.LeftButton)
    assert window.tapes.isVisible()
    assert window.tapes.table.rowCount() == 1
    assert window.filing.save()
    assert window.session.path is not None
    text = window.session.path.read_text()
    assert 'between = ["front.upper_ball", "front.lower_ball"]' in text
    saved = read_setup(window.session.path).setup
    assert saved.tapes == window.session.setup.tapes
    assert saved.readings == window.session.setup.readings


def test_a_drag_on_a_taped_car_moves_the_adjusted_point(window: Window) -> None:
    sample = first_sample().parent / "taped_saloon.toml"
    assert window.filing.read(sample)
    QApplication.processEvents()
    session, key = window.session, "front.upper_ball"
    before = session.setup.evidence[key]
    Hand(window.board.views[View.FRONT]).drag_mm(key, 0.0, 12.0)
    assert session.history.undo_words.lower().startswith("move")
    assert session.setup.evidence[key] == before
    moves = [change.moves[key] for change in session.setup.changes if key in change.moves]
    assert moves[0][2] == pytest.approx(12.0, abs=1.0)
