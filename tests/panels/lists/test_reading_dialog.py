"""One reading is corrected from the board, as evidence, by real keys."""

from __future__ import annotations

from math import degrees

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.document.edits import remove_evidence
from app.document.leaf_parts import LEAVES, LeafPart, leaves_in
from app.document.rewriting import rewritten
from app.panels.lists.reading_dialog import ReadingDialog, can_be_corrected
from app.session.session import Session
from app.words.readings import within_words
from tests.document.examples import COIL
from tests.helpers.entering import sample
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui

BALL = "front.upper_ball"


def asked(qtbot: QtBot, session: Session, key: str) -> ReadingDialog:
    dialog = ReadingDialog(session, key)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def retype(field: QLineEdit, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)


def press_ok(dialog: ReadingDialog) -> None:
    ok = dialog.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(ok, Qt.MouseButton.LeftButton)


def test_a_point_is_read_again_as_one_step_and_its_changes_stay(qtbot: QtBot) -> None:
    session = Session(parse(COIL))
    before = session.setup
    dialog = asked(qtbot, session, BALL)
    retype(dialog.fields[2], "562,5")
    retype(dialog.within, "0.5")
    retype(dialog.why, "with the square")
    press_ok(dialog)
    after = session.setup
    x, y, z = before.readings[BALL]
    assert after.readings[BALL] == (x, y, 562.5)
    assert after.within[BALL] == 0.5
    assert after.changes == before.changes
    assert after.point_notes[BALL].endswith(
        f"read again, was {x:g}; {y:g}; {z:g} mm: with the square".replace("-", "−")
    )
    assert session.history.undo_words == "correct measured upper ball joint"
    assert parse(rewritten(COIL, before, after)).readings[BALL] == (x, y, 562.5)
    session.undo()
    assert session.setup == before


def test_a_value_is_read_again_in_the_shown_unit_with_a_line_in_the_notes(qtbot: QtBot) -> None:
    session = Session(parse(COIL))
    dialog = asked(qtbot, session, "front.camber")
    retype(dialog.fields[0], "-0.75")
    retype(dialog.within, "0.1")
    retype(dialog.why, "gauge set anew")
    press_ok(dialog)
    assert degrees(session.setup.readings["front.camber"]) == pytest.approx(-0.75)
    assert degrees(session.setup.within["front.camber"]) == pytest.approx(0.1)
    assert session.setup.notes.rstrip().endswith("Camber read again, was −0.5 °: gauge set anew")


def test_what_cannot_be_read_is_said_and_nothing_is_lost(qtbot: QtBot) -> None:
    session = Session(parse(COIL))
    dialog = asked(qtbot, session, "front.tyre_radius")
    retype(dialog.fields[0], "0")
    press_ok(dialog)
    assert dialog.isVisible()
    assert "must be" in dialog.refusal.text()
    retype(dialog.fields[0], "3o5")
    press_ok(dialog)
    assert "Tyre radius, loaded: " in dialog.refusal.text()
    assert session.setup == parse(COIL)


def test_a_point_that_was_never_read_is_not_corrected() -> None:
    setup = parse(COIL)
    assert can_be_corrected(setup, BALL)
    assert not can_be_corrected(setup, "front.right.upper_ball")
    assert not can_be_corrected(setup, "front.lower_arm")


def test_the_usual_uncertainty_is_one_click_away_and_follows_what_is_typed(qtbot: QtBot) -> None:
    session = Session(parse(COIL))
    dialog = asked(qtbot, session, "front.spring.rate")
    retype(dialog.fields[0], "50")
    usual = dialog.known.usual
    assert usual.text() == "Take the usual ±1 N/mm"
    assert not dialog.within.text()
    QTest.mouseClick(usual, Qt.MouseButton.LeftButton)
    assert usual.isHidden()
    press_ok(dialog)
    assert session.setup.within["front.spring.rate"] == pytest.approx(1.0)
    dialog = asked(qtbot, session, "front.spring.rate")
    retype(dialog.within, "3%")
    press_ok(dialog)
    assert session.setup.within["front.spring.rate"] == pytest.approx(1.5)


def test_axes_known_unlike_are_typed_kept_and_taken_back(qtbot: QtBot) -> None:
    unsaid = remove_evidence(parse(COIL), "sheet.measured_within").having(within={})
    session = Session(unsaid)
    dialog = asked(qtbot, session, BALL)
    retype(dialog.known.each[2], "3")
    press_ok(dialog)
    assert "the other axes too" in dialog.refusal.text()
    retype(dialog.within, "1")
    press_ok(dialog)
    assert session.setup.within[BALL] == (1.0, 1.0, 3.0)
    dialog = asked(qtbot, session, BALL)
    assert [field.text() for field in dialog.known.each] == ["1", "1", "3"]
    retype(dialog.fields[2], "571")
    press_ok(dialog)
    assert session.setup.within[BALL] == (1.0, 1.0, 3.0)
    dialog = asked(qtbot, session, BALL)
    for field in dialog.known.each:
        field.setFocus()
        field.selectAll()
        QTest.keyClick(field, Qt.Key.Key_Delete)
    press_ok(dialog)
    assert BALL not in session.setup.within
    evidence = {**unsaid.readings, "sheet.measured_within": 2.0}
    dialog = asked(qtbot, told := Session(unsaid.having(evidence=evidence)), BALL)
    assert dialog.within.placeholderText() == "2"
    retype(dialog.known.each[2], "3")
    press_ok(dialog)
    assert told.setup.within[BALL] == (2.0, 2.0, 3.0)


def test_a_leaf_is_read_again_and_is_the_same_piece_in_the_packs_of_changes(qtbot: QtBot) -> None:
    session = Session(sample("small_saloon"))
    key = LeafPart(2, "thickness").key
    dialog = asked(qtbot, session, key)
    assert dialog.windowTitle().endswith("Leaf 3, thickness")
    assert dialog.known.usual.text() == "Take the usual ±0.1 mm"
    retype(dialog.fields[0], "-1")
    press_ok(dialog)
    assert "Leaf 3, thickness must be" in dialog.refusal.text()
    retype(dialog.fields[0], "5.2")
    QTest.mouseClick(dialog.known.usual, Qt.MouseButton.LeftButton)
    press_ok(dialog)
    after = session.setup
    assert leaves_in(after.readings)[2].thickness == 5.2
    assert after.within[key] == 0.1
    assert session.history.undo_words == "correct measured thickness of leaf 3"
    pack = next(leaves_in(each.sets) for each in after.changes if LEAVES in each.sets)
    assert [leaf.thickness for leaf in pack] == [5.5, 5.5, 5.2, 4.5]
    assert within_words(after, key, "mm") == "measured within ±0.1 mm"
