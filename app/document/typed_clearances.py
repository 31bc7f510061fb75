"""Envelopes and clearances as they are typed, read as the file's own reader would.

What is typed can therefore be saved and read again. Each text has a field's name, and what can't be
read is told of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Final

from app.document.address import AXES
from app.document.checks import MISSING
from app.document.clearances import (
    BOX,
    CAPSULE,
    CYLINDER,
    EDGE,
    SIDES,
    TYRE,
    Clearance,
    Envelope,
    Place,
    built_in,
)
from app.document.ends import BODY, ENDS, name_in_end
from app.document.entries import EntryError, parse_value
from app.document.model import FrozenMap, Setup, Units
from app.document.noting import Noting
from app.document.plan_pieces import A_GIVEN_POINT
from app.document.quantities import QUANTITIES
from app.document.read_clearances import (
    A_NAME,
    ANOTHER_NAME,
    ANOTHER_PAIR,
    ANOTHER_PLACE,
    OF_ONE_SIDE,
    TWO_NAMES,
    ClearanceReader,
)
from app.document.toml_layout import Path
from app.document.units import exact_number
from geometry.dataclass import dataclass

Texts = Mapping[str, str]
Field = tuple[str, int, str]  # "envelope" or "clearance", which one, and which of its fields

CAR_TYRE: Final = -1  # where a pair names an envelope: the tyre that the car has without being told
PLACES: Final = ("from", "to")
SIZES: Final = {
    CAPSULE: ("radius",),
    CYLINDER: ("radius",),
    BOX: ("width", "height"),
    TYRE: ("radius", "width"),
    EDGE: (),
}
_SHOWN: Final = 4  # decimals at most
_PLACES: Final = 6  # of mm, so that what was typed in the other unit comes back as it was
_NAMED: Final = {
    A_NAME: "Give it a name.",
    TWO_NAMES: "Choose two different parts.",
    ANOTHER_NAME: "Another part has this name.",
    ANOTHER_PAIR: "This pair has a clearance already.",
    ANOTHER_PLACE: "Both ends are the same place.",
    OF_ONE_SIDE: "One is on the left alone, the other on the right alone.",
    A_GIVEN_POINT: "This car gives no such point.",
    MISSING: "A number is missing.",
}


@dataclass(frozen=True)
class TypedEnvelope:
    """An envelope as typed: `ends` are points' keys, or empty where coordinates are typed.

    `texts` has "from.x" to "to.z", "radius", "width" and "height".
    """

    name: str = ""
    kind: str = CAPSULE
    ends: tuple[str, str] = ("", "")
    texts: Texts = FrozenMap()
    moves_with: str = BODY
    side: str = SIDES[0]

    @property
    def places(self) -> tuple[str, ...]:
        """The names of the ends that are given by coordinates."""
        if self.kind == TYRE:
            return ()
        return tuple(n for n, key in zip(PLACES, self.ends, strict=True) if not key)


@dataclass(frozen=True)
class TypedClearance:
    """A clearance as typed; `between` are places in the list of envelopes, or CAR_TYRE."""

    between: tuple[int, int]
    at_least: str = ""
    by: str = ""


@dataclass(frozen=True)
class TypedSpaces:
    """All that an end of the car is told of what its parts take up, as typed."""

    envelopes: tuple[TypedEnvelope, ...] = ()
    clearances: tuple[TypedClearance, ...] = ()

    def without_envelope(self, place: int) -> TypedSpaces:
        """Return it without an envelope and without the clearances that name it."""

        def moved_up(number: int) -> int:
            return number - (number > place)

        kept = tuple(
            replace(each, between=(moved_up(each.between[0]), moved_up(each.between[1])))
            for each in self.clearances
            if place not in each.between
        )
        return TypedSpaces((*self.envelopes[:place], *self.envelopes[place + 1 :]), kept)


@dataclass(frozen=True)
class ReadSpaces:
    """The setup as far as it can be read, and what can't be, by field, in words."""

    setup: Setup
    errors: Mapping[Field, str]


