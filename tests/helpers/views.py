"""Shared by the tests of a view: the mouse and the keys over it."""

from __future__ import annotations

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.board.view import BoardView

BALL = "front.upper_ball"

NONE = Qt.KeyboardModifier.NoModifier


def pixel(view: BoardView, key: str) -> QPoint:
    item = view.aim.find(key)
    assert item is not None
    return view.place_of(item).toPoint()


def key(view: BoardView, which: Qt.Key, keys: Qt.KeyboardModifier = NONE) -> None:
    QTest.keyClick(view, which, keys)


def wheel(view: BoardView, at: QPoint, steps: int) -> None:
    event = QWheelEvent(
        QPointF(at),
        QPointF(view.mapToGlobal(at)),
        QPoint(),
        QPoint(0, 120 * steps),
        Qt.MouseButton.NoButton,
        NONE,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, event)
