"""How the window stands: views, paper, edges that were dragged, small screens."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QSettings, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.desk.main import open_window
from app.desk.window import Window
from app.document.samples import first_sample
from app.drawing.views import View
from app.filing.dialogs import Answer
from tests.helpers.answers import asker
from tests.helpers.hands import Hand
from tests.helpers.long_cases import typical_of

pytestmark = pytest.mark.gui

UPPER = ("front.upper_front", "front.upper_rear")


def test_a_title_fills_the_board_and_gives_it_back(window: Window, hand: Hand) -> None:
    view = hand.view
    QTest.mouseDClick(view, Qt.MouseButton.LeftButton, pos=view.title_rect().center().toPoint())
    assert window.board.is_filled()
    assert view.isVisible()
    assert not window.board.views[View.SIDE].isVisible()
    QTest.mouseDClick(view, Qt.MouseButton.LeftButton, pos=view.title_rect().center().toPoint())
    assert not window.board.is_filled()


@pytest.mark.parametrize("choice", typical_of(("light", "dark"), ("dark",)))
def test_every_part_takes_the_paper(
    window: Window, choice: str, qtbot: QtBot, request: pytest.FixtureRequest
) -> None:
    window.set_paper(choice)
    dark = window.grab().toImage().pixelColor(700, 500).lightness() < 128
    assert dark == (choice == "dark")


def test_another_car_is_fitted_and_nothing_said_of_the_last_one_stays(
    window: Window, hand: Hand
) -> None:
    view = window.board.views[View.FRONT]
    hand.drag_mm(UPPER[0], 0.0, -10.0)
    window.session.undo()
    view.pan(300.0, 0.0)
    assert window.statusBar().currentMessage().startswith("Undone")
    assert window.filing.open_path(first_sample().parent / "torsion_coupe.toml")
    assert view.is_fitted
    assert window.statusBar().currentMessage() == ""


def test_parts_of_the_left_column_fold_and_are_so_at_the_next_start(window: Window) -> None:
    for title, body in (
        (window.changes.fold, window.changes.view),
        (window.points.fold, window.points.table),
        (window.points.fold_values, window.points.values),
    ):
        QTest.mouseClick(title, Qt.MouseButton.LeftButton, pos=QPoint(20, 8))
        assert body.isHidden() or not body.isVisibleTo(window)
    assert window.changes.height() < 50
    later = open_window(None)
    assert later.changes.fold.is_folded
    assert later.points.is_folded
    later.deleteLater()
    QTest.mouseClick(window.changes.fold, Qt.MouseButton.LeftButton, pos=QPoint(20, 8))
    assert window.changes.view.isVisible()
    assert window.changes.height() > 200


def test_edges_that_were_dragged_stand_so_at_the_next_start(window: Window) -> None:
    left, board = window._left, window.board.arrangement
    left.moveSplitter(left.sizes()[0] + 60, 1)
    board._outer.moveSplitter(board._outer.sizes()[0] - 80, 1)
    sizes = left.sizes(), board._outer.sizes()
    asker(window).on_unsaved = Answer.DISCARD
    window.close()
    later = open_window(None)
    later.show()
    QApplication.processEvents()
    shown = later._left.sizes(), later.board.arrangement._outer.sizes()
    for now, was in zip(shown, sizes, strict=True):
        assert now[0] / sum(now) == pytest.approx(was[0] / sum(was), abs=0.02)
    later.close()
    later.deleteLater()


def test_a_first_window_fits_a_small_screen(window: Window) -> None:
    room = window.screen().availableSize()  # offscreen: 800 × 800
    first = open_window(None)
    assert first.width() <= max(room.width(), first.minimumWidth())
    assert first.height() <= max(room.height(), first.minimumHeight())
    first.deleteLater()


def test_the_hint_goes_for_good(window: Window) -> None:
    assert window.hint.isVisible()
    window.hint.dismiss()
    QSettings().remove("recent")  # beside a car of one's own there is no hint anyway
    assert not open_window(None).hint.isVisibleTo(window)
