"""A car is measured with nothing but the keyboard: each test is one thing that a person does."""

from __future__ import annotations

from dataclasses import astuple
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from app.document.keys import KEYS, kind_of
from app.document.leaf_parts import LEAVES
from app.document.model import FrozenMap, Setup, Units, Vec
from app.entry.axis_row import ACROSS, OWN_PLANE
from app.entry.chosen_line import UNSAID, ChosenLine
from app.entry.guide import MeasureWindow, measure_car
from app.entry.leaf_rows import leaf_text, row_and_part
from app.entry.leaves_page import LeavesPage
from app.entry.number_text import field_text
from app.entry.own_planes import outward
from app.entry.point_page import PointPage
from app.entry.steps import draft_of
from app.entry.typed import fields_of, resolve
from app.entry.typed_text import Base, TypedText
from app.entry.value_line import ValueLine
from app.session.session import Session
from tests.helpers.entering import PLAIN, Opened, focused, press, sample, type_and_enter
from tests.helpers.long_cases import typical_of

pytestmark = pytest.mark.gui

REARS = {
    "": "not now",
    "leaf axle": "axle on leaf springs",
    "five-link axle": "axle on links",
}
ALT = Qt.KeyboardModifier.AltModifier


def reading_of(setup: Setup, name: str) -> str:
    """Return what a person would type into a field to enter this car."""
    point, _, part = name.rpartition(".")
    if name.startswith(f"{LEAVES}."):
        row, part = row_and_part(name)
        leaves = setup.evidence[LEAVES]
        return leaf_text(leaves[row], part, setup.units, ".") if row < len(leaves) else ""
    if name in KEYS and not name.endswith((".x", ".y", ".z")):
        value = setup.evidence.get(name)
        if value is None:
            return ""
        return field_text(float(value), kind_of(name, setup.evidence), setup.units, ".")  # type: ignore[arg-type]
    if point not in setup.evidence:
        return ""
    axis = "xyz".index(part)
    at: Vec = setup.evidence[point]  # type: ignore[assignment]
    return field_text(outward(point, axis) * at[axis] + 0.0, "length", setup.units, ".")


def choose(window: MeasureWindow, setup: Setup) -> None:
    """Fill in the first page: its radio buttons by the arrow keys."""
    for letter in setup.title:  # QTest types no letters with accents
        QApplication.sendEvent(focused(), QKeyEvent(QEvent.Type.KeyPress, 0, PLAIN, letter))
    press(Qt.Key.Key_Return)
    wanted = {
        0: "inches" if setup.units == "in" else "millimetres",
        1: setup.evidence["front.lower_arm"],
        2: setup.evidence["front.steering.kind"],
        3: f"coil on the {setup.evidence.get('front.spring.on')}"
        if setup.evidence["front.spring.kind"] == "coil"
        else "torsion bar",
        4: "leaf springs, to be converted to links"
        if {"rear.front_eye", "rear.lower_body"} <= setup.evidence.keys()
        else REARS[str(setup.evidence.get("rear.kind", ""))],
        5: "left and right"
        if any(".right." in key for key in setup.evidence)
        else "left only; the right is its mirror",
    }
    for choice in wanted.values():
        for _ in range(4):
            press(Qt.Key.Key_Left)
        for _ in range(4):
            if focused().text() == choice:  # type: ignore[attr-defined]
                break
            press(Qt.Key.Key_Right)
        assert focused().text() == choice  # type: ignore[attr-defined]
        press(Qt.Key.Key_Return)


def enter_car(window: MeasureWindow, setup: Setup) -> None:
    """Enter a whole car, pressing Enter after each number and nothing else."""
    choose(window, setup)
    step = window.sitting.step
    for _ in range(500):
        if window.sitting.step != step:  # a page that is gone listens until it is deleted
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            step = window.sitting.step
        line = focused()
        if window.sitting.step == "last":
            return
        if window.sitting.step == "tapes":  # none has to be taken
            press(Qt.Key.Key_Return)
            continue
        if isinstance(line, ChosenLine):
            choose_word(line, str(setup.evidence.get(line.name, UNSAID)))
            continue
        assert isinstance(line, ValueLine), window.sitting.step
        if line.name.endswith(".0.thickness"):
            fill_beside(window, setup)
            line.setFocus()
        text = reading_of(setup, line.name).replace("−", "-")
        line.selectAll()
        if text:
            QTest.keyClicks(line, text)
        press(Qt.Key.Key_Return)
    pytest.fail(f"the last page was never reached from {window.sitting.step}")


