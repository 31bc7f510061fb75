"""Hands that do what nobody means to do: the work stays whole and the words stay right."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QLocale, QObject
from PySide6.QtGui import QPaintEvent, QRegion
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.board.board import Board
from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.edits import remove_change
from app.document.files import read_setup
from app.document.recovery import Recovery
from app.document.samples import first_sample, sample_titles
from app.drawing.views import View
from app.filing.dialogs import Answer
from app.filing.recovery_writer import RecoveryWriter
from app.panels.lists.results import ResultsPanel
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from app.systems.rear.system import REAR
from tests.helpers.hands import Hand
from tests.helpers.panel_windows import shown

pytestmark = pytest.mark.gui

UPPER = "front.upper_front"


@pytest.fixture
def session() -> Session:
    session = Session(read_setup(first_sample(), limit_kinds=LIMIT_KINDS).setup)
    session.set_active(None)
    return session


@pytest.fixture
def board(qtbot: QtBot, session: Session) -> Iterator[Board]:
    board = Board(session, QWidget())
    shown(qtbot, board, 1200, 900)
    yield board
    board.close()


@pytest.fixture
def hand(board: Board) -> Hand:
    return Hand(board.views[View.FRONT])


def test_a_point_dragged_away_and_back_leaves_no_change_and_no_step(
    session: Session, hand: Hand
) -> None:
    before = session.setup
    hand.press(UPPER)
    hand.move(0.0, 40.0)
    hand.move(0.0, -40.0)
    hand.let_go()
    assert session.setup == before
    assert session.history.undo_words == ""
    assert session.active is None


def test_a_change_over_to_the_rear_puts_back_what_is_held(session: Session, hand: Hand) -> None:
    before = session.setup
    hand.press(UPPER)
    hand.move(0.0, 20.0)
    session.show(REAR)
    hand.move(200.0, 50.0)
    hand.let_go()
    assert session.setup == before
    assert session.preview_setup is None


def test_one_part_that_fills_the_board_puts_back_what_is_held(
    session: Session, board: Board, hand: Hand
) -> None:
    before = session.setup
    hand.press(UPPER)
    hand.move(0.0, 20.0)
    board.fill_with(board.views[View.SIDE])
    hand.move(0.0, 20.0)
    hand.let_go()
    assert session.setup == before


def test_a_setup_opened_under_the_hand_is_left_alone(session: Session, hand: Hand) -> None:
    path = next(path for _, path in sample_titles() if path != first_sample())
    other = read_setup(path, limit_kinds=LIMIT_KINDS).setup
    hand.press(UPPER)
    hand.move(0.0, 20.0)
    session.open(other, None)
    hand.move(0.0, 20.0)
    hand.let_go()
    assert session.setup == other
    assert session.is_saved


def test_after_undo_the_next_drag_begins_a_change_as_the_first_did(
    session: Session, hand: Hand
) -> None:
    before = session.setup
    hand.press(UPPER)
    hand.move(0.0, 20.0)
    hand.let_go()
    made = len(before.changes)
    assert session.active == made
    session.undo()
    assert session.active is None
    session.redo()
    assert session.active == made
    session.undo()
    hand.press(UPPER)
    hand.move(0.0, 20.0)
    hand.let_go()
    assert session.setup.changes[:made] == before.changes


def test_the_note_under_a_pointer_that_lies_still_says_the_move(
    session: Session, board: Board, hand: Hand
) -> None:
    said: list[str] = []
    view = hand.view
    view.set_note = said.append  # type: ignore[method-assign]
    hand.press(UPPER)
    hand.move(0.0, 20.0)
    hand.let_go()
    assert "moved" in said[-1]
    assert "−22.0 mm" not in said[-1]
    session.undo()
    assert "moved 0.0, 0.0, −22.0 mm" in said[-1]  # by the change that is on


class Painted(QObject):
    """Remembers the pixels that were painted."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.widget = widget
        self.region = QRegion()
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent):
            self.region = self.region.united(event.region())
        return False

    def is_whole(self) -> bool:
        return QRegion(self.widget.rect()).subtracted(self.region).isEmpty()


