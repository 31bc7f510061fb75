"""Writes recovery copies of unsaved work: at most two seconds of it can be lost."""

from __future__ import annotations

import time
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.files import LoadedSetup, SaveError
from app.document.model import Setup
from app.document.recovery import LeftOver, Recovery, unkept_words
from app.filing.filing import recovery_folder
from app.session.session import Session

if TYPE_CHECKING:
    from concurrent.futures import Future, ThreadPoolExecutor

PERIOD: Final = 1000  # ms; with the time a write takes on a busy machine, two seconds hold


class RecoveryWriter(QObject):
    """Writes the setup to the recovery folder while it has unsaved changes.

    The timer isn't started anew by further changes, or a long drag would keep it from firing. The
    disk is waited for in a thread of its own, or a drag would lose a frame; a setup can't change,
    so it can be handed over as it is. Making the text fights the drag for the interpreter, so
    during a drag it is made in the quick form.
    """

    failed = Signal(str)  # from the writer's thread: why work isn't kept

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self._place: Recovery | None = None
        self._written: Future[bool] | None = None
        self._is_closed = False
        self._timer = QTimer(self, singleShot=True, interval=PERIOD)
        self._timer.timeout.connect(self._follow)
        session.setup_changed.connect(self._note)
        self._failure = ""
        self.failed.connect(self._try_again)

    @cached_property
    def _writer(self) -> ThreadPoolExecutor:
        from concurrent.futures import ThreadPoolExecutor  # a start has nothing to keep yet

        return ThreadPoolExecutor(1, "keeper")

    def keep(self) -> bool:
        """Write what is unsaved now and wait; tell whether all the work is on the disk."""
        if not self._is_wanted():
            return self.session.is_saved
        self._begin()
        return self._written is not None and self._written.result()

    def take_over(self, leftover: LeftOver) -> None:
        """Keep the work on in the file that a crash left it in: it never isn't on the disk."""
        if not self._is_closed:
            self._writer.submit(self._move_to, leftover)

    def close(self) -> None:
        """Forget what was kept: the work is saved or not wanted."""
        if self._is_closed:
            return
        self.session.setup_changed.disconnect(self._note)
        self._is_closed = True
        self._timer.stop()
        self._writer.shutdown()
        if self._place is not None:
            self._place.close()
            self._place = None

    def _is_wanted(self) -> bool:
        """Tell whether there is work that isn't saved."""
        is_held = self.session.preview_setup is not None
        return not self._is_closed and (is_held or not self.session.is_saved)

    def _follow(self) -> None:
        """Write what is unsaved, when the write before it is through: a disk may hang."""
        if self._written is not None and not self._written.done():
            self._timer.start()
        elif self._is_wanted():
            self._begin()

    def _begin(self) -> None:
        session = self.session
        is_moving = session.preview_setup is not None
        self._written = self._writer.submit(
            self._write, session.setup, session.path, session.loaded, is_moving
        )

    def _write(
        self, setup: Setup, path: Path | None, loaded: LoadedSetup | None, is_moving: bool
    ) -> bool:
        try:
            if self._place is None:
                self._place = Recovery(recovery_folder())
            self._place.keep(setup, time.time(), path, loaded, is_moving=is_moving)
            self._failure = ""
        except SaveError as error:
            self.failed.emit(str(error))
            return False
        except OSError as error:
            self.failed.emit(unkept_words(error))
            return False
        except Exception as error:  # an exception in a thread would go unseen: report it
            self.failed.emit(f"Unsaved work can't be kept safe: a fault of the program ({error}).")
            return False
        return True

    def _move_to(self, leftover: LeftOver) -> None:
        """Make what a crash left this setup's place; another program may have taken it first."""
        try:
            place = Recovery.of(leftover)
        except OSError:
            return
        if self._place is not None:
            self._place.close()
        self._place = place

    def _try_again(self, words: str) -> None:
        """Say once why work isn't kept, and try until it is: a disk may be full for a while."""
        if words != self._failure:
            self._failure = words
            self.session.said.emit(words)
        if not (self._is_closed or self._timer.isActive()):
            self._timer.start()

    def _forget(self) -> None:
        if self._place is not None:
            self._place.clear()

    def _note(self) -> None:
        if not self._is_wanted():
            self._timer.stop()
            self._writer.submit(self._forget)
        elif not self._timer.isActive():
            self._timer.start()
