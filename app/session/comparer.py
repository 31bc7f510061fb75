"""Has the bands of proposals worked out by a process beside the window."""

from __future__ import annotations

import atexit
from itertools import count
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.model import Setup
from app.judge.compare_worker import CompareJob, serve
from app.session.beside import Beside

LOOK: Final = 50  # ms between two looks for an answer
_NUMBERS: Final = count(1)  # no two jobs have one: all windows share the process
_BESIDE: Final = Beside(serve)
atexit.register(_BESIDE.end)


class Comparer(QObject):
    """Asks for the bands of one comparison after the other; only the newest is worked out."""

    answered = Signal(object)  # CompareReply

    def __init__(self, parent: QObject | None = None, beside: Beside = _BESIDE) -> None:
        super().__init__(parent)
        self.beside = beside
        self.number = 0
        self._look = QTimer(self, interval=LOOK)
        self._look.timeout.connect(self._take)

    def ask(self, setup: Setup) -> None:
        """Ask for the bands of a setup's proposals; without a process there are none."""
        self.number = next(_NUMBERS)
        try:
            self.beside.send(CompareJob(self.number, setup))
        except OSError:
            return
        self._look.start()

    def stop(self) -> None:
        """Await no answer any more, and end the work on it."""
        if self._look.isActive():
            self._look.stop()
            self.beside.end()

    @property
    def is_going(self) -> bool:
        """Whether an answer is awaited."""
        return self._look.isActive()

    def _take(self) -> None:
        try:
            replies = self.beside.came()
        except OSError:  # it was ended from outside: the figures stay without bands
            self._look.stop()
            return
        for reply in replies:
            if reply.number == self.number:
                if reply.is_last:
                    self._look.stop()
                self.answered.emit(reply)
