"""The one question when an unfinished car's window is closed."""

from __future__ import annotations

from typing import Literal

from PySide6.QtWidgets import QMessageBox, QWidget

from app.filing.dialogs import plain_box

Closing = Literal["keep", "throw away", "stay"]


def ask_closing(parent: QWidget) -> Closing:
    """Ask what to do with a car that isn't fully measured."""
    words = "Keep this car for the next time?"
    box = plain_box(parent, QMessageBox.Icon.NoIcon, "Not measured to the end", words)
    box.setInformativeText(
        "Everything typed is kept, and offered at the next start, under Open recent and when you "
        "measure a car again."
    )
    keep = box.addButton("Keep it", QMessageBox.ButtonRole.AcceptRole)
    throw = box.addButton("Throw it away", QMessageBox.ButtonRole.DestructiveRole)
    stay = box.addButton("Go on measuring", QMessageBox.ButtonRole.RejectRole)
    box.setDefaultButton(keep)
    box.setEscapeButton(stay)
    box.exec()
    if box.clickedButton() is keep:
        return "keep"
    return "throw away" if box.clickedButton() is throw else "stay"
