"""The axle under torque: its turn, eye loads, traction bars, and the S on the board."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtCore import QSignalBlocker
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QCheckBox, QComboBox

from app.panels.bench.figure import Figure
from app.panels.bench.pair_rows import pair_rows
from app.panels.bench.rear_page import TWIST, RearPage, row_of, said_label, section, show_words
from app.panels.bench.twist_words import (
    headline,
    pinion_table,
    step_rows,
    twist_chart,
    twist_pairs,
    warnings,
)
from app.panels.figures import whole_length
from app.panels.lists.chosen_values import ChosenValues
from app.panels.shown_results import find_result, needs_words
from app.panels.text_table import TextTable
from app.panels.widgets import EDGE, small_label
from app.qt.border import fenced
from app.qt.spoken import FigureSlider, name_list
from app.session.session import Session
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers

KEYS: Final = (
    *("rear.traction_bar.length", "rear.traction_bar.gap", "rear.traction_bar.stiffness"),
    *("rear.drive.engine_torque", "rear.drive.gear", "rear.drive.final_drive"),
    *("rear.drive.efficiency", "rear.drive.grip", "rear.axle.pinion_angle"),
)
BARS: Final = KEYS[:3]
FACTORS: Final = (1, 2, 3, 5, 10)
LINEAR: Final = (
    "The springs are taken as linear and the load as held. Where a load is reversed the half is "
    "softer than shown. Check propshaft plunge, joint angles and brake hose wound up both ways."
)


@fenced
class TwistPage(RearPage):
    """Wind-up."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, TWIST)
        self.head, self.warning, self.bars = said_label(bold=True), said_label(True), said_label()
        self.figure = Figure("Torque and rotation", 230)
        self.steps = TextTable("The axle in steps up to full drive")
        self.pairs = TextTable("The axle under torque")
        self.pinion = TextTable("Pinion and propshaft")
        self.values = ChosenValues(session, KEYS, "Traction bars and drive")
        note = small_label(LINEAR)
        note.setContentsMargins(EDGE, 0, EDGE, 0)
        self._make_display()
        self.fill(
            [
                self.head,
                self.figure,
                row_of(self.draws, self.factor),
                row_of(self.thrust, self.thrust_words),
                self.warning,
                self.bars,
                section("Traction bars and drive"),
                self.values,
            ],
            [
                section("Under torque"),
                self.steps,
                self.pairs,
                section("Pinion and propshaft, + nose up"),
                self.pinion,
                note,
            ],
        )
        session.study_changed.connect(self._show_display)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the curve and its switches in view together."""
        super().resizeEvent(event)
        self.figure.setFixedHeight(min(max(self.height() - 110, 130), 260))

    def _make_display(self) -> None:
        """Make the switch and the slider of the springs' S shape that is drawn on the board."""
        self.draws = QCheckBox("Draw the S on the board, its bend")
        self.factor = QComboBox()
        self.factor.addItems([f"×{factor}" for factor in FACTORS])
        self.factor.setCurrentIndex(FACTORS.index(3))
        name_list(self.factor, "How many times larger the bend is drawn")
        self.thrust = FigureSlider("Thrust of the S, from full braking to full drive, %", 1.0)
        self.thrust.setRange(-100, 100)
        self.thrust.setValue(100)
        self.thrust.setPageStep(25)
        self.thrust.setMinimumWidth(150)
        self.thrust_words = small_label()
        self.thrust_words.setWordWrap(False)
        self.draws.toggled.connect(lambda *_: self._display())
        self.factor.activated.connect(lambda *_: self._display())
        self.thrust.valueChanged.connect(lambda *_: self._slide())

    def _slide(self) -> None:
        """Draw the springs' S shape as soon as its thrust is chosen."""
        with QSignalBlocker(self.draws):
            self.draws.setChecked(self.thrust.value() != 0)
        self._display()

    def _display(self) -> None:
        share = self.thrust.value() / 100.0 if self.draws.isChecked() else 0.0
        factor = float(FACTORS[self.factor.currentIndex()])
        display = replace(self.session.overlay, thrust=share, exaggeration=factor)
        if share:
            display = replace(display, mode=None)
            self.board_wanted.emit()
        self.session.lay_over(display)
        self._show_display()

    def _show_display(self) -> None:
        """Follow what is drawn on the board."""
        share = self.session.overlay.thrust
        with QSignalBlocker(self.draws), QSignalBlocker(self.thrust):
            self.draws.setChecked(bool(share))
            if share:
                self.thrust.setValue(round(100 * share))
        place = self.thrust.value()
        way = "driving" if place > 0 else "braking" if place < 0 else "none"
        words = f"{abs(place)} % of full {way}" if place else "no thrust"
        if words != self.thrust_words.text():
            self.thrust_words.setText(words)

    def refresh(self, study: Study[RearAnswers]) -> None:
        """Show what torque does."""
        units = self.session.units
        result = find_result(self.session, "wind_up_full")
        needs = needs_words(self.session, result) if result else ""
        show_words(self.head, headline(study.proposed, units) or _sentence(needs))
        show_words(self.warning, "\n".join(f"■ {words}" for words in warnings(study)))
        show_words(self.bars, self._bars_lacking() or self._bar_length(study))
        self.figure.show_chart(twist_chart(study, units, needs))
        self.steps.show_rows(step_rows(study, units))
        self.pairs.show_rows(pair_rows(twist_pairs(study), units))
        self.pinion.show_rows(pinion_table(study, units))
        has_twist = study.proposed.twist is not None
        for part in (self.draws, self.factor, self.thrust):
            part.setEnabled(has_twist)
        self._show_display()

    def _bars_lacking(self) -> str:
        """Name the missing values of a traction bar that is given in part."""
        proposed = self.values.values.proposed
        given_keys = [key for key in BARS if key in proposed]
        if len(given_keys) in (0, len(BARS)):
            return ""
        names = {BARS[0]: "length", BARS[1]: "gap", BARS[2]: "snubber rate"}
        lacking = [names[key] for key in BARS if key not in proposed]
        if lacking == ["length"] and "rear.bar_snubber" in proposed:
            return ""
        return f"The traction bars aren't counted yet: they need {' and '.join(lacking)}."

    def _bar_length(self, study: Study[RearAnswers]) -> str:
        """Say how long the bars are by their points, where no length is given."""
        leaf = study.proposed.leaf
        bars = None if leaf is None else leaf.bars
        if bars is None or BARS[0] in self.values.values.proposed:
            return ""
        length = whole_length(bars.length, self.session.units)
        return f"By their points the traction bars are {length} long, centre bolt to snubber."


def _sentence(needs: str) -> str:
    return f"Full drive {needs}." if needs else ""
