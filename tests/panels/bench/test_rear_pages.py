"""Wind-up, hop and tramp, links and the bench around them, under hand and keyboard."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.model import Change, FrozenMap, Setup
from app.document.moves import proposed_values
from app.panels.bench.figure import _box, _free_place
from app.panels.bench.hop_page import HopPage
from app.panels.bench.links_page import LinksPage
from app.panels.bench.rear_bench import RearBench
from app.panels.bench.twist_page import TwistPage
from app.panels.curves.curves import CurvesPanel
from app.panels.lists.result_rows import Row
from app.panels.lists.results import ResultsPanel
from app.panels.widgets import EDGE
from app.session.session import Session
from tests.helpers.panel_windows import double_click, saloon, shown, type_into
from tests.helpers.rear_cars import BARS, STAGGERED, both_setup, leaf_setup, link_setup
from tests.helpers.rear_windows import column, value_cell
from tests.helpers.sheets import sample, with_on

pytestmark = pytest.mark.gui

LEFT = Qt.MouseButton.LeftButton


# --- under torque ---------------------------------------------------------------------------------


def twist_page(qtbot: QtBot, *changes: Change, **more: object) -> tuple[Session, TwistPage]:
    session = Session(leaf_setup(*changes, **more))  # type: ignore[arg-type]
    page = TwistPage(session)
    shown(qtbot, page, 1000, 800)
    return session, page


def test_the_kink_stands_where_the_snubber_touches(qtbot):
    session, page = twist_page(qtbot, BARS)
    assert session.study is not None
    closes = session.study.proposed.single["bars_close_at"]
    (kink,) = [note for note in page.figure.chart.notes if note.text == "snubber touches"]
    assert kink.at == pytest.approx(closes)
    proposed = page.figure.chart.series[-1]
    slopes = [
        (y - kink.value) / (x - kink.at)
        for x, y in zip(proposed.at, proposed.values, strict=True)
        if abs(x - kink.at) > 50
    ]
    assert slopes[-1] < slopes[0]  # beyond the kink it turns less


@pytest.mark.parametrize("size", [(420, 300), (430, 220), (600, 400), (1000, 800)])
def test_words_in_a_figure_keep_off_its_curves_axes_and_each_other(qtbot, size):
    _, page = twist_page(qtbot, BARS)
    page.resize(*size)
    QApplication.processEvents()
    figure, boxes = page.figure, []
    frame, lines = figure.frame(), figure._lines(figure.frame())
    for note in figure.chart.notes:
        wide, high = figure.faces.width("small", note.text), figure.faces.small_line
        spot = QPointF(*frame.place(note.at, note.value))
        boxes.append(_free_place(spot, wide, high, _box(frame), boxes, lines))
    assert not any(box.intersects(line) for box in boxes for line in lines)
    assert not any(one.intersects(other) for one, other in combinations(boxes, 2))


def test_bars_are_proposed_by_typing_and_what_they_lack_is_said(qtbot):
    session, page = twist_page(qtbot)
    for key, typed in (("gap", "5"), ("stiffness", "450")):
        double_click(page.values, value_cell(page.values, f"rear.traction_bar.{key}"))
        type_into(page.values, typed)
    assert "need length" in page.bars.text()
    double_click(page.values, value_cell(page.values, "rear.traction_bar.length"))
    type_into(page.values, "560")
    assert not page.bars.text()
    assert session.study is not None
    assert "bars_close_at" in session.study.proposed.single


def test_bars_given_by_their_points_show_how_long_they_are(qtbot):
    session, page = twist_page(qtbot)
    session.commit(with_on(sample("small_saloon"), "Traction"), "bars")
    qtbot.waitUntil(lambda: "565 mm long" in page.bars.text())


def test_reversed_eye_loads_are_said(qtbot):
    _, page = twist_page(qtbot, rear__drive__engine_torque=400e3, rear__drive__grip=1.5)
    assert "rear half is bent the other way" in page.warning.text()


def test_without_the_engine_it_says_what_is_needed(qtbot):
    _, page = twist_page(qtbot, without=("rear.drive.engine_torque",))
    assert page.head.text() == "Full drive needs: engine torque."
    assert "engine torque" in page.figure.chart.empty
    assert not page.draws.isEnabled()


def test_the_s_is_drawn_on_the_board_when_asked(qtbot):
    session, page = twist_page(qtbot)
    QTest.mouseClick(page.draws, LEFT, pos=page.draws.rect().center() / 4)
    page.draws.setFocus()
    if not page.draws.isChecked():
        QTest.keyClick(page.draws, Qt.Key.Key_Space)
    assert session.overlay.thrust == 1.0
    assert session.overlay.exaggeration == 3.0
    page.thrust.setFocus()
    QTest.keyClick(page.thrust, Qt.Key.Key_Home)
    assert session.overlay.thrust == -1.0
    assert "braking" in page.thrust_words.text()


# --- hop and tramp --------------------------------------------------------------------------------


def hop_page(qtbot: QtBot, *changes: Change, **more: object) -> tuple[Session, HopPage]:
    session = Session(leaf_setup(*changes, **more))  # type: ignore[arg-type]
    page = HopPage(session)
    shown(qtbot, page, 1000, 800)
    return session, page


def test_four_layouts_stand_beside_measured_and_proposed(qtbot):
    _, page = hop_page(qtbot, STAGGERED)
    assert column(page.layouts, 0) == [
        *("as found", "as built"),
        *("both ahead", "both behind", "one ahead, one behind", "at the axle"),
    ]
    assert page.layouts.rows_.table.marked == 1
    assert "One damper stands ahead" in page.why.text()


def test_low_damping_is_marked_by_a_sign_and_bold(qtbot):
    _, page = hop_page(qtbot)
    (now,) = [row for row in page.layouts.rows_.table.rows if row[0].text == "as found"]
    assert now[6].text.startswith("▼ 0.0")
    assert now[6].face == "bold"
    assert now[2].text[0] != "▼"


def test_the_dampers_share_what_each_mode_loses(qtbot):
    _, page = hop_page(qtbot, STAGGERED)
    for row in page.modes.rows_.table.rows:
        shares = [int(cell.text.removesuffix(" %")) for cell in row[3:5]]
        assert sum(shares) == pytest.approx(100, abs=1)


def test_a_mode_is_played_on_the_board_until_a_touch(qtbot):
    session, page = hop_page(qtbot)
    phases: list[float] = []
    session.study_changed.connect(lambda: phases.append(session.overlay.phase))
    QTest.mouseClick(page.plays[3], LEFT)
    qtbot.waitUntil(lambda: len(phases) > 5)
    assert session.overlay.mode == 3
    assert phases[-1] > phases[0]
    QTest.mouseClick(page.plays[3], LEFT)
    assert session.overlay.mode is None
    assert not page.plays[3].isChecked()
    QTest.mouseClick(page.plays[1], LEFT)
    qtbot.waitUntil(lambda: session.overlay.mode == 1)
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert session.overlay.mode is None


def test_names_of_dampers_keep_the_word_that_differs_where_it_is_narrow(qtbot):
    session = Session(leaf_setup(BARS))
    page = HopPage(session)
    shown(qtbot, page, 430, 300)
    table = page.layouts
    room = table.columnWidth(0) - EDGE - 5
    for row in table.rows_.table.rows:
        _, words = table.paper._fitted(row[0], room)
        assert words in (row[0].text, row[0].short)


def test_each_layout_of_dampers_can_be_played(qtbot):
    session, page = hop_page(qtbot)
    for row in range(1, 5):
        page.layout_choice.setCurrentIndex(row)
        QTest.mouseClick(page.plays[3], LEFT)
        qtbot.waitUntil(lambda row=row: session.overlay.layout == row - 1)
        QTest.keyClick(page, Qt.Key.Key_Escape)
        assert session.overlay.layout is None


def test_leaving_the_page_stops_what_swings(qtbot):
    session, page = hop_page(qtbot)
    QTest.mouseClick(page.plays[2], LEFT)
    qtbot.waitUntil(lambda: session.overlay.mode == 2)
    page.hide()
    assert session.overlay.mode is None


def test_without_the_axles_mass_it_says_so(qtbot):
    _, page = hop_page(qtbot, without=("rear.axle.mass",))
    assert page.lacking.text() == "Hop and tramp needs: axle mass."
    assert page.layouts.isHidden()
    assert not page.plays[3].isEnabled()


BUSHES = {f"rear__links__{name}_rate": 4000.0 for name in ("lower", "upper", "lateral")}


def links_hop_page(qtbot: QtBot, setup: Setup) -> tuple[Session, HopPage]:
    session = Session(setup)
    page = HopPage(session)
    shown(qtbot, page, 1000, 800)
    return session, page


def test_on_links_wind_up_isn_t_told_without_the_bushes_rates(qtbot):
    session, page = links_hop_page(qtbot, link_setup())
    (now,) = [row for row in page.layouts.rows_.table.rows if row[0].text == "as found"]
    assert [cell.text for cell in now[5:]] == ["—", "—"]
    assert column(page.modes, 0) == ["hop", "tramp"]
    assert [page.plays[mode].isEnabled() for mode in (1, 2, 3)] == [True, True, False]
    assert "bush rates aren't given" in page.linear.text()
    session.commit(link_setup(**BUSHES), "rates given")
    assert column(page.modes, 0) == ["hop", "tramp", "wind-up"]
    assert page.plays[3].isEnabled()


def test_an_axle_on_links_swings_on_the_board(qtbot):
    session, page = links_hop_page(qtbot, link_setup(**BUSHES))
    QTest.mouseClick(page.plays[2], LEFT)
    qtbot.waitUntil(lambda: session.overlay.mode == 2)
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert session.overlay.mode is None


def test_the_values_beside_the_modes_are_those_of_what_is_fitted(qtbot):
    (_, leaf), (_, links) = hop_page(qtbot), links_hop_page(qtbot, link_setup(**BUSHES))
    assert "rear.pack.eye_bush_rate" in leaf.values.values.keys
    assert "rear.pack.eye_bush_rate" not in links.values.values.keys
    assert "rear.links.upper_rate" in links.values.values.keys
    assert "rear.links.upper_rate" not in leaf.values.values.keys


def test_leaves_as_found_and_links_as_built_stand_side_by_side(qtbot):
    on_links = Change("links", sets=FrozenMap({"rear.kind": "five-link axle"}))
    session, page = links_hop_page(qtbot, both_setup(on_links, **BUSHES))
    found, built = page.layouts.rows_.table.rows[:2]
    assert [found[0].text, built[0].text] == ["as found", "as built"]
    assert session.study is not None
    for row, car in ((found, session.study.measured), (built, session.study.proposed)):
        assert row[3].text.rstrip("*") == f"{car.single['tramp_frequency']:.1f}"
        assert row[5].text.rstrip("*") == f"{car.single['wind_up_frequency']:.1f}"
    assert built[6].text[0] != "▼"  # what bushes damp isn't known


def test_results_of_other_springs_stand_in_no_row_of_another(qtbot):
    """A leaf's load isn't the coil force as found, nor its wind-up's damping that of links."""
    on_links = Change("links", sets=FrozenMap({"rear.kind": "five-link axle"}))
    session = Session(both_setup(on_links, **BUSHES))
    panel = ResultsPanel(session)
    shown(qtbot, panel, 340, 760)
    model = panel.view.results
    model.turn_group("Spring and ride")
    rows = {line.result.key: model.said(line) for line in model.lines if isinstance(line, Row)}
    assert rows["hop_frequency"].measured != "—"
    for key in ("spring_load", "wind_up_damping"):
        assert rows[key].measured == "—"
        assert rows[key].proposed != "—"


