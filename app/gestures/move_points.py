"""Dragging and nudging points: the mouse's displacement becomes moves of the active change."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from app.document.address import is_right
from app.document.keys import KEYS
from app.document.model import Setup, Units, Vec
from app.document.moves import move_in_change
from app.document.point_names import point_words
from app.document.quantities import INCH
from app.drawing.strokes import Place
from app.drawing.views import View
from app.gestures.target import moved_point, renamed, with_target
from app.session.session import Session
from geometry.dataclass import dataclass

SNAP: Final[dict[Units, float]] = {"mm": 1.0, "in": INCH / 32}  # [mm]
AXIS_WORDS: Final = ("X", "Y", "Z")
NOWHERE: Final = (0.0, 0.0, 0.0)
CALM: Final = 1.0  # s without a nudge after which the next one is a step of its own


@dataclass(frozen=True)
class _Held:
    keys: tuple[str, ...]
    key: str
    view: View
    start: Place
    base: Setup
    setup: Setup
    index: int
    active: int | None
    by_value: bool  # the point goes by a value with steps of its own, as the pinion by a wedge


class MovePoints:
    """The gesture of moving points; without a window it is driven by plain calls."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._held: _Held | None = None
        self._nudged = (-1e9, 0)

    def begin(self, key: str, place: Place, view: View) -> None:
        """Take hold of a point, and of those selected with it."""
        base = self.session.history.value
        keys = free_points(self.session, key)
        if not keys:
            return
        setup, index = with_target(base, self.session.active)
        active, system = self.session.active, self.session.system
        by_value = system.moved_by_value(setup, index, keys[0], NOWHERE) is not None
        self._held = _Held(keys, key, view, place, base, setup, index, active, by_value)

    def move(self, place: Place, one_axis: bool = False, free: bool = False) -> None:
        """Follow the mouse; `one_axis` keeps the larger direction, `free` suspends the snap."""
        held = self._held
        held = None if held is None else self._still_holds(held)
        if held is None:
            return
        du, dv = place[0] - held.start[0], place[1] - held.start[1]
        if one_axis:
            du, dv = (du, 0.0) if abs(du) >= abs(dv) else (0.0, dv)
        delta = held.view.lift(du, dv)
        if not (free or held.by_value):
            delta = self._snapped(held, delta)
        if self.session.active != held.index:
            self.session.set_active(held.index)
        self.session.preview(self._edited(held.setup, held.index, held.keys, delta))

    def commit(self) -> None:
        """Let go: what is shown becomes one step of history."""
        held, self._held = self._held, None
        preview = self.session.preview_setup
        if held is None or preview is None:
            self._back(held)
        elif not _has_moved(held, preview):
            self.session.cancel()
            self._back(held)
        elif self.session.problem is not None:
            problem_words = f"{self.session.problem_words} The points went back."
            self.session.cancel()
            self._back(held)
            self.session.said.emit(problem_words)
        else:
            self.session.commit(preview, f"move {words_for(held.keys, preview)}")

    def cancel(self) -> None:
        """Go back to where the drag began."""
        held, self._held = self._held, None
        self.session.cancel()
        self._back(held)

    def nudge(self, key: str, delta: Vec, now: float) -> None:
        """Move a point, and those selected with it, by an exact step; `now` is in seconds."""
        session = self.session
        keys = free_points(session, key)
        if not keys:
            return
        last, count = self._nudged
        count += now - last > CALM
        self._nudged = (now, count)
        setup, index = with_target(session.history.value, session.active)
        edited = self._edited(setup, index, keys, delta)
        session.set_active(index)
        session.commit(edited, f"nudge {words_for(keys, edited)}", ("nudge", keys, count))

    def _edited(self, setup: Setup, index: int, keys: tuple[str, ...], delta: Vec) -> Setup:
        edited = moved_together(self.session, setup, index, keys, delta)
        return renamed(setup, edited, index, self.session.units)

    def _snapped(self, held: _Held, delta: Vec) -> Vec:
        """Round so that the held point's whole move in this change is in whole steps."""
        step = SNAP[self.session.units]
        before = move_in_change(held.setup, held.setup.changes[held.index], held.key)
        snapped = [
            round((old + new) / step) * step - old if new else 0.0
            for old, new in zip(before, delta, strict=True)
        ]
        return snapped[0], snapped[1], snapped[2]

    def _still_holds(self, held: _Held) -> _Held | None:
        """End the drag if the setup was changed meanwhile: else the old one would be restored.

        Another height isn't such a change: the drag goes on with it.
        """
        now = self.session.history.value
        if now is not held.base:
            is_height = now == held.base.having(heights=now.heights)
            setup = held.setup.having(heights=now.heights)
            self._held = replace(held, base=now, setup=setup) if is_height else None
        return self._held

    def _back(self, held: _Held | None) -> None:
        if held is not None and self.session.active != held.active:
            self.session.set_active(held.active)


def _has_moved(held: _Held, setup: Setup) -> bool:
    """Tell whether the points have moved since the drag began."""
    before, now = held.setup.changes[held.index], setup.changes[held.index]
    return (before.moves, before.sets) != (now.moves, now.sets)


def together(session: Session, key: str) -> tuple[str, ...]:
    """Return a point and those that are selected with it."""
    keys = session.selection if key in session.selection else (key,)
    return tuple(point_key for point_key in keys if point_key in KEYS)


def free_points(session: Session, key: str) -> tuple[str, ...]:
    """Return a point and those selected with it but for fixed ones, of which it is said why."""
    setup, system, keys = session.history.value, session.system, together(session, key)
    reasons = {each: system.fixed_because(setup, each) for each in keys}
    for words in dict.fromkeys(filter(None, reasons.values())):
        session.said.emit(words)
    return tuple(each for each in keys if not reasons[each])


def moved_together(
    session: Session, setup: Setup, index: int, keys: tuple[str, ...], delta: Vec
) -> Setup:
    """Return the setup with a change moving points by the same step [mm], but no locked axis."""
    edited = setup
    # The right-hand ones first: they may start from where the left one's job had taken them.
    for key in sorted(keys, key=lambda point_key: not is_right(point_key)):
        locked_axes = session.locks.get(key, frozenset())
        x, y, z = (0.0 if axis in locked_axes else step for axis, step in enumerate(delta))
        edited = moved_point(session.system, edited, index, key, (x, y, z))
    return edited


def words_for(keys: tuple[str, ...], setup: Setup) -> str:
    """Return the points' names as a part of a sentence."""
    names = [point_words(key, setup.evidence) for key in keys]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
