"""A car is measured with nothing but the keyboard: each test is one thing that a person does."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QLocale, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.document.files import read_setup, text_of
from app.document.keys import KEYS, kind_of
from app.document.model import FrozenMap, Setup, Units, Vec
from app.entry.axis_row import OWN_PLANE
from app.entry.guide import MeasureWindow, correct_car, measure_car
from app.entry.needs import ROWS, needs_of
from app.entry.point_page import PointPage
from app.entry.readings import field_text, fields_of, outward, resolve
from app.entry.shelf import draft_from, text_of_draft, unfinished
from app.entry.steps import draft_of
from app.entry.value_line import ValueLine
from app.session.session import Session
from app.words.limit_kinds import LIMIT_KINDS
from geometry.catalogue.front import RESULTS
from tests.helpers.project import SAMPLE_FOLDER

pytestmark = pytest.mark.gui

SAMPLES = SAMPLE_FOLDER
PLAIN = Qt.KeyboardModifier.NoModifier
ALT = Qt.KeyboardModifier.AltModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
Opened = Callable[..., MeasureWindow]


def sample(name: str) -> Setup:
    return read_setup(SAMPLES / f"{name}.toml", limit_kinds=LIMIT_KINDS).setup


@pytest.fixture(autouse=True)
def plain_decimals() -> None:
    QLocale.setDefault(QLocale.c())


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Opened:
    def open_guide(setup: Setup | None = None, **options: object) -> MeasureWindow:
        window = MeasureWindow(setup, folder=tmp_path / "measuring", **options)  # type: ignore[arg-type]
        qtbot.addWidget(window)
        window.ask_closing = lambda _parent: "keep"
        window.resize(1280, 720)
        with qtbot.waitExposed(window):
            window.show()
        window.activateWindow()
        return window

    return open_guide


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def press(key: Qt.Key, keys: Qt.KeyboardModifier = PLAIN) -> None:
    QTest.keyClick(focused(), key, keys)


def type_and_enter(text: str) -> None:
    QTest.keyClicks(focused(), text)
    press(Qt.Key.Key_Return)


def reading_of(setup: Setup, name: str) -> str:
    """Return what a person would type into a field to enter this car."""
    point, _, part = name.rpartition(".")
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
        4: "left and right"
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
    for _ in range(300):
        line = focused()
        if window.sitting.step == "last":
            return
        assert isinstance(line, ValueLine), window.sitting.step
        text = reading_of(setup, line.name).replace("−", "-")
        line.selectAll()
        if text:
            QTest.keyClicks(line, text)
        press(Qt.Key.Key_Return)
    pytest.fail("the last page was never reached")


def same_evidence(got: Setup, wanted: Setup) -> None:
    asked = {k: v for k, v in wanted.evidence.items() if k.startswith(("car.", "front."))}
    for key, value in asked.items():
        if isinstance(value, str):
            assert got.evidence[key] == value
        else:
            assert got.evidence[key] == pytest.approx(value, rel=1e-12, abs=1e-9), key
    foreign = {k for k in got.evidence if k not in wanted.evidence}
    assert not foreign


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", ["small_saloon", "inch_sedan", "torsion_coupe", "hillclimb_special"]
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


def test_points_measured_from_each_other_are_refused() -> None:
    draft = draft_of(sample("small_saloon"))
    from app.entry.readings import Base, Reading

    for one, other in (("front.upper_front", "front.upper_rear"),) * 1:
        draft = draft.typed(f"{one}.x", Reading("5", base=Base(point=other)))
        draft = draft.typed(f"{other}.x", Reading("5", base=Base(point=one)))
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


def test_a_killed_window_loses_nothing_typed(opened: Opened, tmp_path: Path) -> None:
    window = opened()
    QTest.keyClicks(focused(), "Half a car")
    window.sitting.go("front.lower_ball")
    type_and_enter("4")
    QTest.keyClicks(focused(), "68o")
    window.keep()
    assert window.shelf is not None
    draft, step = draft_from(window.shelf.path.read_text("utf-8"))  # as a later start reads it
    assert draft == window.sitting.draft
    assert step == "front.lower_ball"
    assert unfinished(tmp_path / "measuring") == (), "it is still being worked on"


def test_a_car_left_unfinished_is_offered_and_gone_on_with(opened: Opened) -> None:
    first = opened()
    QTest.keyClicks(focused(), "Half a car")
    first.sitting.go("front.lower_ball")
    type_and_enter("4")
    first.close()
    again = opened()
    again.offer_unfinished()
    (left,) = unfinished(again.folder)
    assert left.draft.before.title == "Half a car"
    again.take_up(left)
    assert again.sitting.step == "front.lower_ball"
    assert again.sitting.text("front.lower_ball.x") == "4"


def test_closing_asks_and_may_stay_or_throw_away(opened: Opened) -> None:
    window = opened()
    QTest.keyClicks(focused(), "Half a car")
    window.ask_closing = lambda _parent: "stay"
    assert not window.close()
    assert window.isVisible()
    window.ask_closing = lambda _parent: "throw away"
    assert window.close()
    assert unfinished(window.folder) == ()


def test_an_untouched_window_closes_without_a_word(opened: Opened) -> None:
    window = opened()
    window.ask_closing = lambda _parent: pytest.fail("nothing was typed")
    assert window.close()


def test_evidence_is_corrected_as_one_step_that_can_be_undone(qtbot: QtBot, tmp_path: Path) -> None:
    session = Session(sample("small_saloon"))
    before = session.setup
    window = correct_car(None, session, "front.upper_ball", tmp_path)
    with qtbot.waitExposed(window):
        window.activateWindow()
    assert window.sitting.step == "front.upper_ball"
    line = focused()
    assert isinstance(line, ValueLine)
    line.selectAll()
    type_and_enter("-17,5")
    window.finish()
    assert session.setup.evidence["front.upper_ball"][0] == -17.5  # type: ignore[index]
    assert session.setup.changes == before.changes
    assert session.history.undo_words == "correct measured upper ball joint"
    session.undo()
    assert session.setup == before


def test_a_point_that_a_change_moves_cannot_be_left_out(opened: Opened) -> None:
    setup = sample("small_saloon")
    moved = next(key for change in setup.changes for key in change.moves)
    window = opened(setup, correcting=True)
    window.sitting.go(moved)
    line = focused()
    assert isinstance(line, ValueLine)
    line.selectAll()
    press(Qt.Key.Key_Delete)
    assert not window.sitting.is_whole()
    window.finish()
    assert window.sitting.step == "last"


def test_the_list_jumps_and_marks_what_is_done(opened: Opened) -> None:
    window = opened(sample("small_saloon"))
    press(Qt.Key.Key_L, CONTROL)
    assert focused() is window.steps
    press(Qt.Key.Key_Down)
    press(Qt.Key.Key_Down)
    assert window.sitting.step == "front.wheel_centre"
    item = window.steps.currentItem()
    spoken = item.data(Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Wheel centre, done"


def test_the_drawing_grows_and_what_is_missing_is_said(opened: Opened) -> None:
    window = opened()
    count = [len(pane.drawing.strokes) for pane in window.progress.panes.values()]
    window.sitting.go("front.lower_ball")
    for text in ("4", "684", "205"):
        type_and_enter(text)
    grown = [len(pane.drawing.strokes) for pane in window.progress.panes.values()]
    assert all(b > a for a, b in zip(count, grown, strict=True))
    assert "needs upper ball joint" in window.progress.needs.text()
    assert window.sitting.points_done()[0] == 1


def test_every_result_that_needs_data_is_on_the_list() -> None:
    listed = {key for row in ROWS for key in row.needs}
    for result in RESULTS:
        assert set(result.needs) <= listed, result.title


def test_a_whole_car_lacks_nothing_that_it_gives() -> None:
    for name in ("small_saloon", "inch_sedan", "torsion_coupe"):
        board = [gone for row, gone in needs_of(sample(name)) if row.board]
        assert not any(board)


def test_every_field_and_button_has_a_name_to_be_read_out(opened: Opened) -> None:
    window = opened(sample("hillclimb_special"))
    for step in window.sitting.steps:
        window.sitting.go(step.key)
        assert window.page is not None
        for line in window.page.findChildren(QLineEdit):
            assert line.accessibleName(), step.key


def test_every_page_fits_on_a_small_screen(opened: Opened) -> None:
    window = opened(sample("hillclimb_special"))
    for step in window.sitting.steps:
        window.sitting.go(step.key)
        QApplication.processEvents()
        least = window.minimumSizeHint()
        assert least.width() <= 1280, step.key
        assert least.height() <= 720, step.key


def test_a_draft_survives_its_text_whole() -> None:
    draft = draft_of(sample("inch_sedan"))
    assert draft_from(text_of_draft(draft, "wheel")) == (draft, "wheel")
    assert text_of(draft.before)


def test_right_hand_points_count_outwards(opened: Opened) -> None:
    window = opened(sample("hillclimb_special"))
    window.sitting.go("front.right.lower_ball")
    name = fields_of("front.right.lower_ball")[1]
    assert float(window.sitting.text(name)) > 0.0
    assert window.sitting.setup.evidence["front.right.lower_ball"][1] < 0.0  # type: ignore[index]
