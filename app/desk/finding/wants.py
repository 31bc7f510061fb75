"""What is wanted, a row a result."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PySide6.QtWidgets import QWidget

from app.desk.finding.choices import Choice, result_choices, result_title, untold_because
from app.desk.finding.rows import LONG, UNIT, Row, Rows, choose, chosen, put_text, unit_label
from app.document.plans import Want
from app.document.units import unit_of
from app.judge.asked import (
    WANTED,
    Hand,
    TypedWant,
    Wrong,
    read_wants,
    typed_want,
    want_in,
)
from app.session.session import Session
from app.systems.every import LIMIT_KINDS

_HOW, _NUMBER, _NEAR, _WEIGHT = 12, 9, 9, 6
_HEADS: Final = (
    ("Result", LONG),
    ("shall be", _HOW),
    ("", _NUMBER),
    ("", _NUMBER),
    ("", UNIT),
    ("within ±", _NEAR),
    ("weight", _WEIGHT),
)
NO_WANT: Final = "Nothing is wanted yet: add a result, and say what it shall be."
_NAMES: Final = {
    "result": "result",
    "how": "how it is wanted",
    "value": "value",
    "most": "at most",
    "within": "how near counts as met",
    "weight": "weight, where not all can be had",
}


class WantRow(Row):
    """A result, how it is wanted, the value, how near counts, and its weight."""

    def __init__(self, choices: Sequence[Choice], hand: Hand) -> None:
        super().__init__()
        self.hand = hand
        self.result = self.choice("result", LONG, choices)
        self.how = self.choice("how", _HOW, [*WANTED.items()])
        self.value, self.most = self.figure("value", _NUMBER), self.figure("most", _NUMBER)
        self.unit = unit_label()
        self.within, self.weight = self.figure("within", _NEAR), self.figure("weight", _WEIGHT)
        self.within.setPlaceholderText("usual")
        self.most.setToolTip("and at most")
        for field in (self.result, self.how, self.value, self.most, self.unit, self.within):
            _keep_room(field)
            self.line.addWidget(field)
        self.line.addWidget(self.weight)
        self.line.addWidget(self.out)
        self.line.addStretch()
        self.changed.connect(self._follow)

    def show_typed(self, row: TypedWant) -> None:
        """Show a row as it was typed."""
        choose(self.result, row.result)
        choose(self.how, row.how)
        texts = ("value", "most", "within", "weight")
        for name in texts:
            put_text(getattr(self, name), getattr(row, name))
        self._follow()

    def typed(self) -> TypedWant:
        """Return what stands in the row."""
        return TypedWant(
            chosen(self.result),
            chosen(self.how),
            self.value.text(),
            self.most.text(),
            self.within.text(),
            self.weight.text(),
        )

    def _follow(self) -> None:
        how = chosen(self.how)
        self.value.setVisible(how != "keep")
        self.most.setVisible(how == "between")
        kind = LIMIT_KINDS.get(chosen(self.result), "plain")
        self.unit.setText(unit_of(kind, self.hand.units))
        self.unit.setVisible(True)


class WantRows(Rows[WantRow]):
    """The rows of what is wanted."""

    def __init__(self, session: Session, hand: Hand) -> None:
        super().__init__(_HEADS, NO_WANT)
        self.session, self.hand = session, hand

    def show_wants(self, rows: Sequence[TypedWant]) -> None:
        """Show these rows in place of those that are there."""
        for row in [*self.rows]:
            self.take_out(row)
        for typed in rows:
            self.add(typed)

    def add(self, typed: TypedWant | None = None) -> WantRow:
        """Add a row: as it was typed, or one to fill in."""
        choices = result_choices(self.session)
        if typed is not None and typed.result and typed.result not in dict(choices):
            choices.append((typed.result, result_title(self.session, typed.result)))
        row = WantRow(choices, self.hand)
        row.show_typed(typed or TypedWant())
        self.add_row(row)
        self._name()
        return row

    def want(self, want: Want) -> WantRow:
        """Return the row of a result; a new one where it isn't wanted yet."""
        for row in self.rows:
            if chosen(row.result) == want.result:
                return row
        return self.add(typed_want(want, self.hand))

    def take_out(self, row: WantRow) -> None:
        """Take a row out."""
        super().take_out(row)
        self._name()

    def typed(self) -> list[TypedWant]:
        """Return what stands in the rows."""
        return [row.typed() for row in self.rows]

    def read(self) -> tuple[tuple[Want, ...], list[Wrong]]:
        """Return the wants, and what is wrong with their rows."""
        wants, wrong = read_wants(self.typed(), self.hand)
        for number, row in enumerate(self.typed()):
            reason = untold_because(self.session, row.result) if row.result else ""
            if reason:
                wrong.append(Wrong(number, "result", reason))
        return wants, wrong

    def take_hand(self, hand: Hand) -> None:
        """Show the same in other units."""
        for row in self.rows:
            typed = want_in(row.typed(), self.hand, hand)
            row.hand = hand
            row.show_typed(typed)
        self.hand = hand

    def _name(self) -> None:
        for number, row in enumerate(self.rows, start=1):
            row.name_fields("Want", number, _NAMES)


def _keep_room(field: QWidget) -> None:
    """Let a field that is hidden keep its place, so that columns stand below each other."""
    policy = field.sizePolicy()
    policy.setRetainSizeWhenHidden(True)
    field.setSizePolicy(policy)
