"""What looks mistyped or misread in a car: questions, never faults; nothing changes.

`questions` asks about what was measured, `all_questions` about what the changes do as well.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from dataclasses import field, replace
from functools import lru_cache
from typing import Final, Literal, cast

from app.document.address import is_right, left_of
from app.document.keys import KEYS, is_point, kind_of
from app.document.leaf_parts import LEAVES, LeafPart, leaf_part, measured_number
from app.document.model import Change, FrozenMap, Leaf, Setup, Value, Vec, widest
from app.document.moves import BY_VALUE, proposed_values
from app.document.plausible_front import front_doubts
from app.document.plausible_rear import leaf_doubts, rear_doubts
from app.document.plausible_values import number_doubt, place_words, point_doubts, said
from app.document.point_names import point_title
from app.document.schema import (
    LEAF_KINDS,
    LEAF_USUAL,
    LEAF_WITHIN_USUAL,
    MAIN_LEAF_USUAL,
    Key,
    Range,
)
from app.document.usual_within import most_within
from geometry.dataclass import dataclass

__all__ = [
    "WITHIN",
    "Question",
    "all_questions",
    "change_questions",
    "place_words",
    "questions",
    "told",
]

Kind = Literal[
    "unit",  # inches typed as millimetres, or the other way round; GPa for N/mm²
    "side",  # left and right mixed up
    "sign",
    "range",  # far from what such cars have
    "ground",
    "duplicate",
    "order",  # front and rear, upper and lower, open and closed mixed up
    "wheel",  # an arm through wheel or tyre
    "disagree",  # two measurements that can't both be right
    "reach",  # a tie rod that can't turn the wheel
]
Part = tuple[int | str, ...]

WITHIN: Final[Part] = ("within",)
_ZERO_IS_EXACT: Final = ("sheet.measured_within", "sheet.datum_within")
LARGE_MOVE: Final = 60.0  # mm; a shorter one leaves a point about where it was measured
_OF_A_CHANGE: Final = ("unit", "side", "sign", "range", "ground", "duplicate", "order", "wheel")


@dataclass(frozen=True, slots=True)
class Question:
    """A doubt about one key, in plain words; equal ones are the same doubt, already answered."""

    key: str
    text: str
    kind: Kind
    change: int | None = None  # the change that sets or moves it; None: it is measured
    part: Part = ()  # of the value: a leaf's place and field, or what a point is measured within
    title: str = field(default="", compare=False)  # of the key on this car; empty as in the schema

    @property
    def within_key(self) -> str:
        """The number whose uncertainty is asked about; empty where a value itself is."""
        if self.part[-1:] != WITHIN:
            return ""
        place, name = self.part[:2] if len(self.part) > 1 else (None, "")
        return LeafPart(place, str(name)).key if isinstance(place, int) else self.key


def told(question: Question) -> str:
    """Return a question in words that name what they are about."""
    title = question.title or KEYS[question.key].title
    named = question.part or question.text.startswith(title)
    return question.text if named else f"{title}: {question.text}"


def questions(setup: Setup) -> tuple[Question, ...]:
    """Return what should be looked at again as measured; the car needn't be complete."""
    by_itself = [*_value_doubts(setup), *_within_doubts(setup)]
    doubted = {question.key for question in by_itself if not question.part}
    between = _between(setup, doubted)
    return tuple(dict.fromkeys([*by_itself, *between]))


@lru_cache(maxsize=4)
def all_questions(setup: Setup) -> tuple[Question, ...]:
    """Return what should be looked at again, as measured and in the changes, on or off."""
    return (*questions(setup), *change_questions(setup))


def _between(setup: Setup, doubted: set[str]) -> Iterator[Question]:
    """Compare values with each other; what is doubted already isn't blamed on its neighbours."""
    doubtful = _compared(setup)
    if not doubted:
        return iter(doubtful)
    rest = {key: value for key, value in setup.evidence.items() if key not in doubted}
    sound = set(_compared(setup.having(evidence=FrozenMap(rest), tapes=())))
    return (
        each
        for each in doubtful
        if each in sound or (each.key in doubted and each.kind not in ("range", "wheel"))
    )