# --- links ----------------------------------------------------------------------------------------


def links_page(qtbot: QtBot, setup: Setup) -> tuple[Session, LinksPage]:
    session = Session(setup)
    page = LinksPage(session)
    shown(qtbot, page, 1000, 800)
    return session, page


def test_the_links_of_a_side_pull_as_the_others_push(qtbot):
    """A mirrored axle in roll: equal and opposite forces left and right (symmetry)."""
    _, page = links_page(qtbot, link_setup(rear__lateral_body=(-2640.0, -430.0, 310.0)))
    forces = dict(zip(column(page.forces, 0), column(page.forces, 4), strict=True))
    for name in ("lower", "upper"):
        left, right = (forces[f"{name} {side} link"] for side in ("left", "right"))
        assert {left[0], right[0]} == {"+", "−"}
        assert int(left[1:]) == pytest.approx(int(right[1:]), abs=2)


def test_a_bush_rate_is_typed_and_the_forces_follow(qtbot):
    session, page = links_page(qtbot, link_setup())
    before = column(page.forces, 4)
    double_click(page.values, value_cell(page.values, "rear.links.upper_rate"))
    type_into(page.values, "6000")
    assert proposed_values(session.setup)["rear.links.upper_rate"] == 6000.0
    assert column(page.forces, 4) != before
    assert column(page.forces, 3) == before


