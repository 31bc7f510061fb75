"""Opening and saving: nothing typed is lost, nothing on disk is overwritten unasked."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import cast

from PySide6.QtCore import QLocale, QObject, QSettings, QStandardPaths, Signal

from app.document.doubts import doubted_first, doubts
from app.document.faults import SetupFaults
from app.document.files import (
    ChangedOnDisk,
    LoadedSetup,
    SaveError,
    is_same_place,
    read_setup,
    write_setup,
)
from app.document.keys import missing_keys
from app.document.model import Setup
from app.document.named_lines import place_words, places_of
from app.document.plain_text import one_line
from app.document.recovery import LeftOver, left_overs
from app.filing.dialogs import SETUP_FILES, Answer, Dialogs, Overwriting
from app.panels.entry import finish_typing
from app.session.session import Session
from app.systems.every import LIMIT_KINDS, solve_measured
from app.words.errors import error_addresses, geometry_words
from app.words.unforeseen import unforeseen_words
from geometry.errors import GeometryError

RECENT = 8


class Filing(QObject):
    """The session's file."""

    half_measured = Signal(object)  # a setup whose measuring isn't done
    letting_go = Signal()  # what a hand holds is wanted: it is kept where it is
    taken_up = Signal(object)  # the LeftOver whose work is on the board now

    def __init__(self, session: Session, asker: Dialogs) -> None:
        super().__init__(asker.parent)
        self.session = session
        self.asker = asker
        self.loose_ends: list[Callable[[], str]] = []  # what is typed and can't be kept, in words

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
        name = one_line(path.name)
        try:
            loaded = read_setup(path, limit_kinds=LIMIT_KINDS, partial=True)
        except SetupFaults as found:
            self.asker.show_faults(name, tuple(found.faults))
            return False
        except Exception as error:  # any fault of the file: the board stays as it is
            self._tell_unforeseen(f"{name} can't be read", name, error)
            return False
        if any(missing_keys(loaded.setup.evidence)):
            self._remember(path)
            self.half_measured.emit(loaded.setup)
            return False
        if not self._open(loaded.setup, loaded, name):
            return False
        self._remember(path)
        return True

    def _open(
        self, setup: Setup, loaded: LoadedSetup | None, name: str, saved: bool = True
    ) -> bool:
        """Show a setup, unless it can't be studied; that is tried before anything is changed."""
        try:
            solve_measured(setup)
            trial = _tried(setup)
        except GeometryError as error:
            measured = setup.having(changes=())
            words = geometry_words(error, setup.units, QLocale().decimalPoint(), setup.evidence)
            places = place_words(places_of(error_addresses(error), measured, loaded))
            self.asker.tell(
                f"{name} can't be built",
                f"The measured points of {name} can't be a car. "
                f"{doubted_first(words, doubts(measured, loaded), measured)} "
                f"{f'See {places}. ' if places else ''}The setup on the board stays.",
            )
            return False
        except Exception as error:  # an unexpected fault: the board stays as it is
            self._tell_unforeseen(f"{name} can't be studied", name, error)
            return False
        self.session.open(setup, loaded, saved, trial.faces)
        return True

    def take_up_left_overs(self) -> None:
        """Offer what a crash left; what isn't answered or can't be shown stays for later."""
        for leftover in left_overs(recovery_folder()):
            answer = self.asker.take_up(leftover.title or "A setup", kept_ago(leftover.when))
            if answer and self._take_up(leftover):
                return
            if answer is False:
                leftover.discard()
            elif answer:
                self.session.said.emit("It stays on the disk, and is offered at the next start.")

    def _take_up(self, leftover: LeftOver) -> bool:
        """Go on with what a crash left; its file on disk stays and is kept on from now."""
        name = one_line(leftover.title) or "The setup"
        try:
            setup = leftover.setup(limit_kinds=LIMIT_KINDS)
        except SetupFaults as found:
            self.asker.show_faults(leftover.path.name, tuple(found.faults))
            return False
        except Exception as error:  # the others are still offered
            self._tell_unforeseen(f"{name} can't be taken up", name, error)
            return False
        try:
            loaded = leftover.loaded(limit_kinds=LIMIT_KINDS)
        except SetupFaults:
            loaded = None
        if not self._open(setup, loaded, name, saved=False):
            return False
        self.taken_up.emit(leftover)
        return True

    def _tell_unforeseen(self, title: str, name: str, error: Exception) -> None:
        words = unforeseen_words(name, error)
        self.asker.tell(title, f"{words} The setup on the board stays.")

    # Saving

    def let_go(self) -> None:
        """Take what is being typed, and what a hand holds as if it had let go where it is."""
        finish_typing()
        self.letting_go.emit()

    def save(self) -> bool:
        """Save to the file that was opened, or ask for one."""
        path = self.session.path
        return self.write(path) if path and _is_own(path) else self.save_as()

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        self.let_go()
        path = self.asker.file_to_save("Save setup", self._suggestion(".toml"), SETUP_FILES)
        if path is None:
            return False
        present_path = self.session.path
        # over the opened file, what matters is whether it is as it was read: that is asked too
        return self.write(
            path, is_confirmed=present_path is None or not is_same_place(path, present_path)
        )

    def write(self, path: Path, is_confirmed: bool = False) -> bool:
        """Save to a file; what isn't what was read is overwritten only after a question."""
        self.let_go()
        try:
            try:
                loaded = self._written(path, overwrite=is_confirmed)
            except ChangedOnDisk as changed:
                answer = self.asker.overwrite(str(changed))
                if answer is Overwriting.SAVE_AS:
                    return self.save_as()
                if answer is not Overwriting.OVERWRITE:
                    return False
                loaded = self._written(path, overwrite=True)
        except SaveError as error:
            self.asker.tell("Not saved", str(error))
            return False
        self.session.saved(loaded)
        self._remember(path)
        self.session.said.emit(f"Saved {one_line(path.name)}.")
        return True

    def _written(self, path: Path, overwrite: bool) -> LoadedSetup:
        session = self.session
        return write_setup(path, session.history.value, session.loaded, overwrite=overwrite)

    def may_leave(self) -> bool:
        """Make sure that unsaved work is saved or not wanted."""
        self.let_go()
        loose = [words for tell in self.loose_ends if (words := tell())]
        if loose and not self.asker.leave_behind(" ".join(loose)):
            return False
        if self.session.is_saved:
            return True
        answer = self.asker.unsaved(self.session.setup.title)
        if answer is Answer.SAVE:
            return self.save()
        return answer is Answer.DISCARD

    def suggestion(self, words: str, suffix: str) -> Path:
        """Return a file name beside the setup's for something made from it."""
        usual_path = self._suggestion(suffix)
        return usual_path.with_name(f"{usual_path.stem}-{words}{suffix}")

    def recent(self) -> list[Path]:
        """Return the files opened lately that are still there."""
        return [path for path in recent_files() if os.path.exists(path)]

    def _remember(self, path: Path) -> None:
        if not _is_own(path):
            return
        place = Path(os.path.realpath(path))
        others = [str(recent) for recent in self.recent() if recent != place]
        QSettings().setValue("recent", [str(place), *others][:RECENT])

    def _folder(self) -> Path:
        path = self.session.path
        if path is not None and _is_own(path):
            return Path(os.path.realpath(path)).parent
        recent = self.recent()
        return recent[0].parent if recent else Path.home()

    def _suggestion(self, suffix: str) -> Path:
        path = self.session.path
        stem = path.stem if path is not None else _file_stem(self.session.setup.title)
        return self._folder() / f"{stem}{suffix}"