def has_car_tyre(setup: Setup, end: str) -> bool:
    """Tell whether an end has a tyre without being told of its envelope."""
    return bool(built_in(end, setup.evidence))


def typed_spaces(setup: Setup, end: str, units: Units, decimal: str = ".") -> TypedSpaces:
    """Return what a setup says of an end, as it would be typed in units."""
    own = [each for each in setup.envelopes if each.end == end]
    places = {envelope.name: place for place, envelope in enumerate(own)}
    return TypedSpaces(
        tuple(_typed_envelope(each, units, decimal) for each in own),
        tuple(
            _typed_clearance(each, places, units, decimal)
            for each in setup.clearances
            if each.end == end
        ),
    )


def in_other_units(typed: TypedSpaces, before: Units, now: Units, decimal: str) -> TypedSpaces:
    """Return what is typed with its numbers in other units; what can't be read stays."""

    def told(text: str) -> str:
        try:
            return _exact(parse_value(text, "length", before, decimal=decimal), now, decimal)
        except EntryError:
            return text

    envelopes = (
        replace(each, texts=FrozenMap({name: told(text) for name, text in each.texts.items()}))
        for each in typed.envelopes
    )
    clearances = (replace(each, at_least=told(each.at_least)) for each in typed.clearances)
    return TypedSpaces(tuple(envelopes), tuple(clearances))


def read_spaces(
    before: Setup, end: str, typed: TypedSpaces, units: Units, decimal: str = "."
) -> ReadSpaces:
    """Return the setup with what is typed in units of an end; fields that can't be read are told.

    What wasn't touched keeps its last digit.
    """
    return _Reader(before, end, typed, units, decimal).read()


def _typed_envelope(envelope: Envelope, units: Units, decimal: str) -> TypedEnvelope:
    texts: dict[str, str] = {}
    for name, place in zip(PLACES, (envelope.start, envelope.finish), strict=True):
        if isinstance(place, tuple):
            for axis, number in zip(AXES, place, strict=True):
                texts[f"{name}.{axis}"] = _short(number, units, decimal)
    for name in ("radius", "width", "height"):
        if (size := getattr(envelope, name)) is not None:
            texts[name] = _short(size, units, decimal)
    return TypedEnvelope(
        envelope.name,
        envelope.kind,
        (_key(envelope.start), _key(envelope.finish)),
        FrozenMap(texts),
        envelope.moves_with,
        envelope.side,
    )


def _key(place: str | Place) -> str:
    return place if isinstance(place, str) else ""


def _typed_clearance(
    clearance: Clearance, places: Mapping[str, int], units: Units, decimal: str
) -> TypedClearance:
    first, second = (places.get(name, CAR_TYRE) for name in clearance.between)
    least = clearance.at_least
    text = "" if least is None else _short(least, units, decimal)
    return TypedClearance((first, second), text, clearance.by)


def _exact(number: float, units: Units, decimal: str) -> str:
    return exact_number(number, "length", units, decimal=decimal)


def _short(number: float, units: Units, decimal: str) -> str:
    """Return a number as it is read at a glance; the reader knows what it stands for."""
    factor = QUANTITIES["length"].factor(units)
    return _exact(round(number / factor, _SHOWN) * factor, units, decimal)


def _numbers(setup: Setup, end: str) -> Iterator[float]:
    """Yield every length that a setup gives of an end's envelopes and clearances."""
    for envelope in (each for each in setup.envelopes if each.end == end):
        for place in (envelope.start, envelope.finish):
            yield from place if isinstance(place, tuple) else ()
        sizes = (envelope.radius, envelope.width, envelope.height)
        yield from (size for size in sizes if size is not None)
    least = (each.at_least for each in setup.clearances if each.end == end)
    yield from (each for each in least if each is not None)


