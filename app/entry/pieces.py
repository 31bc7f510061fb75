"""The small pieces every page is made of: labels, buttons that Enter presses, names."""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QLayout, QPushButton, QWidget

from app.qt.border import fenced

Piece = TypeVar("Piece", bound=QWidget)


def named(piece: Piece, name: str, spoken: str = "") -> Piece:
    """Return a widget with the name that chooses its look, and what a screen reader calls it."""
    piece.setObjectName(name)
    if spoken:
        piece.setAccessibleName(spoken)
    return piece


def label(text: str, name: str = "", wrap: bool = False) -> QLabel:
    """Return a label; its name chooses its look."""
    made = QLabel(text)
    made.setObjectName(name)
    made.setTextFormat(Qt.TextFormat.PlainText)
    made.setWordWrap(wrap)
    return made


def relook(piece: QWidget, name: str) -> None:
    """Give a widget the look of another name."""
    if piece.objectName() != name:
        piece.setObjectName(name)
        piece.style().unpolish(piece)
        piece.style().polish(piece)


def clear(layout: QLayout) -> None:
    """Take everything out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()


@fenced
class EnterButton(QPushButton):
    """A button that Enter presses, too."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Press with Enter."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)


def small_button(words: str) -> EnterButton:
    """Return a button that stands beside a line of words."""
    return named(EnterButton(words), "small")
