"""Align: what the gauge read goes in, shims and turns come out; worked out beside the window."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Final

from PySide6.QtCore import QLocale, Qt, QTimer
from PySide6.QtGui import QAccessible, QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QDialogButtonBox,
    QLabel,
    QPushButton,
    QScrollArea,
    QSplitter,
    QStyle,
    QVBoxLayout,
    QWidget,
)

from app.desk.aligning_answer import AlignAnswer
from app.desk.aligning_fields import AlignFields
from app.document.ends import ALIGNED_END, of_end
from app.document.model import Setup
from app.document.typed_alignment import After, ReadAlignment, read_typed, typed_of
from app.judge.align_worker import AlignReply
from app.judge.aligning_work import adjusters_of, done_now, taken, without_alignment
from app.judge.alignment import Alignment
from app.judge.known_alignment import remember
from app.qt.border import fenced
from app.qt.spoken import spoken_as
from app.session.aligner import Aligner
from app.session.session import Session
from app.systems.every import LIMIT_KINDS
from geometry.errors import GeometryError

TITLE: Final = "Align the front"
STEP: Final = "adjusters, targets and readings"
WORK_STEP: Final = "alignment as a change"
WORKING: Final = "Working it out…"
MEND: Final = "Some entries on the left can't be read yet: see what stands under them."
NO_FRONT: Final = "This car's front isn't measured: there is nothing to align."
DROP: Final = "What was typed isn't kept yet. Press Cancel once more to drop it."
_BAR: Final = QStyle.PixelMetric.PM_ScrollBarExtent
_ENTRIES: Final = 74  # letters that a box with shim packs is wide
_ANSWER: Final = 72  # letters that the answer needs beside the entries
_WIDEST: Final = 16777215  # of a widget that may be as wide as it likes: Qt's own figure
_PAUSE: Final = 350  # ms after a key before the car is worked out
_EMPTY: Final = (
    "From what a gauge reads on the car to the shims that go in and the turns that are made, on "
    "both wheels."
)
_NEEDS: Final = {
    "adjusters": "Add what can be adjusted.",
    "aims": "Type what camber, caster or toe shall read, and within how much.",
    "gauge": "Type what the gauge reads. Without it the model's own angles are the start.",
}
_IS_CHANGE: Final = (
    "The car already has an alignment as a change; this begins without it. When that is done and "
    "the car gauged again, say so above the readings and type what is read now."
)


@fenced
class AlignDialog(QDialog):
    """Entries on the left, the answer on the right; kept with the car as one step."""

    def __init__(
        self, session: Session, parent: QWidget | None = None, aligner: Aligner | None = None
    ) -> None:
        super().__init__(parent)
        self.session, self.setup = session, session.history.value
        self.units, self.decimal = session.units, QLocale().decimalPoint()
        self.aligner = aligner or Aligner(self)
        self.alignment: Alignment | None = None
        self._asked: Setup | None = None
        self._is_warned = False
        self.start = typed_of(self.setup, self.units, self.decimal)
        self.setWindowTitle(TITLE)
        done = _done_now(self.setup)
        self.fields = AlignFields(self.setup, self.units, self.decimal, self.start, done)
        self.start = self.fields.typed  # what a field can't show is no change
        self.answer = AlignAnswer()
        self.answer.set_palette_name(str(QApplication.instance().property("paper") or "light"))  # type: ignore[union-attr]
        self.take = QPushButton("Take it as a &change")
        self.take.setAutoDefault(False)
        self.warning = QLabel(textFormat=Qt.TextFormat.PlainText)
        self._timer = QTimer(self, singleShot=True, interval=_PAUSE)
        self._lay_out()
        self._timer.timeout.connect(self.work_out)
        self.fields.changed.connect(self._follow)
        self.aligner.answered.connect(self._show)
        self.take.clicked.connect(self.take_change)
        self.work_out()

    def _lay_out(self) -> None:
        kinds = QDialogButtonBox.StandardButton
        self.buttons = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        self.buttons.button(kinds.Ok).setText("&Keep the entries")
        self.buttons.button(kinds.Ok).setAutoDefault(False)
        self.buttons.addButton(self.take, QDialogButtonBox.ButtonRole.ActionRole)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.warning.setWordWrap(True)
        self.warning.setStyleSheet("font-weight: bold")
        self.warning.hide()
        split = self.split = QSplitter(Qt.Orientation.Horizontal)
        entries, answer = _scrolled(self.fields, "Entries"), _scrolled(self.answer, "Answer")
        for part in (entries, answer):
            split.addWidget(part)
        self._entries = entries
        self.fields.gone_to.connect(partial(_bring, entries))
        split.setStretchFactor(1, 1)
        split.setChildrenCollapsible(False)
        layout = QVBoxLayout(self)
        for widget in (split, self.warning, self.buttons):
            layout.addWidget(widget, 1 if widget is split else 0)
        letter, line = self.fontMetrics().averageCharWidth(), self.fontMetrics().lineSpacing()
        room = self.screen().availableSize()
        wide = max(self.fields.minimumSizeHint().width(), _ENTRIES * letter)
        self._beside = wide + self.style().pixelMetric(_BAR), 3 * wide // 2
        self._narrow = self._beside[0] + _ANSWER * letter
        entries.setMinimumWidth(self._beside[0])
        entries.setMaximumWidth(self._beside[1])
        self.resize(min(170 * letter, room.width() - 40), min(46 * line, room.height() - 60))
        split.setSizes([entries.minimumWidth(), self.width()])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Lay the answer under the entries where there is no room for it beside them."""
        super().resizeEvent(event)
        is_narrow = event.size().width() < self._narrow
        if is_narrow == (self.split.orientation() is Qt.Orientation.Vertical):
            return
        self.split.setOrientation(
            Qt.Orientation.Vertical if is_narrow else Qt.Orientation.Horizontal
        )
        self._entries.setMaximumWidth(_WIDEST if is_narrow else self._beside[1])
        share = self.split.height() // 2 if is_narrow else self._beside[0]
        self.split.setSizes([share, (self.height() if is_narrow else self.width()) - share])

    # --- what is typed, and what comes of it ---

    def read(self) -> ReadAlignment:
        """Return the setup with what is typed."""
        typed = self.fields.typed
        if typed == self.start:
            return ReadAlignment(self.setup, {})
        return read_typed(self.setup, typed, self.units, LIMIT_KINDS, self.decimal)

    def _follow(self) -> None:
        self._is_warned = False
        self.warning.hide()
        self.take.setEnabled(False)
        self._timer.start()

    def work_out(self) -> None:
        """Ask for the alignment of what is typed, or say what is missing."""
        self._timer.stop()
        answer = self.read()
        self.fields.show_errors(answer.errors)
        self.take.setEnabled(False)
        if answer.errors:
            self._wait(MEND)
        elif needs := _needs(answer.setup):
            self._wait(needs)
        elif answer.setup == self._asked:  # typed there and back
            self.take.setEnabled(self.alignment is not None)
        else:
            self._asked = answer.setup
            self.answer.say(WORKING, keeps=True)
            self.aligner.ask(answer.setup, self.units, self.decimal)

    def _wait(self, words: str) -> None:
        """Show words in the place of an answer; one that is still awaited has no use."""
        self.aligner.stop()
        self._asked = self.alignment = None
        self.answer.say(words)

    def _show(self, reply: AlignReply) -> None:
        self.alignment = reply.alignment
        if reply.alignment is None:
            self._asked = None
            self.take.setEnabled(False)
            self.answer.say(reply.refusal)
            return
        remember(reply.alignment)
        self.answer.show_alignment(reply.alignment, self.units, self.decimal)
        is_before = not any(reply.alignment.gauged_amounts.values())
        if is_before and without_alignment(self.setup) is not self.setup:
            self.answer.say(_IS_CHANGE, keeps=True)
        self.take.setEnabled(not self._timer.isActive())

    # --- keeping it ---

    def accept(self) -> None:
        """Keep what is typed as one step; what can't be read is gone to."""
        answer = self._whole()
        if answer is not None:
            if answer != self.setup:
                self.session.commit(answer, STEP)
            self._close()

    def take_change(self) -> None:
        """Keep what is typed, and its outcome as a change that is on, as one step."""
        answer = self._whole()
        if answer is not None and self.alignment is not None and answer == self._asked:
            after = taken(self.alignment, answer)
            self.session.commit(after, WORK_STEP)
            words = "The alignment is a change that is on."
            if not any(change.aligns for change in after.changes):
                words = "Nothing is to be turned or shimmed: there is no change to take."
            self._close()
            self.session.said.emit(words)

    def _whole(self) -> Setup | None:
        answer = self.read()
        self.fields.show_errors(answer.errors)
        if answer.errors:
            self.fields.go_to(next(iter(answer.errors)))
            return None
        return answer.setup

    def _close(self) -> None:
        self.aligner.stop()
        super().accept()

    def reject(self) -> None:
        """Close; what was typed is dropped only when that was asked for twice."""
        if self.fields.typed != self.start and not self._is_warned:
            self._is_warned = True
            self.warning.setText(DROP)
            self.warning.show()
            return
        self.aligner.stop()
        super().reject()


