"""The one question when an unfinished car's window is closed."""

from __future__ import annotations

from typing import Literal

from PySide6.QtWidgets import QMessageBox, QWidget

Closing = Literal["keep", "throw away", "stay"]


def ask_closing(parent: QWidget) -> Closing:
    """Ask what becomes of a car that isn't measured to the end."""
    box = QMessageBox(parent)
    box.setWindowTitle("Not measured to the end")
    box.setText("Keep this car for the next time?")
    box.setInformativeText("Everything typed is kept, and offered when you measure a car again.")
    keep = box.addButton("Keep it", QMessageBox.ButtonRole.AcceptRole)
    throw = box.addButton("Throw it away", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("Go on measuring", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(keep)
    box.setEscapeButton(stay)
    box.exec()
    if box.clickedButton() is keep:
        return "keep"
    return "throw away" if box.clickedButton() is throw else "stay"
