"""The rear's bench under hand and keyboard: the leaf editor, wind-up, hop and tramp, links."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.model import Change, FrozenMap, Leaf, Setup
from app.document.proposal import proposed_values
from app.pack_edits import KEY, pack_of
from app.panels.chosen_values import ChosenValues
from app.panels.curves import CurvesPanel
from app.panels.hop_page import HopPage
from app.panels.links_page import LinksPage
from app.panels.pack_page import PackPage
from app.panels.pack_table import NAMES
from app.panels.rear_bench import RearBench
from app.panels.rear_page import RearPage
from app.panels.results import ResultsPanel
from app.panels.sentences import SentencesPanel
from app.panels.text_table import TextTable
from app.panels.twist_page import TwistPage
from app.rear_study import RearStudy
from app.session import Session
from tests.gui.panels import click, double_click, saloon, shown, type_into
from tests.helpers.rear_setups import BARS, LEAVES, STAGGERED, both_setup, leaf_setup, link_setup

pytestmark = pytest.mark.gui

ALT = Qt.KeyboardModifier.AltModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton
THREE_THIN = (*LEAVES[:2], replace(LEAVES[2], thickness=6.0), LEAVES[3])

Page = Callable[[Session], RearPage]


def pack_page(qtbot: QtBot, setup: Setup | None = None) -> tuple[Session, PackPage]:
    """A session on a car on leaf springs, and its leaf editor, as large as it likes."""
    session = Session(setup or leaf_setup())
    page = PackPage(session)
    shown(qtbot, page, 1000, 900)
    return session, page


def cell(page: PackPage, leaf: int, name: str) -> QModelIndex:
    return page.table.pack.index(leaf, NAMES.index(name))


def text(page: PackPage, leaf: int, name: str) -> str:
    return page.table.pack.text(leaf, NAMES.index(name))


def column(table: TextTable, at: int) -> list[str]:
    return [row[at].text for row in table.rows_.table.rows]


def press(page: PackPage, name: str) -> None:
    QTest.mouseClick(page.buttons[name], LEFT)


def value_cell(values: ChosenValues, key: str) -> QModelIndex:
    return values.values.index(values.values.keys.index(key), 2)


# --- the leaf editor ------------------------------------------------------------------------------


def test_a_thickness_typed_goes_into_a_change_and_never_into_the_evidence(qtbot):
    session, page = pack_page(qtbot)
    before = session.setup.evidence
    double_click(page.table, cell(page, 2, "thickness"))
    type_into(page.table, "6")
    assert session.setup.evidence == before
    assert pack_of(session.setup) == THREE_THIN
    assert session.setup.changes[0].on
    assert session.history.undo_words == "leaf 3 from 6.5 to 6.0 mm thick"


def test_typing_makes_the_whole_page_answer(qtbot):
    session, page = pack_page(qtbot)
    rate, stress = page.rate.text(), text(page, 3, "bump")
    plot = page.figure.plot
    double_click(page.table, cell(page, 2, "thickness"))
    type_into(page.table, "5,0")
    assert page.rate.text() != rate
    assert text(page, 3, "bump") != stress
    assert page.figure.plot is not plot
    assert page.figure.plot.traces[0].style == "measured"
    assert "softer than measured" in page.change.text()
    assert "5.0" in column(page.cutting, 3)
    session.undo()
    assert page.rate.text() == rate


def test_typing_back_what_was_measured_leaves_nothing_set(qtbot):
    session, page = pack_page(qtbot)
    for typed in ("6", "6.5"):
        double_click(page.table, cell(page, 2, "thickness"))
        type_into(page.table, typed)
    assert not session.setup.changes[0].sets


@pytest.mark.qt_log_ignore("raise", extend=True)  # the offscreen platform says so of a tool-tip
def test_what_makes_no_pack_is_refused_where_it_is_typed(qtbot):
    session, page = pack_page(qtbot)
    double_click(page.table, cell(page, 1, "front"))
    field = type_into(page.table, "900")
    assert field is QApplication.focusWidget()
    assert "longer than the main leaf" in field.accessibleDescription()
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert session.problem is None
    assert not session.setup.changes


def test_leaves_are_added_taken_out_and_moved_with_buttons(qtbot):
    session, page = pack_page(qtbot)
    click(page.table, cell(page, 3, "thickness"))
    press(page, "add")
    assert session.history.undo_words == "add leaf 5"
    assert page.table.leaf == 4
    assert len(pack_of(session.setup)) == 5
    press(page, "up")
    assert session.history.undo_words == "move leaf 5 up"
    assert page.table.leaf == 3
    press(page, "remove")
    assert session.history.undo_words == "take out leaf 4"
    assert pack_of(session.setup) == LEAVES
    assert len(session.setup.changes) == 1


def test_leaves_are_added_taken_out_and_moved_with_keys(qtbot):
    session, page = pack_page(qtbot)
    click(page.table, cell(page, 3, "front"))
    QTest.keyClick(page.table, Qt.Key.Key_Insert)
    QTest.keyClick(page.table, Qt.Key.Key_Up, ALT)
    assert session.history.undo_words == "move leaf 5 up"
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    assert pack_of(session.setup) == LEAVES


def test_the_main_leaf_stays_and_the_buttons_say_so(qtbot):
    session, page = pack_page(qtbot)
    click(page.table, cell(page, 0, "thickness"))
    assert not page.buttons["remove"].isEnabled()
    assert not page.buttons["up"].isEnabled()
    assert not page.buttons["clip"].isEnabled()
    QTest.keyClick(page.table, Qt.Key.Key_Delete)
    assert pack_of(session.setup) == LEAVES
    qtbot.waitUntil(lambda: "carries the eyes" in page.what_if.text())


def test_a_clip_is_turned_over_by_space_and_by_a_double_click(qtbot):
    session, page = pack_page(qtbot)
    click(page.table, cell(page, 2, "clipped"))
    QTest.keyClick(page.table, Qt.Key.Key_Space)
    assert pack_of(session.setup)[2].clipped
    assert session.history.undo_words == "clip leaf 3"
    double_click(page.table, cell(page, 2, "clipped"))
    assert not pack_of(session.setup)[2].clipped


def test_a_helper_is_made_by_its_contact_and_unmade_by_an_empty_field(qtbot):
    session, page = pack_page(qtbot)
    double_click(page.table, cell(page, 3, "contact"))
    type_into(page.table, "25")
    assert pack_of(session.setup)[3].contact == 25.0
    assert any(note.text == "helper touches" for note in page.figure.plot.notes)
    double_click(page.table, cell(page, 3, "contact"))
    type_into(page.table, " ")
    assert pack_of(session.setup)[3].contact is None


def test_the_chosen_leaf_is_worth_what_taking_it_out_does(qtbot):
    session, page = pack_page(qtbot)
    click(page.table, cell(page, 3, "thickness"))
    qtbot.waitUntil(lambda: page.what_if.text().startswith("Without leaf 4: "))
    said = page.what_if.text()
    press(page, "remove")
    assert page.rate.text().removesuffix(" on the car") in said
    assert isinstance(session.study, RearStudy)
    lower = session.study.proposed.single["settled_travel"]
    assert f"sits {lower:.0f} mm lower" in said


def test_a_click_on_the_drawing_chooses_the_leaf_in_the_table(qtbot):
    _, page = pack_page(qtbot)
    place = page.stack.places(page.table.pack.leaves)[1].box.center()
    QTest.mouseClick(page.stack, LEFT, pos=place.toPoint())
    assert page.table.leaf == 1
    assert page.stack.leaf == 1


def test_little_left_and_past_the_limit_are_signs_not_only_inks(qtbot):
    _, page = pack_page(qtbot, leaf_setup(rear__pack__limit_stress=600.0))
    signs = [text(page, leaf, "left")[:1] for leaf in range(4)]
    assert "■" in signs


def test_without_the_cars_mass_it_is_said_and_no_stress_is_made_up(qtbot):
    _, page = pack_page(qtbot, leaf_setup(without=("car.mass",)))
    assert text(page, 1, "bump") == "—"
    assert "On the car it needs: mass" in page.band.text()
    assert "of the pack by itself" in page.rate.text()


def test_values_not_given_yet_are_proposed_too(qtbot):
    session, page = pack_page(qtbot)
    double_click(page.values, value_cell(page.values, "rear.block"))
    type_into(page.values, "30")
    assert proposed_values(session.setup)["rear.block"] == 30.0
    assert "rear.block" not in session.setup.evidence


def test_the_cutting_list_is_copied_as_a_table(qtbot):
    _, page = pack_page(qtbot)
    page.cutting.setFocus()
    QTest.keyClick(page.cutting, Qt.Key.Key_C, CONTROL)
    lines = QGuiApplication.clipboard().text().split("\n")
    assert len(lines) == 5
    assert lines[1].split("\t")[:4] == ["main, to eyes", "2", "63.5", "6.5"]


def test_inches_are_inches_everywhere_on_the_page(qtbot):
    session, page = pack_page(qtbot)
    session.set_units("in")
    assert text(page, 0, "thickness") == "0.256"
    assert "lbf/in" in page.rate.text()
    assert "mm" not in page.caption.text()
    assert "mm" not in page.cutting.text()
    assert not any("mm" in words for words in column(page.pairs, 0))


def test_leaves_of_another_change_are_marked_and_the_measured_ones_told(qtbot):
    thin = Change("thin", sets=FrozenMap({KEY: THREE_THIN}))
    _, page = pack_page(qtbot, leaf_setup(thin))
    index = cell(page, 2, "thickness")
    assert page.table.paper.style(page.table.pack, 2, index.column()) == ("bold", "accent")
    assert "measured: 6.5" in index.data(Qt.ItemDataRole.ToolTipRole)


# --- under torque ---------------------------------------------------------------------------------


def twist_page(qtbot: QtBot, *changes: Change, **more: object) -> tuple[Session, TwistPage]:
    session = Session(leaf_setup(*changes, **more))  # type: ignore[arg-type]
    page = TwistPage(session)
    shown(qtbot, page, 1000, 800)
    return session, page


def test_the_kink_stands_where_the_snubber_touches(qtbot):
    session, page = twist_page(qtbot, BARS)
    assert isinstance(session.study, RearStudy)
    closes = session.study.proposed.single["bars_close_at"]
    (kink,) = [note for note in page.figure.plot.notes if note.text == "snubber touches"]
    assert kink.x == pytest.approx(closes)
    proposed = page.figure.plot.traces[-1]
    slopes = [
        (y - kink.y) / (x - kink.x)
        for x, y in zip(proposed.x, proposed.y, strict=True)
        if abs(x - kink.x) > 50
    ]
    assert slopes[-1] < slopes[0]  # beyond the kink it turns less


def test_bars_are_proposed_by_typing_and_what_they_lack_is_said(qtbot):
    session, page = twist_page(qtbot)
    for key, typed in (("gap", "5"), ("stiffness", "450")):
        double_click(page.values, value_cell(page.values, f"rear.traction_bar.{key}"))
        type_into(page.values, typed)
    assert "need length" in page.bars.text()
    double_click(page.values, value_cell(page.values, "rear.traction_bar.length"))
    type_into(page.values, "560")
    assert not page.bars.text()
    assert isinstance(session.study, RearStudy)
    assert "bars_close_at" in session.study.proposed.single


def test_reversed_eye_loads_are_said(qtbot):
    _, page = twist_page(qtbot, rear__drive__engine_torque=400e3, rear__drive__grip=1.5)
    assert "rear eye is reversed" in page.warning.text()


def test_without_the_engine_it_says_what_is_needed(qtbot):
    _, page = twist_page(qtbot, without=("rear.drive.engine_torque",))
    assert page.head.text() == "Full drive needs: engine torque."
    assert "engine torque" in page.figure.plot.empty
    assert not page.draws.isEnabled()


def test_the_s_is_drawn_on_the_board_when_asked(qtbot):
    session, page = twist_page(qtbot)
    QTest.mouseClick(page.draws, LEFT, pos=page.draws.rect().center() / 4)
    page.draws.setFocus()
    if not page.draws.isChecked():
        QTest.keyClick(page.draws, Qt.Key.Key_Space)
    assert session.rear_display.thrust == 1.0
    assert session.rear_display.exaggeration == 3.0
    page.thrust.setFocus()
    QTest.keyClick(page.thrust, Qt.Key.Key_Home)
    assert session.rear_display.thrust == -1.0
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
        *("as measured", "as proposed"),
        *("both ahead", "both behind", "one ahead, one behind", "at the axle"),
    ]
    assert page.layouts.rows_.table.marked == 1
    assert "One damper stands ahead" in page.why.text()


def test_low_damping_is_marked_by_a_sign_and_bold(qtbot):
    _, page = hop_page(qtbot)
    (now,) = [row for row in page.layouts.rows_.table.rows if row[0].text == "as measured"]
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
    session.study_changed.connect(lambda: phases.append(session.rear_display.phase))
    QTest.mouseClick(page.plays[3], LEFT)
    qtbot.waitUntil(lambda: len(phases) > 5)
    assert session.rear_display.mode == 3
    assert phases[-1] > phases[0]
    QTest.mouseClick(page.plays[3], LEFT)
    assert session.rear_display.mode is None
    assert not page.plays[3].isChecked()
    QTest.mouseClick(page.plays[1], LEFT)
    qtbot.waitUntil(lambda: session.rear_display.mode == 1)
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert session.rear_display.mode is None


def test_leaving_the_page_stops_what_swings(qtbot):
    session, page = hop_page(qtbot)
    QTest.mouseClick(page.plays[2], LEFT)
    qtbot.waitUntil(lambda: session.rear_display.mode == 2)
    page.hide()
    assert session.rear_display.mode is None


def test_without_the_axles_mass_it_says_so(qtbot):
    _, page = hop_page(qtbot, without=("rear.axle.mass",))
    assert page.lacking.text() == "Hop and tramp needs: axle mass."
    assert page.layouts.isHidden()
    assert not page.plays[3].isEnabled()


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
    assert isinstance(session.study, RearStudy)
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
    assert names(bench) == ["Links", "Curves"]
    _, bench = bench_of(qtbot, saloon())
    assert bench.head.isHidden()
    assert bench.stack.currentWidget() is bench.curves


def test_a_change_of_kind_changes_the_tabs(qtbot):
    on_links = Change("links", on=False, sets=FrozenMap({"rear.kind": "five-link axle"}))
    session, bench = bench_of(qtbot, both_setup(on_links))
    assert names(bench)[0] == "Leaf pack"
    session.commit(session.setup.having(changes=(replace(on_links, on=True),)), "on links")
    assert names(bench) == ["Links", "Curves"]
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


# --- results and sentences ------------------------------------------------------------------------


def test_a_limit_of_the_rear_is_marked_in_the_results(qtbot):
    from app.document.edits import set_limit
    from app.document.model import Limit

    setup = set_limit(leaf_setup(), "rear.roll_centre_height", Limit(maximum=100.0))
    session = Session(setup)
    panel = ResultsPanel(session)
    shown(qtbot, panel, 340, 900)
    assert panel.view.results.readings["roll_centre_height"].held is False


def test_sentences_speak_of_the_rear(qtbot):
    session = Session(leaf_setup(BARS))
    panel = SentencesPanel(session)
    shown(qtbot, panel)
    assert "traction bars touch" in panel.words.text()


def test_another_leaf_is_shown_within_two_frames(qtbot):
    """Two frames of a 60 Hz screen, doubled for a busy test machine."""
    from time import perf_counter

    session, page = pack_page(qtbot)
    leaves = [(*LEAVES[:3], Leaf(5.0 + step / 10, 280.0, 320.0)) for step in range(12)]
    took = []
    for each in leaves:
        setup = leaf_setup(Change("thin", sets=FrozenMap({KEY: each})))
        start = perf_counter()
        session.preview(setup)
        QApplication.processEvents()
        page.grab()
        took.append(perf_counter() - start)
    assert sorted(took)[len(took) // 2] < 0.067
