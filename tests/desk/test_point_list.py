"""Points from a list: what each is, which hold the list, and one step that takes them over."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox
from pytestqt.qtbot import QtBot

from app.desk.point_list import PointListDialog
from app.document.model import Setup
from app.document.point_list import read_point_list
from app.session.session import Session
from tests.document.examples import COIL
from tests.document.test_point_list import DATUM, SETUP, as_listed, in_axes_of_the_other_hand
from tests.helpers.entering import sample
from tests.helpers.reading import parse

pytestmark = pytest.mark.gui
NEW = "front.upper_ball"


@pytest.fixture
def dialog(qtbot: QtBot) -> PointListDialog:
    text = as_listed(SETUP, *DATUM, NEW).replace(NEW, "P7")
    made = PointListDialog(Session(parse(COIL)), read_point_list(text, "l.csv"), "l.csv")
    qtbot.addWidget(made)
    made.show()
    return made


def take_over(dialog: PointListDialog) -> None:
    button = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def press(dialog: PointListDialog, row: int) -> None:
    tick = dialog.ticks[row]
    QTest.mouseClick(tick, Qt.MouseButton.LeftButton, pos=QPoint(8, tick.height() // 2))


def test_a_name_is_chosen_and_the_point_taken_over(dialog: PointListDialog) -> None:
    session = dialog.session
    assert not dialog.buttons.button(QDialogButtonBox.StandardButton.Ok).isEnabled()
    choice = dialog.choices[-1]
    assert choice.currentText() == "not used"
    choice.setFocus()
    while choice.currentData() != NEW and choice.currentIndex() + 1 < choice.count():
        QTest.keyClick(choice, Qt.Key.Key_Down)
    assert choice.currentData() == NEW
    dialog.ticks[-1].setChecked(False)
    assert "one point to be taken over" in dialog.says.text()
    assert [dialog.table.item(4, place).text() for place in (3, 4, 5)] == [
        "−12.0",
        "628.0",
        "560.0",
    ]
    take_over(dialog)
    assert session.setup.point_notes[NEW] == "from l.csv: P7"
    assert session.history.undo_words == "one point from l.csv"
    session.undo()
    assert session.setup == parse(COIL)


def test_a_datum_that_is_unticked_is_taken_over_instead(dialog: PointListDialog) -> None:
    press(dialog, 0)
    assert "one point to be taken over" in dialog.says.text()
    press(dialog, 1)
    assert dialog.says.text() == "Tick three or more datum points that aren't in one line."
    assert not dialog.buttons.button(QDialogButtonBox.StandardButton.Ok).isEnabled()


def test_one_point_twice_is_refused(dialog: PointListDialog) -> None:
    dialog.choices[-1].setCurrentIndex(dialog.choices[-1].findData(DATUM[0]))
    assert "are both front.lower_front" in dialog.says.text()


def shown(qtbot: QtBot, setup: Setup, text: str) -> PointListDialog:
    made = PointListDialog(Session(setup), read_point_list(text, "l.csv"), "l.csv")
    qtbot.addWidget(made)
    made.show()
    return made


def can_take_over(dialog: PointListDialog) -> bool:
    return dialog.buttons.button(QDialogButtonBox.StandardButton.Ok).isEnabled()


def test_why_nothing_can_be_taken_over_is_said(dialog: PointListDialog) -> None:
    assert not can_take_over(dialog)
    assert "There is nothing to take over: choose what another point" in dialog.says.text()


def test_a_mirrored_list_is_taken_over_only_when_that_is_asked_for(qtbot: QtBot) -> None:
    text = in_axes_of_the_other_hand(as_listed(SETUP, *DATUM, NEW))
    dialog = shown(qtbot, parse(COIL), text)
    press(dialog, len(DATUM))
    assert "The list is mirrored: its axes are left-handed." in dialog.says.text()
    assert "nothing is taken over" in dialog.says.text()
    assert not can_take_over(dialog)
    place = QPoint(8, dialog.despite.height() // 2)
    QTest.mouseClick(dialog.despite, Qt.MouseButton.LeftButton, pos=place)
    assert can_take_over(dialog)
    assert "one point to be taken over" in dialog.says.text()


def test_a_list_that_fits_offers_no_way_round_a_misfit(dialog: PointListDialog) -> None:
    assert not dialog.despite.isVisible()


def test_a_name_of_both_ends_asks_to_be_chosen(qtbot: QtBot) -> None:
    saloon = sample("small_saloon")
    text = as_listed(saloon, *DATUM, "front.damper_body", "front.spring_body")
    text = text.replace("front.damper", "damper").replace("front.spring", "spring")
    dialog = shown(qtbot, saloon, text)
    assert dialog.choices[-1].currentData() == "front.spring_body"
    asked = "“damper_body” may be front.damper_body or rear.damper_body: choose which."
    assert asked in dialog.says.text()
    choice = dialog.choices[-2]
    choice.setFocus()
    while choice.currentData() != "front.damper_body":
        QTest.keyClick(choice, Qt.Key.Key_Down)
    assert asked not in dialog.says.text()
