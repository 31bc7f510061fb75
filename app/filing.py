"""Opening and saving: nothing typed is lost, nothing on disk is overwritten unasked."""

from __future__ import annotations

import time
from pathlib import Path
from typing import cast

from PySide6.QtCore import QLocale, QObject, QSettings, QStandardPaths, Signal

from app.asking import SETUP_FILES, Answer, Asker
from app.document.doubts import doubted_first, doubts
from app.document.faults import SetupFaults
from app.document.files import ChangedOnDisk, LoadedSetup, SaveError, read_setup, write_setup
from app.document.keys import missing_keys
from app.document.model import Setup
from app.document.recovery import LeftOver, left_overs
from app.geometry_words import geometry_words
from app.limit_kinds import LIMIT_KINDS
from app.panels.entry import finish_typing
from app.session import Session, solve_measured
from geometry.errors import GeometryError

RECENT = 8


class Filing(QObject):
    """The session's file."""

    recent_changed = Signal()
    half_measured = Signal(object)  # a setup whose measuring isn't done

    def __init__(self, session: Session, asker: Asker) -> None:
        super().__init__(asker.parent)
        self.session = session
        self.asker = asker

    # Opening

    def open(self) -> bool:
        """Ask for a file and open it."""
        if not self.may_leave():
            return False
        path = self.asker.file_to_open(self._folder())
        return self.read(path) if path else False

    def open_path(self, path: Path) -> bool:
        """Open a file that was named or dropped."""
        return self.may_leave() and self.read(path)

    def read(self, path: Path) -> bool:
        """Read a file, or show everything that is wrong with it and leave all as it is."""
        try:
            loaded = read_setup(path, limit_kinds=LIMIT_KINDS, partial=True)
        except SetupFaults as found:
            self.asker.show_faults(path.name, tuple(found.faults))
            return False
        self._remember(path)
        if any(missing_keys(loaded.setup.evidence)):
            self.half_measured.emit(loaded.setup)
            return False
        return self._open(loaded.setup, loaded, path.name)

    def _open(
        self, setup: Setup, loaded: LoadedSetup | None, name: str, saved: bool = True
    ) -> bool:
        """Show a setup, unless its measured points can't even be built."""
        try:
            solve_measured(setup)
        except GeometryError as error:
            measured = setup.having(changes=())
            words = geometry_words(error, setup.units, QLocale().decimalPoint())
            self.asker.tell(
                f"{name} can't be built",
                f"The measured points of {name} can't be a car. "
                f"{doubted_first(words, doubts(measured, loaded), measured)} "
                "The setup on the board stays.",
            )
            return False
        self.session.open(setup, loaded, saved)
        return True

    def take_up_left_overs(self) -> None:
        """Offer what a crash left; what isn't answered stays for the next start."""
        for left in left_overs(recovery_folder()):
            wanted = self.asker.take_up(left.title or "A setup", _ago(left.when))
            if wanted is None:
                continue
            if wanted and not self._take_up(left):
                continue
            left.discard()
            if wanted:
                return

    def _take_up(self, left: LeftOver) -> bool:
        try:
            setup = left.setup(limit_kinds=LIMIT_KINDS)
        except SetupFaults as found:
            self.asker.show_faults(left.path.name, tuple(found.faults))
            return False
        loaded = None
        if left.original is not None and left.original.exists():
            try:
                loaded = read_setup(left.original, limit_kinds=LIMIT_KINDS)
            except SetupFaults:
                loaded = None
        return self._open(setup, loaded, left.title, saved=False)

    # Saving

    def save(self) -> bool:
        """Save to the file that was opened, or ask for one."""
        path = self.session.path
        return self.write(path) if path and _is_own(path) else self.save_as()

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        path = self.asker.file_to_save("Save setup", self._suggestion(".toml"), SETUP_FILES)
        return self.write(path, asked=True) if path else False

    def write(self, path: Path, asked: bool = False) -> bool:
        """Save to a file; what isn't what was read is overwritten only after a question."""
        session = self.session
        setup = session.history.value
        try:
            try:
                loaded = write_setup(path, setup, session.loaded, overwrite=asked)
            except ChangedOnDisk as changed:
                if not self.asker.overwrite(str(changed)):
                    return False
                loaded = write_setup(path, setup, session.loaded, overwrite=True)
        except SaveError as error:
            self.asker.tell("Not saved", str(error))
            return False
        session.saved(loaded)
        self._remember(path)
        session.said.emit(f"Saved {path.name}.")
        return True

    def may_leave(self) -> bool:
        """Make sure that unsaved work is saved or not wanted."""
        finish_typing()
        if self.session.is_saved:
            return True
        answer = self.asker.unsaved(self.session.setup.title)
        if answer is Answer.SAVE:
            return self.save()
        return answer is Answer.DISCARD

    def suggestion(self, words: str, suffix: str) -> Path:
        """Return a file name beside the setup's for something made from it."""
        own = self._suggestion(suffix)
        return own.with_name(f"{own.stem}-{words}{suffix}")

    def recent(self) -> list[Path]:
        """Return the files opened lately that are still there."""
        names = cast("list[str]", QSettings().value("recent", [], list))
        return [Path(name) for name in names if Path(name).exists()]

    def _remember(self, path: Path) -> None:
        if not _is_own(path):
            return
        names = [str(path.resolve())]
        names += [str(each) for each in self.recent() if str(each) not in names]
        QSettings().setValue("recent", names[:RECENT])
        self.recent_changed.emit()

    def _folder(self) -> Path:
        path = self.session.path
        if path is not None and _is_own(path):
            return path.resolve().parent
        recent = self.recent()
        return recent[0].parent if recent else Path.home()

    def _suggestion(self, suffix: str) -> Path:
        path = self.session.path
        stem = path.stem if path is not None else _file_stem(self.session.setup.title)
        return self._folder() / f"{stem}{suffix}"


def recovery_folder() -> Path:
    """Return where unsaved work is kept."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    return Path(place) / "recovery"


def _is_own(path: Path) -> bool:
    """Tell whether a file is the user's, not one of the samples that came with the program."""
    import sample_setups

    return path.resolve().parent not in {Path(place) for place in sample_setups.__path__}


def _file_stem(title: str) -> str:
    kept = "".join(c.lower() if c.isalnum() else "-" for c in title).strip("-")
    while "--" in kept:
        kept = kept.replace("--", "-")
    return kept or "setup"


def _ago(when: float) -> str:
    minutes = max(0, round((time.time() - when) / 60))
    if minutes < 2:
        return "a moment ago"
    if minutes < 100:
        return f"{minutes} minutes ago"
    return time.strftime("on %d %b %Y at %H:%M", time.localtime(when))
