"""Questions to the user in dialogs, in one place so that tests can answer them."""

from __future__ import annotations

from enum import Enum, auto
from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from app.document.faults import Fault

SETUP_FILES = "Setups (*.toml);;All files (*)"


class Answer(Enum):
    """What to do with unsaved work."""

    SAVE = auto()
    DISCARD = auto()
    CANCEL = auto()


class Asker:
    """Asks by dialogs."""

    def __init__(self, parent: QWidget) -> None:
        self.parent = parent

    def file_to_open(self, folder: Path) -> Path | None:
        """Ask for a setup to open."""
        name, _ = QFileDialog.getOpenFileName(self.parent, "Open setup", str(folder), SETUP_FILES)
        return Path(name) if name else None

    def file_to_save(self, title: str, suggestion: Path, kinds: str) -> Path | None:
        """Ask where to save; the suffix of the suggestion is added where none is typed."""
        name, _ = QFileDialog.getSaveFileName(self.parent, title, str(suggestion), kinds)
        if not name:
            return None
        path = Path(name)
        return path if path.suffix else path.with_suffix(suggestion.suffix)

    def unsaved(self, title: str) -> Answer:
        """Ask what to do with unsaved work."""
        box = QMessageBox(self.parent)
        box.setIcon(QMessageBox.Icon.Question)
        box.setWindowTitle("Unsaved changes")
        box.setText(f"“{title}” has changes that are not saved.")
        save = box.addButton("Save", QMessageBox.ButtonRole.AcceptRole)
        discard = box.addButton("Don't save", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton("Cancel", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(save)
        box.exec()
        if box.clickedButton() is save:
            return Answer.SAVE
        return Answer.DISCARD if box.clickedButton() is discard else Answer.CANCEL

    def overwrite(self, words: str) -> bool:
        """Ask whether a file that isn't what was read may be overwritten."""
        box = QMessageBox(self.parent)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle("Overwrite?")
        box.setText(f"{words} Saving would overwrite it.")
        over = box.addButton("Overwrite", QMessageBox.ButtonRole.DestructiveRole)
        cancel = box.addButton("Cancel", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(cancel)
        box.exec()
        return box.clickedButton() is over

    def take_up(self, title: str, when: str) -> bool | None:
        """Ask whether work that a crash left is wanted: True, False, or None for later."""
        box = QMessageBox(self.parent)
        box.setIcon(QMessageBox.Icon.Question)
        box.setWindowTitle("Unsaved work was found")
        box.setText(f"“{title}” was being worked on {when} and was not saved.")
        box.setInformativeText("Take it up where it was?")
        take = box.addButton("Take it up", QMessageBox.ButtonRole.AcceptRole)
        drop = box.addButton("Throw it away", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton("Later", QMessageBox.ButtonRole.RejectRole)
        box.setDefaultButton(take)
        box.exec()
        if box.clickedButton() is take:
            return True
        return False if box.clickedButton() is drop else None

    def tell(self, title: str, words: str) -> None:
        """Tell of something that went wrong."""
        QMessageBox.warning(self.parent, title, words)

    def show_faults(self, name: str, faults: tuple[Fault, ...]) -> None:
        """Show every fault of a file, with its lines."""
        from app.faults_dialog import FaultsDialog

        FaultsDialog(name, faults, self.parent).exec()
