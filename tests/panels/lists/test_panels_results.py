"""The results and the sentences: each test is one thing that a user reads or asks."""

from __future__ import annotations

import re
from html import unescape
from itertools import pairwise
from math import degrees, radians
from typing import Any

import pytest
from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.edits import set_limit, set_value, switch_change
from app.document.model import Change, FrozenMap, Limit, Units
from app.panels.lists.limits import LimitDialog
from app.panels.lists.result_rows import Head, Row, why_nothing
from app.panels.lists.results import ResultsPanel
from app.panels.lists.sentences import SentencesPanel
from app.panels.writing import Face, Faces
from app.session.session import Session
from app.systems.answers import Pose, value_in
from app.systems.every import SYSTEMS
from app.systems.system import System
from geometry.catalogue.front import BY_KEY, RESULTS
from geometry.catalogue.rear import REAR_RESULTS
from tests.helpers.panel_windows import (
    LEFT,
    NONE,
    click,
    double_click,
    saloon,
    saloon_session,
    shown,
)
from tests.helpers.setup_edits import move_point
from tests.helpers.sheets import sample

pytestmark = pytest.mark.gui

UPPER = "front.upper_front"
SAMPLES = ("small_saloon", "inch_sedan", "torsion_coupe", "hillclimb_special")


@pytest.fixture
def session() -> Session:
    return saloon_session()


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> ResultsPanel:
    made = ResultsPanel(session)
    shown(qtbot, made, 340, 760)
    made.view.setFocus()
    return made


def row(panel: ResultsPanel, key: str) -> QModelIndex:
    for place, line in enumerate(panel.view.results.lines):
        if isinstance(line, Row) and line.result.key == key:
            return panel.view.results.index(place)
    return QModelIndex()


def line(panel: ResultsPanel, key: str) -> Row:
    found = panel.view.results.lines[row(panel, key).row()]
    assert isinstance(found, Row)
    return found


def head(panel: ResultsPanel, group: str) -> QModelIndex:
    places = [
        place
        for place, each in enumerate(panel.view.results.lines)
        if isinstance(each, Head) and each.group == group
    ]
    return panel.view.results.index(places[0])


def spoken(panel: ResultsPanel, key: str) -> str:
    return str(row(panel, key).data(Qt.ItemDataRole.AccessibleTextRole))


def without(session: Session, *starts: str) -> None:
    setup = saloon()
    kept = {key: value for key, value in setup.evidence.items() if not key.startswith(starts)}
    session.open(setup.having(evidence=kept), None)


def test_a_row_reads_measured_proposed_and_what_moves(
    panel: ResultsPanel, session: Session
) -> None:
    assert session.measured is not None
    assert session.proposed is not None
    before = value_in(session.measured, BY_KEY["roll_centre_height"])
    after = value_in(session.proposed, BY_KEY["roll_centre_height"])
    assert before is not None
    assert after is not None
    said = panel.view.results.said(line(panel, "roll_centre_height"))
    assert said.measured == f"{before:.1f}"
    assert said.proposed == f"{after:.1f}"
    assert said.moves == f"+{after - before:.1f}"


def test_minus_signs_are_real_ones_and_an_unchanged_result_moves_by_nought(
    panel: ResultsPanel,
) -> None:
    assert panel.view.results.said(line(panel, "camber_gain")).proposed.startswith("−")
    assert panel.view.results.said(line(panel, "toe")).moves == "0.00"


def test_figures_follow_the_hand_during_a_drag(
    panel: ResultsPanel, session: Session, qtbot: QtBot
) -> None:
    before = panel.view.paper.said["camber"].proposed
    session.preview(move_point(session.setup, 0, UPPER, (0.0, -6.0, 0.0)))
    qtbot.waitUntil(lambda: panel.view.paper.said["camber"].proposed != before)
    session.cancel()
    assert panel.view.paper.said["camber"].proposed == before


def test_a_click_opens_the_definition_and_marks_the_drawing(panel: ResultsPanel) -> None:
    marked: list[str] = []
    panel.result_selected.connect(marked.append)
    height = panel.view.visualRect(row(panel, "caster")).height()
    click(panel.view, row(panel, "caster"))
    QApplication.processEvents()
    assert panel.view.visualRect(row(panel, "caster")).height() > height + 40
    QTest.keyClick(panel.view, Qt.Key.Key_Escape)
    assert marked == ["caster", ""]


def test_the_meaning_of_the_sign_is_said_in_words(panel: ResultsPanel) -> None:
    assert "kingpin top rearward" in spoken(panel, "caster")
    assert "leans in as it rises" in spoken(panel, "camber_gain")


