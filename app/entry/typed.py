"""The texts typed while a car is measured, kept as typed, and the setup they result in."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from functools import partial
from math import dist
from typing import Final, cast

from app.document.address import AXES
from app.document.bounds import bound_words
from app.document.edits import clean_text, remove_evidence, tapes_without, untold_ends
from app.document.entries import EntryError, parse_value
from app.document.heights import heights_in_reach
from app.document.keys import KEYS, is_point, kind_of
from app.document.leaf_parts import LEAVES, leaves_in
from app.document.model import FrozenMap, Leaf, Setup, Units, Value, Vec, frozen
from app.document.plan_edits import kept_plans
from app.document.point_names import point_words
from app.document.schema import Key
from app.entry.leaf_rows import leaves_of
from app.entry.leaf_within import is_within, read_within
from app.entry.own_planes import LAST_DIGITS, outward, planes_of, texts_of
from app.entry.typed_text import TypedText
from app.entry.within_fields import WithinReader
from geometry.dataclass import dataclass

Called = Callable[[str], str]  # a point's key -> its name inside a sentence
Answer = tuple[str, str, str]  # a question's key and words, and the value it was about

BASES: Final = ("axle line", "centreline", "floor")  # where x, y and z count from
ON_LOOP: Final = "These points are measured from each other: give one of them another base."


@dataclass(frozen=True)
class Draft:
    """A car being entered: the setup before, the texts typed since, the questions answered."""

    before: Setup
    readings: Mapping[str, TypedText] = field(default_factory=FrozenMap)
    kept: frozenset[Answer] = frozenset()
    both_sides: bool = False
    converts: bool = False  # the rear is measured as it is and as it will be

    def typed(self, field_name: str, reading: TypedText) -> Draft:
        """Return the draft with something typed."""
        return replace(self, readings=frozen(self.readings).having(field_name, reading))

    def having(self, key: str, value: Value | None) -> Draft:
        """Return the draft with a choice made; None takes it back."""
        if value is None:
            return replace(self, before=remove_evidence(self.before, key))
        return replace(
            self, before=self.before.having(evidence=self._evidence().having(key, value))
        )

    def keeping(self, answer: Answer) -> Draft:
        """Return the draft with a question answered: it is as typed."""
        return replace(self, kept=self.kept | {answer})

    def _evidence(self) -> FrozenMap[Value]:
        return frozen(self.before.readings)


@dataclass(frozen=True)
class Resolved:
    """The setup as far as it can be read, and what can't be, by field, in words."""

    setup: Setup
    errors: Mapping[str, str]


def fields_of(point: str) -> tuple[str, str, str]:
    """Return the names of a point's three fields."""
    return f"{point}.x", f"{point}.y", f"{point}.z"


def resolve(draft: Draft, decimal: str = ".") -> Resolved:
    """Return the setup of the draft; where a text can't be read, the value before stays."""
    return _Resolver(draft, decimal).run()


def coordinate(draft: Draft, point: str, axis: int, decimal: str = ".") -> float | None:
    """Return one coordinate as far as it can be read, though its point may be incomplete."""
    return _Resolver(draft, decimal).axis(point, axis, ())


def read_number(text: str, key: Key, values: Mapping[str, Value], units: Units, dot: str) -> float:
    """Return the value inside of a typed number; a share may be typed as per cent."""
    kind = kind_of(key.name, values) if key.name in KEYS else key.kind
    if kind == "ratio" and text.strip().endswith("%"):
        value = parse_value(text.strip().removesuffix("%"), kind, units, decimal=dot) / 100.0
    else:
        value = parse_value(text, kind, units, decimal=dot)
    bound = bound_words(value, key.over, key.least, key.most, kind, units)
    if bound:
        hint = " Type a share like 0.54, or 54 %." if kind == "ratio" else ""
        raise EntryError(f"It must be {bound.replace('-', '−')}.{hint}")
    return value


