"""A drag that is held while a file is saved, opened or left."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.desk.window import Window
from app.document.samples import first_sample
from app.filing.dialogs import Answer, Dialogs
from tests.helpers.filing import TIE, Presses, answers, press, setup_in
from tests.helpers.hands import Hand

pytestmark = pytest.mark.gui


# A drag that is held


def held(window: Window, hand: Hand) -> None:
    hand.press(TIE)
    hand.move_mm(0.0, 15.0)
    assert window.session.preview_setup is not None


def is_one_clean_step(window: Window, hand: Hand) -> bool:
    """Tell whether the drag is one step, and moving on and letting go does nothing more."""
    session = window.session
    setup, steps = session.history.value, len(session.history.steps)
    hand.move_mm(30.0, 30.0)
    hand.let_go()
    hand.move_mm(5.0, 5.0)
    is_free = not hand.view.is_dragging() and session.preview_setup is None
    return is_free and session.history.value is setup and steps == 2


def test_saving_while_a_drag_is_held_saves_the_drag(
    window: Window, hand: Hand, qtbot: QtBot, car: Path
) -> None:
    held(window, hand)
    qtbot.keyClick(window, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    saved = setup_in(car)
    assert saved == window.session.setup
    assert TIE in saved.changes[-1].moves
    assert is_one_clean_step(window, hand)
    assert window.session.is_saved
    assert not window.isWindowModified()


@pytest.mark.parametrize("leave", ["close", "open", "open_path", "measure_new", "quit"])
def test_leaving_while_a_drag_is_held_asks_about_it(
    window: Window, hand: Hand, tmp_path: Path, leave: str
) -> None:
    other = Path(shutil.copy(first_sample(), tmp_path / "other.toml"))
    answers(window).open_from = other
    answers(window).on_unsaved = Answer.CANCEL
    ways: dict[str, Callable[[], object]] = {
        "close": window.close,
        "open": window.actions_.open.trigger,
        "open_path": lambda: window.filing.open_path(other),
        "measure_new": window.actions_.new_car.trigger,
        "quit": window.actions_.quit.trigger,
    }
    held(window, hand)
    moved = window.session.setup
    ways[leave]()
    assert window.isVisible()
    assert window.session.setup == moved
    assert not window.session.is_saved
    assert is_one_clean_step(window, hand)


def test_closing_while_a_drag_is_held_saves_it_when_told_so(
    window: Window, hand: Hand, car: Path
) -> None:
    held(window, hand)
    moved = window.session.setup
    answers(window).on_unsaved = Answer.SAVE
    assert window.close()
    assert setup_in(car) == moved
    hand.let_go()


def test_a_dialog_that_comes_over_a_drag_leaves_no_hand_behind(
    window: Window, hand: Hand, dialogs: Dialogs
) -> None:
    held(window, hand)
    moved = window.session.setup
    Presses(press("Close"))
    window.actions_.help.trigger()
    assert window.session.setup == moved
    assert is_one_clean_step(window, hand)


def test_a_held_drag_to_where_nothing_can_be_built_is_not_saved(
    window: Window, hand: Hand, car: Path
) -> None:
    text = car.read_text()
    hand.press("front.upper_front")
    hand.move_mm(-60.0, 300.0)
    hand.move_mm(-250.0, 900.0)
    assert window.session.problem is not None
    window.actions_.save.trigger()
    assert window.session.problem is None
    assert car.read_text() == text
