"""The curves: each test is one thing that a user sees, chooses or reads."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import combinations
from math import radians
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QRect
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.edits import set_value
from app.drawing.chart import Series, strokes_of
from app.panels.curves.curve_places import places_for
from app.panels.curves.curves import CurvesPanel
from app.panels.figures import result_text
from app.panels.shown_results import needs_words
from app.session.session import Session
from app.systems.answers import Pose
from geometry.catalogue.front import BY_KEY
from tests.helpers.panel_windows import LEFT, saloon_session, shown
from tests.helpers.project import ROOT
from tests.helpers.setup_edits import move_point

pytestmark = pytest.mark.gui

CAMBER = BY_KEY["camber"]
UPPER = "front.upper_front"


def painted(panel: CurvesPanel, place: int) -> list[tuple[float, float]]:
    """Return where the proposed curve of a plot lies."""
    assert panel.sheet is not None
    plot = panel.sheet.plots[place]
    assert plot.frame is not None
    (trace,) = (e for e in strokes_of(plot.chart, plot.frame).traces if e.look == "proposed")
    return list(trace.places)


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> CurvesPanel:
    made = CurvesPanel(session)
    shown(qtbot, made, 720, 460)
    qtbot.waitUntil(lambda: made.sheet is not None)
    QApplication.processEvents()
    return made


def titles(panel: CurvesPanel) -> list[str]:
    assert panel.sheet is not None
    return [head.result.title for head in panel.sheet.heads]


PLOTTING = """
import os
import sys
from app.desk.main import application, open_window
program = application()
window = open_window(None)
window.show()
while window.curves.sheet is None:
    program.processEvents()
