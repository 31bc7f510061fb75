"""The title, customer, dates, sizes, remarks and notes of the sheet are typed in the window."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox
from pytestqt.qtbot import QtBot

from app.desk.car_details import CarDetails
from app.document.rewriting import rewritten
from app.session.session import Session
from tests.document.examples import COIL
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui


def shown(qtbot: QtBot, text: str = COIL) -> CarDetails:
    session = Session(parse(text))
    dialog = CarDetails(session)
    qtbot.addWidget(dialog)
    dialog.show()
    return dialog


def retype(dialog: CarDetails, name: str, text: str) -> None:
    field = dialog.fields[name]
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(field, Qt.Key.Key_Delete)
    QTest.keyClicks(field, text)


def press_ok(dialog: CarDetails) -> None:
    buttons = dialog.findChild(QDialogButtonBox)
    QTest.mouseClick(buttons.button(QDialogButtonBox.StandardButton.Ok), Qt.MouseButton.LeftButton)


def test_what_is_typed_is_one_step_and_is_saved(qtbot: QtBot) -> None:
    dialog = shown(qtbot)
    retype(dialog, "sheet.customer", "A. Owner")
    retype(dialog, "sheet.revision", "B")
    retype(dialog, "sheet.hole_diameter", "12,5")
    retype(dialog, "sheet.remark", "")
    dialog.notes.setFocus()
    QTest.keyClick(dialog.notes, Qt.Key.Key_End, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(dialog.notes, " Floor level to 1 mm.")
    press_ok(dialog)
    assert not dialog.isVisible()
    session = dialog.session
    assert session.history.undo_words == "car and sheet"
    saved = parse(rewritten(COIL, parse(COIL), session.setup))
    assert saved.readings["sheet.customer"] == "A. Owner"
    assert saved.readings["sheet.revision"] == "B"
    assert saved.readings["sheet.hole_diameter"] == 12.5
    assert saved.notes.strip().endswith("one person aboard. Floor level to 1 mm.")
    session.undo()
    assert session.setup == parse(COIL)


def test_nothing_typed_is_no_step(qtbot: QtBot) -> None:
    dialog = shown(qtbot)
    press_ok(dialog)
    assert not dialog.session.history.undo_words


def test_what_cannot_be_read_is_said_and_kept(qtbot: QtBot) -> None:
    dialog = shown(qtbot)
    retype(dialog, "sheet.hole_diameter", "eleven")
    press_ok(dialog)
    assert dialog.isVisible()
    assert dialog.refusal.isVisible()
    assert dialog.refusal.text().startswith("Hole diameter: ")
    assert dialog.fields["sheet.hole_diameter"].text() == "eleven"
    assert dialog.session.setup == parse(COIL)


def test_a_tape_keeps_the_uncertainty_that_it_needs(qtbot: QtBot) -> None:
    between = 'between = ["front.upper_ball", "front.lower_ball"]'
    tape = f"[[tape]]\n{between}\nlength = 358.5\nwithin = 1.0\n\n"
    dialog = shown(qtbot, COIL.replace("[[change]]", f"{tape}[[change]]", 1))
    retype(dialog, "sheet.measured_within", "")
    press_ok(dialog)
    assert "Tapes end at points that need it" in dialog.refusal.text()
