"""Readings of gauges and floor pads are typed in the window and in the guide by real keys."""

from __future__ import annotations

from math import degrees

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.desk.levelling import LevellingDialog
from app.document.as_read import ways_of
from app.entry.as_read import ReadingsDialog
from app.entry.draft_session import DraftSession
from app.entry.steps import draft_of
from app.session.session import Session
from tests.document.examples import COIL
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui


def type_into(field: QLineEdit, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)


def press_ok(dialog: QDialog) -> None:
    ok = dialog.findChild(QDialogButtonBox).button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(ok, Qt.MouseButton.LeftButton)


def asked(qtbot: QtBot, session: Session) -> ReadingsDialog:
    setup = session.history.value
    dialog = ReadingsDialog(setup, session.units, ways_of(setup), session.commit)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def test_total_toe_in_inches_is_one_step(qtbot: QtBot) -> None:
    session = Session(parse(COIL))
    session.set_units("in")
    dialog = asked(qtbot, session)
    for name, text in (("ahead", "54"), ("behind", "54 1/16"), ("over", "24")):
        type_into(dialog.fields[name], text)
    assert "Toe-in per wheel +0.07° ±" in dialog.says.text()  # 1/16 over 48: 0.0746 degrees
    press_ok(dialog)
    assert not dialog.isVisible()
    setup = session.history.value
    assert degrees(setup.readings["front.toe"]) == pytest.approx(0.0746, abs=1e-4)
    assert setup.units == "mm"  # the file keeps its own
    assert "ahead of the axle 54.00" in setup.notes
    session.undo()
    assert session.history.value == parse(COIL)


def test_what_cannot_be_read_keeps_the_button_shut(qtbot: QtBot) -> None:
    dialog = asked(qtbot, Session(parse(COIL)))
    ok = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    assert not ok.isEnabled()
    type_into(dialog.fields["ahead"], "13 kg")
    assert "Width ahead of the axle: " in dialog.says.text()
    dialog.choice.setFocus()
    QTest.keyClick(dialog.choice, Qt.Key.Key_Down)
    assert list(dialog.fields) == ["left", "right", "over"]


def test_every_way_has_the_height_that_its_rows_need(qtbot: QtBot) -> None:
    dialog = asked(qtbot, Session(parse(COIL)))
    layout = dialog.layout()
    assert layout is not None
    dialog.choice.setFocus()
    for _ in dialog.ways:
        qtbot.waitUntil(lambda: dialog.height() == layout.heightForWidth(dialog.width()))
        QTest.keyClick(dialog.choice, Qt.Key.Key_Down)
        qtbot.wait(1)


def test_in_the_guide_worked_values_stand_in_the_fields(qtbot: QtBot) -> None:
    sitting = DraftSession(draft_of(parse(COIL)), "weights")
    sitting.type_text("car.mass", "999")
    dialog = ReadingsDialog(sitting.setup, "mm", ways_of(sitting.setup), sitting.take_over)
    qtbot.addWidget(dialog)
    dialog.show()
    dialog.choice.setCurrentText("Weights by wheel")
    for field, text in zip(dialog.fields.values(), ("330", "330", "270", "270"), strict=True):
        type_into(field, text)
    press_ok(dialog)
    assert sitting.text("car.mass") == "1200"
    assert sitting.text("car.front_share") == "0.55"
    assert sitting.finished_setup.within["car.mass"] == pytest.approx(4.0)


def test_floor_pads_turn_the_points_as_one_step(qtbot: QtBot) -> None:
    session = Session(parse(COIL))
    dialog = LevellingDialog(session)
    qtbot.addWidget(dialog)
    dialog.show()
    rows = (("0", "600", "4"), ("0", "-600", "4"), ("-1000", "0", "-6"))
    for lines, texts in zip(dialog.lines, rows, strict=True):
        for line, text in zip(lines, texts, strict=False):
            type_into(line, text)
    assert "lies 0.57° down ahead" in dialog.says.text()
    before = session.history.value.readings
    press_ok(dialog)
    after = session.history.value.readings
    assert after["front.lower_front"] != before["front.lower_front"]
    assert session.history.undo_words == "floor and rake"
    session.undo()
    assert session.history.value.readings == before


def test_a_datum_on_the_frame_counts_as_nought(qtbot: QtBot) -> None:
    dialog = LevellingDialog(Session(parse(COIL)))
    qtbot.addWidget(dialog)
    dialog.show()
    on_its_words = QPoint(30, dialog.on_frame.height() // 2)
    QTest.mouseClick(dialog.on_frame, Qt.MouseButton.LeftButton, pos=on_its_words)
    assert [line.text() for line in dialog.lines[0]] == ["", "", "0", ""]