def test_in_other_units_every_title_is_painted_with_its_unit(
    qtbot: QtBot, session: Session
) -> None:
    panel = ResultsPanel(session)
    painted = Painted(panel.view.viewport())
    shown(qtbot, panel, 340, 760)
    qtbot.waitUntil(painted.is_whole)
    painted.region = QRegion()
    session.set_units("in")
    QApplication.processEvents()
    assert painted.is_whole()


def test_work_that_could_not_be_kept_is_kept_as_soon_as_it_can_be(
    qtbot: QtBot, session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "recovery"
    folder.write_text("a file where the folder should be")
    monkeypatch.setattr("app.filing.recovery_writer.recovery_folder", lambda: folder)
    monkeypatch.setattr("app.filing.recovery_writer.PERIOD", 50)
    said: list[str] = []
    session.said.connect(said.append)
    tries: list[Path] = []
    monkeypatch.setattr(
        "app.filing.recovery_writer.Recovery", lambda place: tries.append(place) or Recovery(place)
    )
    keeper = RecoveryWriter(session)
    session.commit(remove_change(session.setup, 0), "remove a change")
    qtbot.waitUntil(lambda: len(tries) > 3)  # several tries, one sentence
    assert said == [
        "Unsaved work can't be kept safe: there is a file of this name. Save it elsewhere."
    ]
    folder.unlink()
    qtbot.waitUntil(lambda: bool(list(folder.glob("rec-*.toml"))))
    keeper.close()
    assert not list(folder.glob("rec-*"))
    session.undo()  # a window that closes may still change: nothing is kept, nothing fails
    keeper.keep()
    assert not list(folder.glob("rec-*"))


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    application()
    window = open_window(None)
    copy = tmp_path / "car.toml"
    shutil.copy(first_sample(), copy)
    assert window.filing.read(copy)
    window.session.set_active(None)
    shown(qtbot, window, 1280, 800)
    yield window
    window.session.saved(read_setup(copy))
    window.close()


def begin_typing(window: Window, text: str) -> None:
    """Type over the first point's height, and leave the cell open."""
    view = window.points.table
    view.edit(view.model().index(0, 3))
    QTest.keyClicks(QApplication.focusWidget(), text)


def test_what_is_still_being_typed_is_saved_too(window: Window) -> None:
    begin_typing(window, "530")
    window.actions_.save.trigger()
    assert window.session.path is not None
    saved = read_setup(window.session.path).setup
    assert saved.changes[-1].moves[UPPER] == pytest.approx((0.0, 0.0, -8.0))
    assert window.session.is_saved


def test_what_is_still_being_typed_is_asked_about_before_a_file_is_left(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def unsaved(title: str) -> Answer:
        asked.append(title)
        return Answer.CANCEL

    monkeypatch.setattr(window.filing.asker, "unsaved", unsaved)
    begin_typing(window, "530")
    assert not window.close()
    assert asked
    assert UPPER in window.session.setup.changes[-1].moves


def test_a_car_that_was_opened_shows_its_results_not_only_its_sentences(window: Window) -> None:
    assert window.session.path is not None
    assert window.filing.read(window.session.path)
    QApplication.processEvents()
    results, sentences = window.results.height(), window.sentences.height()
    assert results > sentences


@pytest.fixture
def comma() -> Iterator[None]:
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.German, QLocale.Country.Germany))
    yield
    QLocale.setDefault(before)


def test_what_cannot_be_built_is_said_with_the_users_decimal_sign(
    comma: None, session: Session, hand: Hand
) -> None:
    hand.press(UPPER)
    hand.move(-300.0, 600.0)
    assert "," in session.problem_words.partition(" mm")[0].rpartition(" ")[2]
    assert re.search(r"\d\.\d", session.problem_words) is None
    hand.let_go()