def choose_word(line: ChosenLine, word: str) -> None:
    """Choose a word by the arrow keys."""
    press(Qt.Key.Key_Home)
    while line.currentText() != word:
        press(Qt.Key.Key_Down)
    press(Qt.Key.Key_Return)


def fill_beside(window: MeasureWindow, setup: Setup) -> None:
    """Tick and type what Enter passes by on the page of leaves."""
    page = window.page
    assert isinstance(page, LeavesPage)
    leaves = setup.evidence[LEAVES]
    for _ in range(len(leaves) + 1 - page.count):
        QTest.mouseClick(page.more, Qt.MouseButton.LeftButton)
    for row, leaf in enumerate(leaves):
        told = (leaf.clipped, leaf.taper != "none")
        for tick, is_so in zip(page.ticks[2 * row : 2 * row + 2], told, strict=True):
            if is_so:
                tick.setFocus()
                press(Qt.Key.Key_Space)
    for line in page.lines:
        row, part = row_and_part(line.name)
        if part in ("contact", "nip", "note") and row < len(leaves):
            line.setFocus()
            QTest.keyClicks(line, leaf_text(leaves[row], part, setup.units, ".").replace("−", "-"))


def same_evidence(got: Setup, wanted: Setup) -> None:
    asked = {k: v for k, v in wanted.evidence.items() if k.startswith(("car.", "front.", "rear."))}
    for key, value in asked.items():
        if key == "rear.pack.material":  # words, for the sheet alone
            continue
        if isinstance(value, str):
            assert got.evidence[key] == value
        elif key == LEAVES:
            for leaf, other in zip(got.evidence[key], value, strict=True):
                for one, two in zip(astuple(leaf), astuple(other), strict=True):
                    is_number = isinstance(two, float)
                    assert one == (pytest.approx(two, rel=1e-12) if is_number else two)
        else:
            assert got.evidence[key] == pytest.approx(value, rel=1e-12, abs=1e-9), key
    foreign = {k for k in got.evidence if k not in wanted.evidence}
    assert not foreign


@pytest.mark.slow
@pytest.mark.parametrize(
    "name",
    typical_of(  # a car on leaves, in inches, is typed in below
        ("small_saloon", "inch_sedan", "torsion_coupe", "hillclimb_special"), ("hillclimb_special",)
    ),
)
def test_a_whole_car_is_typed_in_with_enter_alone(opened: Opened, name: str) -> None:
    wanted, got = sample(name), []
    window = opened()
    window.finished.connect(got.append)
    enter_car(window, wanted)
    assert not window.sitting.open_questions()
    press(Qt.Key.Key_Return)
    (setup,) = got
    assert setup.title == wanted.title
    assert setup.units == wanted.units
    same_evidence(setup, wanted)


@pytest.mark.slow
def test_a_measured_car_opens_on_the_board(qtbot: QtBot, tmp_path: Path) -> None:
    session = Session(sample("small_saloon"))
    window = measure_car(None, session, tmp_path)
    with qtbot.waitExposed(window):
        window.activateWindow()
    enter_car(window, sample("inch_sedan"))
    window.finish()
    assert session.setup.title == sample("inch_sedan").title
    same_evidence(session.setup, sample("inch_sedan"))
    assert session.problem is None
    assert not session.is_saved
    assert session.setup.changes == ()


def test_fractions_and_units_may_be_mixed(opened: Opened) -> None:
    window = opened(Setup("t", units="in", evidence=FrozenMap({"front.kind": "double wishbone"})))
    window.sitting.go("front.upper_ball")
    type_and_enter("-1/2")
    type_and_enter("24 3/4")
    type_and_enter("488,95 mm")
    at = window.sitting.setup.evidence["front.upper_ball"]
    assert at == pytest.approx((-12.7, 24.75 * 25.4, 488.95), abs=1e-9)