def test_both_kinds_stand_side_by_side_where_both_are_given(qtbot):
    on_links = Change("links", sets=FrozenMap({"rear.kind": "five-link axle"}))
    session, page = links_page(qtbot, both_setup(on_links))
    assert not page.compared.isHidden()
    (row,) = [r for r in page.compared.rows_.table.rows if r[0].text.startswith("Roll centre")]
    assert session.study is not None
    links = float(session.study.proposed.rest.values["roll_centre_height"][0])
    leaf = float(session.study.measured.rest.values["roll_centre_height"][0])
    assert [row[1].text, row[2].text] == [f"{leaf:.0f}", f"{links:.0f}"]


def test_with_links_alone_it_says_what_a_comparison_takes(qtbot):
    _, page = links_page(qtbot, link_setup())
    assert page.compared.isHidden()
    assert "must hold both" in page.no_other.text()


# --- the bench ------------------------------------------------------------------------------------


def bench_of(qtbot: QtBot, setup: Setup) -> tuple[Session, RearBench]:
    session = Session(setup)
    bench = RearBench(session, CurvesPanel(session))
    shown(qtbot, bench, 520, 400)
    return session, bench


def names(bench: RearBench) -> list[str]:
    return [bench.tabs.tabText(index) for index in range(bench.tabs.count())]


