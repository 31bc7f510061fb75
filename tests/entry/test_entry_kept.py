"""What is typed into the new-car guide is kept, closed, corrected and looked over."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from app.document.edits import set_height
from app.document.files import read_text, text_of
from app.document.same import same_setup
from app.entry.draft_store import draft_from, text_of_draft, unfinished
from app.entry.guide import correct_car
from app.entry.head import Head
from app.entry.needs_rows import needed_keys
from app.entry.parts import PARTS, given_parts
from app.entry.steps import draft_of
from app.entry.typed import fields_of
from app.entry.value_line import ValueLine
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from geometry.catalogue.front import RESULTS
from tests.helpers.entering import Opened, focused, press, sample, type_and_enter

pytestmark = pytest.mark.gui

CONTROL = Qt.KeyboardModifier.ControlModifier


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


def test_a_stop_that_is_corrected_takes_a_chosen_height_along(qtbot: QtBot, tmp_path: Path) -> None:
    """372 mm at the arch, held at 300 within 75 mm of bump: of 30 mm it can be 342 at the least."""
    lowered = set_height(sample("small_saloon"), "front", 300.0)
    session = Session(lowered)
    window = correct_car(None, session, "front.travel.bump", tmp_path)
    with qtbot.waitExposed(window):
        window.activateWindow()
    window.sitting.type_text("front.travel.bump", "30")
    with qtbot.waitSignal(session.said) as said:
        window.finish()
    assert session.setup.heights == {"front": 342.0}
    assert "30 mm lower: 342 mm to the arch lip, as far as its stops now allow" in said.args[0]
    kept_text = text_of(session.setup)
    assert same_setup(read_text(kept_text, limit_kinds=LIMIT_KINDS).setup, session.setup)
    session.undo()
    assert session.setup == lowered


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
    car = sample("small_saloon")
    for part in PARTS:
        rows = [row for row, _ in part.rows(car)]
        listed = {key for row in rows for key in needed_keys(row, part.system.catalogue)}
        told = {key for row in rows for key in row.results}
        assert told <= {result.key for result in part.system.catalogue}
        if part.system.key == "front":
            for result in RESULTS:
                assert set(result.needs) <= listed, result.title


def test_a_whole_car_lacks_nothing_that_it_gives() -> None:
    for name in ("small_saloon", "inch_sedan", "torsion_coupe"):
        setup = sample(name)
        parts = given_parts(draft_of(setup))
        assert parts
        for part in parts:
            assert not any(gone for row, gone in part.rows(setup) if row.board)


def test_every_page_fits_on_a_small_screen_and_its_fields_have_names(
    opened: Opened,
) -> None:
    window = opened(sample("hillclimb_special"))
    for step in window.sitting.steps:
        window.sitting.go(step.key)
        assert window.page is not None
        for line in window.page.findChildren(QLineEdit):
            assert line.accessibleName(), step.key
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


def test_a_long_title_does_not_push_the_guide_off_the_screen(qtbot: QtBot, tmp_path: Path) -> None:
    long = sample("small_saloon").having(title="A very long name of a car " * 6)
    window = correct_car(None, Session(long), "", tmp_path)
    with qtbot.waitExposed(window):
        window.show()
    assert window.minimumSizeHint().width() <= 1280
    head = window.findChild(Head)
    assert head is not None
    assert head.title.text().endswith("…")
    assert "A very long name" in head.title.toolTip()
    window.close()
