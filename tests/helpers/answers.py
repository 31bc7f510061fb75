"""Answers to the questions that a window asks, as a test says."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QWidget

from app.desk.window import Window
from app.document.faults import Fault
from app.filing.dialogs import Answer, Dialogs, Overwriting


class Answers(Dialogs):
    """Answers questions as a test says, and remembers what was told."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.open_from: Path | None = None
        self.save_to: Path | None = None
        self.on_unsaved = Answer.DISCARD
        self.may_overwrite = False
        self.told: list[str] = []
        self.faults: tuple[Fault, ...] = ()

    def file_to_open(self, folder: Path) -> Path | None:
        return self.open_from

    def file_to_save(self, title: str, suggestion: Path, kinds: str) -> Path | None:
        return self.save_to

    def unsaved(self, title: str) -> Answer:
        return self.on_unsaved

    def overwrite(self, words: str) -> Overwriting:
        self.told.append(words)
        return Overwriting.OVERWRITE if self.may_overwrite else Overwriting.CANCEL

    def tell(self, title: str, words: str) -> None:
        self.told.append(words)

    def show_faults(self, name: str, faults: tuple[Fault, ...]) -> None:
        self.faults = faults


def asker(window: Window) -> Answers:
    assert isinstance(window.asker, Answers)
    return window.asker
