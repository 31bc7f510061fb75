"""A wild hand on the real window: nothing escapes, no figure is lost, all can be taken back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.samples import first_sample
from app.drawing.views import View
from tests.attack.mouse import MouseTally, wild_mouse
from tests.attack.wild import Story, Tally, watched
from tests.helpers.hands import Hand
from tests.helpers.long_cases import typical_of
from tests.helpers.panel_windows import shown

pytestmark = pytest.mark.gui

SEED = 1961


@pytest.fixture(autouse=True)
def own_places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.filing.recovery_writer.recovery_folder", lambda: tmp_path / "recovery")


@pytest.mark.slow
@pytest.mark.parametrize("moves", typical_of((15, 30, 150), (15,)))
def test_a_wild_hand_finds_no_fault(qtbot: QtBot, tmp_path: Path, moves: int) -> None:
    tally: MouseTally = wild_mouse(SEED, moves, tmp_path)
    assert tally.failures == []
    assert tally.moves >= moves
    assert tally.undone >= 1


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    application()
    window = open_window(None)
    shown(qtbot, window, 1400, 900)
    return window


def sample(name: str, folder: Path) -> Path:
    return Path(shutil.copy(first_sample().with_name(f"{name}.toml"), folder))


def test_a_car_may_be_opened_under_a_pointer_on_a_point_that_it_lacks(
    window: Window, tmp_path: Path
) -> None:
    story = Story("pointer", Tally())
    window.filing.read(sample("inch_sedan", tmp_path))
    hand = Hand(window.board.views[View.TOP])
    with watched(story):
        hand.press("front.pitman_pivot")
        hand.let_go()
        window.filing.read(sample("small_saloon", tmp_path))
    assert story.tally.failures == []
