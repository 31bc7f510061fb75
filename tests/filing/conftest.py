"""A window on a car of its own, and a hand on its board."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QMessageBox,
)
from pytestqt.qtbot import QtBot

from app.desk.main import application, open_window
from app.desk.window import Window
from app.document.samples import first_sample
from app.drawing.views import View
from app.filing.dialogs import Dialogs
from tests.helpers.answers import Answers
from tests.helpers.filing import REAL, Presses
from tests.helpers.hands import Hand


@pytest.fixture
def car(tmp_path: Path) -> Path:
    return Path(shutil.copy(first_sample(), tmp_path / "car.toml"))


@pytest.fixture
def window(qtbot: QtBot, car: Path) -> Iterator[Window]:
    application()
    window = open_window(None)
    window.asker = window.filing.asker = Answers(window)
    assert window.filing.read(car)
    window.session.set_active(None)
    window.resize(1600, 1000)
    with qtbot.waitExposed(window):
        window.show()
    QApplication.processEvents()
    yield window
    window.filing.asker = Answers(window)  # doesn't want what is unsaved
    window.close()
    window.deleteLater()


@pytest.fixture
def hand(window: Window) -> Hand:
    return Hand(window.board.views[View.FRONT])


@pytest.fixture
def dialogs(window: Window, monkeypatch: pytest.MonkeyPatch) -> Iterator[Dialogs]:
    """Let the real dialogs come, Qt's own ones."""
    monkeypatch.setattr(QMessageBox, "exec", REAL[0])
    monkeypatch.setattr(QDialog, "exec", REAL[1])
    native = Qt.ApplicationAttribute.AA_DontUseNativeDialogs
    QApplication.setAttribute(native)
    window.asker = window.filing.asker = Dialogs(window)
    yield window.asker
    QApplication.setAttribute(native, False)
    if Presses.now is not None:
        Presses.now.clock.stop()
