"""Hop and tramp: four layouts of dampers in one table, why they differ, animated modes."""

from __future__ import annotations

from typing import Final

from PySide6.QtGui import QHideEvent
from PySide6.QtWidgets import QComboBox, QToolButton

from app.panels.bench.hop_words import layout_rows, mode_rows
from app.panels.bench.mode_player import ANY, PLAYS, ModePlayer
from app.panels.bench.rear_page import HOP, RearPage, row_of, said_label, section, show_words
from app.panels.figures import decimal_sign
from app.panels.lists.chosen_values import ChosenValues
from app.panels.shown_results import find_result, needs_words
from app.panels.text_table import TextTable
from app.panels.widgets import EDGE, FlatButton, small_label
from app.qt.border import fenced
from app.qt.spoken import name_list
from app.session.session import Session
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.hop import MODES, named_hops
from app.systems.rear.words.hop import LOW, how_sure, not_in_it, why_words
from geometry.modes.dampers import LAYOUTS
from geometry.modes.modes import MODE_NAMES

KEYS: Final = (
    *("rear.damper.rate", "rear.tyre_rate", "rear.axle.mass", "rear.axle.pitch_inertia"),
    *("rear.axle.roll_inertia", "rear.pack.eye_bush_rate", "rear.spring.rate"),
    *("rear.links.lower_rate", "rear.links.upper_rate", "rear.links.lateral_rate"),
)
RATIO: Final = "Damping ratio 1 just doesn't swing; ▼ below {} hardly dies out."
MIXED: Final = "* two modes share it: their mean frequency and the least of both damping ratios."


@fenced
class HopPage(RearPage):
    """Hop and tramp."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, HOP)
        self.layouts = TextTable("Damping by layout of the dampers")
        self.modes = TextTable("The modes as the dampers stand")
        self.why, self.lacking = said_label(), said_label(bold=True)
        self.linear = small_label("")
        self.linear.setContentsMargins(EDGE, 0, EDGE, 0)
        self.values = ChosenValues(session, KEYS, "Dampers, tyres and axle")
        self.player = ModePlayer(session)
        self.player.changed.connect(self._show_playing)
        self.plays = {mode: self._play_button(mode) for mode in MODES}
        self.layout_choice = QComboBox()
        self.layout_choice.addItems(["as they are", *LAYOUTS])
        name_list(self.layout_choice, "Where the dampers stand in the motion on the board")
        self.layout_choice.setProperty(PLAYS, ANY)
        self.layout_choice.currentIndexChanged.connect(self._choose_layout)
        play = small_label("On the board, slowed:")
        play.setWordWrap(False)
        self.fill(
            [
                self.lacking,
                self.layouts,
                self.why,
                row_of(play, *self.plays.values()),
                row_of(small_label("with the dampers"), self.layout_choice),
                self.linear,
            ],
            [
                section("What each mode is, as the dampers stand"),
                self.modes,
                section("Dampers, tyres and axle"),
                self.values,
            ],
        )

    def _play_button(self, mode: int) -> QToolButton:
        name = MODE_NAMES[mode]
        button = FlatButton(f"▶ {name}", f"Swing the axle on the board in its {name} mode")
        button.setCheckable(True)
        button.setProperty(PLAYS, mode)
        button.clicked.connect(lambda *_: self.player.turn(mode))
        return button

    def _choose_layout(self, row: int) -> None:
        """Swing with the dampers in another of the compared layouts."""
        self.player.layout = row - 1 if row else None

    def _show_playing(self) -> None:
        if self.player.mode is not None:
            self.board_wanted.emit()
        for mode, button in self.plays.items():
            playing = self.player.mode == mode
            button.setChecked(playing)
            button.setText(f"{'■' if playing else '▶'} {MODE_NAMES[mode]}")

    def hideEvent(self, event: QHideEvent) -> None:
        """Stop the animation when the page is left."""
        self.player.stop()
        super().hideEvent(event)

    def refresh(self, study: Study[RearAnswers]) -> None:
        """Show the modes, or what they lack."""
        hop, units = study.proposed.hop, self.session.units
        for part in (self.layouts, self.modes):
            part.setVisible(hop is not None)
        for mode, button in self.plays.items():
            button.setEnabled(hop is not None and mode in hop.known)
        show_words(self.lacking, "" if hop is not None else self._needs())
        show_words(self.why, "" if hop is None else why_words(hop, units, decimal_sign()))
        show_words(self.linear, "" if hop is None else _linear(study))
        if hop is None:
            self.player.stop()
            return
        self.layouts.show_rows(layout_rows(study))
        self.modes.show_rows(mode_rows(hop, units))

    def _needs(self) -> str:
        result = find_result(self.session, "hop_frequency")
        needs = needs_words(self.session, result) if result else ""
        return f"Hop and tramp {needs or 'need both dampers and their rate'}."


def _linear(study: Study[RearAnswers]) -> str:
    """Say what the figures are, and how far they can be believed."""
    hops = [hop for _, hop in named_hops(study)]
    ratio = RATIO.format(f"{LOW}".replace(".", decimal_sign()))
    return f"{not_in_it(hops)} {ratio} {how_sure(hops)} {MIXED}"
