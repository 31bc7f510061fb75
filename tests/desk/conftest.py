"""A window on a copy of the first sample, and a hand on its front view."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.recovery import left_overs
from app.document.samples import first_sample
from app.drawing.views import View
from app.filing.dialogs import Answer
from app.filing.filing import recovery_folder
from tests.helpers.answers import Answers, asker
from tests.helpers.hands import Hand


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path) -> Iterator[Window]:
    for left in left_overs(recovery_folder()):
        left.discard()
    application()
    window = open_window(None)
    copy = tmp_path / "car.toml"
    shutil.copy(first_sample(), copy)
    window.asker = window.filing.asker = Answers(window)
    assert window.filing.read(copy)
    window.resize(1600, 1000)
    with qtbot.waitExposed(window):
        window.show()
    QApplication.processEvents()
    yield window
    asker(window).on_unsaved = Answer.DISCARD
    window.close()
    window.deleteLater()


@pytest.fixture
def hand(window: Window) -> Hand:
    return Hand(window.board.views[View.FRONT])