print("pyqtgraph" in sys.modules)
window.curves.sheet.look_closer(0)
print("pyqtgraph" in sys.modules, flush=True)
os._exit(0)
"""


def test_the_plotting_library_is_loaded_only_for_a_closer_look(tmp_path: Path) -> None:
    """In a process of its own: another test may have loaded it here."""
    kept = {"HOME": str(tmp_path), "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", PLOTTING],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, **kept},
    )
    assert done.stdout.split() == ["False", "True"], done.stderr


def test_travel_runs_upwards_and_the_result_along(panel: CurvesPanel, session: Session) -> None:
    assert panel.sheet is not None
    places = painted(panel, 0)
    box = panel.sheet.plots[0].box
    assert places[0][1] == pytest.approx(box.bottom())  # full rebound: far, since it stands lower
    assert places[-1][1] > box.top() + 10.0  # less bump is left than the car as found has
    assert np.ptp([x for x, _ in places]) > box.width() / 2


def test_roll_and_steer_run_along(qtbot: QtBot, panel: CurvesPanel) -> None:
    assert panel.sheet is not None
    qtbot.mouseClick(panel.drivers.button(1), LEFT)
    places = painted(panel, 0)
    box = panel.sheet.plots[0].box
    assert places[-1][0] == pytest.approx(box.right())
    curve = panel.sheet.plots[0].series("proposed")
    assert curve is not None
    assert curve.at[-1] == pytest.approx(6.0)  # degrees of roll


def test_another_result_is_chosen_from_a_plots_head(panel: CurvesPanel) -> None:
    assert panel.sheet is not None
    menu = panel.sheet.heads[2].menu_of_results()
    parts = {action.text(): action.menu() for action in menu.actions()}
    swing = next(a for a in parts["Joints"].actions() if a.text() == "Upper ball joint swing")
    swing.trigger()
    assert titles(panel)[2] == "Upper ball joint swing"
    menu.close()


def test_the_pointer_reads_both_cars_in_every_plot(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    box = panel.sheet.plots[0].box
    qtbot.mouseMove(panel.sheet, box.center().toPoint())
    assert panel.sheet.place_words() in ("at 0.0 mm of travel", "at +0.0 mm of travel") or (
        "mm of travel" in panel.title.text()
    )
    words = panel.sheet.heads[3].spoken()
    assert words.startswith("Roll centre height: as found 9")
    QApplication.sendEvent(panel.sheet, QEvent(QEvent.Type.Leave))
    assert panel.title.text() == "Curves"


def test_the_poses_dot_rides_on_the_curve(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    session.set_pose(Pose(travel=40.0))
    plot = panel.sheet.plots[0]
    qtbot.waitUntil(lambda: plot.dot is not None and plot.dot[0] == 40.0)
    curve = plot.series("proposed")
    assert plot.dot is not None
    assert curve is not None
    assert plot.dot[1] == pytest.approx(curve.value_at(40.0), abs=1e-3)
    session.set_pose(Pose(travel=40.0, roll=radians(1.0)))
    qtbot.waitUntil(lambda: plot.dot is None)


def test_ranges_stay_while_a_drag_lasts_and_fit_when_it_ends(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    plot = panel.sheet.plots[0]
    before, curve = plot.frame, plot.series("proposed")
    edited = move_point(session.setup, 0, UPPER, (0.0, -25.0, -25.0))
    session.preview(edited)
    qtbot.waitUntil(lambda: plot.series("proposed") is not curve)
    assert plot.frame == before
    session.commit(edited, "move")
    assert plot.frame != before


def test_inches_are_read_in_inches(panel: CurvesPanel, session: Session) -> None:
    assert panel.sheet is not None
    session.set_units("in")
    curve = panel.sheet.plots[0].series("proposed")
    assert curve is not None
    assert session.study is not None
    stands = session.study.proposed.stand.travel
    assert curve.at[-1] == pytest.approx((75.0 - stands) / 25.4)


def test_a_plot_without_data_says_what_it_needs(panel: CurvesPanel, session: Session) -> None:
    setup = session.setup
    kept = {key: value for key, value in setup.evidence.items() if key != "front.spring.rate"}
    changes = tuple(change for change in setup.changes if not change.sets)
    session.open(setup.having(evidence=kept, changes=changes), None)
    assert panel.sheet is not None
    assert panel.sheet.plots[5].chart.series == ()
    assert "needs: " in needs_words(session, panel.sheet.results[5])


@pytest.mark.parametrize(("width", "height"), [(384, 330), (330, 320), (860, 800), (1100, 300)])
def test_one_curve_stands_large_and_the_others_small_beside_it(width: int, height: int) -> None:
    places = places_for(width, height, 6)
    assert places.plotted
    assert len(places.small) == 5
    large = places.large[2] * places.large[3]
    assert large >= width * height / 3
    assert large > 2 * max(box[2] * box[3] for box in places.small)
    boxes = [QRect(*box) for box in (places.large, *places.small)]
    assert all(QRect(0, 0, width, height).contains(box) for box in boxes)
    assert not any(one.intersects(other) for one, other in combinations(boxes, 2))


def test_where_small_curves_cannot_be_read_their_figures_stand_beside_the_large_one(
    panel: CurvesPanel,
) -> None:
    panel.resize(280, 290)
    QApplication.processEvents()
    assert panel.sheet is not None
    assert [plot.drawn for plot in panel.sheet.plots] == [True] + [False] * 5
    assert all(head.isVisible() for head in panel.sheet.heads)
    panel.resize(200, 220)
    QApplication.processEvents()
    assert [head.isVisible() for head in panel.sheet.heads] == [True] + [False] * 5


def test_a_click_on_a_small_curve_or_its_name_shows_it_large_and_that_is_remembered(
    qtbot: QtBot, panel: CurvesPanel
) -> None:
    assert panel.sheet is not None
    first = titles(panel)
    box = panel.sheet.plots[2].box.center().toPoint()
    qtbot.mouseClick(panel.sheet, LEFT, pos=box)
    assert titles(panel) == [first[2], first[1], first[0], *first[3:]]
    qtbot.mouseClick(panel.sheet.heads[4], LEFT)
    assert titles(panel) == [first[4], first[1], first[0], first[3], first[2], first[5]]
    later = CurvesPanel(saloon_session())
    shown(qtbot, later, 720, 460)
    qtbot.waitUntil(lambda: later.sheet is not None)
    assert titles(later) == titles(panel)


def test_a_double_click_on_a_small_curve_looks_closer_at_that_one(
    qtbot: QtBot, panel: CurvesPanel
) -> None:
    assert panel.sheet is not None
    title, box = titles(panel)[3], panel.sheet.plots[3].box.center().toPoint()
    qtbot.mouseClick(panel.sheet, LEFT, pos=box)
    qtbot.mouseDClick(panel.sheet, LEFT, pos=box)
    assert panel.sheet.closer is not None
    assert panel.sheet.closer.title.text().startswith(title)
    panel.sheet.closer.close()


def test_a_double_click_on_the_title_asks_for_the_whole_board(
    qtbot: QtBot, panel: CurvesPanel
) -> None:
    with qtbot.waitSignal(panel.title_double_clicked):
        qtbot.mouseDClick(panel, LEFT, pos=panel.title.geometry().center())


def test_an_inner_double_click_opens_a_closer_look_that_reads_and_follows(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    plot = panel.sheet.plots[0]
    qtbot.mouseDClick(panel.sheet, LEFT, pos=plot.box.center().toPoint())
    closer = panel.sheet.closer
    assert closer is not None
    assert closer.isVisible()
    assert closer.title.text() == "Camber, left wheel, over travel"
    assert closer.chart.upright
    curve = plot.series("proposed")
    assert curve is not None
    words = closer.reading_at(40.0)
    assert words.startswith("at +40.0 mm: as found ")
    assert words.endswith(f"as built {result_text(radians(curve.value_at(40.0)), CAMBER, 'mm')}")
    before = closer.chart
    session.commit(move_point(session.setup, 0, UPPER, (0.0, -5.0, -5.0)), "move")
    qtbot.waitUntil(lambda: closer.chart is not before)
    session.set_units("in")
    assert closer.reading_at(1.0).startswith("at +1.00")
    closer.close()


def test_a_closer_look_shows_both_cars_from_one_place_in_the_body_as_the_board_does(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    cut = set_value(session.setup, 0, "front.spring.free_length", 305.0)
    session.commit(cut, "cut")
    assert panel.sheet is not None
    panel.sheet.look_closer(0)
    closer = panel.sheet.closer
    assert closer is not None
    assert session.study is not None
    stands = session.study.proposed.stand.travel
    assert stands > 5.0
    series = closer.chart.series[-1]
    session.set_in_body(True)
    assert closer.chart.series[-1].value_at(20.0) == pytest.approx(series.value_at(20.0 - stands))
    closer.close()


def test_zooming_in_stays_while_curves_follow_and_a_button_shows_all_again(
    qtbot: QtBot, panel: CurvesPanel, session: Session
) -> None:
    assert panel.sheet is not None
    panel.sheet.heads[1].closer_asked.emit()
    closer = panel.sheet.closer
    assert closer is not None
    whole = closer.plot.viewRange()
    closer.plot.getViewBox().scaleBy((0.2, 0.2))
    near = closer.plot.viewRange()
    session.commit(move_point(session.setup, 0, UPPER, (0.0, -5.0, -5.0)), "move")
    assert closer.plot.viewRange() == near
    session.undo()
    closer.show_all()
    assert np.allclose(closer.plot.viewRange(), whole)
    closer.close()


def test_a_closer_look_has_gaps_where_the_curve_has_them() -> None:
    from app.panels.curves.closer_look import joined

    values = np.arange(6.0)
    values[3] = np.nan
    at, shown_values = joined(Series(np.arange(6.0), values))
    assert np.array_equal(at, [0, 1, 2, np.nan, 4, 5, np.nan], equal_nan=True)
    assert np.array_equal(shown_values, at, equal_nan=True)
    assert len(joined(None)[0]) == 0


def test_the_right_wheel_is_plotted_when_it_is_chosen(panel: CurvesPanel, session: Session) -> None:
    assert panel.sheet is not None
    assert session.study is not None
    panel.show_over("roll")
    camber = session.whole_study().proposed.roll.values["camber"]  # type: ignore[union-attr]
    for side in (0, 1):
        panel.show_side(side)
        curve = panel.sheet.plots[0].series("proposed")
        assert curve is not None
        assert np.allclose(np.radians(curve.values), camber[side])
    assert not np.allclose(camber[0], camber[1])


@pytest.mark.parametrize(("key", "words"), [("toe", "per wheel"), ("track_change", "one side")])
def test_a_narrow_head_keeps_the_word_that_changes_the_meaning(key: str, words: str) -> None:
    result = BY_KEY[key]
    assert words in result.title
    assert words in result.short
    assert len(result.short) < len(result.title)
