"""Animates the rear axle on the board in one of its modes until a click, a key or Escape."""

from __future__ import annotations

from dataclasses import replace
from math import pi
from typing import Final

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, QTimer, Signal
from PySide6.QtWidgets import QApplication

from app.panels.playing import FRAME, TOUCHES
from app.qt.border import fenced
from app.session.session import Session

PERIOD: Final = 1.6  # s of one swing; the axle itself swings ten times a second
PLAYS: Final = "mode"  # property of the buttons that start and stop it
ANY: Final = -1  # value of that property where a touch goes on with what plays


@fenced
class ModePlayer(QObject):
    """Moves the phase of the mode that the session shows."""

    changed = Signal()  # it started or stopped

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.mode: int | None = None
        self.layout: int | None = None  # of the dampers, None for as they are
        self._touched: int | None = None
        self._clock = QElapsedTimer()
        self._timer = QTimer(self, interval=FRAME)
        self._timer.timeout.connect(self._step)
        session.system_changed.connect(self.stop)
        session.problem_changed.connect(self.stop)

    def turn(self, mode: int) -> None:
        """Start a mode, or stop it."""
        again = self._touched == mode
        self._touched = None
        if self.mode == mode or again:
            self.stop()
            self.changed.emit()  # the button has turned itself over
            return
        self.stop()
        self.mode = mode
        self._clock.start()
        self._timer.start()
        QApplication.instance().installEventFilter(self)  # type: ignore[union-attr]
        self.changed.emit()

    def stop(self) -> None:
        """Stop, and draw the axle at rest."""
        if self.mode is None:
            return
        self._timer.stop()
        self.mode = None
        QApplication.instance().removeEventFilter(self)  # type: ignore[union-attr]
        still = replace(self.session.overlay, mode=None, phase=0.0, layout=None)
        self.session.lay_over(still)
        self.changed.emit()

    def _step(self) -> None:
        phase = 2 * pi * self._clock.elapsed() / 1000.0 / PERIOD
        display = replace(self.session.overlay, thrust=0.0, mode=self.mode, phase=phase)
        self.session.lay_over(replace(display, layout=self.layout))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stop at any key or click; a click on the playing button only stops."""
        if event.type() in TOUCHES and self.mode is not None and watched.isWidgetType():
            playing = watched.property(PLAYS)
            if playing == ANY:
                return False
            self._touched = self.mode if playing == self.mode else None
            self.stop()
        return False
