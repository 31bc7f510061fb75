"""Questions to the user in dialogs, in one place so that tests can answer them.

What they say of a car or a file is the user's text, or a stranger's: it is shown as it is written,
never as rich text, which could fake the dialog's own words or make it load a picture.
"""

from __future__ import annotations

import re
from enum import Enum, auto
from pathlib import Path
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QLabel, QMessageBox, QPushButton, QWidget

from app.document.faults import Fault
from app.document.plain_text import one_line, printable
from app.qt.border import fenced

SETUP_FILES: Final = "Setups (*.toml);;All files (*)"
LIST_FILES: Final = "Lists of points (*.csv *.txt);;All files (*)"
LONGEST: Final = 80  # characters of a title in a question
_ENDING: Final = re.compile(r"\.[A-Za-z][A-Za-z0-9]*")  # "Tern 1.6" is a name without one
_KIND: Final = re.compile(r"\*(\.\w+)")
_Icon = QMessageBox.Icon
_Role = QMessageBox.ButtonRole


class Answer(Enum):
    """What to do with unsaved work."""

    SAVE = auto()
    DISCARD = auto()
    CANCEL = auto()


class Overwriting(Enum):
    """What to do about a file that isn't what was read."""

    OVERWRITE = auto()
    SAVE_AS = auto()
    CANCEL = auto()


class Dialogs:
    """The dialogs that ask the user."""

    def __init__(self, parent: QWidget) -> None:
        self.parent = parent

    def file_to_open(self, folder: Path) -> Path | None:
        """Ask for a setup to open."""
        name, _ = QFileDialog.getOpenFileName(self.parent, "Open setup", str(folder), SETUP_FILES)
        return Path(name) if name else None

    def list_to_open(self, folder: Path) -> Path | None:
        """Ask for a list of points."""
        title = "Points from a list"
        name, _ = QFileDialog.getOpenFileName(self.parent, title, str(folder), LIST_FILES)
        return Path(name) if name else None

    def file_to_save(self, title: str, suggestion: Path, kinds: str) -> Path | None:
        """Ask where to save; a name without an ending gets that of the kind that is chosen.

        The dialog is kept from asking whether to overwrite, since it may ask about the name
        before it has its ending: that is asked here, about the file that will be written.
        """
        dialog = QFileDialog(self.parent, title, str(suggestion.parent), kinds)
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setFileMode(QFileDialog.FileMode.AnyFile)
        dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
        dialog.selectFile(suggestion.name)
        accepted: list[str] = []  # asked afterwards, a dialog still reading its folder says another
        dialog.fileSelected.connect(accepted.append)
        try:
            while dialog.exec() and accepted:
                kind = dialog.selectedNameFilter()
                path = with_ending(Path(accepted[-1]), kind, suggestion.suffix)
                if not path.is_file() or self.replace(path.name):
                    return path
        finally:
            dialog.deleteLater()
        return None

    def replace(self, name: str) -> bool:
        """Ask whether a file that is there already may be replaced."""
        box = plain_box(self.parent, _Icon.Warning, "Replace it?", f"{name} is there already.")
        box.setInformativeText("What is in it will be lost if you replace it.")
        replace = box.addButton("Replace", _Role.DestructiveRole)
        _cancel_by_default(box)
        box.exec()
        return box.clickedButton() is replace

    def unsaved(self, title: str) -> Answer:
        """Ask what to do with unsaved work."""
        words = f"“{_short(title)}” has changes that are not saved."
        box = plain_box(self.parent, _Icon.Question, "Unsaved changes", words)
        save = box.addButton("Save", _Role.AcceptRole)
        discard = box.addButton("Don't save", _Role.DestructiveRole)
        box.addButton("Cancel", _Role.RejectRole)
        box.setDefaultButton(save)
        box.exec()
        if box.clickedButton() is save:
            return Answer.SAVE
        return Answer.DISCARD if box.clickedButton() is discard else Answer.CANCEL

    def leave_behind(self, words: str) -> bool:
        """Ask whether what is typed and can't be kept yet may be lost."""
        box = plain_box(self.parent, _Icon.Warning, "Leave it?", words)
        box.setInformativeText("It will be lost. Go back to put it right.")
        leave = box.addButton("Leave it", _Role.DestructiveRole)
        back = box.addButton("Go back", _Role.RejectRole)
        box.setDefaultButton(back)
        box.setEscapeButton(back)
        box.exec()
        return box.clickedButton() is leave

    def overwrite(self, words: str) -> Overwriting:
        """Ask what to do about a file that isn't what was read."""
        box = plain_box(self.parent, _Icon.Warning, "Overwrite?", words)
        box.setInformativeText(
            "Overwriting loses what is in the file now. Saving under another name keeps both."
        )
        save_as = box.addButton("Save as…", _Role.AcceptRole)
        over = box.addButton("Overwrite", _Role.DestructiveRole)
        _cancel_by_default(box)
        box.exec()
        if box.clickedButton() is save_as:
            return Overwriting.SAVE_AS
        return Overwriting.OVERWRITE if box.clickedButton() is over else Overwriting.CANCEL

    def take_up(self, title: str, when: str) -> bool | None:
        """Ask whether work that a crash left is wanted: True, False, or None for later."""
        words = f"“{_short(title)}” was being worked on {when} and was not saved."
        box = plain_box(self.parent, _Icon.Question, "Unsaved work was found", words)
        box.setInformativeText("Take it up where it was?")
        take = box.addButton("Take it up", _Role.AcceptRole)
        drop = box.addButton("Throw it away", _Role.DestructiveRole)
        later = box.addButton("Later", _Role.RejectRole)
        box.setDefaultButton(take)
        box.setEscapeButton(later)
        box.exec()
        if box.clickedButton() is take:
            return True
        return False if box.clickedButton() is drop else None

    def tell(self, title: str, words: str) -> None:
        """Tell of something that went wrong."""
        plain_box(self.parent, _Icon.Warning, title, words).exec()

    def show_faults(self, name: str, faults: tuple[Fault, ...]) -> None:
        """Show every fault of a file, with its lines."""
        from app.filing.faults_dialog import FaultsDialog

        FaultsDialog(name, faults, self.parent).exec()


@fenced
class PlainBox(QMessageBox):
    """A message whose words are shown as they are written."""

    def setInformativeText(self, text: str) -> None:
        """Say more; the label for it comes into being here, and would take tags as tags."""
        super().setInformativeText(printable(text))
        for label in self.findChildren(QLabel):
            label.setTextFormat(Qt.TextFormat.PlainText)


def plain_box(parent: QWidget | None, icon: QMessageBox.Icon, title: str, words: str) -> PlainBox:
    """Return a message in plain text."""
    box = PlainBox(parent)
    box.setIcon(icon)
    box.setWindowTitle(one_line(title))
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(printable(words))
    return box


def with_ending(path: Path, kind: str, usual: str) -> Path:
    """Return a file's name with an ending: its own, else that of the kind, else the usual."""
    if _ENDING.fullmatch(path.suffix):
        return path
    own_ending = _KIND.search(kind)
    return path.with_name(f"{path.name}{own_ending[1] if own_ending else usual}")


def _cancel_by_default(box: QMessageBox) -> QPushButton:
    cancel = box.addButton("Cancel", _Role.RejectRole)
    box.setDefaultButton(cancel)
    box.setEscapeButton(cancel)
    return cancel


def _short(title: str) -> str:
    line = one_line(title)
    return line if len(line) <= LONGEST else f"{line[: LONGEST - 1]}…"
