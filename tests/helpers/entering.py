"""Shared by the tests of a new car's guide: keys, pages, a whole car typed in."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from app.document.files import read_setup
from app.document.model import Setup
from app.entry.guide import MeasureWindow
from app.systems.every import LIMIT_KINDS
from tests.helpers.project import SAMPLE_FOLDER

SAMPLES = SAMPLE_FOLDER

PLAIN = Qt.KeyboardModifier.NoModifier

Opened = Callable[..., MeasureWindow]


@cache
def sample(name: str) -> Setup:
    return read_setup(SAMPLES / f"{name}.toml", limit_kinds=LIMIT_KINDS).setup


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def press(key: Qt.Key, keys: Qt.KeyboardModifier = PLAIN) -> None:
    """Press a key; pages that were left go, as they do when Qt's own loop waits for the next."""
    QTest.keyClick(focused(), key, keys)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def type_and_enter(text: str) -> None:
    QTest.keyClicks(focused(), text)
    press(Qt.Key.Key_Return)
