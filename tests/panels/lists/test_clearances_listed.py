"""Clearances in the list of results: figures, limit, the pose shown, under hand and keyboard."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.edits import switch_change
from app.panels.lists.limits import LimitDialog
from app.panels.lists.result_rows import Row
from app.panels.lists.results import ResultsPanel
from app.panels.lists.value_dialog import ValueDialog
from app.session.session import Session
from app.systems.clearance.clearances import clearances
from app.systems.clearance.results import CLEARANCES, key_of_clearance
from tests.helpers.panel_windows import click, shown
from tests.systems.clearance.test_clearances import saloon

pytestmark = pytest.mark.gui

NONE, ALT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.AltModifier


@pytest.fixture
def session() -> Session:
    return Session(saloon())


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> ResultsPanel:
    made = ResultsPanel(session)
    shown(qtbot, made, 340, 760)
    made.view.setFocus()
    return made


def row(panel: ResultsPanel, place: int) -> tuple[QModelIndex, Row]:
    """Return the row of a clearance of the end that is shown."""
    key = key_of_clearance(panel.session.setup.clearances[place])
    view = panel.view
    for number, line in enumerate(view.results.lines):
        if isinstance(line, Row) and line.result.key == key:
            return view.results.index(number), line
    raise AssertionError(key)


def said(panel: ResultsPanel, place: int) -> str:
    return str(panel.view.results.data(row(panel, place)[0]))


def test_each_clearance_has_a_row_with_both_cars_and_its_limit(panel: ResultsPanel) -> None:
    words = said(panel, 1)
    checks = clearances(panel.session.study)
    assert words.startswith("Tyre to spring: as found ")
    assert f"as built {checks[1].built.gap:.1f}" in words
    assert "at least 12.0 mm" in words
    assert "As built nearest on the left" in words
    assert panel.view.results.lines[row(panel, 0)[0].row() - 1].group == CLEARANCES


def test_one_that_is_not_kept_is_said_and_its_sentence_leads_to_it(panel: ResultsPanel) -> None:
    assert "past its limit of 12.0 mm" in said(panel, 0)
    assert panel.view.results.said(row(panel, 0)[1]).past
    sentences = panel.session.system.sentences(panel.session.study, ".")
    sentence = next(each for each in sentences if each.text.startswith("Tyre"))
    panel.show_result(sentence.result_key)
    assert panel.view.paper.opened == key_of_clearance(panel.session.setup.clearances[0])


def test_a_click_opens_it_and_escape_closes_it(qtbot: QtBot, panel: ResultsPanel) -> None:
    index, line = row(panel, 1)
    with qtbot.waitSignal(panel.result_selected) as opened:
        click(panel.view, index)
    assert opened.args == [line.result.key]
    QTest.keyClick(panel.view, Qt.Key.Key_Escape)
    assert panel.view.paper.opened is None


def test_its_limit_is_changed_by_the_keyboard_and_undone(panel: ResultsPanel) -> None:
    index, _ = row(panel, 1)
    panel.view.setCurrentIndex(index)
    QTest.keyClick(panel.view, Qt.Key.Key_L)
    dialog = next(each for each in panel.view.findChildren(LimitDialog))
    assert dialog.least.text() == "12"
    assert not dialog.most.isVisible()
    dialog.least.setFocus()
    dialog.least.selectAll()
    QTest.keyClicks(dialog.least, "60")
    QTest.keyClick(dialog.least, Qt.Key.Key_Return)
    QApplication.processEvents()
    session = panel.session
    assert session.setup.clearances[1].at_least == 60.0
    assert "past its limit of 60.0 mm" in said(panel, 1)
    session.undo()
    assert session.setup.clearances[1].at_least == 12.0


@pytest.mark.parametrize("typed", ["0", "-5", "501"])
def test_a_limit_that_no_file_takes_is_refused(panel: ResultsPanel, typed: str) -> None:
    panel.view.setCurrentIndex(row(panel, 1)[0])
    QTest.keyClick(panel.view, Qt.Key.Key_L)
    dialog = next(each for each in panel.view.findChildren(LimitDialog))
    dialog.least.setFocus()
    dialog.least.selectAll()
    QTest.keyClicks(dialog.least, typed)
    QTest.keyClick(dialog.least, Qt.Key.Key_Return)
    QApplication.processEvents()
    assert dialog.isVisible()
    assert "0" in dialog.fault.text()
    assert panel.session.setup.clearances[1].at_least == 12.0


def test_it_is_neither_set_nor_drawn_nor_sought(panel: ResultsPanel) -> None:
    index, line = row(panel, 1)
    panel.view.setCurrentIndex(index)
    asked: list[str] = []
    panel.view.find_asked.connect(lambda name, _: asked.append(name))
    for key, held in ((Qt.Key.Key_V, NONE), (Qt.Key.Key_Right, ALT), (Qt.Key.Key_W, NONE)):
        QTest.keyClick(panel.view, key, held)
    assert not asked
    assert not panel.view.findChildren(ValueDialog)
    assert panel.session.history.index == 0
    texts = [action.text() for action in panel.view.menu(line).actions()]
    assert not any(text.startswith(("Set to", "Find")) for text in texts)


def test_taken_off_it_is_still_told(panel: ResultsPanel) -> None:
    index, line = row(panel, 0)
    menu = panel.view.menu(line)
    next(each for each in menu.actions() if each.text() == "No limit").trigger()
    assert panel.session.setup.clearances[0].at_least is None
    assert "limit" not in said(panel, 0)
    assert index.isValid()


def test_the_menu_shows_the_car_where_it_is_nearest(panel: ResultsPanel) -> None:
    _, line = row(panel, 1)
    menu = panel.view.menu(line)
    next(each for each in menu.actions() if "nearest" in each.text()).trigger()
    reading = clearances(panel.session.study)[1].built
    pose = panel.session.pose
    assert (pose.travel, pose.steer) == pytest.approx((reading.travel, reading.driven))
    assert panel.session.problem is None


def test_it_waits_while_a_hand_drags_and_answers_when_it_rests(
    qtbot: QtBot, session: Session, panel: ResultsPanel
) -> None:
    before = said(panel, 1)
    session.preview(switch_change(session.setup, 0, False))
    session.preview(session.history.value)
    assert "as built …" in said(panel, 1)
    session.cancel()
    qtbot.waitUntil(lambda: said(panel, 1) == before)


def test_a_file_without_clearances_has_no_such_head(panel: ResultsPanel) -> None:
    setup = panel.session.setup.having(clearances=(), envelopes=())
    panel.session.commit(setup, "leave them out")
    assert CLEARANCES not in [
        line.group for line in panel.view.results.lines if hasattr(line, "group")
    ]
