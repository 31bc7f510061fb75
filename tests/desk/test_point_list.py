"""Points from a list: what each is, which hold the list, and one step that takes them over."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialogButtonBox
from pytestqt.qtbot import QtBot

from app.desk.point_list import PointListDialog
from app.document.point_list import read_point_list
from app.session.session import Session
from tests.document.examples import COIL
from tests.document.test_point_list import DATUM, SETUP, as_listed
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