def test_more_results_unfold_with_a_click_and_fold_with_return(panel: ResultsPanel) -> None:
    assert not row(panel, "instant_centre_y").isValid()
    click(panel.view, head(panel, "Centres"))
    assert row(panel, "instant_centre_y").isValid()
    panel.view.setCurrentIndex(head(panel, "Centres"))
    QTest.keyClick(panel.view, Qt.Key.Key_Return)
    assert not row(panel, "instant_centre_y").isValid()


def test_a_result_without_its_data_says_what_it_needs_and_shows_no_number(
    panel: ResultsPanel, session: Session
) -> None:
    without(session, "car.")
    assert line(panel, "anti_dive").needs.startswith("needs: wheelbase")
    assert spoken(panel, "anti_dive").endswith("share of braking at the front")
    assert "settled" not in spoken(panel, "settled_travel")


def test_a_result_that_does_not_exist_is_a_dash_with_its_reason(
    panel: ResultsPanel, session: Session
) -> None:
    click(panel.view, head(panel, "Spring and ride"))
    coil = line(panel, "coil_bind_travel")
    assert panel.view.results.said(coil).proposed == "—"
    assert "not met within the travel" in why_nothing(coil, session)


def test_a_passed_limit_is_said_in_words_not_by_colour_alone(
    panel: ResultsPanel, session: Session
) -> None:
    session.choose_height("as measured")
    assert "past its limit of 0.25°" in spoken(panel, "bump_steer_range")


def test_a_limit_that_rounding_seems_to_keep_is_told_with_a_digit_more(
    panel: ResultsPanel, session: Session
) -> None:
    assert session.study is not None
    value = session.study.proposed.single["bump_steer_range"]
    shown_value = round(degrees(value) - 0.002, 3)
    limit = Limit(maximum=radians(shown_value), kind="angle")
    session.commit(set_limit(session.setup, "front.bump_steer_range", limit), "limit")
    words = panel.view.results.said(line(panel, "bump_steer_range")).limit
    assert words.startswith(f"past its limit of {shown_value}")
    assert float(words.partition(": ")[2].removesuffix("°") or "9") > shown_value


def test_a_limits_words_stay_within_the_list(panel: ResultsPanel) -> None:
    paper, room = panel.view.paper, 150
    words = "past its limits of 0.000 to 0.080°/°: −0.0003°/° where it stands"
    short = paper.limit_fitting("small bold", words, 250)
    assert short == "past its limits of 0.000 to 0.080°/°"
    assert paper.limit_fitting("small bold", words, 2000) == words
    assert paper.faces.width("small bold", paper.limit_fitting("small bold", words, room)) <= room


def test_a_joints_limit_is_read_over_the_whole_travel(panel: ResultsPanel) -> None:
    said = panel.view.results.said(line(panel, "upper_ball_swing"))
    assert said.limit.startswith("at most 24.0°: 23.")
    assert not said.past


def open_limit(panel: ResultsPanel, key: str) -> LimitDialog:
    double_click(panel.view, row(panel, key))
    dialog = panel.view.findChild(LimitDialog)
    assert isinstance(dialog, LimitDialog)
    return dialog


def test_a_double_click_sets_a_limit(panel: ResultsPanel, session: Session) -> None:
    dialog = open_limit(panel, "caster")
    dialog.least.setFocus()
    QTest.keyClicks(dialog.least, "1,5")
    dialog.most.setFocus()
    QTest.keyClicks(dialog.most, "2.4")
    QTest.keyClick(dialog.most, Qt.Key.Key_Return)
    limit = session.setup.limits["front.caster"]
    assert (limit.minimum, limit.maximum) == pytest.approx((radians(1.5), radians(2.4)))
    assert "past its limits of 1.50 to 2.40°" in spoken(panel, "caster")
    assert session.history.undo_words == "limit caster"


def test_a_limit_over_an_inch_is_kept_in_the_units_that_are_shown(
    panel: ResultsPanel, session: Session
) -> None:
    session.set_units("in")
    dialog = open_limit(panel, "camber_gain")
    QTest.keyClicks(dialog.least, "-0.6")
    dialog.accept()
    limit = session.setup.limits["front.camber_gain"]
    assert limit.minimum is not None
    assert degrees(limit.minimum) * 25.4 == pytest.approx(-0.6)


def test_an_upside_down_limit_is_refused_in_words(panel: ResultsPanel, session: Session) -> None:
    dialog = open_limit(panel, "caster")
    QTest.keyClicks(dialog.least, "3")
    QTest.keyClicks(dialog.most, "2")
    dialog.accept()
    assert dialog.fault.text() == "The least is more than the most."
    assert "front.caster" not in session.setup.limits
    dialog.reject()


