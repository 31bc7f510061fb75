"""The leaf pack: the stack drawn and typed, its rate, stress, curve of load and cutting list."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from PySide6.QtCore import QTimer
from PySide6.QtGui import QResizeEvent

from app.document.quantities import INCH
from app.panels.bench.figure import Figure
from app.panels.bench.pack_stack import LOW, PackStack
from app.panels.bench.pack_view import PackView
from app.panels.bench.pack_words import (
    band_words,
    change_words,
    cutting_rows,
    load_chart,
    pack_pairs,
    rate_words,
    stress_note,
    what_if_words,
)
from app.panels.bench.pair_rows import pair_rows
from app.panels.bench.rear_page import (
    PACK,
    RearPage,
    beside,
    row_of,
    said_label,
    section,
    show_words,
    word_button,
)
from app.panels.figures import decimal_sign
from app.panels.lists.chosen_values import ChosenValues
from app.panels.shown_results import find_result, needs_words
from app.panels.text_table import TextTable
from app.panels.widgets import EDGE, small_label
from app.qt.border import fenced
from app.session.session import Session
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.leaf import fitted_leaf
from app.systems.rear.pack_edits import Leaves, can_move, can_remove, pack_of, removed
from app.systems.rear.pack_whatif import compared, pack_state, with_leaves
from geometry.leaf.rear import LeafRear

KEYS: Final = (
    *("rear.pack.width", "rear.pack.modulus", "rear.pack.clamp_length", "rear.pack.free_arch"),
    *("rear.pack.friction", "rear.pack.limit_stress", "rear.pack.front_eye", "rear.pack.rear_eye"),
    *("rear.pack.eye_diameter", "rear.block", "rear.wedge", "rear.shackle_length"),
)
PAUSE: Final = 120  # ms after the last edit until it is worked out what a leaf is worth
THINNER: Final = 0.5  # mm: the step of common bar


@fenced
class PackPage(RearPage):
    """The leaf editor."""

    def __init__(self, session: Session) -> None:
        super().__init__(session, PACK)
        self.table = PackView(session)
        self.stack = PackStack(session, self.table.pack)
        self.rate = said_label(bold=True, size=1.15)
        self.band, self.caption = small_label(), small_label()
        for label in (self.band, self.caption):
            label.setContentsMargins(EDGE, 0, EDGE, 0)
        self.change, self.what_if, self.thinner = said_label(), said_label(), said_label()
        self.pairs, self.cutting = TextTable("The pack's figures"), TextTable("Cutting list")
        self.figure = Figure("Load and deflection of one spring")
        self.values = ChosenValues(session, KEYS, "Steel, seat, eyes and shackle")
        self._make_buttons()
        copy = word_button("copy", "Copy the cutting list (Ctrl+C in the table)", self.cutting.copy)
        self.rate.setWordWrap(False)
        words = [beside(self.rate, self.band), self.change, self.stack]
        table = [row_of(*self.buttons.values()), self.table, self.caption]
        self.fill(
            [*words, *table, self.what_if, self.thinner, section("Figures"), self.pairs],
            [
                section("Load and deflection"),
                self.figure,
                section("Steel, seat, eyes and shackle"),
                self.values,
                section("Cutting list, both springs", copy),
                self.cutting,
            ],
        )
        self.shares = (5, 4)
        self._later = QTimer(self, singleShot=True, interval=PAUSE)
        self._later.timeout.connect(self._ask_what_if)
        session.setup_changed.connect(self._take_leaves)
        self.stack.leaf_chosen.connect(self._choose)
        self.table.leaf_chosen.connect(self._chosen)
        self._chosen(self.table.leaf)

    def _make_buttons(self) -> None:
        table = self.table
        self.buttons = {
            "add": word_button("+ leaf", "Add a leaf under the chosen one (Insert)", table.add),
            "remove": word_button("− leaf", "Take the chosen leaf out (Delete)", table.remove),
            "up": word_button("up", "Move it up (Alt+Up)", lambda: table.shift(-1)),
            "down": word_button("down", "Move it down (Alt+Down)", lambda: table.shift(1)),
            "clip": word_button("clip", "Clip it to the main leaf, or not", table.clip),
        }

    def _take_leaves(self) -> None:
        """Show the typed pack, even one that can't be built; its effects are updated later."""
        pack = self.table.pack
        if self.isVisible() and pack_of(self.session.setup) != pack.leaves:
            pack.follow()

    def _choose(self, leaf: int) -> None:
        self.table.choose(leaf)
        self.table.setFocus()

    def _chosen(self, leaf: int) -> None:
        """Follow the chosen leaf."""
        self.stack.choose(leaf)
        self._enable()
        self._later.start()

    def _enable(self) -> None:
        leaves, leaf = self.table.pack.leaves, self.table.leaf
        self.buttons["add"].setEnabled(bool(leaves))
        self.buttons["remove"].setEnabled(can_remove(leaves, leaf))
        self.buttons["up"].setEnabled(can_move(leaves, leaf, leaf - 1))
        self.buttons["down"].setEnabled(can_move(leaves, leaf, leaf + 1))
        self.buttons["clip"].setEnabled(0 < leaf < len(leaves))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the drawing to the height of the page."""
        super().resizeEvent(event)
        self.stack.suit(self.height())
        place = self.left.indexOf(self.thinner) if self.height() < LOW else 2
        if (self.left.indexOf(self.stack) > 2) != (self.height() < LOW):
            self.left.insertWidget(place, self.stack)

    def refresh(self, study: Study[RearAnswers]) -> None:
        """Show what the pack does."""
        fitted, was = study.proposed.leaf, study.measured.leaf
        self.table.pack.follow()
        self._enable()
        if fitted is None:
            return
        units, state = self.session.units, pack_state(fitted)
        before = pack_state(was) if was is not None else None
        self.rate.setText(rate_words(state, units))
        self.band.setText(f"{band_words(state, units)}{self._needs()}")
        show_words(self.change, change_words(before or state, state, units))
        self.caption.setText(stress_note(units, fitted.car.pack.limit))
        self.pairs.show_rows(pair_rows(pack_pairs(study, before, state), units))
        self.figure.show_chart(load_chart(study, state, units))
        self.cutting.show_rows(cutting_rows(fitted.car.pack, units))
        self._later.start()

    def _ask_what_if(self) -> None:
        """Say what the chosen leaf contributes; during a drag this is updated late."""
        study = self.session.study
        fitted = fitted_leaf(study)
        leaves, leaf = pack_of(self.session.setup), self.table.leaf
        if fitted is None or leaf >= len(leaves) or not self.table.pack.is_studied:
            show_words(self.what_if, "")
            show_words(self.thinner, "")
            return
        name = f"leaf {leaf + 1}" if leaf else "the main leaf"
        without = "The main leaf carries the eyes: it can't be left out."
        if can_remove(leaves, leaf):
            without = self._worth(f"Without {name}", fitted, removed(leaves, leaf).leaves)
        show_words(self.what_if, without)
        thin = replace(leaves[leaf], thickness=leaves[leaf].thickness - self._step())
        words = ""
        if thin.thickness > 0:
            other = (*leaves[:leaf], thin, *leaves[leaf + 1 :])
            by = f"0{decimal_sign()}5 mm" if self.session.units == "mm" else "1/32 in"
            words = self._worth(f"With {name} thinner by {by}", fitted, other)
        show_words(self.thinner, words)

    def _needs(self) -> str:
        """Say what is lacking to know the pack on the car."""
        result = find_result(self.session, "static_deflection")
        needs = needs_words(self.session, result) if result else ""
        return f" On the car it {needs}." if needs else ""

    def _step(self) -> float:
        return THINNER if self.session.units == "mm" else INCH / 32

    def _worth(self, start: str, fitted: LeafRear, leaves: Leaves) -> str:
        other = with_leaves(self.session.setup, leaves, fitted)
        if other is None:
            return ""
        difference = compared(pack_state(fitted), pack_state(other))
        return what_if_words(start, difference, self.session.units)