def test_what_cannot_be_read_is_said_at_the_field_and_kept(opened: Opened) -> None:
    window = opened()
    window.sitting.go("front.lower_ball")
    type_and_enter("4")
    line = focused()
    type_and_enter("68o")
    assert focused() is line, "Enter stays where something is wrong"
    assert isinstance(line, QLineEdit)
    assert line.text() == "68o"
    errors = [w.text() for w in window.findChildren(QLabel, "error")]
    assert any("no unit that fits" in text for text in errors)
    window.sitting.go("wheel")
    window.sitting.go("front.lower_ball")
    assert window.sitting.text("front.lower_ball.y") == "68o"
    assert window.sitting.text("front.lower_ball.x") == "4"
    assert "front.lower_ball" not in window.sitting.setup.evidence


def test_an_odd_value_is_questioned_next_to_its_field_and_kept_as_typed(opened: Opened) -> None:
    window = opened()
    window.sitting.go("front.upper_ball")
    for text in ("-12", "24.7", "22"):
        type_and_enter(text)
    assert focused().text() == "Keep as typed"  # type: ignore[attr-defined]
    (question,) = window.sitting.open_questions("front.upper_ball")
    assert question.kind == "unit"
    assert window.sitting.setup.evidence["front.upper_ball"] == (-12.0, 24.7, 22.0)
    press(Qt.Key.Key_Return)
    assert window.sitting.step == "front.upper_front", "answered, it goes on"
    assert not window.sitting.open_questions()
    assert window.sitting.setup.evidence["front.upper_ball"] == (-12.0, 24.7, 22.0)


