"""Plain sentences on what the proposal does; each leads to the result that it speaks of."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from PySide6.QtCore import QSize, QTimer, Signal
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from app.document.plain_text import lower_first, one_line
from app.panels.figures import decimal_sign
from app.panels.lists.sentence_lines import Line, SentenceLines
from app.panels.widgets import Panel
from app.qt.border import fenced
from app.qt.tips import escape
from app.session.session import Session
from app.systems.answers import Study
from app.systems.sentence import Severity
from app.words.bands import percent
from app.words.errors import geometry_words

READING: Final = "reading "  # begins a line's key that leads to a reading's point
MOST_AGAIN: Final = 5  # readings that are named
AFTER_PAINT: Final = 10  # ms: a timer that is due at once would come before the picture is shown
SPOKEN: Final[dict[Severity, str]] = {"plain": "", "watch": "Watch: ", "wrong": "Wrong: "}
SIGNS: Final[dict[Severity, str]] = {"plain": "", "watch": "▲ ", "wrong": "■ "}


@fenced
class SentencesPanel(Panel):
    """What the proposal does, in words; updated late during a drag."""

    result_chosen = Signal(str)
    begun = Signal()  # the first picture is there, and its sentences
    stopped = Signal(bool)  # whether what is proposed can't be made or can't stand, when it changes

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "What it does", parent)
        self.words = SentenceLines()
        self.is_begun = False  # once the first picture is painted
        self._is_stopped = False
        for part in (self.words, self.words.holder):
            part.setBackgroundRole(self.backgroundRole())
        self.rows.addWidget(self.words, 1)
        self.words.chosen.connect(self._choose)
        session.study_completed.connect(self._follow)
        session.problem_changed.connect(self._follow)
        session.units_changed.connect(self._follow)
        session.bands_changed.connect(self._follow_bands)

    def _follow_bands(self) -> None:
        """Say what the bands leave open; a hand that moves first comes to rest."""
        if self.is_begun and self.session.preview_setup is None:
            self._follow()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write the first sentences after the first picture, since they ask for the whole car."""
        super().paintEvent(event)
        if not self.is_begun:
            self.is_begun = True
            QTimer.singleShot(AFTER_PAINT, self, self._begin)

    def _begin(self) -> None:
        self._follow()
        self.begun.emit()

    def take_inks(self) -> None:
        """Write the sentences in the new inks."""
        self._follow()

    def _follow(self) -> None:
        from app.judge.whole_car import all_sentences

        problem = self.session.problem
        if problem is not None:
            words = geometry_words(
                problem, self.session.units, decimal_sign(), self.session.setup.evidence
            )
            self.words.show_lines([self._line(words, "wrong", "")])
        elif (study := self.session.whole_study()) is not None:
            sentence_list = all_sentences(study, self.session.car(), decimal_sign())
            lines = [
                self._line(sentence.text, sentence.severity, sentence.result_key)
                for sentence in sentence_list
            ]
            self._tell_stop(study.changed and any(each.stops for each in sentence_list))
            lines = lines or [self._line(self._nothing(), "plain", "")]
            self.words.show_lines([*self._unbuilt(), *lines, *self._again(study)])

    def _tell_stop(self, is_stopped: bool) -> None:
        if is_stopped != self._is_stopped:
            self._is_stopped = is_stopped
            self.stopped.emit(is_stopped)

    def _again(self, study: Study[Any]) -> Iterator[Line]:
        """Yield which readings to take again first; each leads to its point."""
        from app.judge.unsure import again_first
        from app.words.readings import reading_title

        for place, one in enumerate(again_first(study)[:MOST_AGAIN], start=1):
            title = reading_title(one.reading, study.setup)
            words = f"Measure again {'first' if place == 1 else place}: {lower_first(title)}"
            yield self._line(
                f"{words}, {percent(one.share)} of what isn't known.",
                "plain",
                READING + one.reading,
            )

    def _choose(self, key: str) -> None:
        """Show the result that a sentence speaks of, or the point of a reading."""
        from app.judge.unsure import point_of

        if not key.startswith(READING):
            self.result_chosen.emit(key)
        elif point := point_of(key.removeprefix(READING)):
            self.session.select((point,))

    def _unbuilt(self) -> Iterator[Line]:
        """Yield that another end can't be built, which leaves it out of what is told here."""
        for title, why in self.session.unbuilt().items():
            evidence = self.session.setup.evidence
            reason = geometry_words(why, self.session.units, decimal_sign(), evidence)
            words = f"The {title.lower()} as proposed can't be built, and nothing here counts it"
            yield self._line(f"{words}: {reason}", "wrong", "")

    def _nothing(self) -> str:
        study = self.session.study
        if study is None or study.changed:
            return "Nothing that a specialist would notice changes."
        if any(change.on for change in study.setup.changes):
            return f"No change that is on concerns the {self.session.system.key}."
        return "No change is on: the car is as it was measured."

    def _line(self, text: str, severity: Severity, key: str) -> Line:
        ink = self.inks.accent if severity == "wrong" else self.inks.ink
        weight = 700 if severity == "wrong" else 400
        plain = one_line(text)
        sign = f'<span style="color:{self.inks.accent}">{SIGNS[severity]}</span>'
        words = f'<span style="color:{ink};font-weight:{weight}">{sign}{escape(plain)}</span>'
        return Line(words, f"{SPOKEN[severity]}{plain}", key)

    def full_height(self) -> int:
        """Return the height at which no sentence is out of view [px]."""
        head = self.head.sizeHint().height() + 18
        return head + self.words.height_for(max(self.width() - 12, 200))

    def sizeHint(self) -> QSize:
        """Return the height of a few sentences."""
        return QSize(330, 230)
