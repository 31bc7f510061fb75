"""Dragging an end of a point's room: the metal lets it go further, or not so far."""

from __future__ import annotations

from app.document.address import AXES
from app.document.model import Setup, Vec
from app.document.plan_edits import set_span
from app.document.plans import Span
from app.document.point_names import point_words
from app.drawing.strokes import Place
from app.drawing.views import View
from app.gestures.move_points import CALM, SNAP
from app.judge.room_drawing import End
from app.session.session import Session
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class _Held:
    end: End
    view: View
    start: Place
    base: Setup
    span: Span


class RoomEnds:
    """The gesture of moving an end of a room; one step of history."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._held: _Held | None = None
        self._nudged = (-1e9, 0)

    def begin(self, key: str, place: Place, view: View) -> None:
        """Take hold of an end."""
        base, end = self.session.history.value, End.at(key)
        span = end.span(base)
        self._held = None if span is None else _Held(end, view, place, base, span)

    def move(self, place: Place, free: bool = False) -> None:
        """Follow the mouse in whole steps; `free` suspends them."""
        held = self._held
        if held is None or self.session.history.value is not held.base:
            return
        step = place[0] - held.start[0], place[1] - held.start[1]
        by = held.view.lift(*step)[held.end.axis]
        span = self._moved(held.span, held.end, by, free)
        edited = set_span(held.base, held.end.point, AXES[held.end.axis], span)
        self.session.preview(edited)

    def commit(self) -> None:
        """Let go: what is shown becomes one step of history."""
        held, self._held = self._held, None
        preview = self.session.preview_setup
        if held is None or preview is None:
            return
        if held.end.span(preview) == held.span:
            self.session.cancel()
        else:
            self.session.commit(preview, _words(preview, held.end))

    def cancel(self) -> None:
        """Go back to where the drag began."""
        if self._held is not None:
            self._held = None
            self.session.cancel()

    def nudge(self, key: str, delta: Vec, now: float) -> None:
        """Move an end by an exact step; `now` is in seconds."""
        end, setup = End.at(key), self.session.history.value
        span, by = end.span(setup), delta[end.axis]
        if span is None or not by:
            return
        last, count = self._nudged
        count += now - last > CALM
        self._nudged = (now, count)
        edited = set_span(setup, end.point, AXES[end.axis], self._moved(span, end, by, True))
        self.session.commit(edited, _words(edited, end), ("room", key, count))

    def _moved(self, span: Span, end: End, by: float, free: bool) -> Span:
        """Return a room with an end further by a step; it doesn't pass the other end."""
        step = SNAP[self.session.units]
        place = span[end.is_high] + by
        if not free:
            place = round(place / step) * step
        return (span[0], max(place, span[0])) if end.is_high else (min(place, span[1]), span[1])


def _words(setup: Setup, end: End) -> str:
    return f"room of {point_words(end.point, setup.evidence)}"
