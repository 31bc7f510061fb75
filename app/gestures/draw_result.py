"""Drawing a result: the hand's displacement becomes a value, and points with room follow."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import replace
from typing import Any, Final, NamedTuple

from PySide6.QtCore import QLocale, QTimer

from app.document.model import FrozenMap, Setup, Units
from app.document.plain_text import upper_first
from app.document.units import shown
from app.gestures.move_points import CALM, SNAP
from app.gestures.target import renamed, with_target
from app.judge.drawn import DrawError, Drawing, Drawn, Drew
from app.judge.drawn_words import drawn_name, reach_words, step_words, stuck_words
from app.session.session import Session
from app.systems.answers import Study
from app.words.results import places_of
from geometry.catalogue.every import result_of
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

NUDGED: Final = "draw"
RESTS: Final = 90  # ms: the hand rests, and what stays when it lets go is worked out ahead


@dataclass(frozen=True)
class _Held:
    drawn: Drawn
    base: Setup
    active: int | None
    drawing: Drawing | None = None  # made with the first move: a click draws nothing
    values: tuple[float, ...] = ()  # that were last drawn to
    refused: bool = False


@dataclass(frozen=True)
class _Nudged:
    drawing: Drawing
    drawn: Drawn
    values: tuple[float, ...]
    setup: Setup
    at: float
    count: int


class _Ready(NamedTuple):
    """A drawing made ahead, or why there is none, and what it was made of."""

    drawn: Drawn
    base: Setup
    active: int | None
    locks: FrozenMap[frozenset[int]]
    drawing: Drawing | str


class DrawResult:
    """The gesture of drawing results; without a window it is driven by plain calls.

    What the first move and letting go take most time for is done before them, where the hand
    leaves the time. `note` says why the results stay behind the hand, empty where they follow.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self.note = ""
        self._held: _Held | None = None
        self._nudged: _Nudged | None = None
        self._nudges = 0
        self._made: _Ready | None = None
        self._rested: tuple[Drawing, tuple[float, ...], Drew] | None = None

    @property
    def count(self) -> int:
        """How many results are held."""
        return 0 if self._held is None else len(self._held.drawn.keys)

    def prepare(self, drawn: Drawn) -> None:
        """Make the drawing as soon as a press has been answered; nothing shows of a mere click."""
        QTimer.singleShot(0, self.session, lambda: self._make(drawn))

    def begin(self, drawn: Drawn) -> None:
        """Take hold of results."""
        self.note = ""
        self._held = _Held(drawn, self.session.history.value, self.session.active)

    def move(self, by: Sequence[float], free: bool = False) -> None:
        """Draw the results from where they were [inside units]; `free` suspends the snap."""
        held = self._ready()
        if held is None or held.drawing is None:
            return
        values = [
            _snapped(start, start + step, result, self.session.units, free)
            for start, step, result in zip(
                held.drawing.start, by, held.drawing.results, strict=True
            )
        ]
        drew = held.drawing.at(values)
        self._note(self._stuck(held.drawing, drew))
        is_held = held.drawing.goes_anywhere or bool(drew.walls)
        if drew.stuck and len(values) > 1 and is_held:
            return  # they stay where they could last be had together
        self._held = now = replace(held, values=tuple(values))
        self._show(held.drawing, drew.setup)
        QTimer.singleShot(RESTS, self.session, lambda: self._rest(now))

    def commit(self) -> None:
        """Let go: where the results have come to becomes one step of history."""
        held, self._held = self._held, None
        session = self.session
        if held is None or session.preview_setup is None or held.drawing is None:
            self._back(held)
        elif session.problem is not None:
            problem_words = f"{session.problem_words} The points went back."
            session.cancel()
            self._back(held)
            session.said.emit(problem_words)
        else:
            drew = self._settled(held.drawing, held.values)
            if any(drew.moves):
                self._keep(held.drawing, drew)
            else:
                session.cancel()
                self._back(held)
        self.note, self._rested = "", None

    def cancel(self) -> None:
        """Go back to where the drawing began."""
        held, self._held = self._held, None
        self.note, self._rested = "", None
        if held is not None:
            self.session.cancel()
            self._back(held)

    def set_to(self, drawn: Drawn, values: Sequence[float]) -> str:
        """Draw results to typed values as one step; return why that can't be, else nothing."""
        drawing = self._drawing(drawn, self.session.history.value)
        if isinstance(drawing, str):
            return drawing
        drew = drawing.typed(values)
        if drew.stuck:
            decimal, units = QLocale().decimalPoint(), self.session.units
            words = self._stuck(drawing, drew)
            return f"{words} {reach_words(drawing.results, drew, units, decimal)}".strip()
        if any(drew.moves):
            self._keep(drawing, drew)
        return ""

    def nudge(self, drawn: Drawn, by: Sequence[float], now: float) -> None:
        """Draw results on by an exact step; steps that follow soon go on from one beginning."""
        last = self._nudged
        if last is None or now - last.at > CALM or last.drawn != drawn or not self._is_kept(last):
            drawing = self._drawing(drawn, self.session.history.value)
            if isinstance(drawing, str):
                self.session.said.emit(drawing)
                return
            self._nudges += 1
            last = _Nudged(drawing, drawn, drawing.start, drawing.setup, now, self._nudges)
        values = tuple(value + step for value, step in zip(last.values, by, strict=True))
        drew = last.drawing.typed(values)
        if drew.stuck:
            self.session.said.emit(self._stuck(last.drawing, drew))
            values = last.values if len(values) > 1 else drew.values
        if not drew.stuck or len(values) == 1:
            self._keep(last.drawing, drew, (NUDGED, last.count))
        setup = self.session.history.value
        self._nudged = replace(last, values=values, setup=setup, at=now)

    def value_of(self, drawn: Drawn) -> tuple[float, ...] | str:
        """Return the values that results have, or why they can't be drawn."""
        drawing = self._drawing(drawn, self.session.history.value)
        return drawing if isinstance(drawing, str) else drawing.start

    # Inside

    def _stuck(self, drawing: Drawing, drew: Drew) -> str:
        decimal = QLocale().decimalPoint()
        return stuck_words(drawing.results, drew, self.session.units, decimal)

    def _is_kept(self, last: _Nudged) -> bool:
        return self.session.history.value is last.setup

    def _ready(self) -> _Held | None:
        """Return what is held with its drawing; begin anew if the setup was changed meanwhile.

        Another height isn't such a change: the drawing goes on with it.
        """
        held, now = self._held, self.session.history.value
        if held is None or held.refused:
            return None
        if now is not held.base:
            is_height = now == held.base.having(heights=now.heights)
            self._held = replace(held, base=now, drawing=None) if is_height else None
            held = self._held
        if held is not None and held.drawing is None:
            drawing = self._drawing(held.drawn, held.base)
            if isinstance(drawing, str):
                self._note(drawing)
                held = replace(held, refused=True)
            else:
                held = replace(held, drawing=drawing)
            self._held = held
        return held

    def _make(self, drawn: Drawn) -> None:
        session = self.session
        if self._held is None or self._held.drawing is None:
            base, active, locks = session.history.value, session.active, session.locks
            drawing = self._drawing(drawn, base)
            if isinstance(drawing, Drawing):
                drawing.look_ahead()
            self._made = _Ready(drawn, base, active, locks, drawing)

    def _rest(self, held: _Held) -> None:
        """Work out what stays where the hand rests: it may let go here."""
        if self._held is held and held.drawing is not None:
            self._settled(held.drawing, held.values)

    def _settled(self, drawing: Drawing, values: tuple[float, ...]) -> Drew:
        """Return what stays of a drawing at these values."""
        last = self._rested
        if last is None or last[0] is not drawing or last[1] != values:
            self._rested = last = drawing, values, drawing.settled(values)
        return last[2]

    def _drawing(self, drawn: Drawn, base: Setup) -> Drawing | str:
        """Return a drawing, or why there is none."""
        made, self._made = self._made, None
        active, locks = self.session.active, self.session.locks
        if made is not None and made[:4] == (drawn, base, active, locks):
            return made.drawing
        setup, index = with_target(base, active)
        try:
            return Drawing(setup, index, drawn, locks, self._whole_study(setup, drawn))
        except DrawError as error:
            results = (result_of(self.session.system.catalogue, key) for key in drawn.keys)
            known = [result for result in results if result is not None]
            return f"{upper_first(drawn_name(known))}: {error}" if known else f"{error}"

    def _whole_study(self, setup: Setup, drawn: Drawn) -> Study[Any] | None:
        """Return the study that the session has where it is of this car; a blank change is none."""
        session = self.session
        if session.preview_setup is not None or session.system.key != drawn.system:
            return None
        own, base = (
            [each for each in of.changes if each.moves or each.sets]
            for of in (setup, session.history.value)
        )
        study = session.study
        is_whole = study is not None and study is session.whole_study()
        return study if is_whole and own == base else None

    def _show(self, drawing: Drawing, setup: Setup) -> None:
        if self.session.active != drawing.index:
            self.session.set_active(drawing.index)
        self.session.preview(renamed(drawing.setup, setup, drawing.index, self.session.units))

    def _keep(self, drawing: Drawing, drew: Drew, token: Hashable = None) -> None:
        session = self.session
        words = step_words(drawing.results, drew.values, session.units, QLocale().decimalPoint())
        setup = renamed(drawing.setup, drew.setup, drawing.index, session.units)
        if session.active != drawing.index:
            session.set_active(drawing.index)
        session.commit(setup, words, token)

    def _note(self, words: str) -> None:
        if words != self.note:
            self.note = words
            if words:
                self.session.said.emit(words)

    def _back(self, held: _Held | None) -> None:
        if held is not None and self.session.active != held.active:
            self.session.set_active(held.active)


def step_of(result: Result, units: Units) -> float:
    """Return the step that a result is drawn in: a whole mm, 1/32 in, or its last place shown."""
    if result.kind == "length":
        return SNAP[units]
    return float(shown(result.kind, units).size * 10.0 ** -places_of(result, units))


def _snapped(start: float, value: float, result: Result, units: Units, free: bool) -> float:
    """Return a value in whole steps; less than half a step from the start is the start."""
    step = step_of(result, units)
    if free:
        return value
    return start if abs(value - start) < 0.5 * step else round(value / step) * step
