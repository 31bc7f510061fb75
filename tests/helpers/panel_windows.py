"""Shared by the tests of panels: a session on the sample car, and clicks on rows."""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QModelIndex, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.document.files import read_setup
from app.document.model import Setup
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from tests.helpers.project import SAMPLE_FOLDER

SALOON = SAMPLE_FOLDER / "small_saloon.toml"
LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier
CONTROL = Qt.KeyboardModifier.ControlModifier


@cache
def saloon() -> Setup:
    """Return the small saloon's setup."""
    return read_setup(SALOON, limit_kinds=LIMIT_KINDS).setup


def saloon_session(active: int | None = 0) -> Session:
    """Return a session on the small saloon with a change active."""
    session = Session(saloon())
    session.set_active(active)
    return session


def shown(qtbot: QtBot, panel: QWidget, width: int = 320, height: int = 600) -> None:
    """Show a panel and give it the keyboard."""
    qtbot.addWidget(panel)
    panel.resize(width, height)
    with qtbot.waitExposed(panel):
        panel.show()
    panel.activateWindow()
    QApplication.processEvents()


def middle(view: QAbstractItemView, index: QModelIndex) -> QPoint:
    """Return the middle of a cell, scrolled into view."""
    view.scrollTo(index)
    return view.visualRect(index).center()


def click(view: QAbstractItemView, index: QModelIndex, at: QPoint | None = None) -> None:
    """Click a cell."""
    QTest.mouseClick(view.viewport(), LEFT, NONE, at or middle(view, index))


def double_click(view: QAbstractItemView, index: QModelIndex) -> None:
    """Double-click a cell, as a hand does: with the click that comes before."""
    at = middle(view, index)
    QTest.mouseClick(view.viewport(), LEFT, NONE, at)
    QTest.mouseDClick(view.viewport(), LEFT, NONE, at)


def type_into(view: QAbstractItemView, text: str, end: Qt.Key = Qt.Key.Key_Return) -> QWidget:
    """Type over what the open field of a table holds, and end with a key."""
    field = QApplication.focusWidget()
    assert field is not None
    assert view.isAncestorOf(field)
    QTest.keyClick(field, Qt.Key.Key_A, CONTROL)
    QTest.keyClicks(field, text)
    QTest.keyClick(field, end)
    QApplication.processEvents()
    return field
