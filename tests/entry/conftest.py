"""A guide opened on a new car."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QLocale
from pytestqt.qtbot import QtBot

from app.document.model import Setup
from app.entry.guide import MeasureWindow
from tests.helpers.entering import Opened


@pytest.fixture(autouse=True)
def plain_decimals() -> None:
    QLocale.setDefault(QLocale.c())


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path) -> Opened:
    def open_guide(setup: Setup | None = None, **options: object) -> MeasureWindow:
        window = MeasureWindow(setup, folder=tmp_path / "measuring", **options)  # type: ignore[arg-type]
        qtbot.addWidget(window)
        window.ask_closing = lambda _parent: "keep"
        window.resize(1280, 720)
        with qtbot.waitExposed(window):
            window.show()
        window.activateWindow()
        return window

    return open_guide
