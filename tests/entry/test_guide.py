"""The user guide's keys are the program's, and its first walk leads where it says."""

from __future__ import annotations

import re

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.desk.help import KEYS
from app.desk.main import open_window
from app.desk.window import Window
from app.drawing.views import View
from tests.helpers.hands import Hand
from tests.helpers.project import DOCS

pytestmark = pytest.mark.gui

GUIDE = (DOCS / "guide.md").read_text(encoding="utf-8")
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    opened = open_window(None)
    opened.filing.may_leave = lambda: True  # type: ignore[method-assign]
    qtbot.addWidget(opened)
    opened.resize(1600, 1000)
    with qtbot.waitExposed(opened):
        opened.show()
    return opened


def keys_under(head: str) -> set[str]:
    rows = GUIDE.split(f"| {head} | |")[1].split("\n\n")[0].splitlines()[2:]
    return {key for row in rows for key in re.findall(r"`(.+?)`", row.split("|")[1])}


def shortcuts_of(window: Window) -> set[str]:
    actions = window.findChildren(QAction)
    keys = (key for action in actions for key in action.shortcuts())
    return {key.toString(QKeySequence.SequenceFormat.PortableText) for key in keys}


def test_every_key_of_the_guide_works_anywhere_in_the_window(window: Window) -> None:
    missing = keys_under("anywhere in the window") - shortcuts_of(window)
    assert not missing


def test_the_guide_leaves_out_no_key_of_the_help(window: Window) -> None:
    told = " ".join(words for _group, rows in KEYS for words, _meaning in rows)
    helped = set(re.findall(r"Ctrl\+(?:Shift\+)?\w+|\b[FUSR0]\b", told))
    in_guide = keys_under("anywhere in the window") | keys_under("in the lists")
    assert helped <= in_guide | {"Ctrl+4"}


def test_keys_in_the_lists_are_those_of_the_changes(window: Window) -> None:
    actions = window.changes.view.actions()
    keys = {key.toString() for action in actions for key in action.shortcuts()}
    assert keys <= keys_under("in the lists")


def test_the_first_walk_ends_in_a_change_that_lowers_both_pivots(window: Window) -> None:
    session, changes = window.session, window.changes
    row = changes.view.visualRect(changes.model.index(0))
    QTest.mouseClick(changes.view.viewport(), LEFT, pos=row.topLeft() + QPoint(16, 14))
    assert not session.setup.changes[0].on
    QTest.mouseClick(changes.fresh, LEFT)
    side = window.board.views[View.SIDE]
    hand = Hand(side)
    shift, control = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier
    QTest.mouseClick(side, LEFT, pos=hand.place_of("front.upper_front").toPoint())
    QTest.mouseClick(side, LEFT, control, hand.place_of("front.upper_rear").toPoint())
    hand.press("front.upper_front")
    hand.move_mm(1.0, -22.0, shift)
    hand.let_go()
    made = session.setup.changes[-1]
    assert made.name.startswith("Upper pivots 22 mm lower")
    assert dict(made.moves) == {
        "front.upper_front": (0.0, 0.0, -22.0),
        "front.upper_rear": (0.0, 0.0, -22.0),
    }
    session.undo()
    session.undo()
    assert session.history.undo_words == ""
    assert session.setup.changes[0].on


def test_what_cannot_be_reached_is_told_in_the_units_that_are_shown(window: Window) -> None:
    window.session.set_units("in")
    front = window.board.views[View.FRONT]
    hand = Hand(front)
    hand.press("front.upper_front")
    hand.move_mm(-260.0, 0.0)
    assert front._unreachable.endswith(" in.")
    assert " mm" not in front._unreachable
    window.session.set_units("mm")
    assert front._unreachable.endswith(" mm.")
    hand.let_go()