def _compared(setup: Setup) -> list[Question]:
    doubts = [*front_doubts(setup), *rear_doubts(setup)]
    return [
        Question(key, text, cast(Kind, kind), title=point_title(key, setup.evidence))
        for key, kind, text in doubts
    ]


def _value_doubts(setup: Setup) -> Iterator[Question]:
    """Compare each value by itself with what is usual, and name the likely slip."""
    for name, value in setup.evidence.items():
        if name in KEYS:
            yield from _doubts_of(setup, KEYS[name], value)


def _doubts_of(setup: Setup, key: Key, value: Value) -> Iterator[Question]:
    if key.kind == "point":
        for kind, text in point_doubts(setup, key, cast(Vec, value)):
            title = point_title(key.name, setup.evidence)
            yield Question(key.name, text, cast(Kind, kind), title=title)
    elif key.kind == "leaves":
        yield from _leaf_by_leaf(setup, key, cast("tuple[Leaf, ...]", value))
    elif key.is_number:
        quantity = kind_of(key.name, setup.evidence)
        usual = key.usual if quantity == key.kind else key.torsion_usual
        if usual is not None and (value or key.name not in _ZERO_IS_EXACT):
            number = cast(float, value)
            for kind, text in number_doubt(setup, key.title, quantity, number, cast(Range, usual)):
                yield Question(key.name, text, cast(Kind, kind))


def _leaf_by_leaf(setup: Setup, key: Key, leaves: tuple[Leaf, ...]) -> Iterator[Question]:
    doubted: set[Part] = set()
    for at, leaf in enumerate(leaves):
        for part, usual in {**LEAF_USUAL, **(MAIN_LEAF_USUAL if at == 0 else {})}.items():
            value = getattr(leaf, part)
            if value is not None:
                title = f"Leaf {at + 1}, {part.replace('_', ' ')}"
                for kind, text in number_doubt(setup, title, LEAF_KINDS[part], value, usual):
                    doubted.add((at, part))
                    yield Question(key.name, text, cast(Kind, kind), part=(at, part))
    for at, part, text in leaf_doubts(leaves):
        if (at - 1, part) not in doubted:
            yield Question(key.name, text, "order", part=(at, part))


def _within_doubts(setup: Setup) -> Iterator[Question]:
    usual = cast(Range, KEYS["sheet.measured_within"].usual)
    for name, within in setup.within.items():
        value = measured_number(setup, name)
        if value is not None and widest(within) > most_within(name, value):
            yield _wider(setup, name, widest(within), value)
        elif (leaf := leaf_part(name)) is not None and widest(within):
            yield from _of_a_leaf(setup, leaf, widest(within))
        if not is_point(name) or not widest(within):  # 0 is exact
            continue
        title = f"{point_title(name, setup.evidence)}, measured within ±"
        for kind, text in number_doubt(setup, title, "length", widest(within), usual):
            yield Question(name, text, cast(Kind, kind), part=WITHIN)


def _wider(setup: Setup, name: str, within: float, value: float) -> Question:
    """Ask about a number that is said to be off by more than itself."""
    leaf = leaf_part(name)
    kind = kind_of(name, setup.readings) if leaf is None else leaf.kind
    title = KEYS[name].title if leaf is None else leaf.title
    text = (
        f"{title}, measured within ±: {said(within, kind, setup)} is more than the value itself, "
        f"{said(value, kind, setup)}, and no more than that is counted. Read it once more."
    )
    part = WITHIN if leaf is None else (leaf.place, leaf.name, "within")
    return Question(name if leaf is None else LEAVES, text, "range", part=part)


