"""The state of the guide: the draft, its current step, and the setup it results in."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import chain
from typing import Final, Literal

from PySide6.QtCore import QObject, Signal

from app.document.address import left_of, split_coordinate
from app.document.edits import set_title
from app.document.entries import EntryError, parse_value
from app.document.keys import KEYS, is_needed, is_point, missing_keys
from app.document.leaf_parts import LEAVES, leaf_part, leaves_in
from app.document.model import Leaf, Setup, Units, frozen
from app.document.plausible import Question, questions
from app.entry.field_texts import converted, text_before
from app.entry.leaf_rows import LEAF_FIELDS, MOST_LEAVES, WHOLE, field_name
from app.entry.leaf_within import ASKED, EVERY, within_name
from app.entry.number_text import field_text
from app.entry.part import Step
from app.entry.steps import concerns, needed_part, steps_of
from app.entry.typed import (
    Answer,
    Draft,
    Resolved,
    coordinate,
    fields_of,
    read_number,
    resolve,
)
from app.entry.typed_text import Base, TypedText
from app.entry.within_fields import ALL, usual_text, within_fields
from app.judge.survey import survey_of

State = Literal["empty", "begun", "done", "doubt", "wrong"]
START: Final = "car"
_LENGTH: Final = re.compile(r"−?[\d.]+ (mm|in)\b")


class DraftSession(QObject):
    """Holds the draft that the guide edits; all input goes through it, and it signals changes."""

    changed = Signal()  # something was typed, chosen or answered
    settled = Signal()  # a field was left: errors and questions may be shown
    step_changed = Signal()
    steps_changed = Signal()
    units_changed = Signal()

    def __init__(
        self,
        draft: Draft,
        step: str = START,
        decimal: str = ".",
        correcting: bool = False,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.decimal = decimal
        self.correcting = correcting
        self.units: Units = draft.before.units
        self.take(draft, step)

    def take(self, draft: Draft, step: str) -> None:
        """Begin with a draft, a new one or one taken up again."""
        self.begun_with = self.draft = draft
        self.left: set[str] = {name for name, reading in draft.readings.items() if reading.text}
        self.units = draft.before.units
        self.steps = steps_of(draft)
        self.step = step if step in self._names() else START
        self._refresh()

    # What it comes to

    @property
    def setup(self) -> Setup:
        """The car as far as it is measured, in the units that are shown."""
        return self._setup.having(units=self.units)

    @property
    def finished_setup(self) -> Setup:
        """The car in its own units."""
        return self._setup

    @property
    def is_touched(self) -> bool:
        """Tell whether anything was typed or chosen."""
        return self.draft != self.begun_with

    def missing(self) -> tuple[str, ...]:
        """Return the keys without which the car can't be put on the board."""
        return tuple(key.name for key in missing_keys(self._setup.readings))

    def held_by_changes(self) -> tuple[tuple[str, str], ...]:
        """Return points that the car has no more, each with the change that still moves it.

        A point that a change gives by itself, such as a new bracket's, was never measured.
        """
        changes = self._setup.changes
        points_set = {left_of(key) for change in changes for key in change.sets if is_point(key)}
        return tuple(
            (key, change.name)
            for change in changes
            for key in change.moves
            if left_of(key) not in self._setup.readings and left_of(key) not in points_set
        )

    def is_whole(self) -> bool:
        """Tell whether the car can be handed over; open questions never hold it back."""
        return not (self.missing() or self.resolved.errors or self.held_by_changes())

    def open_questions(self, key: str = "") -> tuple[Question, ...]:
        """Return the questions that aren't answered, of one key or of all."""
        return tuple(
            question
            for question in self._questions
            if key in ("", question.key) and self._answer(question) not in self.draft.kept
        )

    def _answer(self, question: Question) -> Answer:
        """Return what an answer applies to: the doubt, in either unit, about this value."""
        said = self._setup.within.get(question.within_key)
        value = said if question.within_key else self._setup.readings.get(question.key)
        return question.key, _LENGTH.sub("", question.text), repr(value)

    def _refresh(self) -> None:
        self.resolved: Resolved = resolve(self.draft, self.decimal)
        self._setup = needed_part(self.draft, self.resolved.setup)
        open_questions = questions(self.setup)  # only of what the guide leads through
        self._questions = tuple(each for each in open_questions if concerns(each, self.draft))

    # Fields

    def text(self, name: str) -> str:
        """Return what a field shows: as typed, or what was there, in the shown units."""
        reading = self.draft.readings.get(name)
        if reading is not None:
            return self._in_shown_units(reading.text, reading.units, name)
        return text_before(self.draft.before, name, self.units, self.decimal)

    def error(self, name: str) -> str:
        """Return what is wrong with a field that was left."""
        is_told = name in self.left or name.endswith(f".{WHOLE}")
        return self.resolved.errors.get(name, "") if is_told else ""

    def base(self, name: str) -> Base:
        """Return where an axis is measured from, in the shown units."""
        reading = self.draft.readings.get(name)
        return self._shown_base(reading) if reading else Base()

    def place(self, point: str, axis: int) -> float | None:
        """Return a coordinate as far as it can be read, though its point may be incomplete."""
        return coordinate(self.draft, point, axis, self.decimal)

    def type_text(self, name: str, text: str) -> None:
        """Take what is typed into a field."""
        reading = self.draft.readings.get(name)
        base = self._shown_base(reading) if reading else Base()
        self._replace(self.draft.typed(name, TypedText(text, self.units, base)))

    def set_base(self, name: str, base: Base) -> None:
        """Measure an axis from elsewhere; the number stays as typed.

        A plane that is measured again takes along all that count from it.
        """
        draft = self.draft.typed(name, TypedText(self.text(name), self.units, base))
        axis = split_coordinate(name)[1]
        for other, reading in self.draft.readings.items():
            is_same = reading.base.is_plane and reading.base.plane == base.plane
            if is_same and base.is_plane and base.plane and split_coordinate(other)[1] == axis:
                moved = replace(reading.base, offset=self._in(reading.units, base.offset))
                draft = draft.typed(other, replace(reading, base=moved))
        self._replace(draft.typed(name, TypedText(self.text(name), self.units, base)))

    def planes(self, axis: str) -> dict[str, str]:
        """Return the planes of one's own that an axis counts from anywhere, with where they are."""
        bases = (
            self._shown_base(reading)
            for name, reading in self.draft.readings.items()
            if name.endswith(f".{axis}")
        )
        typed = {b.plane: b.offset for b in bases if b.is_plane and b.plane and b.offset}
        kept = {
            plane.name: field_text(plane.at, "length", self.units, self.decimal)
            for plane in self._setup.planes
            if plane.axis == axis
        }
        return {**kept, **typed}

    def _in(self, units: Units, text: str) -> str:
        """Return a length typed in the shown units as it would be typed in others."""
        if units == self.units or not text.strip():
            return text
        try:
            value = parse_value(text, "length", self.units, decimal=self.decimal)
        except EntryError:
            return text
        return field_text(value, "length", units, self.decimal)

    def leave(self, name: str) -> None:
        """Note that a field was left, so that it may be judged."""
        self.left.add(name)
        self.settled.emit()

    def take_over(self, setup: Setup, *_: object) -> None:
        """Take values that were worked out of readings; what was typed for them gives way."""
        before = self.draft.before
        now = self._setup
        keys = {
            key
            for key, value in setup.readings.items()
            if (value, setup.within.get(key)) != (now.readings.get(key), now.within.get(key))
        }
        given_way = {*keys, *chain.from_iterable(map(within_fields, keys))}
        typed = frozen(self.draft.readings).without(*given_way & self.draft.readings.keys())
        given = frozen(before.readings)
        within = frozen(before.within).without(*keys)
        for key in keys:
            given = given.having(key, setup.readings[key])
            if key in setup.within:
                within = within.having(key, setup.within[key])
        after = before.having(evidence=given, within=within, notes=setup.notes)
        self._replace(replace(self.draft, before=after, readings=typed))
        self.settled.emit()

    def take_tapes(self, setup: Setup, *_: object) -> None:
        """Take a setup's tapes and marks, and what is typed of the points that they end at.

        A draft that is kept says then of each end where it is and how well that is known.
        """
        before = self.draft.before
        ends = {end for tape in setup.tapes for end in tape.between}
        keys = {*ends, *map(left_of, ends), "sheet.measured_within"}
        readings = {key: setup.readings[key] for key in keys & setup.readings.keys()}
        within = {key: setup.within[key] for key in keys & setup.within.keys()}
        taped = before.having(
            evidence={**before.readings, **readings},
            within={**before.within, **within},
            marks=setup.marks,
            tapes=setup.tapes,
        )
        self._replace(replace(self.draft, before=taped))
        self.settled.emit()

    def keep(self, question: Question) -> None:
        """Answer a question: it is as typed."""
        self._replace(self.draft.keeping(self._answer(question)))
        self.settled.emit()

    def copy_point(self, source: str, target: str) -> None:
        """Put a point where another one is, measured from it."""
        for name in fields_of(target):
            self.draft = self.draft.typed(name, TypedText("0", self.units, Base(point=source)))
            self.left.add(name)
        self._replace(self.draft)
        self.settled.emit()

    def leaves(self) -> tuple[Leaf, ...]:
        """Return the leaves of the pack as far as they can be read."""
        return leaves_in(self._setup.readings)

    def usual(self, key: str) -> str:
        """Return how well a number is usually measured, as typed; empty where that is unsaid."""
        return usual_text(self.setup, key, self.units, self.decimal)

    def take_usual(self, *keys: str) -> None:
        """Say of numbers that they are measured as well as usual, where nothing is said of it."""
        for key in keys:
            name = f"{key}.{ALL}"
            if not self.text(name).strip() and (text := self.usual(key)):
                self.draft = self.draft.typed(name, TypedText(text, self.units))
                self.left.add(name)
        self._replace(self.draft)
        self.settled.emit()

    def _in_shown_units(self, text: str, units: Units, name: str) -> str:
        if units == self.units:
            return text
        return converted(text, name, self.draft.before.readings, units, self.decimal)

    def _shown_base(self, reading: TypedText) -> Base:
        offset = self._in_shown_units(reading.base.offset, reading.units, "")
        return replace(reading.base, offset=offset)

    def number(self, name: str) -> float | None:
        """Return the value in a field of one number, None where it can't be read."""
        try:
            evidence = self.draft.before.readings
            return read_number(self.text(name), KEYS[name], evidence, self.units, self.decimal)
        except EntryError:
            return None

    # Choices

    def set_title(self, title: str) -> None:
        """Name the car."""
        self._replace(replace(self.draft, before=set_title(self.draft.before, title)))

    def choose(self, draft: Draft) -> None:
        """Take a draft with a choice made on the first page; the steps follow."""
        self._replace(draft)
        steps = steps_of(draft)
        if steps != self.steps:
            self.steps = steps
            self.steps_changed.emit()

    def set_units(self, units: Units) -> None:
        """Show mm or inches; a new car's file takes the same."""
        if units == self.units:
            return
        self.units = units
        if not self.correcting:
            self.draft = replace(self.draft, before=self.draft.before.having(units=units))
        self._refresh()
        self.units_changed.emit()
        self.changed.emit()

    def _replace(self, draft: Draft) -> None:
        self.draft = draft
        self._refresh()
        self.changed.emit()

    # Where one is

    @property
    def current(self) -> Step:
        """The step that is shown."""
        return self.steps[self.index]

    @property
    def index(self) -> int:
        """The number of the step that is shown."""
        return self._names().index(self.step)

    def go(self, step: str) -> None:
        """Show another step; what was typed on this one is judged now."""
        if step in self._names() and step != self.step:
            self.left.update(self.draft.readings)
            self.step = step
            self.step_changed.emit()

    def forward(self, by: int = 1) -> None:
        """Go on, or back."""
        place = min(max(self.index + by, 0), len(self.steps) - 1)
        self.go(self.steps[place].key)

    def step_of(self, key: str) -> str:
        """Return the step on which a key is asked."""
        asked = key if leaf_part(key) is None else LEAVES
        for step in self.steps:
            if key == step.key or asked in step.fields:
                return step.key
        return START

    def state(self, step: Step) -> State:
        """Return how far a step is."""
        if step.sort == "car":
            return "done" if self.draft.before.title else "empty"
        if step.sort == "last":
            return "done" if self.is_whole() else "empty"
        if step.sort == "tapes":
            doubtful = survey_of(self._setup).doubtful if self._setup.tapes else ()
            return "doubt" if doubtful else "done" if self._setup.tapes else "empty"
        if any(self.error(name) for name in self._fields(step)):
            return "wrong"
        if any(question.key in step.fields for question in self.open_questions()):
            return "doubt"
        evidence = self._setup.readings
        filled = [key in evidence for key in step.fields]
        needed = [key for key in step.fields if is_needed(KEYS[key], evidence)]
        if all(filled) or (needed and all(key in evidence for key in needed)):
            return "done"
        return "begun" if any(filled) or self._is_begun(step) else "empty"

    def _fields(self, step: Step) -> tuple[str, ...]:
        if step.sort == "leaves":
            parts, rows = (*LEAF_FIELDS, WHOLE), range(MOST_LEAVES)
            known = (within_name(row, part) for row in (EVERY, *rows) for part in ASKED)
            return (*(field_name(LEAVES, row, part) for row in rows for part in parts), *known)
        if step.sort != "point":
            return (*step.fields, *chain.from_iterable(map(within_fields, step.fields)))
        return (*fields_of(step.key), *within_fields(step.key))

    def _is_begun(self, step: Step) -> bool:
        readings = self.draft.readings
        return any(readings[name].text for name in self._fields(step) if name in readings)

    def _names(self) -> list[str]:
        return [step.key for step in self.steps]

    def points_done(self) -> tuple[int, int]:
        """Return how many points are measured, and how many there are."""
        points = [step.key for step in self.steps if is_point(step.key)]
        return sum(key in self._setup.readings for key in points), len(points)
