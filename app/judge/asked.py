"""Wants and room as people type them, row by row, and what is wrong with a row in their words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any, Final, NamedTuple

from app.document.bounds import bound_words, limit_ends
from app.document.entries import OVER_NOUGHT, EntryError, parse_value
from app.document.freed import number_now
from app.document.keys import is_point, kind_of, number_row
from app.document.model import FrozenMap, Limit, Setup, Units
from app.document.plans import Room, Span, Want
from app.document.point_names import point_title
from app.document.quantities import INCH
from app.document.units import exact_number, number_of, shown
from app.systems.every import LIMIT_KINDS
from geometry.dataclass import dataclass

WANTED: Final = {  # how a result is wanted, with its words
    "is": "is",
    "at_least": "at least",
    "at_most": "at most",
    "between": "between",
    "keep": "as found",
}
AXES: Final = {"x": "X, along the car", "y": "Y, across", "z": "Z, height"}
ALIKE: Final = "alike"
SPAN, STEPS, ADJUSTER = "span", "steps", "adjuster"
MOVES: Final = {  # what a row of room says, with its words
    **AXES,
    ALIKE: "by the same as",
    SPAN: "from, to",
    STEPS: "one of",
    ADJUSTER: "as it can be set",
}
USUAL: Final[dict[Units, float]] = {"mm": 10.0, "in": 0.375 * INCH}
"""Room each way that a point is given at first [mm]."""


@dataclass(frozen=True)
class TypedWant:
    """A row: which result, how it is wanted, and what stands in the fields of the row."""

    result: str = ""
    how: str = "is"
    value: str = ""
    most: str = ""  # the upper end of "between"
    within: str = ""  # empty: as usual for its kind
    weight: str = "1"


@dataclass(frozen=True)
class TypedRoom:
    """A row: what may move, in which way, and what stands in the fields of the row."""

    key: str = ""
    how: str = "z"
    low: str = ""
    high: str = ""  # of steps: nothing, all stand in `low`
    alike: str = ""


class Wrong(NamedTuple):
    """What is wrong with a field of a row, in the user's words."""

    row: int
    field: str
    words: str


class Hand:
    """How numbers are typed: the units shown, and the decimal sign.

    A field shows one place more than a table does, and what stands there untouched is read as the
    value that it was made of, to the last digit.
    """

    def __init__(self, units: Units = "mm", decimal: str = ".") -> None:
        self.units, self.decimal = units, decimal
        self._values: dict[tuple[str, str], float] = {}

    def text(self, value: float, kind: str) -> str:
        """Return a value as it stands in a field."""
        exact = exact_number(value, kind, self.units, decimal=self.decimal)
        places = shown(kind, self.units).places + 1
        text = number_of(value, kind, self.units, decimal=self.decimal, places=places)
        text = text.rstrip("0").rstrip(self.decimal) if self.decimal in text else text
        is_told = len(text) < len(exact) and text.strip("−0.,")
        if not is_told or self._values.setdefault((text, kind), value) != value:
            return exact
        return text

    def read(self, text: str, kind: str, most: float | None = None) -> float:
        """Return a value that was typed.

        Raises
        ------
        EntryError
            It can't be read.
        """
        known = self._values.get((text, kind))
        if known is not None:
            return known
        return parse_value(text, kind, self.units, decimal=self.decimal, most=most)


# --- wants ---


def typed_wants(setup: Setup, hand: Hand) -> list[TypedWant]:
    """Return the rows of a setup's wants."""
    return [typed_want(want, hand) for want in setup.wants]


def typed_want(want: Want, hand: Hand) -> TypedWant:
    """Return the row of a want."""

    def text(value: float | None) -> str:
        return "" if value is None else hand.text(value, want.kind)

    within, weight = text(want.within), hand.text(want.weight, "ratio")
    if want.keep:
        return TypedWant(want.result, "keep", within=within, weight=weight)
    if want.value is not None or want.at_least is want.at_most is None:
        return TypedWant(want.result, "is", text(want.value), "", within, weight)
    if want.at_least is not None and want.at_most is not None:
        ends = text(want.at_least), text(want.at_most)
        return TypedWant(want.result, "between", *ends, within, weight)
    how = "at_most" if want.at_least is None else "at_least"
    end = want.at_most if want.at_least is None else want.at_least
    return TypedWant(want.result, how, text(end), "", within, weight)


def kept_limit(name: str, limit: Limit) -> Want:
    """Return the want that a result's limit is kept."""
    return Want(name, at_least=limit.minimum, at_most=limit.maximum, kind=limit.kind)