class _Reader:
    def __init__(
        self, before: Setup, end: str, typed: TypedSpaces, units: Units, decimal: str
    ) -> None:
        self.before, self.end, self.typed = before, end, typed
        self.units, self.decimal = units, decimal
        self.held = {_short(n, units, decimal): n for n in _numbers(before, end)}
        self.errors: dict[Field, str] = {}

    def read(self) -> ReadSpaces:
        """Return the setup with all that is typed."""
        check = Noting(self.units, _NAMED)
        tables = {
            "envelope": [self._envelope(*each) for each in enumerate(self.typed.envelopes)],
            "clearance": [self._clearance(*each) for each in enumerate(self.typed.clearances)],
        }
        reader = ClearanceReader(check, self.end, tables, self.before.readings, None)
        envelopes = reader.envelopes()
        clearances = reader.clearances(envelopes)
        for path, words in check.notes:
            self.errors.setdefault(_field_of(path), words)
        start = typed_spaces(self.before, self.end, self.units, self.decimal)
        setup = self.before
        if self.typed == start or self.errors:
            return ReadSpaces(setup, self.errors)
        held = [each for each in setup.envelopes if each.end == self.end]
        untouched = dict(zip(start.envelopes, held, strict=True))
        own = tuple(map(untouched.get, self.typed.envelopes, envelopes))
        held_pairs = [each for each in setup.clearances if each.end == self.end]
        untouched_pairs = {
            (text, each.between): each
            for text, each in zip(start.clearances, held_pairs, strict=True)
        }
        pairs = tuple(
            untouched_pairs.get((text, each.between), each)
            for text, each in zip(self.typed.clearances, clearances, strict=True)
        )
        others = tuple(each for each in setup.envelopes if each.end != self.end)
        other_pairs = tuple(each for each in setup.clearances if each.end != self.end)
        setup = setup.having(
            envelopes=tuple(sorted((*own, *others), key=_place_of_end)),
            clearances=tuple(sorted((*pairs, *other_pairs), key=_place_of_end)),
        )
        return ReadSpaces(setup, {})

    def _envelope(self, place: int, typed: TypedEnvelope) -> dict[str, Any]:
        """Return an envelope as a table of the file."""
        row: dict[str, Any] = {
            "name": " ".join(typed.name.split()),
            "kind": typed.kind,
            "side": typed.side,
        }
        if typed.kind != TYRE:
            for name, key in zip(PLACES, typed.ends, strict=True):
                row[name] = name_in_end(key) if key else self._place(place, name, typed)
        if typed.places:
            row["moves_with"] = typed.moves_with
        for name in SIZES[typed.kind]:
            number = self._number(("envelope", place, name), typed.texts.get(name, ""))
            row |= {} if number is None else {name: number}
        return row

    def _place(self, place: int, name: str, typed: TypedEnvelope) -> list[float]:
        fields = [f"{name}.{axis}" for axis in AXES]
        numbers = []
        for field in fields:
            text = typed.texts.get(field, "")
            number = self._number(("envelope", place, field), text)
            if number is None:
                self.errors.setdefault(("envelope", place, field), "A number is missing.")
            numbers.append(float(name == "to") if number is None else number)
        return numbers

    def _clearance(self, place: int, typed: TypedClearance) -> dict[str, Any]:
        names = [" ".join(each.name.split()) for each in self.typed.envelopes]
        between = [TYRE if each == CAR_TYRE else names[each] for each in typed.between]
        row: dict[str, Any] = {"between": between, "by": " ".join(typed.by.split())}
        number = self._number(("clearance", place, "at_least"), typed.at_least)
        return row | ({} if number is None else {"at_least": number})

    def _number(self, field: Field, text: str) -> float | None:
        """Return a typed length in the units of the fields; None where there is none."""
        if not text.strip():
            return None
        try:
            read = parse_value(text, "length", self.units, decimal=self.decimal)
        except EntryError as error:
            self.errors.setdefault(field, str(error))
            return None
        value = self.held.get(text.strip(), round(read, _PLACES))
        return value / QUANTITIES["length"].factor(self.units)


def _place_of_end(each: Envelope | Clearance) -> int:
    return ENDS.index(each.end)


def _field_of(path: Path) -> Field:
    """Return the field that a path of the file is about."""
    _, table, place, *rest = path
    names = [str(each) for each in rest]
    name = names[0] if names else "name"
    if name in PLACES and len(names) > 1:
        name = f"{name}.{AXES[int(names[1])]}"
    return str(table), int(place), name