def recent_files() -> list[Path]:
    """Return the files opened lately, the last one first; some may not be there any more."""
    return [Path(name) for name in cast("list[str]", QSettings().value("recent", [], list)) if name]


def recovery_folder() -> Path:
    """Return where unsaved work is kept."""
    place = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppDataLocation)
    return Path(place) / "recovery"


def measuring_folder() -> Path:
    """Return where cars that aren't measured to the end are kept."""
    return recovery_folder().with_name("measuring")


def has_half_measured() -> bool:
    """Tell whether a car may have been left half measured, without reading any."""
    return any(measuring_folder().glob("car-*.json"))


def _is_own(path: Path) -> bool:
    """Tell whether a file is the user's, not one of the samples that came with the program."""
    import sample_setups

    samples = {Path(os.path.realpath(place)) for place in sample_setups.__path__}
    return Path(os.path.realpath(path)).parent not in samples


def _tried(setup: Setup) -> Session:
    """Return a session that has studied a setup as the board will, away from it."""
    trial = Session(setup)
    for system in trial.systems():
        trial.show(system)
    return trial


def _file_stem(title: str) -> str:
    stem = "".join(c.lower() if c.isalnum() else "-" for c in title).strip("-")
    while "--" in stem:
        stem = stem.replace("--", "-")
    return stem or "setup"


def kept_ago(when: float) -> str:
    """Return in words when work was kept."""
    minutes = round((time.time() - when) / 60)
    if -2 < minutes < 2:
        return "a moment ago"
    if 0 < minutes < 100:
        return f"{minutes} minutes ago"
    try:
        return time.strftime("on %d %b %Y at %H:%M", time.localtime(when))
    except (OverflowError, OSError, ValueError):  # no day of the calendar
        return "some time ago"