def is_empty(row: TypedWant | TypedRoom) -> bool:
    """Tell whether nothing has been typed or chosen in a row."""
    return row in (TypedWant(), TypedRoom(), TypedRoom(how=""))


def read_wants(rows: Sequence[TypedWant], hand: Hand) -> tuple[tuple[Want, ...], list[Wrong]]:
    """Return the wants of rows, and what is wrong with them."""
    wants: list[Want] = []
    wrong: list[Wrong] = []
    names = [row.result for row in rows]
    for number, row in enumerate(rows):
        faults = [*_wrong_result(row.result, number, names)]
        want = _want(row, number, hand, faults)
        if faults:
            wrong += faults
        elif want is not None:
            wants.append(want)
    return tuple(wants), wrong


def _wrong_result(name: str, number: int, names: Sequence[str]) -> Iterator[Wrong]:
    if name not in LIMIT_KINDS:
        yield Wrong(number, "result", "Choose the result that is wanted.")
    elif name in names[:number]:
        first = names.index(name) + 1
        yield Wrong(number, "result", f"This result is wanted in row {first} already.")


def _want(row: TypedWant, number: int, hand: Hand, faults: list[Wrong]) -> Want | None:
    kind = LIMIT_KINDS.get(row.result, "plain")
    most = limit_ends(kind)[1]

    def read(name: str, kind: str = kind, most: float | None = most) -> float | None:
        try:
            return hand.read(getattr(row, name), kind, most)
        except EntryError as error:
            faults.append(Wrong(number, name, str(error)))
            return None

    value = None if row.how == "keep" else read("value")
    upper = read("most") if row.how == "between" else None
    within = read("within") if row.within.strip() else None
    weight = read("weight", "ratio", None) if row.weight.strip() else 1.0
    for name, number_read in (("within", within), ("weight", weight)):
        if number_read is not None and number_read <= 0.0:
            faults.append(Wrong(number, name, OVER_NOUGHT))
    if value is not None and upper is not None and value > upper:
        faults.append(Wrong(number, "most", "The most is less than the least."))
    if faults:
        return None
    return Want(
        row.result,
        value if row.how == "is" else None,
        value if row.how in ("at_least", "between") else None,
        value if row.how == "at_most" else upper,
        row.how == "keep",
        within,
        weight or 1.0,
        kind,
    )


# --- room ---


def typed_rooms(setup: Setup, hand: Hand) -> list[TypedRoom]:
    """Return the rows of a setup's rooms: one for each way in which something may move."""
    return [row for key, room in setup.rooms.items() for row in _rows_of(setup, key, room, hand)]


def _rows_of(setup: Setup, key: str, room: Room, hand: Hand) -> Iterator[TypedRoom]:
    kind = kind_of_room(setup, key)
    if room.by_adjuster:
        yield TypedRoom(key, ADJUSTER)
    for axis in AXES:
        span: Span | None = getattr(room, axis)
        if span is not None:
            yield TypedRoom(key, axis, *(hand.text(end, kind) for end in span))
    if room.alike:
        yield TypedRoom(key, ALIKE, alike=room.alike)
    if room.span is not None:
        yield TypedRoom(key, SPAN, *(hand.text(end, kind) for end in room.span))
    if room.steps:
        between = "; " if hand.decimal == "," else ", "
        yield TypedRoom(key, STEPS, between.join(hand.text(step, kind) for step in room.steps))


def first_row(setup: Setup, key: str, hand: Hand) -> TypedRoom:
    """Return a row for something that gets room: some each way, of a value from what it is now."""
    if key in setup.adjusters:
        return TypedRoom(key, ADJUSTER)
    if is_point(key):
        some = hand.text(USUAL[hand.units], "length")
        return TypedRoom(key, "z", f"−{some}", some)
    number = number_now(setup, key)
    text = "" if number is None else hand.text(number, kind_of_room(setup, key))
    return TypedRoom(key, SPAN, text, text)


def ways_of(setup: Setup, key: str) -> tuple[str, ...]:
    """Return in which ways something may be given room."""
    if key in setup.adjusters:
        return (ADJUSTER,)
    return (*AXES, ALIKE) if is_point(key) else (SPAN, STEPS)


def kind_of_room(setup: Setup, key: str) -> str:
    """Return the kind of quantity of the numbers of something's room."""
    return "length" if number_row(key) is None else kind_of(key, setup.readings)


