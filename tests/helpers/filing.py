"""Shared by the tests of filing: dialogs that answer themselves, and what lies on the disk."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QMenu,
    QMessageBox,
    QPushButton,
)

from app.desk.window import Window
from app.document.files import read_setup
from app.document.model import Setup
from app.filing.filing import recovery_folder
from app.systems.every import LIMIT_KINDS
from tests.helpers.answers import Answers

REAL = (QMessageBox.exec, QDialog.exec)

TIE = "front.tie_outer"


def answers(window: Window) -> Answers:
    assert isinstance(window.asker, Answers)
    return window.asker


def setup_in(path: Path) -> Setup:
    return read_setup(path, limit_kinds=LIMIT_KINDS, partial=True).setup


class Presses:
    """Answers one dialog after another as they come; remembers what each said."""

    now: Presses | None = None  # the last one made; it lives until the next

    def __init__(self, *steps: Callable[[QDialog], None]) -> None:
        if Presses.now is not None:
            Presses.now.clock.stop()
        Presses.now = self
        self.steps = list(steps)
        self.said: list[str] = []
        self.is_busy = False
        self.clock = QTimer(interval=30)
        self.clock.timeout.connect(self._look)
        self.clock.start()

    def _look(self) -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QDialog) or self.is_busy:
            return
        if isinstance(dialog, QMessageBox):
            self.said.append(f"{dialog.text()} {dialog.informativeText()}")
        self.is_busy = True  # a step may wait, and this clock goes on
        if self.steps:
            self.steps.pop(0)(dialog)
        else:
            self.said.append("an unexpected dialog")
            dialog.reject()
        self.is_busy = False


def press(words: str) -> Callable[[QDialog], None]:
    def press_it(dialog: QDialog) -> None:
        (button,) = (b for b in dialog.findChildren(QPushButton) if b.text() == words)
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)

    return press_it


class Takes(Answers):
    """Takes up what is offered."""

    offered = 0

    def take_up(self, title: str, when: str) -> bool | None:
        self.offered += 1
        return True


def take_up(window: Window) -> Takes:
    window.asker = window.filing.asker = Takes(window)
    window.filing.take_up_left_overs()
    return window.asker


def kept() -> list[Path]:
    return sorted(recovery_folder().glob("rec-*.toml"))


def recent_menu(window: Window) -> QMenu:
    (menu,) = (
        each
        for each in window.findChildren(QMenu)
        if each.title().replace("&", "") == "Open recent"
    )
    menu.aboutToShow.emit()
    return menu
