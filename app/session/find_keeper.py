"""Has a change sought beside the window: asks, tells how far it is, stops."""

from __future__ import annotations

from contextlib import suppress
from typing import Final

from PySide6.QtCore import QLocale, QObject, QTimer, Signal

from app.document.model import Setup
from app.judge.finder import FindJob, FindReply, serve
from app.session.beside import Beside

LOOK: Final = 30  # ms between two looks for an answer
GONE: Final = "The search was ended from outside. Find again."
NO_PROCESS: Final = "This machine lets no second process start, and the search needs one."


class FindKeeper(QObject):
    """One search at a time; a newer one ends the one before.

    Each has a process of its own, which ends with it: in a shared one, one window's search would
    end another's.
    """

    went_on = Signal(float)  # which share is done
    found = Signal(object)  # AnswerTable by units
    refused = Signal(str)  # why nothing was found, in the user's words
    ended = Signal()  # in whatever way

    def __init__(self, parent: QObject | None = None, beside: Beside | None = None) -> None:
        super().__init__(parent)
        self.beside = beside or Beside(serve)
        if beside is None:
            self.destroyed.connect(self.beside.end)
        self.is_going = False
        self._number = 0
        self._look = QTimer(self, interval=LOOK)
        self._look.timeout.connect(self._take)

    def ask(self, setup: Setup, step: float | None) -> None:
        """Begin a search; `step` [mm] is the step that a shop can make."""
        self._number += 1
        try:
            self.beside.send(FindJob(self._number, setup, step, QLocale().decimalPoint()))
        except OSError:
            self.refused.emit(NO_PROCESS)
            return
        self.is_going = True
        self._look.start()

    def stop(self) -> None:
        """End the search: nothing comes of it."""
        if self.is_going:
            self._number += 1
            with suppress(OSError):  # then there is nothing to end
                self.beside.send(FindJob(self._number, None))
            self._end()

    def _take(self) -> None:
        try:
            replies = [reply for reply in self.beside.came() if reply.number == self._number]
        except OSError:
            self._end()
            self.refused.emit(GONE)
            return
        for reply in replies:
            self._hear(reply)

    def _hear(self, reply: FindReply) -> None:
        if reply.tables is not None:
            self._end()
            self.found.emit(reply.tables)
        elif reply.refusal:
            self._end()
            self.refused.emit(reply.refusal)
        else:
            self.went_on.emit(reply.share)

    def _end(self) -> None:
        self.is_going = False
        self._look.stop()
        self.ended.emit()
