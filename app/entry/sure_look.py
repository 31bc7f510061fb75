"""How sure the first results are: asked of a process beside the guide, which never waits for it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from threading import Thread
from typing import Final

from PySide6.QtCore import QObject, QTimer, Signal

from app.document.model import Setup
from app.judge.worker import Job
from app.session.band_keeper import Helper, is_known
from app.systems.banded import WHOLE, StudyBands

LOOK: Final = 30  # ms between two looks for an answer


class SureLook(QObject):
    """Asks for the bands of the car as measured, one end after the other."""

    came = Signal(str)  # more is known of this end
    ended = Signal()  # no more comes

    def __init__(
        self,
        setup: Setup,
        ends: Sequence[str],
        helper: Helper | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.setup = setup.having(changes=())
        self.bands: dict[str, StudyBands] = {}
        self.helper = helper or Helper()
        self._left = list(ends) if is_known(setup) else []
        self._asked: Job | None = None
        self._look = QTimer(self, interval=LOOK)
        self._look.timeout.connect(self._take)
        self.destroyed.connect(partial(_end, self.helper))

    @property
    def is_busy(self) -> bool:
        """Tell whether more may come."""
        return self._asked is not None or bool(self._left)

    def begin(self) -> None:
        """Ask for the next end's bands; where no process can be had there are none."""
        self._asked = None
        if self._left:
            try:
                self._asked = self.helper.ask(self.setup, self._left.pop(0), WHOLE)
            except OSError:
                self._left = []
        if self._asked is not None:
            self._look.start()
        else:
            self._look.stop()
            self.ended.emit()

    def _take(self) -> None:
        asked = self._asked
        for reply in () if asked is None else self.helper.replies(asked.number):
            assert asked is not None  # or nothing could have come
            if reply.bands is None:
                self.begin()
                return
            before = self.bands.get(asked.system)
            self.bands[asked.system] = before.newer(reply.bands) if before else reply.bands
            self.came.emit(asked.system)


def _end(helper: Helper, *_: object) -> None:
    """End the process without waiting for it."""
    Thread(target=helper.end).start()
