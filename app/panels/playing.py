"""Animates bump, roll or steer until a click, a key or Escape."""

from __future__ import annotations

from dataclasses import replace
from math import asin, pi, sin
from typing import Final

from PySide6.QtCore import QElapsedTimer, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from app.qt.border import fenced
from app.session.session import Session

PERIOD: Final = 3.2  # s for a run there and back
FRAME: Final = 16  # ms
TOUCHES: Final = frozenset(
    {
        QEvent.Type.MouseButtonPress,
        QEvent.Type.KeyPress,
        QEvent.Type.Wheel,
        QEvent.Type.TouchBegin,
    }
)


@fenced
class Player(QObject):
    """Moves one driver of the session's pose back and forth."""

    changed = Signal()  # it started or stopped

    def __init__(self, session: Session) -> None:
        super().__init__(session)
        self.session = session
        self.driver = ""
        self._phase = 0.0
        self._clock = QElapsedTimer()
        self._timer = QTimer(self, interval=FRAME)
        self._timer.timeout.connect(self._step)

    def turn(self, driver: str) -> None:
        """Start a run, or stop it."""
        again = self.driver == driver
        self.stop()
        if not again:
            self._start(driver)

    def _start(self, driver: str) -> None:
        low, high = self._run(driver)
        now = getattr(self.session.pose, driver)
        middle, half = (low + high) / 2, max((high - low) / 2, 1e-9)
        self._phase = asin(min(max((now - middle) / half, -1.0), 1.0))
        self.driver = driver
        self._clock.start()
        self._timer.start()
        QApplication.instance().installEventFilter(self)  # type: ignore[union-attr]
        self.changed.emit()

    def stop(self) -> None:
        """Stop at the present pose."""
        if self.driver:
            self._timer.stop()
            self.driver = ""
            QApplication.instance().removeEventFilter(self)  # type: ignore[union-attr]
            self.changed.emit()

    def _run(self, driver: str) -> tuple[float, float]:
        """Return the part of the swept range that the proposed car can reach."""
        study = self.session.study
        sweep = getattr(study.proposed, driver) if study else None
        if sweep is None or not sweep.reached.any():
            return 0.0, 0.0
        reached = sweep.at[sweep.reached]
        return float(reached.min()), float(reached.max())

    def _step(self) -> None:
        low, high = self._run(self.driver)
        if low == high:
            return
        angle = self._phase + 2 * pi * self._clock.elapsed() / 1000.0 / PERIOD
        value = (low + high) / 2 + (high - low) / 2 * sin(angle)
        pose = replace(self.session.pose, **{self.driver: value})
        self.session.set_pose(pose, moving=True)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stop at any key or click; Escape and a click on the run's own button do nothing else."""
        if event.type() not in TOUCHES or not self.driver or not watched.isWidgetType():
            return False
        is_own_driver = watched.property("play") == self.driver
        escape = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        self.stop()
        return bool(is_own_driver or escape)
