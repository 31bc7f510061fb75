"""Plain sentences on what the proposal does; each leads to the result that it speaks of."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Final

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QLabel, QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from app.document.plain_text import one_line
from app.panels.figures import decimal_sign
from app.panels.widgets import EDGE, Panel, text_font
from app.qt.border import fenced
from app.session.session import Session
from app.systems.sentence import Severity
from app.words.errors import geometry_words

AFTER_PAINT: Final = 10  # ms: a timer that is due at once would come before the picture is shown
SIGNS: Final[dict[Severity, str]] = {"plain": "", "watch": "▲ ", "wrong": "■ "}


@fenced
class SentencesPanel(Panel):
    """What the proposal does, in words; updated late during a drag."""

    result_chosen = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(session, "What it does", parent)
        self.words = QLabel()
        self.is_begun = False  # once the first picture is painted
        self._lay_out()
        self.words.linkActivated.connect(self.result_chosen)
        session.study_completed.connect(self._follow)
        session.problem_changed.connect(self._follow)
        session.units_changed.connect(self._follow)

    def _lay_out(self) -> None:
        words, flags = self.words, Qt.TextInteractionFlag
        words.setWordWrap(True)
        words.setTextFormat(Qt.TextFormat.RichText)
        words.setAlignment(Qt.AlignmentFlag.AlignTop)
        words.setContentsMargins(EDGE, 0, EDGE, 4)
        words.setFont(text_font())
        words.setTextInteractionFlags(
            flags.LinksAccessibleByMouse | flags.LinksAccessibleByKeyboard
        )
        words.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Minimum)
        holder = QWidget()
        holder.setBackgroundRole(self.backgroundRole())
        lines = QVBoxLayout(holder)
        lines.setContentsMargins(0, 0, 0, 0)
        lines.addWidget(words)
        lines.addStretch(1)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setBackgroundRole(self.backgroundRole())
        area.setMinimumWidth(200)
        area.setWidget(holder)
        self.rows.addWidget(area, 1)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write the first sentences after the first picture, since they ask for the whole car."""
        super().paintEvent(event)
        if not self.is_begun:
            self.is_begun = True
            QTimer.singleShot(AFTER_PAINT, self, self._follow)

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
            self.words.setText(self._line(words, "wrong", ""))
        elif (study := self.session.whole_study()) is not None:
            sentence_list = all_sentences(study, self.session.car(), decimal_sign())
            lines = [
                self._line(sentence.text, sentence.severity, sentence.result_key)
                for sentence in sentence_list
            ]
            unbuilt = "".join(self._unbuilt())
            lines = lines or [self._line(self._nothing(), "plain", "")]
            self.words.setText(unbuilt + "".join(lines))

    def _unbuilt(self) -> Iterator[str]:
        """Yield that another end can't be built, which leaves it out of what is told here."""
        for title, why in self.session.unbuilt().items():
            reason = geometry_words(why, self.session.units, decimal_sign())
            words = f"The {title.lower()} as proposed can't be built, and nothing here counts it"
            yield self._line(f"{words}: {reason}", "wrong", "")

    def _nothing(self) -> str:
        study = self.session.study
        if study is None or study.changed:
            return "Nothing that a specialist would notice changes."
        if any(change.on for change in study.setup.changes):
            return f"No change that is on concerns the {self.session.system.key}."
        return "No change is on: the car is as it was measured."

    def _line(self, text: str, severity: Severity, key: str) -> str:
        ink = self.inks.accent if severity == "wrong" else self.inks.ink
        weight = 700 if severity == "wrong" else 400
        sign = f'<span style="color:{self.inks.accent}">{SIGNS[severity]}</span>'
        words = f"{sign}{escape(one_line(text))}"
        if key:
            words = f'<a href="{key}" style="color:{ink};text-decoration:none">{words}</a>'
        return f'<p style="margin:0 0 5px 0;color:{ink};font-weight:{weight}">{words}</p>'

    def full_height(self) -> int:
        """Return the height at which no sentence is out of view [px]."""
        head = self.head.sizeHint().height() + 18
        return head + self.words.heightForWidth(max(self.width() - 12, 200))

    def sizeHint(self) -> QSize:
        """Return the height of a few sentences."""
        return QSize(330, 230)
