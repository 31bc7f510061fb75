"""The hand on a curve's end: drawn along the result's axis, the result there changes."""

from __future__ import annotations

from math import hypot
from typing import Final

from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QKeyEvent

from app.document.units import shown
from app.gestures.draw_result import DrawResult
from app.judge.drawn import Drawn
from app.panels.curves.curve_plot import CurvePlot
from app.session.session import Session
from app.systems.answers import Pose
from app.systems.curves import KINDS, Driver
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

REACH: Final = 9.0  # [px]
DEAD_ZONE: Final = 3.0  # a press that moves less is a click [px]
ALT: Final = Qt.KeyboardModifier.AltModifier


@dataclass(frozen=True)
class _Hold:
    plot: CurvePlot
    drawn: Drawn
    at: QPointF
    per_pixel: float  # [inside units]
    moved: bool = False


def is_escape(event: QEvent) -> bool:
    """Tell whether an event asks to take a drag back, before a shortcut of the window has it."""
    if event.type() not in (QEvent.Type.ShortcutOverride, QEvent.Type.KeyPress):
        return False
    return isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape


class EndHand:
    """Draws the end of a curve: its result in the pose at that end."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.gesture = DrawResult(session)
        self._hold: _Hold | None = None

    @property
    def is_drawing(self) -> bool:
        """Tell whether an end is being drawn."""
        return self._hold is not None and self._hold.moved

    @property
    def is_held(self) -> bool:
        """Tell whether an end is held."""
        return self._hold is not None

    def end_at(self, plot: CurvePlot, place: QPointF) -> float | None:
        """Return the driver's value, as shown, at the end under a place; None without one."""
        near = [
            (distance, at)
            for at, end in plot.end_places()
            if (distance := hypot(place.x() - end.x(), place.y() - end.y())) <= REACH
        ]
        return min(near)[1] if near else None

    def press(
        self, plot: CurvePlot, result: Result, driver: Driver, side: int, place: QPointF
    ) -> bool:
        """Take hold of the end under a place; tell whether there is one."""
        end, frame, units = self.end_at(plot, place), plot.frame, self.session.units
        if end is None or frame is None or result.scope == "car":
            return False
        at = end * shown(KINDS[driver], units).size
        is_travel, study = driver == "travel", self.session.study
        if is_travel and study is not None and not self.session.in_body:
            at += study.proposed.stand.travel  # a curve over travel ends at a place in the body
        pose = Pose(**{driver: at})
        side = side if result.scope == "wheel" else 0
        drawn = Drawn(self.session.system.key, (result.key,), side, pose, is_travel)
        one, other = (
            (frame.x_of if plot.chart.upright else frame.y_of)(value) for value in (0.0, 1.0)
        )
        self._hold = _Hold(plot, drawn, place, shown(result.kind, units).size / (other - one))
        self.gesture.prepare(drawn)
        return True

    def move(self, place: QPointF, modifiers: Qt.KeyboardModifier) -> None:
        """Follow the hand, as soon as it is no click any more."""
        hold = self._hold
        if hold is None:
            return
        step = place - hold.at
        if not hold.moved:
            if step.manhattanLength() < DEAD_ZONE:
                return
            self.gesture.begin(hold.drawn)
            self._hold = hold = _Hold(hold.plot, hold.drawn, hold.at, hold.per_pixel, True)
        along = step.x() if hold.plot.chart.upright else step.y()
        self.gesture.move((along * hold.per_pixel,), bool(modifiers & ALT))

    def release(self) -> bool:
        """Let go; tell whether an end was drawn."""
        hold, self._hold = self._hold, None
        if hold is not None and hold.moved:
            self.gesture.commit()
        return hold is not None and hold.moved

    def cancel(self) -> None:
        """Go back to where the end was."""
        if self.is_drawing:
            self.gesture.cancel()
        self._hold = None
