"""The guide's first walk as it is written, by mouse and keys, figure by figure."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt, QUrl
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolButton
from pytestqt.qtbot import QtBot

from app.desk.main import open_window
from app.desk.window import Window
from app.document.samples import first_sample
from app.drawing.views import View
from app.filing.dialogs import Answer, Dialogs
from app.panels.lists.result_rows import Row
from tests.helpers.hands import Hand
from tests.helpers.project import ROOT

pytestmark = pytest.mark.gui

GUIDE = (ROOT / "docs" / "guide.md").read_text(encoding="utf-8")
LEFT, CONTROL = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ControlModifier
SHIFT, NONE = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.NoModifier
FRONT, REAR = "front.upper_front", "front.upper_rear"


class Answers(Dialogs):
    """Says where the sheet goes."""

    sheet: Path | None = None

    def file_to_save(self, title: str, suggestion: Path, kinds: str) -> Path | None:
        return self.sheet

    def unsaved(self, title: str) -> Answer:
        return Answer.DISCARD


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    made = open_window(None)
    copy = tmp_path / "car.toml"
    shutil.copy(first_sample(), copy)
    made.asker = made.filing.asker = Answers(made)
    assert made.filing.read(copy)
    made.resize(1600, 1000)
    with qtbot.waitExposed(made):
        made.show()
    QApplication.processEvents()
    yield made
    made.close()
    made.deleteLater()


def tick(window: Window, name: str) -> None:
    """Click the box of a change."""
    view = window.changes.view
    for place in range(view.model().rowCount()):
        index = view.model().index(place, 0)
        if name in str(index.data(Qt.ItemDataRole.AccessibleTextRole) or index.data()):
            view.scrollTo(index)
            box = view.visualRect(index)
            QTest.mouseClick(view.viewport(), LEFT, NONE, QPoint(box.left() + 16, box.top() + 16))
            return
    raise AssertionError(f"no change is called {name}")


def figure(window: Window, title: str) -> tuple[str, str]:
    """Return what a row of the results says of both cars, its group opened if it is folded."""
    view = window.results.view
    for line in view.results.lines:
        if isinstance(line, Row) and line.result.title == title:
            said = view.results.said(line)
            return said.measured, said.proposed
    raise AssertionError(f"no row is called {title}")


def number(text: str) -> str:
    found = re.match(r"[+−]?\d+(?:\.\d+)?", text)
    assert found, text
    return found[0]


def as_short_as(shown: str, words: str) -> str:
    """Round a figure of the guide to the digits of one on the screen: its band may leave fewer."""
    places = len(shown.partition(".")[2])
    short = f"{float(words.replace('−', '-')):.{places}f}".replace("-", "−")
    return short if short.strip("−0.") else short.lstrip("−")


def told(head: str) -> list[list[str]]:
    rows = GUIDE.split(head)[1].splitlines()[2:6]
    return [[cell.strip() for cell in row.strip().strip("|").split("|")] for row in rows]


def words_of(hand: Hand) -> str:
    drawing = hand.view.drawing
    assert drawing is not None
    return " ".join(str(getattr(stroke, "text", "")) for stroke in drawing.strokes)


def drag_down_to(hand: Hand, words: str) -> None:
    """Go down pixel by pixel, slowly and straight, until the drawing says the words."""
    for _ in range(400):
        hand.move(0.0, 1.0, SHIFT | CONTROL)
        if words in words_of(hand):
            return
    raise AssertionError(f"the drawing never says {words}")


def test_the_first_walk_comes_to_the_figures_that_the_guide_says(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = window.session
    tick(window, "Upper pivots 22 mm lower")  # 1
    assert session.study is not None
    assert not session.study.changed
    QTest.mouseClick(window.changes.fresh, LEFT)  # 2
    hand = Hand(window.board.views[View.SIDE])  # 3
    hand.press(FRONT)
    hand.let_go()
    hand.press(REAR, CONTROL)
    hand.let_go()
    assert set(session.selection) == {FRONT, REAR}
    hand.press(REAR)  # 4
    drag_down_to(hand, "22 lower")
    hand.let_go()
    QApplication.processEvents()
    for title, found, built in told("| | measured | pivots 22 mm lower |"):  # 5
        for shown, words in zip(figure(window, title), (found, built), strict=True):
            assert as_short_as(shown, number(words)) == shown, title
    text = window.sentences.words.text()
    assert "24 mm lower" in text
    QTest.keyClick(window, Qt.Key.Key_S)  # 6
    held = re.search(r"steer, toe range is then ([\d.]+)°, past the limit", " ".join(GUIDE.split()))
    assert held is not None
    assert figure(window, "Bump steer, toe range")[1] == held[1]
    assert "is held at the measured height by" in window.sentences.words.text()
    QTest.mouseClick(window.strip.height_.settle, LEFT)
    undone = 0
    while not session.setup.changes[0].on and undone < 20:  # 7
        QTest.keyClick(window, Qt.Key.Key_Z, CONTROL)
        undone += 1
    assert session.setup.changes[0].on
    tick(window, "Outer tie rod ends 2 mm higher")
    mended = re.search(r"Bump steer, toe range goes to ([\d.]+)°", GUIDE)
    assert mended is not None
    assert figure(window, "Bump steer, toe range")[1] == mended[1]
    opened: list[QUrl] = []
    monkeypatch.setattr("app.desk.printing.QDesktopServices.openUrl", opened.append)
    asker = window.asker
    assert isinstance(asker, Answers)
    asker.sheet = tmp_path / "sheet.pdf"  # 8
    (button,) = (b for b in window.findChildren(QToolButton) if b.text() == "Setup sheet")
    QTest.mouseClick(button, LEFT)
    assert asker.sheet.read_bytes().startswith(b"%PDF")
    assert len(opened) == 1
