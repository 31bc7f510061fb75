"""The hand on a result's figure: held and drawn sideways, the result changes and points follow."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QPoint, Qt

from app.session.session import Session
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

if TYPE_CHECKING:
    from app.gestures.draw_result import DrawResult
    from app.judge.drawn import Drawn

DEAD_ZONE: Final = 4  # a press that moves less is a click [px]
PIXELS: Final = 3  # that draw a figure on by one step
FAST: Final = 10  # times as far, with Shift
SHIFT: Final = Qt.KeyboardModifier.ShiftModifier
ALT: Final = Qt.KeyboardModifier.AltModifier


def drawn_by(session: Session, result: Result, side: int) -> Drawn:
    """Return what a result's figure stands for: of a wheel, in the pose that is shown."""
    from app.judge.drawn import Drawn

    side = side if result.scope == "wheel" else 0
    return Drawn(session.system.key, (result.key,), side, session.pose, session.in_body)


@dataclass(frozen=True)
class _Hold:
    result: Result
    drawn: Drawn
    at: QPoint
    moved: bool = False


class FigureHand:
    """Draws a figure sideways: to the right it grows."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._hold: _Hold | None = None

    @cached_property
    def gesture(self) -> DrawResult:
        """The gesture; a start's first picture is there before it."""
        from app.gestures.draw_result import DrawResult

        return DrawResult(self.session)

    @property
    def is_drawing(self) -> bool:
        """Tell whether a figure is being drawn."""
        return self._hold is not None and self._hold.moved

    def press(self, result: Result, side: int, at: QPoint) -> None:
        """Take hold of a figure."""
        self._hold = _Hold(result, drawn_by(self.session, result, side), at)
        self.gesture.prepare(self._hold.drawn)

    def move(self, at: QPoint, modifiers: Qt.KeyboardModifier) -> None:
        """Follow the hand, as soon as it is no click any more."""
        hold = self._hold
        if hold is None:
            return
        far = at.x() - hold.at.x()
        if not hold.moved:
            if abs(far) < DEAD_ZONE:
                return
            self.gesture.begin(hold.drawn)
            self._hold = hold = _Hold(hold.result, hold.drawn, hold.at, True)
        from app.gestures.draw_result import step_of

        times = FAST if modifiers & SHIFT else 1
        step = step_of(hold.result, self.session.units) * times / PIXELS
        self.gesture.move((far * step,), bool(modifiers & ALT))

    def release(self) -> bool:
        """Let go; tell whether the press was a click."""
        hold, self._hold = self._hold, None
        if hold is None:
            return False
        if hold.moved:
            self.gesture.commit()
        return not hold.moved

    def cancel(self) -> None:
        """Go back to where the figure was."""
        if self.is_drawing:
            self.gesture.cancel()
        self._hold = None

    def nudge(self, result: Result, side: int, way: int, fast: bool, now: float) -> None:
        """Draw a figure on by one step, or ten; `now` is in seconds."""
        from app.gestures.draw_result import step_of

        step = way * step_of(result, self.session.units) * (FAST if fast else 1)
        self.gesture.nudge(drawn_by(self.session, result, side), (step,), now)
