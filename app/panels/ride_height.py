"""Where the proposal stands: left to its springs, or held; a choice of the setup."""

from __future__ import annotations

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QLabel, QToolButton, QWidget

from app.document.ends import key_in
from app.document.entries import parse_value
from app.document.heights import height_range, is_in_reach, reach_words
from app.document.model import AS_MEASURED, SETTLES
from app.document.units import number_of, unit_of
from app.panels.entry import EntryField
from app.panels.figures import decimal_sign, whole_length
from app.panels.quiet_line import QuietLine
from app.panels.shown_results import find_result, needs_words
from app.panels.widgets import FlatButton, small_label
from app.qt.spoken import one_of_several
from app.session.between_frames import Pace
from app.session.session import Session
from app.systems.height_words import LEVEL
from app.systems.standing import leaves_out_pitch

LONGEST: Final = "at the measured height: nothing carries the load"


class RideHeight(QWidget):
    """The choice between the springs and a held height, and what it comes to."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.settle = _switch("Settles", "Stands where its springs carry the same load")
        self.hold = _switch("Held", "Held at the measured height, by whatever the sheet then says")
        self.arch = EntryField(self._read)
        self.arch_label = QLabel("arch")
        self.words = QuietLine(small_label().font(), align=Qt.AlignmentFlag.AlignRight)
        self._lay_out()
        self.settle.clicked.connect(lambda: session.choose_height(SETTLES))
        self.hold.clicked.connect(lambda: session.choose_height(AS_MEASURED))
        self.arch.editingFinished.connect(self._enter)
        self._pace = Pace(session, self._follow, self)
        for signal in (session.study_changed, session.pose_changed):
            signal.connect(self._pace.follow)
        for signal in (session.units_changed, session.setup_changed):
            signal.connect(self._follow)
        self._follow()

    def give_room(self, most: int) -> None:
        """Take the width that the longest sentence needs, but no more than `most` [px]."""
        longest = self.words.fontMetrics().horizontalAdvance(LONGEST) + 12
        self.words.setMinimumWidth(min(longest, most))

    def _lay_out(self) -> None:
        self.arch.setAccessibleName("Height, wheel centre to arch lip")
        self.arch.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.arch.setFixedWidth(self.arch.fontMetrics().horizontalAdvance("000.00") + 16)
        self.arch.setToolTip("Wheel centre to arch lip: type a height to hold the car there")
        self.arch_label.setBuddy(self.arch)
        group = QButtonGroup(self)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(2)
        grid.setVerticalSpacing(0)
        for column, button in enumerate((self.settle, self.hold)):
            group.addButton(button)
            grid.addWidget(button, 0, column)
        grid.setColumnStretch(2, 1)
        grid.addWidget(self.arch_label, 0, 3)
        grid.addWidget(self.arch, 0, 4)
        grid.addWidget(self.words, 1, 0, 1, 5)

    def _measured_arch(self) -> float | None:
        value = self.session.setup.evidence.get(key_in(self.session.system.key, "arch_height"))
        return value if isinstance(value, float) else None

    def _follow(self) -> None:
        chosen = self.settle if self.session.height == SETTLES else self.hold
        if not chosen.isChecked():
            chosen.setChecked(True)
        stands, arch = self.session.stands(), self._measured_arch()
        for part in (self.arch, self.arch_label):
            part.setVisible(arch is not None)
        if arch is not None and not (self.arch.hasFocus() and self.arch.is_changed):
            height, units = arch - (stands or 0.0), self.session.units
            places = 0 if units == "mm" else 2
            number = number_of(height, "length", units, places=places, decimal=decimal_sign())
            self.arch.show_text(number)
        self._show_words(stands)

    def _show_words(self, stands: float | None) -> None:
        result = find_result(self.session, "settled_travel")
        lacking = needs_words(self.session, result) if result and stands is None else ""
        tip = "Stands where its springs carry the same load"
        tip = f"{tip}\n{lacking}" if lacking else tip
        if tip != self.settle.toolTip():
            self.settle.setToolTip(tip)
        self.words.show_text(stands_words(stands, self.session))

    def _read(self, text: str) -> float:
        return parse_value(text, "length", self.session.units, decimal=decimal_sign())

    def _enter(self) -> None:
        """Hold the car at the height that was typed, or say why that can't be."""
        reach = height_range(self.session.setup.evidence, self.session.system.key)
        if not self.arch.is_changed or reach is None:
            return
        words = self.arch.fault()
        if not words:
            height = self._read(self.arch.text())
            if is_in_reach(height, reach):
                self.arch.show_text("")
                self.session.choose_height(height)
                self._follow()
                return
            units = self.session.units
            nearest = reach_words(height, reach, units)[1].replace(".", decimal_sign())
            words = f"Beyond the stops: {nearest} {unit_of('length', units)} is the nearest."
        self.arch.complain(words)
        self.session.said.emit(words)


def stands_words(stands: float | None, session: Session) -> str:
    """Return where the proposal stands, in words."""
    if session.study is None:
        return ""
    if stands is None:
        why = "nothing carries the load" if session.study.settles_nowhere else "weights not given"
        return f"at the measured height: {why}"
    length, tips = whole_length(stands, session.units), _tips(session)
    if length.startswith(("0 ", f"0{decimal_sign()}00 ")):
        return f"stands where it was{tips}"
    return f"stands {length} {'lower' if stands > 0 else 'higher'}{tips}"


def _tips(session: Session) -> str:
    """Return how the body tips, which turns angles in side view."""
    if session.study is not None and leaves_out_pitch(session.study):
        return ", pitch not known"
    pitch = 0.0 if session.study is None else session.study.proposed.stand.pitch
    if abs(pitch) < LEVEL:
        return ""
    angle = number_of(abs(pitch), "angle", session.units, places=1, decimal=decimal_sign())
    return f", {angle}° nose {'down' if pitch > 0 else 'up'}"


def _switch(words: str, tip: str) -> QToolButton:
    button = FlatButton(words, tip)
    button.setAccessibleName(words)
    one_of_several(button)
    return button