def test_tabs_are_those_of_the_axle_and_reached_by_the_keyboard(qtbot):
    _, bench = bench_of(qtbot, leaf_setup())
    assert names(bench) == ["Leaf pack", "Wind-up", "Hop and tramp", "Curves"]
    bench.tabs.setFocus()
    QTest.keyClick(bench.tabs, Qt.Key.Key_Right)
    assert bench.tab == "Wind-up"
    assert isinstance(bench.stack.currentWidget(), TwistPage)


def test_links_have_their_own_tab_and_the_front_has_none(qtbot):
    _, bench = bench_of(qtbot, link_setup())
    assert names(bench) == ["Links", "Hop and tramp", "Curves"]
    _, bench = bench_of(qtbot, saloon())
    assert bench.head.isHidden()
    assert bench.stack.currentWidget() is bench.curves


def test_a_change_of_kind_changes_the_tabs(qtbot):
    on_links = Change("links", on=False, sets=FrozenMap({"rear.kind": "five-link axle"}))
    session, bench = bench_of(qtbot, both_setup(on_links))
    assert names(bench)[0] == "Leaf pack"
    session.commit(session.setup.having(changes=(replace(on_links, on=True),)), "on links")
    assert names(bench) == ["Links", "Hop and tramp", "Curves"]
    session.undo()
    assert names(bench)[0] == "Leaf pack"


def test_curves_of_the_rear_have_no_steer(qtbot):
    session, bench = bench_of(qtbot, leaf_setup())
    bench.show_tab("Curves")
    QApplication.processEvents()
    bench.curves.build()
    assert bench.curves.sheet is not None
    keys = [result.key for result in bench.curves.sheet.results]
    assert keys[:3] == ["anti_squat", "pinion_angle", "roll_centre_height"]
    assert not hasattr(session.study.proposed.steer, "at")  # type: ignore[union-attr]


def test_a_page_that_cannot_be_seen_works_nothing_out(qtbot, monkeypatch):
    session, bench = bench_of(qtbot, leaf_setup())
    bench.show_tab("Wind-up")
    bench.show_tab("Leaf pack")
    asked: list[object] = []
    monkeypatch.setattr(TwistPage, "refresh", lambda page, study: asked.append(study))
    session.commit(session.setup.having(changes=(BARS,)), "bars")
    assert not asked
    bench.show_tab("Wind-up")
    assert asked == [session.study]


def test_what_is_drawn_on_the_board_asks_for_the_board(qtbot):
    _, bench = bench_of(qtbot, leaf_setup())
    bench.show_tab("Hop and tramp")
    page = bench.pages["Hop and tramp"]
    assert isinstance(page, HopPage)
    with qtbot.waitSignal(bench.board_wanted):
        page.player.turn(1)
    page.player.stop()


def test_steps_and_pinion_stand_in_tables_and_bars_that_touch_are_not_called_too_wide(qtbot):
    found = {
        "rear.traction_bar.length": 500.0,
        "rear.traction_bar.gap": 4.0,
        "rear.traction_bar.stiffness": 300.0,
        "rear.axle.pinion_angle": 0.03,
    }
    lower = {"rear.pack.free_arch": 90.0, "rear.traction_bar.gap": 0.0}
    setup = leaf_setup().having(changes=(Change("Flatter", on=True, sets=FrozenMap(lower)),))
    setup = setup.having(evidence=FrozenMap({**setup.readings, **found}))
    page = TwistPage(Session(setup))
    shown(qtbot, page, 1000, 800)
    assert page.session.study is not None
    assert page.session.study.proposed.single["bars_close_at"] == 0.0
    assert "too wide" not in page.warning.text()
    steps = page.steps.rows_.table
    assert [row[0].text for row in steps.rows][:2] == [
        "Drive 25 %, as found",
        "Drive 25 %, as built",
    ]
    assert len(steps.rows) == 10
    assert steps.heads[-1].startswith("bar")
    pinion = page.pinion.rows_.table
    assert pinion.heads[1:] == ("at rest\n°", "full bump\n°", "full drive\n°", "full braking\n°")
    assert pinion.rows[0][0].text == "Pinion angle, as found"