def test_the_right_wheel_is_a_click_away(panel: ResultsPanel, session: Session) -> None:
    session.set_pose(Pose(roll=radians(2.0)))
    click(panel.view, head(panel, "Body roll and steer"))
    left = panel.view.results.said(line(panel, "wheel_travel")).proposed
    QTest.mouseClick(panel.sides.button(1), LEFT, NONE)
    right = panel.view.results.said(line(panel, "wheel_travel")).proposed
    assert {left[0], right[0]} & {"−"}
    assert left.lstrip("−")[:3] == right.lstrip("−")[:3]


def test_what_cannot_be_built_greys_the_results_and_says_why(
    panel: ResultsPanel, session: Session
) -> None:
    session.commit(move_point(session.setup, 0, UPPER, (0.0, -900.0, 600.0)), "too far")
    assert session.problem is not None
    assert panel.view.paper.greyed
    assert "last car that could be built" in panel.problem.text()
    session.undo()
    assert not panel.view.paper.greyed
    assert not panel.problem.isVisible()


def test_the_keyboard_walks_the_rows_and_opens_one(panel: ResultsPanel) -> None:
    marked: list[str] = []
    panel.result_selected.connect(marked.append)
    panel.view.setCurrentIndex(panel.view.results.index(0))
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    QTest.keyClick(panel.view, Qt.Key.Key_Space)
    assert marked == ["camber"]


def test_the_panel_can_be_made_narrow(panel: ResultsPanel) -> None:
    panel.resize(300, 500)
    QApplication.processEvents()
    assert panel.minimumSizeHint().width() <= 300
    box = panel.view.visualRect(row(panel, "camber"))
    assert box.width() <= 300
    assert panel.view.indexAt(QPoint(5, 30)).isValid()


def test_a_sentence_leads_to_its_result(qtbot: QtBot, session: Session) -> None:
    session.choose_height("as measured")
    panel = SentencesPanel(session)
    shown(qtbot, panel, 340, 300)
    chosen: list[str] = []
    panel.result_chosen.connect(chosen.append)
    qtbot.waitUntil(lambda: "past its limit" in panel.words.text())
    line = next(line for line in panel.words.shown() if "past its limit" in line.text())
    QTest.keyClick(line, Qt.Key.Key_Return)
    QTest.mouseClick(line, Qt.MouseButton.LeftButton)
    assert chosen == ["bump_steer_range", "bump_steer_range"]


def test_arrows_walk_from_sentence_to_sentence_and_tab_leaves_them(
    qtbot: QtBot, session: Session
) -> None:
    panel = SentencesPanel(session)
    shown(qtbot, panel, 340, 160)
    panel.activateWindow()
    qtbot.waitUntil(lambda: len(panel.words.shown()) > 4)
    lines = panel.words.shown()
    assert [line for line in lines if line.focusPolicy()] == lines[:1]
    lines[0].setFocus()
    for one, other in pairwise(lines):
        QTest.keyClick(one, Qt.Key.Key_Down)
        assert other.hasFocus()
        seen = other.visibleRegion().boundingRect()
        assert seen.height() >= min(other.height() - 1, panel.words.viewport().height() - 16)
    assert [line for line in lines if line.focusPolicy()] == lines[-1:]
    assert lines[0].accessibleName()
    assert "<" not in lines[0].accessibleName()


def test_a_chosen_result_opens_in_its_group(panel: ResultsPanel) -> None:
    panel.show_result("roll_centre_force")
    assert panel.view.paper.opened == "roll_centre_force"
    box = panel.view.visualRect(row(panel, "roll_centre_force"))
    assert panel.view.viewport().rect().intersects(box)


