"""Results drawn in the whole window: typed after a double-click, let go before work is saved."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.desk.drawn import mark_menu
from app.desk.window import Window
from app.drawing.views import View
from app.panels.lists.value_dialog import ValueDialog
from tests.gestures.test_draw_result import height, roomy_session
from tests.helpers.hands import Hand

pytestmark = pytest.mark.gui

MARK = "result:roll_centre_height"


@pytest.fixture(name="window")
def _window(qtbot: QtBot) -> Window:
    window = Window(roomy_session())
    window.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(window)
    window.resize(1280, 720)
    with qtbot.waitExposed(window):
        window.show()
    QApplication.processEvents()
    return window


def test_a_mark_is_drawn_typed_and_offered_in_a_menu(window: Window) -> None:
    view, session = window.board.views[View.FRONT], window.session
    hand, start = Hand(view), height(session)
    hand.drag_mm(MARK, 0.0, -20.0)
    assert height(session) == pytest.approx(start - 20.0, abs=3.0)
    QTest.mouseDClick(view, Qt.MouseButton.LeftButton, pos=hand.place_of(MARK).toPoint())
    (dialog,) = window.findChildren(ValueDialog)
    dialog.fields[0].setText("75")
    dialog.accept()
    assert height(session) == pytest.approx(75.0, abs=1e-6)
    assert session.history.undo_words == "draw roll centre height to 75.0 mm"
    (action,) = mark_menu(window, MARK).actions()
    action.trigger()
    (dialog,) = (each for each in window.findChildren(ValueDialog) if each.isVisible())
    assert dialog.fields[0].text() == "75.0"
    dialog.reject()


def test_what_is_held_is_let_go_before_work_is_saved(window: Window) -> None:
    view = window.board.views[View.FRONT]
    hand = Hand(view)
    hand.press(MARK)
    hand.move_mm(0.0, -20.0)
    window.filing.letting_go.emit()
    assert window.session.preview_setup is None
    assert window.session.history.index == 1
