"""Has alignments worked out by a process beside the window, and says when one is there."""

from __future__ import annotations

import atexit
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.model import Setup, Units
from app.judge.align_worker import AlignJob, AlignReply, answer, serve
from app.session.band_keeper import LOOK, Helper

_HELPER: Final = Helper(serve)
atexit.register(_HELPER.end)


class Aligner(QObject):
    """Asks for one alignment after the other; of those that wait only the newest is worked out."""

    answered = Signal(object)  # AlignReply

    def __init__(self, parent: QObject | None = None, helper: Helper = _HELPER) -> None:
        super().__init__(parent)
        self.helper = helper
        self.number = 0
        self._look = QTimer(self, interval=LOOK)
        self._look.timeout.connect(self._take)

    def ask(self, setup: Setup, units: Units, decimal: str) -> None:
        """Ask for a setup's alignment; answers to what was asked before are dropped."""
        self.helper.number += 1
        self.number = self.helper.number
        job = AlignJob(self.number, setup, units, decimal)
        try:
            self.helper.send(job)
        except OSError:  # no process can be had: the window waits this once
            self.answered.emit(answer(job))
            return
        self._look.start()

    def stop(self) -> None:
        """Await no answer any more."""
        self._look.stop()

    def _take(self) -> None:
        for reply in self.helper.replies(self.number):
            self._look.stop()
            whole = isinstance(reply, AlignReply)
            self.answered.emit(reply if whole else AlignReply(reply.number, None, _ENDED))


_ENDED: Final = "What works this out was ended from outside. Change an entry to start it again."
