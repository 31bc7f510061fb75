"""A wild hand on the real window: nothing escapes, no figure is lost, all can be taken back."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from tests.attack.mouse import MouseTally, wild_mouse
from tests.gui.conftest import no_unexpected_dialogs, no_window_left, own_settings

__all__ = ["no_unexpected_dialogs", "no_window_left", "own_settings"]  # fixtures of every test

pytestmark = pytest.mark.gui

SEED = 1961
MOVES = 240


@pytest.fixture(autouse=True)
def own_places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.keeper.recovery_folder", lambda: tmp_path / "recovery")


def test_a_wild_hand_finds_no_fault(qtbot: QtBot, tmp_path: Path) -> None:
    tally: MouseTally = wild_mouse(SEED, MOVES, tmp_path)
    assert tally.failures == []
    assert tally.moves >= MOVES
    assert tally.undone > 1
