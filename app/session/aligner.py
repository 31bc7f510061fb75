"""Has alignments worked out by a process beside the window, and says when one is there."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.model import Setup, Units
from app.judge.align_worker import AlignJob, AlignReply, answer, serve
from app.session.beside import Beside

LOOK: Final = 8  # ms between two looks for an answer
_ENDED: Final = "What works this out was ended from outside. Change an entry to start it again."


class Aligner(QObject):
    """Asks for one alignment after the other; of those that wait only the newest is worked out.

    Each has a process of its own, which ends with it: of two windows none is kept waiting.
    """

    answered = Signal(object)  # AlignReply

    def __init__(self, parent: QObject | None = None, beside: Beside | None = None) -> None:
        super().__init__(parent)
        self.beside = beside or Beside(serve)
        if beside is None:
            self.destroyed.connect(self.beside.end)
        self.number = 0
        self._look = QTimer(self, interval=LOOK)
        self._look.timeout.connect(self._take)

    def ask(self, setup: Setup, units: Units, decimal: str) -> None:
        """Ask for a setup's alignment; answers to what was asked before are dropped."""
        self.number += 1
        job = AlignJob(self.number, setup, units, decimal)
        try:
            self.beside.send(job)
        except OSError:  # no process can be had: the window waits this once
            self.answered.emit(answer(job))
            return
        self._look.start()

    def stop(self) -> None:
        """Await no answer any more."""
        self._look.stop()

    def _take(self) -> None:
        try:
            replies = self.beside.came()
        except OSError:
            replies = [AlignReply(self.number, None, _ENDED)]
        for reply in replies:
            if reply.number == self.number:
                self._look.stop()
                self.answered.emit(reply)
