"""What may move, and how far: a row a way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedWidget, QWidget

from app.desk.finding.choices import Choice, thing_choices, thing_title
from app.desk.finding.rows import GAP, LONG, UNIT, Row, Rows, choose, chosen, put_text, unit_label
from app.document.keys import is_point
from app.document.plans import Room
from app.document.units import unit_of
from app.judge.asked import (
    ADJUSTER,
    ALIKE,
    MOVES,
    STEPS,
    Hand,
    TypedRoom,
    Wrong,
    first_row,
    kind_of_room,
    read_rooms,
    room_in,
    typed_rooms,
    ways_of,
)
from app.session.session import Session

_HOW, _NUMBER = 18, 10
_REST: Final = 35  # letters: so that rows end where wants end
_ALIKE: Final = 2 * _NUMBER + UNIT + 3
_HEADS: Final = (
    ("Point or value", LONG),
    ("may move", _HOW),
    ("from", _NUMBER),
    ("to", _NUMBER),
)
_NOTHING: Final = "Nothing may move yet: add a point or a value, and how far the metal lets it go."
_NAMES: Final = {
    "key": "what may move",
    "how": "which way",
    "low": "from",
    "high": "to",
    "alike": "the point that it moves with",
}
_FROM: Final = (
    "From where it was measured: + is forward, to the left of the car, up. Of a value, what it may "
    "be in all."
)


class RoomRow(Row):
    """A point or a value, which way it may go, and how far."""

    def __init__(self, session: Session, choices: Sequence[Choice], hand: Hand) -> None:
        super().__init__()
        self.session, self.hand = session, hand
        self.key = self.choice("key", LONG, choices)
        self.how = self.choice("how", _HOW, [*MOVES.items()])
        self.low, self.high = self.figure("low", _NUMBER), self.figure("high", _NUMBER)
        self.steps = self.figure("steps", 2 * _NUMBER + 1)
        del self.fields["steps"]
        points = [choice for choice in choices if is_point(choice[0])] or [("", "")]
        self.alike = self.choice("alike", _ALIKE, points)
        self.units = [unit_label(), unit_label()]
        self.ways = QStackedWidget()
        for widgets in (
            (self.low, self.high, self.units[0]),
            (self.steps, self.units[1]),
            (self.alike,),
            (QLabel("its shims, its reach"),),
        ):
            self.ways.addWidget(_in_a_line(widgets))
        self.ways.setFixedWidth(self.letters(_REST) + 4 * GAP)
        for field in (self.low, self.high):
            field.setToolTip(_FROM)
        for widget in (self.key, self.how, self.ways, self.out):
            self.line.addWidget(widget, 0, Qt.AlignmentFlag.AlignVCenter)
        self.line.addStretch()
        self.key.currentIndexChanged.connect(self._offer_ways)
        self.changed.connect(self._follow)

    def show_typed(self, row: TypedRoom) -> None:
        """Show a row as it was typed."""
        choose(self.key, row.key)
        self._offer_ways()
        choose(self.how, row.how)
        put_text(self.low, "" if row.how == STEPS else row.low)
        put_text(self.steps, row.low if row.how == STEPS else "")
        put_text(self.high, row.high)
        choose(self.alike, row.alike)
        self._follow()

    def typed(self) -> TypedRoom:
        """Return what stands in the row."""
        how = chosen(self.how)
        low = self.steps if how == STEPS else self.low
        alike = chosen(self.alike) if how == ALIKE else ""
        is_span = how not in (STEPS, ALIKE, ADJUSTER)
        low_text = "" if how in (ALIKE, ADJUSTER) else low.text()
        return TypedRoom(
            chosen(self.key), how, low_text, self.high.text() if is_span else "", alike
        )

    def _offer_ways(self) -> None:
        """Offer the ways of what is chosen; a value's room begins from what it is now."""
        key, how = chosen(self.key), chosen(self.how)
        ways = ways_of(self.session.history.value, key) if key else ()
        hows = [self.how.itemData(place) for place in range(self.how.count())]
        if hows == list(ways):
            return
        self.how.blockSignals(True)
        self.how.clear()
        for way in ways:
            self.how.addItem(MOVES[way], way)
        choose(self.how, how if how in ways else "z" if "z" in ways else next(iter(ways), ""))
        self.how.blockSignals(False)
        if key and how not in ways:
            first = first_row(self.session.history.value, key, self.hand)
            put_text(self.low, first.low)
            put_text(self.high, first.high)
        self._follow()

    def _follow(self) -> None:
        how = chosen(self.how)
        self.ways.setCurrentIndex({STEPS: 1, ALIKE: 2, ADJUSTER: 3}.get(how, 0))
        self.fields["low"] = self.steps if how == STEPS else self.low
        kind = kind_of_room(self.session.history.value, chosen(self.key))
        for label in self.units:
            label.setText(unit_of(kind, self.hand.units))


class RoomRows(Rows[RoomRow]):
    """The rows of what may move."""

    def __init__(self, session: Session, hand: Hand) -> None:
        super().__init__(_HEADS, _NOTHING)
        self.session, self.hand = session, hand

    def show_rooms(self, rows: Sequence[TypedRoom]) -> None:
        """Show these rows in place of those that are there."""
        for row in [*self.rows]:
            self.take_out(row)
        for typed in rows:
            self.add(typed)

    def add(self, typed: TypedRoom | None = None) -> RoomRow:
        """Add a row: as it was typed, or one to fill in."""
        choices, setup = thing_choices(self.session), self.session.history.value
        if typed is not None and typed.key and typed.key not in dict(choices):
            choices.append((typed.key, thing_title(setup, typed.key)))
        row = RoomRow(self.session, choices, self.hand)
        row.show_typed(typed or TypedRoom())
        self.add_row(row)
        self._name()
        return row

    def room(self, key: str) -> RoomRow:
        """Return the row of a point or a value; a new one where it has none."""
        for row in self.rows:
            if chosen(row.key) == key:
                return row
        return self.add(first_row(self.session.history.value, key, self.hand))

    def take_over(self, key: str) -> None:
        """Show the room that the setup gives something now, in place of its rows that are read."""
        loose = {wrong.row for wrong in self.read()[1]}
        sound_rows = [row for number, row in enumerate(self.rows) if number not in loose]
        for row in [row for row in sound_rows if chosen(row.key) == key]:
            self.take_out(row)
        for typed in typed_rooms(self.session.history.value, self.hand):
            if typed.key == key:
                self.add(typed)

    def take_out(self, row: RoomRow) -> None:
        """Take a row out."""
        super().take_out(row)
        self._name()

    def typed(self) -> list[TypedRoom]:
        """Return what stands in the rows."""
        return [row.typed() for row in self.rows]

    def read(self) -> tuple[Mapping[str, Room], list[Wrong]]:
        """Return the rooms, and what is wrong with their rows."""
        return read_rooms(self.session.history.value, self.typed(), self.hand)

    def take_hand(self, hand: Hand) -> None:
        """Show the same in other units."""
        setup = self.session.history.value
        for row in self.rows:
            typed = room_in(setup, row.typed(), self.hand, hand)
            row.hand = hand
            row.show_typed(typed)
        self.hand = hand

    def _name(self) -> None:
        for number, row in enumerate(self.rows, start=1):
            row.name_fields("Room", number, _NAMES)
            row.steps.setAccessibleName(f"Room {number}: one of these")


def _in_a_line(widgets: Sequence[QWidget]) -> QWidget:
    page = QWidget()
    line = QHBoxLayout(page)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(GAP)
    for widget in widgets:
        line.addWidget(widget)
    line.addStretch()
    return page
