"""Figures of results under a real mouse and real keys, and the window that asks for a value."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.lists.figure_hand import drawn_by
from app.panels.lists.result_rows import Row
from app.panels.lists.results import ResultsPanel
from app.panels.lists.value_dialog import ValueDialog
from app.session.session import Session
from geometry.catalogue.front import BY_KEY
from tests.gestures.test_draw_result import HEIGHT, height, roomy_session
from tests.helpers.panel_windows import LEFT, NONE, shown
from tests.helpers.sought import saloon

pytestmark = pytest.mark.gui

SHIFT_ALT = Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.AltModifier


@pytest.fixture
def session() -> Session:
    return roomy_session()


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> ResultsPanel:
    made = ResultsPanel(session)
    shown(qtbot, made, 340, 760)
    made.view.setFocus()
    return made


def figure(panel: ResultsPanel, key: str) -> QPoint:
    """Return the place of a result's figure as built, the row being the one with the keyboard."""
    view = panel.view
    for place, line in enumerate(view.results.lines):
        if isinstance(line, Row) and line.result.key == key:
            index = view.results.index(place)
            view.scrollTo(index)
            view.setCurrentIndex(index)
            columns = view.paper.columns(view.viewport().width())
            return QPoint(columns.proposed - 10, view.visualRect(index).top() + 8)
    raise AssertionError(key)


def drag(panel: ResultsPanel, at: QPoint, right: int) -> None:
    area = panel.view.viewport()
    QTest.mousePress(area, LEFT, NONE, at)
    for share in (0.5, 1.0):
        QTest.mouseMove(area, at + QPoint(round(right * share), 0))
        QApplication.processEvents()


def test_a_figure_held_and_drawn_to_the_right_grows(session: Session, panel: ResultsPanel) -> None:
    start, at = height(session), figure(panel, "roll_centre_height")
    drag(panel, at, 30)
    QTest.mouseRelease(panel.view.viewport(), LEFT, NONE, at + QPoint(30, 0))
    assert height(session) == pytest.approx(round(start + 10.0), abs=1e-6)
    assert session.history.undo_words.startswith("draw roll centre height to ")
    assert panel.view.paper.opened is None


def test_escape_takes_a_figure_back(session: Session, panel: ResultsPanel) -> None:
    setup, at = session.setup, figure(panel, "roll_centre_height")
    drag(panel, at, 30)
    assert session.setup is not setup
    QTest.keyClick(panel.view, Qt.Key.Key_Escape)
    QTest.mouseRelease(panel.view.viewport(), LEFT, NONE, at + QPoint(30, 0))
    assert session.setup is setup


def test_a_click_on_a_figure_opens_its_row(session: Session, panel: ResultsPanel) -> None:
    at = figure(panel, "roll_centre_height")
    QTest.mouseClick(panel.view.viewport(), LEFT, NONE, at)
    assert panel.view.paper.opened == "roll_centre_height"
    assert session.history.index == 0


def test_alt_with_the_arrows_draws_the_figure_of_the_row(
    session: Session, panel: ResultsPanel, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.panels.lists.results_view.monotonic", lambda: 100.0)
    start = height(session)
    figure(panel, "roll_centre_height")
    QTest.keyClick(panel.view, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert height(session) == pytest.approx(start - 1.0, abs=1e-6)
    QTest.keyClick(panel.view, Qt.Key.Key_Right, SHIFT_ALT)
    assert height(session) == pytest.approx(start + 9.0, abs=1e-6)
    assert session.history.index == 1


def test_v_asks_for_the_value_and_sets_it(session: Session, panel: ResultsPanel) -> None:
    figure(panel, "roll_centre_height")
    QTest.keyClick(panel.view, Qt.Key.Key_V)
    (dialog,) = panel.view.findChildren(ValueDialog)
    (field,) = dialog.fields
    assert field.accessibleName() == "Roll centre height [mm]"
    field.setText("85")
    dialog.accept()
    assert height(session) == pytest.approx(85.0, abs=1e-6)


def test_a_value_beyond_the_room_is_refused_in_the_window(qtbot: QtBot, session: Session) -> None:
    dialog = ValueDialog(session, HEIGHT)
    qtbot.addWidget(dialog)
    dialog.fields[0].setText("500")
    dialog.accept()
    assert "goes no further" in dialog.fault.text()
    assert session.history.index == 0
    dialog.reject()


def test_left_as_it_reads_the_value_moves_nothing(qtbot: QtBot, session: Session) -> None:
    dialog = ValueDialog(session, HEIGHT)
    qtbot.addWidget(dialog)
    dialog.accept()
    assert session.history.index == 0


def test_without_room_the_window_says_how_to_give_some(qtbot: QtBot) -> None:
    dialog = ValueDialog(Session(saloon()), HEIGHT)
    qtbot.addWidget(dialog)
    assert not dialog.fields
    assert "Give points room first" in dialog.how.text()
    dialog.reject()


def test_a_gain_is_drawn_of_the_wheel_that_is_shown(session: Session) -> None:
    assert drawn_by(session, BY_KEY["camber"], 1).side == 1
    assert drawn_by(session, BY_KEY["roll_centre_height"], 1).side == 0
