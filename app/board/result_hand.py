"""The hand on a result's mark: a place on paper becomes a value of the result."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from app.drawing.strokes import Place
from app.session.session import Session
from app.systems.result_handles import results_held

if TYPE_CHECKING:
    from app.gestures.draw_result import DrawResult
    from app.judge.drawn import Drawn


class ResultHand:
    """Draws results by their marks: one result goes up and down, two across the view."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._from: Place = (0.0, 0.0)

    @cached_property
    def gesture(self) -> DrawResult:
        """The gesture; a start's first picture is there before it."""
        from app.gestures.draw_result import DrawResult

        return DrawResult(self.session)

    @property
    def note(self) -> str:
        """Why the mark stays behind the hand; empty where it follows."""
        return self.gesture.note

    def drawn(self, key: str) -> Drawn:
        """Return what a mark stands for, in the pose that is shown."""
        from app.judge.drawn import Drawn

        session = self.session
        return Drawn(session.system.key, results_held(key), 0, session.pose, session.in_body)

    def begin(self, key: str, place: Place) -> None:
        """Take hold of a mark."""
        self._from = place
        self.gesture.begin(self.drawn(key))
        self.gesture.prepare(self.drawn(key))

    def move(self, place: Place, free: bool) -> None:
        """Follow the hand; `free` suspends the snap."""
        by = place[0] - self._from[0], place[1] - self._from[1]
        self.gesture.move(by if self.gesture.count > 1 else by[1:], free)

    def commit(self) -> None:
        """Let go: where the mark is becomes one step of history."""
        self.gesture.commit()

    def cancel(self) -> None:
        """Go back to where the mark was."""
        self.gesture.cancel()

    def nudge(self, key: str, by: Place, now: float) -> None:
        """Move a mark by an exact step; `now` is in seconds."""
        drawn = self.drawn(key)
        step = by if len(drawn.keys) > 1 else by[1:]
        if any(step):
            self.gesture.nudge(drawn, step, now)