class _Resolver:
    def __init__(self, draft: Draft, decimal: str) -> None:
        self.draft = draft
        self.decimal = decimal
        self.errors: dict[str, str] = {}
        self.setup = draft.before
        self.values = dict(draft.before.readings)
        self.begun = texts_of(draft.before, decimal)  # what was so before anything was typed
        self.rows: dict[int, Leaf] = {}  # of the pack's leaves, where any was typed into

    def run(self) -> Resolved:
        for name in self.draft.readings:
            key = KEYS.get(name)
            if key is not None and key.is_number:
                self._number(name, key)
        points = dict.fromkeys(_point_of(name) for name in self.draft.readings)
        for point in filter(is_point, points):
            self._point(point)
        self._leaves()
        setup = self.setup.having(evidence=FrozenMap(self.values))
        notes, within = dict(setup.point_notes), dict(setup.within)
        for point in filter(is_point, points):
            self._note(point, notes)
        self._within().put_into(within)
        if typed := self._typed_of_leaves():
            before = self.draft.before
            self.errors |= read_within(before, typed, self.rows, within, self.decimal)
        setup = setup.having(
            point_notes=FrozenMap(notes),
            within=FrozenMap(within),
            tapes=tapes_without(setup, *(self.setup.readings.keys() - self.values.keys())),
            planes=planes_of(setup.planes, self.draft.readings, self.values, self.decimal),
        )
        for point in untold_ends(setup):
            self.errors[f"{point}.within"] = "A tape ends here: say how well it was measured."
        return Resolved(heights_in_reach(kept_plans(setup)), self.errors)

    def _number(self, name: str, key: Key) -> None:
        reading = self.draft.readings[name]
        if not reading.text.strip():
            self.values.pop(name, None)
            return
        try:
            units = reading.units
            self.values[name] = read_number(reading.text, key, self.values, units, self.decimal)
        except EntryError as error:
            self.errors[name] = str(error)

    def _leaves(self) -> None:
        """Read the leaves of a pack, where any of their fields was typed into."""
        typed = self._typed_of_leaves()
        if typed:
            before = leaves_in(self.draft.before.readings)
            numbers = {name: text for name, text in typed.items() if not is_within(name)}
            self.rows, errors = leaves_of(before, numbers, self.decimal)
            self.errors |= errors
            self.values.pop(LEAVES, None)
            if self.rows:
                self.values[LEAVES] = tuple(self.rows.values())

    def _typed_of_leaves(self) -> dict[str, TypedText]:
        typed = self.draft.readings.items()
        return {name: text for name, text in typed if name.startswith(f"{LEAVES}.")}

    def _point(self, point: str) -> None:
        if not any(name in self.draft.readings for name in fields_of(point)):
            return
        coordinates = [self.axis(point, axis, ()) for axis in range(3)]
        x, y, z = coordinates
        if x is not None and y is not None and z is not None:
            self.values[point] = self._unless_alike(point, (x + 0.0, y + 0.0, z + 0.0))
        elif not any(name in self.errors for name in fields_of(point)):
            self.values.pop(point, None)  # a coordinate was taken away

    def _unless_alike(self, point: str, place: Vec) -> Vec:
        """Return a place, or as it was before where only a sum's last digits differ."""
        was = cast("Vec | None", self.draft.before.readings.get(point))
        return place if was is None or dist(was, place) > LAST_DIGITS else was

    def axis(self, point: str, axis: int, earlier_points: tuple[str, ...]) -> float | None:
        """Return a coordinate as typed, or as it was before; None where there is none."""
        name = fields_of(point)[axis]
        reading = self.draft.readings.get(name)
        if reading is None:
            place_before = cast("Vec | None", self.draft.before.readings.get(point))
            return None if place_before is None else place_before[axis]
        if not reading.text.strip():
            return None
        try:
            typed = parse_value(reading.text, "length", reading.units, decimal=self.decimal)
            start = self._start(reading, axis, (*earlier_points, point))
        except EntryError as error:
            self.errors[name] = str(error)
            return None
        share = 0.5 if reading.base.is_across else 1.0
        return None if start is None else start + outward(point, axis) * share * typed

    def _start(
        self, reading: TypedText, axis: int, earlier_points: tuple[str, ...]
    ) -> float | None:
        """Return where the reading counts from, in car axes."""
        base = reading.base
        if base.point in earlier_points:
            raise EntryError(ON_LOOP)
        if base.point:
            start = self.axis(base.point, axis, earlier_points)
            if start is None:
                title = point_words(base.point, self.values)
                raise EntryError(f"It counts from {title}, which isn't complete yet.")
            return start
        if base.is_plane:
            if not base.offset.strip():
                raise EntryError("Say where the plane is that it counts from.")
            place = parse_value(base.offset, "length", reading.units, decimal=self.decimal)
            return outward(earlier_points[-1], axis) * place
        return 0.0

    def _note(self, point: str, notes: dict[str, str]) -> None:
        """Keep the note, and in it from where each axis was measured, when that isn't as usual."""
        typed = self.draft.readings.get(f"{point}.note")
        note = clean_text(typed.text).strip() if typed else notes.get(point, "")
        names = fields_of(point)
        readings = [self.draft.readings.get(name) for name in names]
        was = [self.begun.get(name) for name in names]
        old = self._from_words(was)
        for words, before in zip(self._from_words(readings), old, strict=False):
            if before and before in note:  # what the plane was, when it is measured again
                note = note.replace(before, words)
            elif words and words != before and words not in note:
                note = f"{note}; {words}" if note else words
        notes.pop(point, None)
        if note:
            notes[point] = note

    def _from_words(self, readings: Sequence[TypedText | None]) -> tuple[str, ...]:
        called = partial(point_words, evidence=self.values)
        as_usual = tuple(base_words(each, axis, called) for axis, each in enumerate(readings))
        return same_place_words(readings, called) or as_usual

    def _within(self) -> WithinReader:
        draft = self.draft
        return WithinReader(draft.before, draft.readings, self.values, self.errors, self.decimal)


def same_place_words(readings: Sequence[TypedText | None], called: Called) -> tuple[str, ...]:
    """Return that a point is where another one is, where all its axes count 0 from that."""
    bases = {reading.base.point if reading else "" for reading in readings}
    texts = (reading.text.strip() if reading else "" for reading in readings)
    (base, *others) = bases
    if others or not base or any(text.strip("0.,") or "0" not in text for text in texts):
        return ()
    return (f"in the same place as {called(base)}",)


def base_words(reading: TypedText | None, axis: int, called: Called) -> str:
    """Return from where an axis was measured, for the point's note; nothing where as usual."""
    if reading is None or not reading.text.strip():
        return ""
    base, units = reading.base, reading.units
    axis_words = f"{AXES[axis]}: {_with_unit(reading.text, units)} from"
    if base.is_across:
        return f"{AXES[axis]}: half of {_with_unit(reading.text, units)} across"
    if base.point:
        return f"{axis_words} {called(base.point)}"
    if base.is_plane and base.offset.strip():
        place = f"{_with_unit(base.offset, units)} from the {BASES[axis]}"
        return f"{axis_words} {base.plane.strip() or 'a plane'}, which is {place}"
    return ""


def _with_unit(text: str, units: Units) -> str:
    plain = text.strip()
    return plain if plain[-1:].isalpha() or plain.endswith(('"', "″")) else f"{plain} {units}"


def _point_of(field_name: str) -> str:
    return field_name.rpartition(".")[0]
