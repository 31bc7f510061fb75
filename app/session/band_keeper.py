"""Keeps the bands of what is shown up to date, from a process that works beside the window."""

from __future__ import annotations

import atexit
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QObject, QTimer

from app.document.model import Setup
from app.session.beside import Beside
from app.session.session import Session
from app.systems.banded import QUICK, WHOLE

if TYPE_CHECKING:
    from app.judge.worker import Job, Reply

LOOK: Final = 8  # ms between two looks for an answer
REST: Final = 250  # ms of quiet after which more than the quick bands is worked out


class Helper(Beside):
    """The process that works out bands; it has one job at a time."""

    def __init__(self) -> None:
        super().__init__()
        self.number = 0
        self._came: list[Reply] = []

    def ask(self, setup: Setup, system: str, level: int) -> Job:
        """Hand over a job, with a number that no other has; the one before is broken off."""
        from app.judge.worker import Job, serve  # a start has nothing to work out yet

        self.serve = serve
        self.number += 1
        job = Job(self.number, setup, system, level)
        self.send(job)
        return job

    def replies(self, number: int) -> list[Reply]:
        """Return what has come of a job since; what has come of older ones is of no use."""
        from app.judge.worker import Reply

        try:
            self._came += self.came()
        except OSError:  # it was ended from outside: the next job starts another
            self._came.append(Reply(self.number, None))
        replies = [reply for reply in self._came if reply.number == number]
        self._came = [reply for reply in self._came if reply.number == self.number != number]
        return replies


_HELPER: Final = Helper()
atexit.register(_HELPER.end)


class BandKeeper(QObject):
    """Asks for bands as the study changes, and hands them to the session.

    During a drag quick bands follow the hand one after the other; at rest the others come, each
    in its turn.
    """

    def __init__(self, session: Session, helper: Helper = _HELPER) -> None:
        super().__init__(session)
        self.session, self.helper = session, helper
        self._asked: Job | None = None
        self._is_begun = False
        self._look = QTimer(self, interval=LOOK)
        self._look.timeout.connect(self._take)
        self._rest = QTimer(self, singleShot=True, interval=REST)
        self._rest.timeout.connect(self._ask_for_all)
        session.study_changed.connect(self._follow)
        session.study_completed.connect(self._rest.start)

    def begin(self) -> None:
        """Ask for the first bands; a start has its first picture before."""
        self._is_begun = True
        self._rest.start()

    def _follow(self) -> None:
        """Ask for quick bands of the study shown, once those before have come."""
        bands = self.session.face.bands
        if self.session.preview_setup is None:
            self._rest.start()
        elif bands is not None and (self._asked is None or self._asked.level != QUICK):
            self._ask(QUICK, self.session.system.key)

    def _ask_for_all(self) -> None:
        """Ask for all bands of the car, the system shown first; take those away that it had."""
        session = self.session
        if (
            not self._is_begun
            or session.preview_setup is not None
            or session.study is None
            or session.problem
        ):
            return
        setup, own = session.setup, session.system
        for system in (own, *(other for other in session.systems() if other is not own)):
            face = session.faces[system.key]
            if not is_known(setup):
                if face.bands is not None:
                    session.take_bands(system.key, setup, None)
            elif face.bands_of != setup:
                self._ask(WHOLE, system.key)
                return

    def _ask(self, level: int, system: str) -> None:
        setup = self.session.setup
        if self._asked is not None and self._asked[1:] == (setup, system, level):
            return
        try:
            self._asked = self.helper.ask(setup, system, level)
        except OSError:  # no process can be had: the car is told without bands
            self._asked = None
            return
        self._look.start()

    def _take(self) -> None:
        """Take what has come, and ask for what follows."""
        asked = self._asked
        for reply in self.helper.replies(asked.number) if asked is not None else ():
            assert asked is not None  # or nothing could have come
            if reply.bands is not None:
                self.session.take_bands(asked.system, asked.setup, reply.bands)
            elif self._asked is asked:
                self._asked = None
                self._look.stop()
                self._go_on(asked)

    def _go_on(self, asked: Job) -> None:
        """Ask for what follows a job: the hand's place by now, or the other end's bands."""
        session = self.session
        is_done = session.faces[asked.system].bands_of == session.setup
        if session.preview_setup is not None and session.preview_setup != asked.setup:
            self._ask(QUICK, session.system.key)
        elif session.preview_setup is None and is_done:
            self._rest.start()


def is_known(setup: Setup) -> bool:
    """Tell whether a setup says of any reading how well it is known."""
    return bool(setup.within) or "sheet.measured_within" in setup.readings
