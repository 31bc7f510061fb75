"""Readings of gauges and floor pads are typed in the window and in the guide by real keys."""

from __future__ import annotations

from math import asin, atan, degrees
from typing import Final

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLineEdit
from pytestqt.qtbot import QtBot

from app.desk.levelling import LevellingDialog
from app.document.as_read import ways_of
from app.document.model import Units
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


LENGTHS: Final = {  # what is typed in order, and the values that it comes to by hand
    "Toe between the wheels": (
        ("1370", "1374", "600"),
        {"front.toe": degrees(asin(4.0 / 1200.0))},
    ),
    "Toe of each wheel as a length": (
        ("1.5", "-2", "600"),
        {"front.toe": degrees(asin(1.5 / 600)), "front.toe_right": degrees(asin(-2 / 600))},
    ),
    "Toe by a beam to a wall ahead": (
        ("5000", "690", "680", "690", "684"),
        {"front.toe": degrees(atan(10 / 5000)), "front.toe_right": degrees(atan(6 / 5000))},
    ),
    "Camber by a beam to a wall beside": (
        ("2000", "300", "290", "300", "305"),
        {"front.camber": degrees(atan(10 / 2000)), "front.camber_right": degrees(atan(-5 / 2000))},
    ),
    "Camber by a plumb line": (
        ("400", "30", "34", "30", "28"),
        {"front.camber": degrees(asin(4 / 400)), "front.camber_right": degrees(asin(-2 / 400))},
    ),
    "Weights by wheel": (("330", "340", "270", "260"), {"car.mass": 1200.0}),
    "Front damper's stroke by cable tie": (
        ("320", "60", "35", "130"),
        {"front.damper.closed_length": 260.0, "front.damper.open_length": 390.0},
    ),
    "Front wheel's travel by cable tie": (
        ("60", "35", "49", "56"),
        {"front.travel.bump": 84.0, "front.travel.rebound": 96.0},
    ),
}


@pytest.mark.parametrize("units", ["mm", "in"])
def test_every_way_gives_what_a_hand_works_out_and_refuses_slips(
    qtbot: QtBot, units: Units
) -> None:
    session = Session(parse(COIL))
    session.set_units(units)
    dialog = asked(qtbot, session)
    ok = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    for title, (texts, expected) in LENGTHS.items():
        dialog.choice.setCurrentText(title)
        unit, wrong = (" kg", "12 mm") if title.startswith("Weights") else (" mm", "12 kg")
        for field, text in zip(dialog.fields.values(), texts, strict=True):
            type_into(field, f"{text}{unit}")
        assert ok.isEnabled(), (title, dialog.says.text())
        assert dialog.found is not None
        for key, value in expected.items():
            is_angle = key.startswith(("front.toe", "front.camber"))
            found = dialog.found.values[key]
            assert (degrees(found) if is_angle else found) == pytest.approx(value), key
            assert dialog.found.within[key] > 0.0
        line, near = (next(iter(each.values())) for each in (dialog.fields, dialog.within))
        slips = [(line, text, f"{texts[0]}{unit}") for text in ("abc", "1e30", wrong)]
        slips += [(near, text, "1") for text in ("-1", "abc")]
        last = dialog.way.asked[-1]
        if last.sign == "size":
            slips.append((dialog.fields[last.name], "-5", f"{texts[-1]}{unit}"))
        for where, slip, before in slips:
            type_into(where, slip)
            assert not ok.isEnabled(), (title, slip, dialog.says.text())
            assert dialog.says.text()
            type_into(where, before)
        line.clear()
        line.textEdited.emit("")
        assert "is missing" in dialog.says.text()


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