def test_figures_come_now_and_then_under_a_hand_and_are_the_last_when_it_rests(
    panel: ResultsPanel, session: Session, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = 1000.0
    monkeypatch.setattr("app.session.between_frames.monotonic", lambda: now)
    session._pause.setInterval(10_000)  # the hand doesn't rest

    def figures() -> dict[str, str]:
        return {key: said.proposed for key, said in panel.view.paper.said.items()}

    def lower(by: float) -> None:
        session.preview(move_point(session.history.value, 0, UPPER, (0.0, 0.0, -by)))

    before = figures()
    lower(5.0)
    assert figures() == before  # the drawing comes first
    QApplication.processEvents()
    first = figures()
    assert first != before
    now += 0.04
    lower(9.0)
    QApplication.sendPostedEvents()
    assert figures() == first
    now += 0.02
    lower(13.0)
    qtbot.waitUntil(lambda: figures() != first)
    later = figures()
    lower(17.0)
    assert figures() == later
    session._pause.setInterval(60)
    lower(18.0)
    with qtbot.waitSignal(session.study_completed, timeout=2000):
        pass
    at_rest = figures()
    assert at_rest != later
    session.commit(session.setup, "lower the arm")
    assert figures() == at_rest


def test_figures_of_a_stretched_arm_are_greyed_and_marked(
    panel: ResultsPanel, session: Session
) -> None:
    stretched = Change("x", moves=FrozenMap({"front.upper_rear": (-20.0, 0.0, 0.0)}))
    session.commit(session.setup.having(changes=(stretched,)), "stretch")
    assert panel.view.paper.greyed
    assert "of no real part" in panel.problem.text()
    session.undo()
    assert not panel.view.paper.greyed
    assert panel.problem.text() == ""


def test_poses_from_one_place_in_the_body_say_that_the_car_does_not_stand_there(
    session: Session, panel: ResultsPanel
) -> None:
    session.set_in_body(True)
    assert panel.problem.isVisible()
    assert "As built it doesn't stand there" in panel.problem.text()
    session.set_in_body(False)
    assert not panel.problem.isVisible()


def test_an_end_that_cannot_be_built_is_told_while_the_other_is_shown(
    qtbot: QtBot, session: Session
) -> None:
    panel = SentencesPanel(session)
    shown(qtbot, panel, 340, 300)
    short = set_value(session.setup, 0, "rear.shackle_length", 3.0)
    session.commit(switch_change(short, 0, True), "a shackle that is too short")
    text = unescape(panel.words.text())
    assert text.find("The rear as proposed can't be built") == text.find("The rear")
    assert "the shackle has swung too far" in text
    session.undo()
    assert "can't be built" not in unescape(panel.words.text())


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize("system", SYSTEMS, ids=lambda system: system.key)
@pytest.mark.parametrize("name", SAMPLES)
def test_no_name_that_is_shown_first_is_cut_off_in_a_small_window(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, name: str, system: System[Any], units: Units
) -> None:
    whole_cut, cut = Faces.cut, []

    def watched(faces: Faces, face: Face, text: str, room: int) -> str:
        shown_text = whole_cut(faces, face, text, room)
        cut.extend([text] if face == "tight" and shown_text != text else [])
        return shown_text

    monkeypatch.setattr(Faces, "cut", watched)
    session = Session(sample(name))
    session.show(system)
    session.set_units(units)
    panel = ResultsPanel(session)
    shown(qtbot, panel, 320, 1400)  # as wide as in a window of 1280 pixels
    panel.grab()
    assert cut == []


def test_the_formula_and_its_source_stand_behind_one_more_click(panel: ResultsPanel) -> None:
    view = panel.view
    view.open_result("camber_gain")
    card, index = view.paper.card, row(panel, "camber_gain")
    box = view.visualRect(index)
    before = box.height()
    place = next(y for y in range(box.bottom(), box.top(), -1) if card.link_at(box, y) == "how")
    QTest.mouseClick(view.viewport(), LEFT, NONE, QPoint(60, place - 2))
    view.executeDelayedItemsLayout()
    assert card.shows_how
    assert view.visualRect(index).height() > before
    QTest.keyClick(view, Qt.Key.Key_H)
    assert not card.shows_how


def test_no_definition_is_a_formula() -> None:
    signs = re.compile(r"[=²√]|asin|\bd [a-z]+/d|/\(|\)/|·\(")
    told = [each for each in (*RESULTS, *REAR_RESULTS.values()) if signs.search(each.definition)]
    assert [each.key for each in told] == []


def test_both_wheels_of_an_unlike_front_are_read_without_a_switch(qtbot: QtBot) -> None:
    session = Session(sample("hillclimb_special"))
    session.show("front")
    panel = ResultsPanel(session)
    shown(qtbot, panel, 340, 1400)
    study = session.study
    assert study is not None
    row = next(row for row in rows_of(panel) if row.result.key == "caster")
    row_words = panel.view.results.said(row)
    assert row_words.other is not None
    left, right = (degrees(float(side)) for side in study.measured.rest.values["caster"][:, 0])
    assert float(row_words.measured) == pytest.approx(left, abs=0.006)
    assert float(row_words.other.measured) == pytest.approx(right, abs=0.006)
    assert abs(left - right) > 0.1
    spoken = panel.view.results.data(panel.view.results.index(panel.view.results.lines.index(row)))
    assert "right as found" in spoken


def test_alike_wheels_have_one_line(panel: ResultsPanel) -> None:
    assert not any(row.is_of_each for row in rows_of(panel))


def rows_of(panel: ResultsPanel) -> list[Row]:
    return [line for line in panel.view.results.lines if isinstance(line, Row)]
