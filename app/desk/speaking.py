"""What a screen reader is told of work: each step, undo, a limit newly past, front and rear."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import QLocale, QObject, QTimer
from PySide6.QtWidgets import QWidget

from app.board.spoken import announce
from app.desk.one_sided import one_sided_words
from app.document.point_names import point_title
from app.document.units import format_point
from app.session.session import Session
from app.systems.clearance.clearances import clearances
from app.systems.clearance.results import title_of
from app.systems.limits import limit_checks


class Speaker(QObject):
    """Listens to a session and announces what has changed, once its figures are known."""

    def __init__(self, session: Session, window: QWidget) -> None:
        super().__init__(window)
        self.session, self.window = session, window
        self._setup = session.history.value
        self._step = ""
        self._said: list[str] = []
        self._moved = False
        self._system = session.system
        self._past = self._past_limits()
        self._timer = QTimer(self, singleShot=True, interval=0)
        self._timer.timeout.connect(self._speak)
        session.setup_changed.connect(self._note_step)
        session.system_changed.connect(self._timer.start)
        session.said.connect(self._note_said)
        session.problem_changed.connect(self._timer.start)

    def _note_step(self) -> None:
        """Note what was done; undo and redo say so themselves."""
        history = self.session.history
        if self.session.preview_setup is None and history.value != self._setup:
            self._moved = history.value.changes != self._setup.changes
            words = one_sided_words(self._setup, history.value) if self._moved else ""
            self._setup, self._step = history.value, history.undo_words
            self._timer.start()
            if words and not history.redo_words:
                self.session.said.emit(words)

    def _note_said(self, words: str) -> None:
        self._said.append(words)
        self._timer.start()

    def _speak(self) -> None:
        """Announce everything in one piece, since a reader cuts one announcement off by another."""
        system, session = self.session.system, self.session
        parts: list[str] = []
        if system is not self._system:
            self._system, self._past = system, self._past_limits()
            parts.append(f"{system.title}.")
        parts += self._said or ([f"{self._step}."] if self._step else [])
        if self._moved:
            parts += self._places()
        parts += self._newly_past()
        if session.problem_words:
            parts.append(session.problem_words)
        self._said, self._step, self._moved = [], "", False
        if parts:
            announce(self.window, " ".join(parts))

    def _places(self) -> Iterator[str]:
        """Yield where the selected points are now."""
        session = self.session
        if session.study is None:
            return
        places, decimal = session.system.places(session.study), QLocale().decimalPoint()
        for key in session.selection:
            if key in places:
                place = format_point(places[key], session.units, decimal=decimal)
                yield f"{point_title(key, session.shown_setup.evidence)}: {place}."

    def _newly_past(self) -> Iterator[str]:
        """Yield which limits are past that weren't, and which are kept again."""
        past, before = self._past_limits(), self._past
        self._past = past
        for title in sorted(past - before):
            yield f"{title} is past its limit."
        for title in sorted(before - past):
            yield f"{title} is inside its limit again."

    def _past_limits(self) -> frozenset[str]:
        study = self.session.study
        if study is None:
            return frozenset()
        near = (title_of(c.clearance) for c in clearances(study) if c.held is False)
        past = (check.result.title for check in limit_checks(study) if check.held is False)
        return frozenset([*past, *near])