def _done_now(setup: Setup) -> Mapping[str, After]:
    """Return what an alignment that is a change comes to; nothing where the car can't be built."""
    try:
        return {str(side): after for side, after in done_now(setup).items()}
    except GeometryError:
        return {}


def _needs(setup: Setup) -> str:
    """Return what is to be typed before anything can be worked out; nothing when enough is."""
    given_parts = {
        "adjusters": bool(adjusters_of(setup)),
        "aims": bool(of_end(ALIGNED_END, setup.aims)),
        "gauge": bool(of_end(ALIGNED_END, setup.gauge)),
    }
    if given_parts["adjusters"] and given_parts["aims"]:
        return ""
    steps = [words for name, words in _NEEDS.items() if not given_parts[name]]
    numbered = (f"{number}. {words}" for number, words in enumerate(steps, start=1))
    return "\n".join((_EMPTY, "", *numbered))


def _bring(area: QScrollArea, widget: QWidget) -> None:
    """Bring a widget into view once it has its place."""
    QTimer.singleShot(0, widget, lambda: area.ensureWidgetVisible(widget))


def _scrolled(part: QWidget, name: str) -> QScrollArea:
    area = QScrollArea()
    area.setWidget(part)
    area.setWidgetResizable(True)
    area.setAccessibleName(name)
    spoken_as(area, QAccessible.Role.Grouping)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return area
