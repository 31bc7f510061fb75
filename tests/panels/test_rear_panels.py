"""The rear's bench under hand and keyboard: the leaf editor, results and words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.model import Change, FrozenMap, Leaf, Setup
from app.document.moves import proposed_values
from app.panels.bench.pack_page import PackPage
from app.panels.bench.pack_table import NAMES
from app.panels.lists.results import ResultsPanel
from app.panels.lists.sentences import SentencesPanel
from app.session.session import Session
from app.systems.rear.pack_edits import KEY, pack_of
from tests.helpers.panel_windows import click, double_click, shown, type_into
from tests.helpers.rear_cars import BARS, LEAVES, leaf_setup
from tests.helpers.rear_windows import column, value_cell

pytestmark = pytest.mark.gui

ALT = Qt.KeyboardModifier.AltModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton
THREE_THIN = (*LEAVES[:2], replace(LEAVES[2], thickness=6.0), LEAVES[3])


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


def press(page: PackPage, name: str) -> None:
    QTest.mouseClick(page.buttons[name], LEFT)


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
    plot = page.figure.chart
    assert page.change.isVisible()  # or what is below would move under the pointer
    assert page.change.text() == "As stiff as measured."
    double_click(page.table, cell(page, 2, "thickness"))
    type_into(page.table, "5,0")
    assert page.rate.text() != rate
    assert text(page, 3, "bump") != stress
    assert page.figure.chart is not plot
    assert page.figure.chart.series[0].look == "measured"
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
    assert any(note.text == "helper touches" for note in page.figure.chart.notes)
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
    assert session.study is not None
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
    qtbot.waitUntil(lambda: "traction bars touch" in panel.words.text())


def test_a_pack_under_a_moving_hand_is_worked_out_once_when_the_hand_rests(qtbot):
    session, page = pack_page(qtbot)
    before, completed = page.rate.text(), []
    session.study_completed.connect(lambda: completed.append(session.setup))
    for step in range(12):
        leaves = (*LEAVES[:3], Leaf(5.1 + step / 10, 280.0, 320.0))
        session.preview(leaf_setup(Change("thin", sets=FrozenMap({KEY: leaves}))))
        assert page.rate.text() == before  # a drag's frames are the board's
    qtbot.waitUntil(lambda: bool(completed))
    assert completed == [session.setup]
    assert text(page, 3, "thickness") == "6.2"
    _, alone = pack_page(qtbot, session.setup)
    assert page.rate.text() == alone.rate.text() != before