def read_rooms(
    setup: Setup, rows: Sequence[TypedRoom], hand: Hand
) -> tuple[FrozenMap[Room], list[Wrong]]:
    """Return the rooms of rows, and what is wrong with them."""
    rooms: dict[str, Room] = {}
    wrong: list[Wrong] = []
    ways: dict[tuple[str, str], int] = {}
    for number, row in enumerate(rows):
        first = ways.setdefault((row.key, _slot(row.how)), number)
        if not row.key:
            wrong.append(Wrong(number, "key", "Choose what may move."))
        elif first != number:
            wrong.append(Wrong(number, "how", f"Row {first + 1} says this already."))
        else:
            faults = [*_add_row(setup, rooms, row, number, hand)]
            wrong += faults
    named = {row.key for row in rows}
    for number, row in enumerate(rows):
        wrong += _wrong_leader(setup, row, number, named)
    return FrozenMap(rooms), wrong


def _slot(how: str) -> str:
    return SPAN if how == STEPS else how


def _add_row(
    setup: Setup, rooms: dict[str, Room], row: TypedRoom, number: int, hand: Hand
) -> Iterator[Wrong]:
    """Put a row into the rooms, or yield what is wrong with it."""
    kind, own = kind_of_room(setup, row.key), rooms.get(row.key, Room())
    if row.how == ADJUSTER:
        rooms[row.key] = Room(by_adjuster=True)
    elif row.how == ALIKE:
        if row.alike:
            rooms[row.key] = replace(own, alike=row.alike)
    elif row.how in (SPAN, STEPS) and number_now(setup, row.key) is None:
        yield Wrong(number, "key", "Nothing says what it is now: enter it among the values first.")
    elif row.how == STEPS:
        try:
            rooms[row.key] = Room(steps=_steps(row, kind, hand))
        except EntryError as error:
            yield Wrong(number, "low", str(error))
    else:
        ends: list[float] = []
        for field in ("low", "high"):
            try:
                ends.append(_number(row, getattr(row, field), kind, hand))
            except EntryError as error:
                yield Wrong(number, field, str(error))
        if len(ends) == 2 and ends[0] > ends[1]:
            yield Wrong(number, "high", "“To” is less than “from”.")
        elif len(ends) == 2:
            spans: dict[str, Any] = {row.how: (ends[0], ends[1])}
            rooms[row.key] = replace(own, **spans)


def _number(row: TypedRoom, text: str, kind: str, hand: Hand) -> float:
    """Return a number of a room; of a value's it is one that the value can be."""
    number = hand.read(text, kind)
    bounds = number_row(row.key) if row.how in (SPAN, STEPS) else None
    if bounds is not None:
        words = bound_words(number, bounds.over, bounds.least, bounds.most, kind, hand.units)
        if words:
            raise EntryError(f"It can be {words.replace('.', hand.decimal)}, not {text.strip()}.")
    return number


def _steps(row: TypedRoom, kind: str, hand: Hand) -> tuple[float, ...]:
    text = row.low
    parts = text.split(";") if ";" in text or hand.decimal == "," else text.split(",")
    return tuple(sorted({_number(row, part, kind, hand) for part in parts}))


def _wrong_leader(setup: Setup, row: TypedRoom, number: int, named: set[str]) -> Iterator[Wrong]:
    if row.how != ALIKE:
        return
    if not row.alike:
        yield Wrong(number, "alike", "Choose the point that it moves with.")
    elif row.alike == row.key:
        yield Wrong(number, "alike", "This is the point itself: choose another one.")
    elif row.alike not in named:
        title = point_title(row.alike, setup.evidence)
        yield Wrong(number, "alike", f"“{title}” has no room of its own: give it a row.")


# --- other units ---


def want_in(row: TypedWant, old: Hand, new: Hand) -> TypedWant:
    """Return a row in other units; what can't be read stays as it was typed."""
    kind = LIMIT_KINDS.get(row.result, "plain")
    fields = {name: _in(getattr(row, name), kind, old, new) for name in ("value", "most", "within")}
    return replace(row, **fields)


def room_in(setup: Setup, row: TypedRoom, old: Hand, new: Hand) -> TypedRoom:
    """Return a row in other units; what can't be read stays as it was typed."""
    kind = kind_of_room(setup, row.key)
    if row.how == STEPS:
        try:
            steps = _steps(row, kind, old)
        except EntryError:
            return row
        between = "; " if new.decimal == "," else ", "
        return replace(row, low=between.join(new.text(step, kind) for step in steps))
    return replace(row, low=_in(row.low, kind, old, new), high=_in(row.high, kind, old, new))


def _in(text: str, kind: str, old: Hand, new: Hand) -> str:
    try:
        return new.text(old.read(text, kind), kind)
    except EntryError:
        return text