def test_several_questions_are_answered_one_by_one(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("front.upper_ball")
    for text in ("-12", "62.8", "178"):
        line = focused()
        assert isinstance(line, QLineEdit)
        line.selectAll()
        type_and_enter(text)
    asked = len(window.sitting.open_questions("front.upper_ball"))
    assert asked > 1
    for _ in range(asked):
        assert window.sitting.step == "front.upper_ball"
        press(Qt.Key.Key_Return)
    assert window.sitting.step == "front.upper_front"


def test_a_question_never_blocks(opened: Opened) -> None:
    wanted, got = sample("small_saloon"), []
    odd = wanted.having(
        evidence=FrozenMap({**wanted.evidence, "front.wheel_centre": (0.0, 700.0, 250.0)})
    )
    window = opened(odd)
    window.finished.connect(got.append)
    assert window.sitting.open_questions()
    window.finish()
    assert got[0].evidence["front.wheel_centre"] == (0.0, 700.0, 250.0)


def test_nothing_is_lost_going_back_and_forth_or_switching_units(opened: Opened) -> None:
    window = opened()
    sitting = window.sitting
    sitting.go("front.lower_ball")
    type_and_enter("5/8 in")
    type_and_enter("684,25")
    press(Qt.Key.Key_Left, ALT)
    assert sitting.step == "front.wheel_centre"
    press(Qt.Key.Key_Right, ALT)
    assert sitting.text("front.lower_ball.y") == "684,25"
    sitting.set_units("in")
    assert sitting.text("front.lower_ball.x") == "5/8 in"
    assert float(sitting.text("front.lower_ball.y")) == pytest.approx(684.25 / 25.4, abs=1e-8)
    sitting.set_units("mm")
    assert sitting.text("front.lower_ball.y") == "684,25", "as it was typed"


@pytest.mark.parametrize("units", ["mm", "in"])
def test_units_change_no_value(opened: Opened, units: Units) -> None:
    wanted = sample("inch_sedan" if units == "in" else "small_saloon")
    window = opened(wanted)
    for _ in range(2):
        window.sitting.set_units("in" if window.sitting.units == "mm" else "mm")
    assert window.sitting.finished_setup.evidence == wanted.evidence


def test_an_axis_may_count_from_another_point_or_a_plane(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("front.upper_front")
    page = window.page
    assert isinstance(page, PointPage)
    x, _, z = page.axes
    x.base.setFocus()
    while x.keys[x.base.currentIndex()] != "front.upper_ball":
        press(Qt.Key.Key_Down)
    z.base.setFocus()
    press(Qt.Key.Key_End)
    assert z.keys[z.base.currentIndex()] == OWN_PLANE
    z.offset.setFocus()
    type_and_enter("182")
    type_and_enter("lower face of the chassis leg")
    z.line.selectAll()
    QTest.keyClicks(z.line, "403")
    x.line.setFocus()
    x.line.selectAll()
    type_and_enter("117")
    setup = window.sitting.setup
    ball = sample("small_saloon").evidence["front.upper_ball"]
    at = setup.evidence["front.upper_front"]
    assert at[0] == pytest.approx(ball[0] + 117.0)  # type: ignore[index]
    assert at[2] == pytest.approx(585.0)  # type: ignore[index]
    note = setup.point_notes["front.upper_front"]
    assert "x: 117 mm from upper ball joint" in note
    assert "z: 403 mm from lower face of the chassis leg, which is 182 mm from the floor" in note


def test_a_plane_of_ones_own_is_kept_offered_and_followed(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    sitting = window.sitting
    leg = Base(plane="chassis leg", offset="182", is_plane=True)
    sitting.go("front.upper_front")
    sitting.set_base("front.upper_front.z", leg)
    sitting.type_text("front.upper_front.z", "403")
    sitting.go("front.upper_rear")
    page = window.page
    assert isinstance(page, PointPage)
    z = page.axes[2]
    assert [z.base.itemText(i) for i in range(z.base.count())][-2:] == ["chassis leg", OWN_PLANE]
    z.base.setFocus()
    press(Qt.Key.Key_End)
    z.base.setFocus()  # a plane of one's own leads to where it is typed
    press(Qt.Key.Key_Up)
    z.line.setFocus()
    z.line.selectAll()
    QTest.keyClicks(z.line, "390")
    evidence = sitting.finished_setup.evidence
    assert evidence["front.upper_rear"][2] == pytest.approx(572.0)
    z.offset.setFocus()
    z.offset.selectAll()
    QTest.keyClicks(z.offset, "185")  # measured again: both points go along
    evidence = sitting.finished_setup.evidence
    assert evidence["front.upper_rear"][2] == pytest.approx(575.0)
    assert evidence["front.upper_front"][2] == pytest.approx(588.0)


def test_half_of_a_width_across_the_car_counts(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("front.lower_ball")
    page = window.page
    assert isinstance(page, PointPage)
    y = page.axes[1]
    y.base.setFocus()
    while y.base.currentText() != ACROSS:
        press(Qt.Key.Key_Down)
    y.line.setFocus()
    y.line.selectAll()
    QTest.keyClicks(y.line, "1246")
    setup = window.sitting.finished_setup
    assert setup.evidence["front.lower_ball"][1] == pytest.approx(623.0)
    assert "y: half of 1246 mm across" in setup.point_notes["front.lower_ball"]


def test_points_measured_from_each_other_are_refused() -> None:
    draft = draft_of(sample("small_saloon"))
    for one, other in (("front.upper_front", "front.upper_rear"),) * 1:
        draft = draft.typed(f"{one}.x", TypedText("5", base=Base(point=other)))
        draft = draft.typed(f"{other}.x", TypedText("5", base=Base(point=one)))
    errors = resolve(draft).errors
    assert "measured from each other" in errors["front.upper_front.x"]


def test_uncertainty_and_note_are_kept_with_the_point(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    window.sitting.go("front.tie_outer")
    page = window.page
    assert isinstance(page, PointPage)
    page.within.setFocus()
    page.within.selectAll()
    QTest.keyClicks(page.within, "1,5")
    page.note.setFocus()
    QTest.keyClicks(page.note, "ball worn")
    assert window.sitting.finished_setup.within["front.tie_outer"] == pytest.approx(1.5)
    assert "ball worn" in window.sitting.finished_setup.point_notes["front.tie_outer"]


def test_a_damper_inside_its_coil_is_noted_as_in_the_same_place() -> None:
    draft = draft_of(sample("small_saloon"))
    for axis in fields_of("front.damper_arm"):
        draft = draft.typed(axis, TypedText("0", "in", Base(point="front.spring_arm")))
    note = resolve(draft).setup.point_notes["front.damper_arm"]
    assert note.endswith("in the same place as spring, arm end")
    assert "x:" not in note
