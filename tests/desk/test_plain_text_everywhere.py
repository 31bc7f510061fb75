"""What a user or a stranger's file wrote is shown to the letter, wherever it is shown."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader
from PySide6.QtCore import QAbstractItemModel, QModelIndex
from PySide6.QtGui import Qt, QTextDocument
from PySide6.QtWidgets import QAbstractItemView, QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.board.hover import hover_note
from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.edits import rename_change, set_change_note, set_point_note, set_title
from app.document.files import read_setup
from app.document.model import Setup
from app.document.samples import first_sample
from app.export.drawing_leaf import drawing_leaf
from app.export.leaf import Imprint
from app.export.pictures import write_leaf
from app.panels.quiet_line import QuietLine
from app.qt.tips import tip
from app.session.session import Session
from app.sheet.pdf import write_sheet
from app.systems.every import LIMIT_KINDS
from app.systems.front.system import FRONT

pytestmark = pytest.mark.gui

RICH = '<img src="file:///no-such-picture.png"><h1>Saved safely</h1>'
ACTING = "Saved\x1b[2J\x07 \u202esafely\x00"
CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def marked(setup: Setup, words: str) -> Setup:
    """Return a setup with the same words wherever a file can bear any."""
    setup = set_title(setup, words)
    setup = rename_change(setup, 0, f"{words} 1")
    setup = set_change_note(setup, 0, words)
    for key in ("front.upper_front", "front.upper_ball", "rear.front_eye"):
        setup = set_point_note(setup, key, words)
    return setup


@pytest.fixture
def sample() -> Setup:
    return read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup


@pytest.fixture
def window(qtbot: QtBot, sample: Setup) -> Iterator[Window]:
    application()
    window = open_window(None)
    window.session.open(marked(sample, RICH), None)
    window.session.set_active(0)
    window.resize(1500, 900)
    with qtbot.waitExposed(window):
        window.show()
    yield window
    window.session.history = window.session.history.mark_saved()
    window.close()


def test_no_label_takes_a_title_a_note_or_a_name_for_rich_text(window: Window) -> None:
    shown = [label for label in window.findChildren(QLabel) if "<img" in label.text()]
    assert all(label.textFormat() == Qt.TextFormat.PlainText for label in shown)


def tips_of(model: QAbstractItemModel) -> Iterator[str]:
    for row in range(model.rowCount(QModelIndex())):
        for column in range(8):
            words = model.data(model.index(row, column), Qt.ItemDataRole.ToolTipRole)
            if isinstance(words, str):
                yield words


def test_no_tool_tip_takes_them_for_rich_text_either(window: Window) -> None:
    widgets = window.findChildren(QWidget)
    tips = [widget.toolTip() for widget in widgets]
    tips += [
        words for view in window.findChildren(QAbstractItemView) for words in tips_of(view.model())
    ]
    about = [words for words in tips if "Saved safely" in words]
    assert len(about) >= 3  # title, change, points: the words do come there
    assert not [words for words in about if Qt.mightBeRichText(words) and "<img" in words]


def test_a_tip_shows_every_letter_and_line(qapp: QApplication) -> None:
    assert tip("plain\nas it is") == "plain\nas it is"
    shown = QTextDocument()
    shown.setHtml(tip(f"{RICH}\nsecond"))
    assert shown.toPlainText() == f"{RICH}\nsecond"


def test_what_acts_on_a_terminal_is_a_sign_on_paper_and_in_pictures(
    tmp_path: Path, sample: Setup, qapp: QApplication
) -> None:
    answers = FRONT.study(marked(sample, ACTING))
    write_sheet([answers], tmp_path / "sheet.pdf", "a4")
    reader = PdfReader(tmp_path / "sheet.pdf")
    text = "\n".join(page.extract_text() for page in reader.pages)
    assert "Saved" in text
    assert not CONTROLS.search(text)
    assert reader.metadata is not None
    assert not CONTROLS.search(str(reader.metadata.title))
    write_leaf(drawing_leaf(answers, None, Imprint()), tmp_path / "drawing.svg")
    svg = (tmp_path / "drawing.svg").read_text()
    ElementTree.fromstring(svg)
    assert not CONTROLS.search(svg)


def test_nothing_that_acts_is_painted_in_the_window(window: Window) -> None:
    """What turns the order of letters round would let a title say something else."""
    session: Session = window.session
    session.commit(marked(session.setup, ACTING), f"name it {ACTING}")
    session.said.emit(ACTING)
    shown = [line.text() for line in window.findChildren(QuietLine)]
    shown += [label.text() for label in window.findChildren(QLabel)]
    names = window.findChildren(QAbstractItemView)
    shown += [
        str(view.model().data(view.model().index(row, 0)))
        for view in names
        for row in range(view.model().rowCount(QModelIndex()))
    ]
    shown += [window.windowTitle(), window.statusBar().currentMessage()]
    shown += [hover_note(session, "front.upper_front"), window.actions_.undo.text()]
    assert sum("safely" in words for words in shown) >= 6
    assert [words for words in shown if CONTROLS.search(words)] == []