def _of_a_leaf(setup: Setup, leaf: LeafPart, within: float) -> Iterator[Question]:
    title, usual = f"{leaf.title}, measured within ±", LEAF_WITHIN_USUAL[leaf.name]
    for kind, text in number_doubt(setup, title, leaf.kind, within, usual):
        part: Part = (leaf.place, leaf.name, "within")
        yield Question(LEAVES, text, cast(Kind, kind), part=part)


def change_questions(setup: Setup) -> tuple[Question, ...]:
    """Return what each change, by itself, makes questionable, whether it is on or off."""
    if not setup.changes:
        return ()
    doubtful = list(_moves_without_effect(setup))
    new = {key: value for change in setup.changes for key, value in _new_points(setup, change)}
    for at, change in enumerate(setup.changes):
        if change.sets or _is_large(change):
            others = {key: value for key, value in new.items() if key not in change.sets}
            evidence = FrozenMap({**others, **setup.evidence})
            base = setup.having(evidence=evidence, within=FrozenMap(), tapes=())  # adjusted already
            doubtful += _of_a_change(base, _asked_before(base), at, change)
    return tuple(dict.fromkeys(doubtful))


def _moves_without_effect(setup: Setup) -> Iterator[Question]:
    """Ask about moves of points that only a value moves."""
    for at, change in enumerate(setup.changes):
        for key in sorted(BY_VALUE & {*change.moves, *change.sets}):
            if key in change.moves or key in setup.evidence:
                text = "By itself this moves nothing: the pinion turns with the axle."
                text = f"{text} Is rear.wedge meant?"
                yield Question(key, text, "disagree", change=at)


@lru_cache(maxsize=4)
def _asked_before(base: Setup) -> frozenset[Question]:
    return frozenset(questions(base))


def _new_points(setup: Setup, change: Change) -> Iterator[tuple[str, Value]]:
    for key, value in change.sets.items():
        if KEYS[key].kind == "point" and left_of(key) not in setup.evidence:
            yield key, value


def _is_large(change: Change) -> bool:
    return any(abs(step) > LARGE_MOVE for move in change.moves.values() for step in move)


def _of_a_change(
    base: Setup, before: frozenset[Question], at: int, change: Change
) -> Iterator[Question]:
    values_set = [(KEYS[key], value) for key, value in change.sets.items()]
    own = [each for key, value in values_set for each in _doubts_of(base, key, value)]
    alone = base.having(changes=(replace(change, on=True),))
    after = questions(base.having(evidence=proposed_values(alone)))
    touched = (*change.sets, *_large_moves(change))
    doubted = {left_of(each.key) for each in before} - change.sets.keys()  # not by this change
    known = {*before, *own, *(each for each in after if left_of(each.key) in doubted)}
    new = [each for each in after if each not in known and touched]
    doubted_kinds = {(each.key, each.kind) for each in (*own, *new)}
    for doubt in (*own, *new):
        if doubt.key not in touched and _mirrors_one(doubt, doubted_kinds):
            continue
        if doubt.key in change.sets or (doubt.kind in _OF_A_CHANGE and doubt.key in touched):
            yield replace(doubt, change=at)
        elif doubt.kind in _OF_A_CHANGE and doubt.key not in change.moves:
            yield replace(doubt, key=_nearest(doubt.key, touched), part=(), change=at)


def _mirrors_one(doubt: Question, asked: Set[tuple[str, str]]) -> bool:
    """Tell whether the left-hand point is asked about alike: its job is done on both sides."""
    return is_right(doubt.key) and (left_of(doubt.key), doubt.kind) in asked


def _large_moves(change: Change) -> Iterable[str]:
    return (key for key, move in change.moves.items() if any(abs(s) > LARGE_MOVE for s in move))


def _nearest(key: str, touched: tuple[str, ...]) -> str:
    """Return the value of a change that brings a doubt about another: its neighbour if it can."""
    return max(touched, key=lambda each: _shared(each, key))


def _shared(one: str, other: str) -> int:
    pairs = zip(one, other, strict=False)
    return next((n for n, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))
