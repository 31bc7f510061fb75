"""What parts take up, and how near two may come: typed beside the window, kept as one step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.desk.clearing.pair_form import PairForm
from app.desk.clearing.part_form import PICKING, PartForm
from app.desk.clearing.roll import Roll
from app.document.address import left_of
from app.document.clearances import TYRE
from app.document.ends import end_of
from app.document.model import Setup
from app.document.typed_clearances import (
    CAR_TYRE,
    Field,
    ReadSpaces,
    TypedClearance,
    TypedEnvelope,
    TypedSpaces,
    has_car_tyre,
    in_other_units,
    read_spaces,
    typed_spaces,
)
from app.panels.lists.clearance_rows import least_words
from app.panels.widgets import head_label
from app.qt.border import fenced

if TYPE_CHECKING:
    from app.desk.window import Window

TITLE: Final = "Clearances"
STEP: Final = "clearances"
KEPT: Final = "Kept with the car. Undo takes it back."
OPEN: Final = "What was typed isn't kept yet."
DROP: Final = "What was typed isn't kept yet. Close once more to drop it."
MEND: Final = "Some of it can't be read yet: see ▲ in the lists."
UNREAD: Final = "What is typed under Clearances can't be read yet, and isn't kept with the car."
NOTHING_ELSE: Final = "A clearance needs two parts: add another one above."
_HOW: Final = (
    "A part that must stay clear is a line with a size about it, from the drawing's points or from "
    "places that were measured. What is kept stands on the drawing, with what is free there."
)
_NEW: Final = "Part {}"


@fenced
class ClearancesWindow(QDialog):
    """Stands beside the window, which stays in use: points are picked on its drawing."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self.window_ = window
        self.session, self.decimal = window.session, QLocale().decimalPoint()
        self.units = self.session.units
        self.drafts: dict[str, TypedSpaces] = {}  # by end: what is typed and not kept yet
        self.typed, self.errors = TypedSpaces(), dict[Field, str]()
        self._pick, self._seen, self._is_warned = "", self.session.history.value, False
        self.setWindowTitle(TITLE)
        self.parts = Roll("Parts", "&Add a part", "&Remove it")
        self.pairs = Roll("Pairs that must stay apart", "Add a &pair", "Remo&ve it")
        self.part, self.pair = PartForm(), PairForm()
        self.says = QLabel(textFormat=Qt.TextFormat.PlainText, wordWrap=True)
        self.keep, self.leave = QPushButton("&Keep with the car"), QPushButton("Close")
        self.keep.setDefault(True)
        self.leave.setAutoDefault(False)
        self._lay_out()
        self._connect(window)
        self.fill()

    def _lay_out(self) -> None:
        self.end_head = head_label("")
        how = QLabel(_HOW, textFormat=Qt.TextFormat.PlainText, wordWrap=True)
        body, grid = QWidget(), QGridLayout()
        body.setLayout(grid)
        grid.setColumnStretch(0, 2)
        grid.setColumnStretch(1, 3)
        grid.setHorizontalSpacing(16)
        grid.addWidget(self.end_head, 0, 0, 1, 2)
        grid.addWidget(self.parts, 1, 0)
        grid.addWidget(self.part, 1, 1, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(head_label("Pairs that must stay apart"), 2, 0, 1, 2)
        grid.addWidget(self.pairs, 3, 0)
        grid.addWidget(self.pair, 3, 1, Qt.AlignmentFlag.AlignTop)
        grid.setRowStretch(1, 3)
        grid.setRowStretch(3, 2)
        area = QScrollArea()
        area.setWidget(body)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)  # what is in it has it
        ending = QHBoxLayout()
        ending.addWidget(self.says, 1)
        ending.addWidget(self.leave)
        ending.addWidget(self.keep)
        layout = QVBoxLayout(self)
        layout.addWidget(how)
        layout.addWidget(area, 1)
        layout.addLayout(ending)
        letter, line = self.fontMetrics().averageCharWidth(), self.fontMetrics().lineSpacing()
        room = self.screen().availableSize()
        self.resize(min(110 * letter, room.width() - 40), min(47 * line, room.height() - 60))

    def _connect(self, window: Window) -> None:
        session = self.session
        self.parts.chosen.connect(self._show)
        self.pairs.chosen.connect(self._show)
        self.parts.add.clicked.connect(self.add_part)
        self.pairs.add.clicked.connect(self.add_pair)
        self.parts.take_away.clicked.connect(self.take_part_away)
        self.pairs.take_away.clicked.connect(self.take_pair_away)
        self.part.changed.connect(self._take_part)
        self.pair.changed.connect(self._take_pair)
        self.part.pick_asked.connect(self._ask_point)
        self.keep.clicked.connect(self.keep_it)
        self.leave.clicked.connect(self.close)
        session.selection_changed.connect(self._take_point)
        session.setup_changed.connect(self._follow)
        session.study_completed.connect(self._show)
        session.system_changed.connect(self.fill)
        session.units_changed.connect(self._take_units)
        session.opened.connect(self._take_other_car)
        window.filing.letting_go.connect(self._let_go)

    # --- what is shown ---

    @property
    def end(self) -> str:
        """The end of the car that is shown."""
        return self.session.system.key

    def fill(self) -> None:
        """Show what is typed of the end that the window shows, or else what the car has."""
        self._seen = self.session.history.value
        self.typed = self.drafts.get(self.end) or self._of_the_car(self.end)
        self.part.take_car(self._seen, self.end, self.units)
        self.end_head.setText(f"Parts of the {self.end}")
        self._read()
        self._show(place=0)

    def _of_the_car(self, end: str) -> TypedSpaces:
        return typed_spaces(self.session.history.value, end, self.units, self.decimal)

    def _read(self) -> None:
        """Read what is typed, and say how it stands."""
        read = read_spaces(
            self.session.history.value, self.end, self.typed, self.units, self.decimal
        )
        self.errors = dict(read.errors)
        if self.typed == self._of_the_car(self.end):
            self.drafts.pop(self.end, None)
        else:
            self.drafts[self.end] = self.typed
        self._is_warned = False
        self.says.setText(MEND if self.errors else OPEN if self.drafts else "")

    def _show(self, *_: object, place: int | None = None, pair: int | None = None) -> None:
        """Show lists and fields; `place` and `pair` are chosen where they are given."""
        typed = self.typed
        places = [max(self.parts.place, 0) if place is None else place]
        places.append(max(self.pairs.place, 0) if pair is None else pair)
        names = [_part_name(each) for each in typed.envelopes]
        self.parts.show_names(names, self._doubtful("envelope", len(names)), places[0])
        pairs = [self._pair_name(each) for each in typed.clearances]
        self.pairs.show_names(pairs, self._doubtful("clearance", len(pairs)), places[1])
        self.pairs.add.setEnabled(len(self._parts()) > 1)
        self.pairs.add.setToolTip("" if self.pairs.add.isEnabled() else NOTHING_ELSE)
        self.pair.take_parts(self._parts(), self.units)
        at, of_pair = self.parts.place, self.pairs.place
        part = typed.envelopes[at] if at >= 0 else None
        self.part.show_part(part, self._errors("envelope", at))
        clearance = typed.clearances[of_pair] if of_pair >= 0 else None
        says = self._least(of_pair) if clearance is not None else ""
        self.pair.show_pair(clearance, self._errors("clearance", of_pair), says)

    def _errors(self, table: str, place: int) -> Mapping[str, str]:
        return {n: w for (t, p, n), w in self.errors.items() if (t, p) == (table, place)}

    def _doubtful(self, table: str, count: int) -> list[bool]:
        wrong = {place for name, place, _ in self.errors if name == table}
        return [place in wrong for place in range(count)]

    def _parts(self) -> list[tuple[str, int]]:
        """Return what a pair may name: the parts, and the car's tyre unless a part is called so."""
        named_places = [(each.name, place) for place, each in enumerate(self.typed.envelopes)]
        is_named = any(name == TYRE for name, _ in named_places)
        has_tyre = has_car_tyre(self.session.history.value, self.end) and not is_named
        return [(TYRE, CAR_TYRE), *named_places] if has_tyre else named_places

    def _pair_name(self, typed: TypedClearance) -> str:
        names = {place: name for name, place in self._parts()}
        return " to ".join(names.get(place, TYRE) for place in typed.between)

    def _least(self, place: int) -> str:
        """Say how near a pair comes over all poses, once it is kept as it stands here."""
        return "" if self.end in self.drafts else least_words(self.session, place)

    # --- what is typed ---

    def _put(self, typed: TypedSpaces, place: int | None = None, pair: int | None = None) -> None:
        self.typed = typed
        self._read()
        self._show(place=place, pair=pair)

    def _take_part(self) -> None:
        at, envelopes = self.parts.place, list(self.typed.envelopes)
        envelopes[at] = self.part.shown
        self._put(replace(self.typed, envelopes=tuple(envelopes)))

    def _take_pair(self) -> None:
        at, clearances = self.pairs.place, list(self.typed.clearances)
        clearances[at] = self.pair.shown
        self._put(replace(self.typed, clearances=tuple(clearances)))

    def add_part(self) -> None:
        """Add a part, to be named and placed."""
        names = {each.name for each in self.typed.envelopes}
        numbers = range(1, len(names) + 2)
        name = next(_NEW.format(n) for n in numbers if _NEW.format(n) not in names)
        envelopes = (*self.typed.envelopes, TypedEnvelope(name))
        self._put(replace(self.typed, envelopes=envelopes), place=len(envelopes) - 1)
        self.part.name.setFocus()
        self.part.name.selectAll()

    def take_part_away(self) -> None:
        """Take the chosen part away, and the pairs that it is in."""
        if self.parts.place >= 0:
            self._put(self.typed.without_envelope(self.parts.place))

    def add_pair(self) -> None:
        """Add a pair that isn't there yet: the chosen part with another one."""
        parts = [place for _, place in self._parts()]
        paired = {frozenset(each.between) for each in self.typed.clearances}
        first = self.parts.place if self.parts.place in parts else parts[0]
        free = [n for n in parts if n != first and frozenset((first, n)) not in paired]
        second = free[0] if free else next(n for n in parts if n != first)
        clearances = (
            *self.typed.clearances,
            TypedClearance((min(first, second), max(first, second))),
        )
        self._put(replace(self.typed, clearances=clearances), pair=len(clearances) - 1)
        self.pair.ends[0].setFocus()

    def take_pair_away(self) -> None:
        """Take the chosen pair away; its parts stay."""
        at, clearances = self.pairs.place, self.typed.clearances
        if at >= 0:
            self._put(replace(self.typed, clearances=(*clearances[:at], *clearances[at + 1 :])))

    # --- points of the drawing ---

    def _ask_point(self, end: str) -> None:
        """Wait for the next point that is chosen on the drawing."""
        self._pick = end
        if end:
            self.session.select(())
            self.says.setText(PICKING)
            self.window_.activateWindow()
        else:
            self._read()

    def _take_point(self) -> None:
        keys = [left_of(key) for key in self.session.selection]
        keys = [key for key in keys if end_of(key) == self.end and key in self._seen.evidence]
        if self._pick and keys:
            end, self._pick = self._pick, ""
            self.part.take_point(end, keys[0], self._seen, self.units, self.decimal)
            self.activateWindow()

    # --- keeping it ---

    def _whole(self) -> ReadSpaces | None:
        """Return the setup with what is typed of both ends; None where some can't be read."""
        setup = self.session.history.value
        for end, typed in self.drafts.items():
            read = read_spaces(setup, end, typed, self.units, self.decimal)
            if read.errors:
                return None
            setup = read.setup
        return ReadSpaces(setup, {})

    def keep_it(self) -> None:
        """Keep what is typed as one step; what can't be read is gone to."""
        read = self._whole()
        if read is None:
            self._go_to_first_error()
            return
        if self._commit(read.setup):
            self.says.setText(KEPT)

    def _commit(self, setup: Setup) -> bool:
        """Commit what was read, and show it as the car has it now."""
        self.drafts.clear()
        is_new = setup != self.session.history.value
        if is_new:
            self.session.commit(setup, STEP)
        return is_new

    def _go_to_first_error(self) -> None:
        if not self.errors:  # they are at the end that isn't shown
            self.says.setText(f"{MEND} They are at the other end of the car.")
            return
        table, place, field = next(iter(self.errors))
        is_part = table == "envelope"
        self._show(place=place if is_part else None, pair=None if is_part else place)
        (self.part if is_part else self.pair).field_of(field).setFocus()

    def _let_go(self) -> None:
        """Keep what is typed before the car is saved, printed or left."""
        if self.drafts:
            read = self._whole()
            if read is None:
                self.session.said.emit(UNREAD)
            else:
                self._commit(read.setup)

    # --- what else happens ---

    def _follow(self) -> None:
        """Follow steps of others; what is typed stays."""
        if self.session.preview_setup is None and self.session.history.value is not self._seen:
            places = max(self.parts.place, 0), max(self.pairs.place, 0)
            self.fill()
            self._show(place=places[0], pair=places[1])

    def _take_units(self) -> None:
        """Show what is typed in the units that are shown now."""
        before, self.units = self.units, self.session.units
        self.drafts = {
            end: in_other_units(typed, before, self.units, self.decimal)
            for end, typed in self.drafts.items()
        }
        self.fill()

    def _take_other_car(self) -> None:
        self.drafts.clear()
        self.fill()

    def reject(self) -> None:
        """End picking a point, or close; what was typed is dropped only when asked for twice."""
        if self._pick:
            self.part.picks[self._pick].setChecked(False)
        elif self._may_close():
            super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close as by Escape; a point isn't waited for any more."""
        if self._pick:
            self.part.picks[self._pick].setChecked(False)
        super().closeEvent(event)

    def _may_close(self) -> bool:
        if self.drafts and not self._is_warned:
            self.says.setText(DROP)
            self._is_warned = True
            return False
        self.drafts.clear()
        self.fill()
        return True


def _part_name(typed: TypedEnvelope) -> str:
    return typed.name if typed.name == typed.kind else f"{typed.name}: {typed.kind}"


def show_clearances(window: Window) -> None:
    """Open the window of clearances beside the window, or bring it up."""
    clearances_window = window.findChild(ClearancesWindow) or ClearancesWindow(window)
    if clearances_window.isHidden():
        clearances_window.fill()
        place = window.geometry()
        clearances_window.move(
            place.left() + 8, max(place.bottom() - clearances_window.height() - 8, 0)
        )
    clearances_window.show()
    clearances_window.activateWindow()
