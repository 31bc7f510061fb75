"""Keeps unsaved work safe: at most two seconds of it can be lost, whatever happens."""

from __future__ import annotations

import time
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.files import LoadedSetup, SaveError
from app.document.model import Setup
from app.document.recovery import Recovery, unkept_words
from app.filing import recovery_folder
from app.session import Session

PERIOD: Final = 1500  # ms; with the time a write takes, work is kept within two seconds


class Keeper(QObject):
    """Writes the setup to the recovery folder while it has unsaved changes.

    The timer isn't started anew by further changes, or a long drag would keep it from firing. The
    disk is waited for in a thread of its own, or a drag would lose a frame; a setup can't change,
    so it can be handed over as it is.
    """

    failed = Signal(str)  # from the writer's thread: why work isn't kept

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self._place: Recovery | None = None
        self._writer = ThreadPoolExecutor(1, "keeper")
        self._written: Future[None] | None = None
        self._is_closed = False
        self._timer = QTimer(self, singleShot=True, interval=PERIOD)
        self._timer.timeout.connect(self._begin)
        session.setup_changed.connect(self._note)
        self._failure = ""
        self.failed.connect(self._try_again)

    def keep(self) -> None:
        """Write what is unsaved now, and wait until it is on the disk."""
        self._begin()
        if self._written is not None:
            self._written.result()

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

    def _begin(self) -> None:
        session = self.session
        if not (self._is_closed or (session.is_saved and session.preview_setup is None)):
            self._written = self._writer.submit(
                self._write, session.setup, session.path, session.loaded
            )

    def _write(self, setup: Setup, path: Path | None, loaded: LoadedSetup | None) -> None:
        try:
            if self._place is None:
                self._place = Recovery(recovery_folder())
            self._place.keep(setup, time.time(), path, loaded)
            self._failure = ""
        except SaveError as error:
            self.failed.emit(str(error))
        except OSError as error:
            self.failed.emit(unkept_words(error))

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
        if self.session.is_saved and self.session.preview_setup is None:
            self._timer.stop()
            self._writer.submit(self._forget)
        elif not self._timer.isActive():
            self._timer.start()
