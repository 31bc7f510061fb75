"""The curves: each test is one thing that a user sees, chooses or reads."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.edits import move_point
from app.panels.curves.curve_data import breaks, range_over, tick_text, ticks
from app.panels.curves.curves import CurvesPanel
from app.session.session import Session
from app.systems.answers import Pose
from geometry.catalogue.front import BY_KEY
from tests.helpers.panel_windows import LEFT, saloon_session, shown

pytestmark = pytest.mark.gui

UPPER = "front.upper_front"


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> CurvesPanel:
    made = CurvesPanel(session)
    shown(qtbot, made, 720, 460)
    qtbot.waitUntil(lambda: made.sheet is not None, timeout=5000)
    QApplication.processEvents()
    return made


def titles(panel: CurvesPanel) -> list[str]:
    assert panel.sheet is not None
    return [head.result.title for head in panel.sheet.heads]


def test_the_plotting_library_is_loaded_only_when_the_curves_are_seen(session: Session) -> None:
    made = CurvesPanel(session)
    assert made.sheet is None
    made.deleteLater()


def test_travel_runs_upwards_and_the_result_along(panel: CurvesPanel, session: Session) -> None:
    assert panel.sheet is not None
    along, up = panel.sheet.plots[0].now.getData()
    assert up[0] == pytest.approx(-75.0)
    assert up[-1] == pytest.approx(75.0)
    assert np.all(np.abs(along) < 5.0)  # degrees of camber


def test_roll_and_steer_run_along(qtbot: QtBot, panel: CurvesPanel) -> None:
    assert panel.sheet is not None
    qtbot.mouseClick(panel.drivers.button(1), LEFT)
    along, _ = panel.sheet.plots[0].now.getData()
    assert along[-1] == pytest.approx(6.0)  # degrees of roll


def test_another_result_is_chosen_from_a_plots_head(panel: CurvesPanel) -> None:
    assert panel.sheet is not None
    menu = panel.sheet.heads[2].menu_of_results()
    parts = {action.text(): action.menu() for action in menu.actions()}
    swing = next(a for a in parts["Joints"].actions() if a.text() == "Upper ball joint swing")
    swing.trigger()
    assert titles(panel)[2] == "Upper ball joint swing"
    menu.close()


def test_the_pointer_reads_both_cars_in_every_plot(panel: CurvesPanel, session: Session) -> None:
    assert panel.sheet is not None
    box = panel.sheet.plots[0].view_box()
    panel.sheet.canvas.scene().sigMouseMoved.emit(QPointF(box.center()))
    assert panel.sheet.place_words() in ("at 0.0 mm of travel", "at +0.0 mm of travel") or (
        "mm of travel" in panel.title.text()
    )
    words = panel.sheet.heads[3].spoken()
    assert words.startswith("Roll centre height: measured 8")
    QApplication.sendEvent(panel.sheet.canvas.viewport(), QEvent(QEvent.Type.Leave))
    assert panel.title.text() == "Curves"


def test_the_poses_dot_rides_on_the_curve(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    session.set_pose(Pose(travel=40.0))
    plot = panel.sheet.plots[0]
    qtbot.waitUntil(lambda: plot.marks.dot is not None and plot.marks.dot[1] == 40.0)
    assert plot.marks.dot is not None
    assert plot.proposed is not None
    value = plot.proposed.value_at(40.0)
    assert plot.marks.dot[0] == pytest.approx(value, abs=1e-3)
    session.set_pose(Pose(travel=40.0, roll=radians(1.0)))
    qtbot.waitUntil(lambda: plot.marks.dot is None)


def test_ranges_stay_while_a_drag_lasts_and_fit_when_it_ends(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    plot = panel.sheet.plots[0]
    before, curve = plot.plot.viewRange(), plot.proposed
    edited = move_point(session.setup, 0, UPPER, (0.0, -25.0, -25.0))
    session.preview(edited)
    qtbot.waitUntil(lambda: plot.proposed is not curve)
    assert plot.plot.viewRange() == before
    session.commit(edited, "move")
    assert plot.plot.viewRange() != before


def test_inches_are_read_in_inches(panel: CurvesPanel, session: Session) -> None:
    assert panel.sheet is not None
    session.set_units("in")
    _, up = panel.sheet.plots[0].now.getData()
    assert up[-1] == pytest.approx(75.0 / 25.4)


def test_a_curve_that_breaks_off_is_marked_at_its_end() -> None:
    reached = np.array([False, True, True, True, False, False])
    assert breaks(reached) == (1, 3)
    assert breaks(np.ones(4, dtype=bool)) == ()


def test_a_plot_without_data_says_what_it_needs(panel: CurvesPanel, session: Session) -> None:
    setup = session.setup
    kept = {key: value for key, value in setup.evidence.items() if key != "front.spring.rate"}
    changes = tuple(change for change in setup.changes if not change.sets)
    session.open(setup.having(evidence=kept, changes=changes), None)
    assert panel.sheet is not None
    along, _ = panel.sheet.plots[5].now.getData()
    assert along is None or len(along) == 0


def test_a_plot_never_magnifies_what_nobody_can_measure() -> None:
    low, high = range_over([], BY_KEY["toe"], "mm")
    assert high - low > 0.2


def test_ticks_are_round_and_say_no_more_decimals_than_they_need() -> None:
    assert ticks(-1.3, 1.2, 4) == [-1.0, 0.0, 1.0]
    assert [tick_text(tick, 0.5, ",") for tick in (-0.5, 0.0, 0.5)] == ["−0,5", "0,0", "0,5"]
    assert tick_text(200.0, 100.0, ".") == "200"


def test_a_small_sheet_shows_few_plots_that_can_be_read(panel: CurvesPanel) -> None:
    from app.panels.curves.curve_sheet import arrangement  # it loads the plotting library

    assert arrangement(1100, 900, 6) == (6, 6)
    assert arrangement(640, 420, 6) == (3, 6)
    assert arrangement(260, 200, 6) == (3, 3)
    assert arrangement(60, 60, 6) == (1, 1)
    panel.resize(270, 220)
    QApplication.processEvents()
    assert panel.sheet is not None
    assert [head.isVisible() for head in panel.sheet.heads] == [True] * 3 + [False] * 3


def test_a_double_click_on_the_title_asks_for_the_whole_board(
    qtbot: QtBot, panel: CurvesPanel
) -> None:
    with qtbot.waitSignal(panel.title_double_clicked):
        qtbot.mouseDClick(panel, LEFT, pos=panel.title.geometry().center())
