"""The round of Tab: forwards and backwards, front and rear, it reaches everything and ends."""

from __future__ import annotations

from collections.abc import Callable

import pytest

pytest.importorskip("PySide6")

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.files import read_setup
from app.document.samples import first_sample
from app.panels.lists.sentence_lines import SentenceLine
from app.session.session import Session

pytestmark = pytest.mark.gui

MOST = 120


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    window = Window(Session(read_setup(first_sample()).setup))
    qtbot.addWidget(window)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    qtbot.waitUntil(lambda: window.curves.sheet is not None)
    qtbot.waitUntil(lambda: len(window.sentences.words.shown()) > 3)
    return window


def round_of(key: Qt.Key) -> list[QWidget]:
    """Press a key until the keyboard is where it was."""
    stops: list[QWidget] = []
    for _ in range(MOST):
        stop = QApplication.focusWidget()
        assert stop is not None
        if stops and stop is stops[0]:
            return stops
        assert stop not in stops, f"Tab stays with {stop.accessibleName()}"
        stops.append(stop)
        QTest.keyClick(stop, key)
    raise AssertionError("Tab never comes back to where it began.")


def has(stops: list[QWidget], test: Callable[[QWidget], bool]) -> bool:
    return any(test(stop) for stop in stops)


@pytest.mark.parametrize("end", ["front", "rear"])
def test_tab_reaches_every_part_both_ways(window: Window, end: str) -> None:
    if end == "rear":
        window.change_over()
        QApplication.processEvents()
    next(view for view in window.board.views.values() if view.isVisible()).setFocus()
    forwards = round_of(Qt.Key.Key_Tab)
    backwards = round_of(Qt.Key.Key_Backtab)
    assert {id(stop) for stop in forwards} == {id(stop) for stop in backwards}
    parts = [window.results.view, window.changes.view, window.points.view]
    parts += [
        window.strip.drivers["travel"].slider,
        window.strip.height_.height,
        window.strip.reset,
    ]
    for part in parts:
        assert part in forwards, part.accessibleName()
    assert has(forwards, lambda stop: isinstance(stop, SentenceLine))
    assert has(forwards, lambda stop: stop.accessibleName().startswith("Remove the change"))
    for stop in forwards:
        assert stop.accessibleName() or getattr(stop, "text", str)(), stop


def test_sentences_follow_the_results(window: Window) -> None:
    window.board.views[next(iter(window.board.views))].setFocus()
    stops = round_of(Qt.Key.Key_Tab)
    place = stops.index(window.results.view)
    assert isinstance(stops[place + 1], SentenceLine)


def test_enter_on_a_sentence_takes_the_keyboard_to_its_result(window: Window) -> None:
    line = next(line for line in window.sentences.words.shown() if line.line.key)
    line.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    line.setFocus()
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert window.results.view.hasFocus()
    assert window.results.view.paper.opened == line.line.key
