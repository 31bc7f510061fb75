"""The box that tells of a fault of the program."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from app.filing.dialogs import PlainBox


class FaultBox(PlainBox):
    """Tells of a fault of the program, without stopping what goes on."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setIcon(QMessageBox.Icon.Critical)
        self.setWindowTitle("A fault of the program")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(
            "Something went wrong that is not your doing. Your work is kept safe; "
            "save it, and start the program anew if it behaves oddly."
        )

    def tell(self, words: str, text: str) -> None:
        """Show a fault."""
        self.setInformativeText(words)
        self.setDetailedText(text)
        self.open()
