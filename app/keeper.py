"""Keeps unsaved work safe: at most two seconds of it can be lost, whatever happens."""

from __future__ import annotations

import time
from typing import Final

from PySide6.QtCore import QObject, QTimer

from app.document.files import SaveError
from app.document.recovery import Recovery
from app.filing import recovery_folder
from app.session import Session

PERIOD: Final = 1500  # ms; with the time a write takes, work is kept within two seconds


class Keeper(QObject):
    """Writes the setup to the recovery folder while it has unsaved changes.

    The timer isn't started anew by further changes, or a long drag would keep it from firing.
    """

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self._place: Recovery | None = None
        self._timer = QTimer(self, singleShot=True, interval=PERIOD)
        self._timer.timeout.connect(self.keep)
        session.setup_changed.connect(self._note)

    def keep(self) -> None:
        """Write what is unsaved now."""
        session = self.session
        if session.is_saved and session.preview_setup is None:
            return
        try:
            if self._place is None:
                self._place = Recovery(recovery_folder())
            self._place.keep(session.setup, time.time(), session.path, session.loaded)
        except (SaveError, OSError) as error:
            session.said.emit(str(error))

    def close(self) -> None:
        """Forget what was kept: the work is saved or not wanted."""
        self._timer.stop()
        if self._place is not None:
            self._place.close()
            self._place = None

    def _note(self) -> None:
        if self.session.is_saved and self.session.preview_setup is None:
            self._timer.stop()
            if self._place is not None:
                self._place.clear()
        elif not self._timer.isActive():
            self._timer.start()
