"""The window's columns suit its size, until a hand has moved them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QEnterEvent
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.panels.fitted import Columns, Pair

pytestmark = pytest.mark.gui


def test_a_wide_window_gives_words_more_room_and_the_board_most(qtbot: QtBot) -> None:
    columns = Columns(QLabel(), QLabel(), QLabel())
    qtbot.addWidget(columns)
    columns.show()
    found = []
    for width in (1280, 1920, 2560):
        columns.resize(width, 600)
        QApplication.processEvents()
        found.append(columns.sizes())
    for narrow, wide in pairwise(found):
        assert wide[0] >= narrow[0]
        assert wide[2] >= narrow[2]
        assert wide[1] - narrow[1] > (wide[0] - narrow[0]) + (wide[2] - narrow[2])


def test_a_part_has_the_height_it_wants_and_a_hand_is_obeyed(qtbot: QtBot) -> None:
    pair = Pair((QLabel(), lambda: 150), (QLabel(), lambda: 900), 0.4)
    qtbot.addWidget(pair)
    pair.resize(300, 700)
    pair.show()
    QApplication.processEvents()
    assert pair.sizes()[0] == 150
    pair.moveSplitter(300, 1)
    pair.splitterMoved.emit(300, 1)
    by_hand = pair.sizes()
    pair.refit()
    assert pair.sizes() == by_hand


def test_nothing_moves_under_the_pointer_until_it_leaves(qtbot: QtBot) -> None:
    wanted = [150]
    pair = Pair((QLabel(), lambda: wanted[0]), (QLabel(), lambda: 900), 0.4)
    qtbot.addWidget(pair)
    pair.resize(300, 700)
    pair.show()
    QApplication.processEvents()
    at = QPointF(20.0, 20.0)
    QApplication.sendEvent(pair, QEnterEvent(at, at, pair.mapToGlobal(at)))
    pair.setAttribute(Qt.WidgetAttribute.WA_UnderMouse)
    wanted[0] = 240
    pair.refit()
    assert pair.sizes()[0] == 150
    pair.setAttribute(Qt.WidgetAttribute.WA_UnderMouse, False)
    QApplication.sendEvent(pair, QEvent(QEvent.Type.Leave))
    assert pair.sizes()[0] == 240


def test_a_folded_part_has_its_titles_height_and_a_hands_division_comes_back(qtbot: QtBot) -> None:
    heights = [150, 900]
    pair = Pair((QLabel(), lambda: heights[0]), (QLabel(), lambda: heights[1]), 0.4)
    qtbot.addWidget(pair)
    pair.resize(300, 700)
    pair.show()
    QApplication.processEvents()
    pair.moveSplitter(300, 1)
    by_hand = pair.sizes()
    heights[0] = 30
    pair.fold(True, False)
    assert pair.sizes()[0] == 30
    pair.fold(False, False)
    assert pair.sizes() == by_hand
