"""What looks mistyped or misread in a measured car: questions, never faults; nothing changes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal, cast

from app.document.keys import KEYS, kind_of, left_of
from app.document.model import Setup, Vec
from app.document.plausible_layout import layout_doubts
from app.document.quantities import QUANTITIES
from app.document.schema import Key, Range
from app.document.units import format_value, shown, unit_of

Kind = Literal[
    "unit",  # inches typed as millimetres, or the other way round
    "side",  # left and right mixed up
    "sign",
    "range",  # far from what such cars have
    "ground",
    "duplicate",
    "order",  # front and rear, upper and lower, inner and outer mixed up
    "wheel",  # an arm through wheel or tyre
    "disagree",  # two measurements that can't both be right
    "reach",  # a tie rod that can't turn the wheel
]
_INCH: Final = 25.4
_AXIS_WORDS: Final = (
    ("ahead of", "behind", "the axle line"),
    ("left of", "right of", "the centreline"),
    ("above", "below", "the floor"),
)


@dataclass(frozen=True, slots=True)
class Question:
    """A doubt about one key, in plain words; equal ones are the same doubt, already answered."""

    key: str
    text: str
    kind: Kind


def questions(setup: Setup) -> tuple[Question, ...]:
    """Return what should be looked at again; the car needn't be complete."""
    found = [*_value_doubts(setup), *_layout_doubts(setup)]
    return tuple(dict.fromkeys(found))


def place_words(value: float, axis: int, text: str) -> str:
    """Return a coordinate in words: "105 mm ahead of the axle line"; `text` is its size."""
    plus, minus, datum = _AXIS_WORDS[axis]
    if value == 0.0:
        return ("on the axle line", "on the centreline", "on the floor")[axis]
    return f"{text} {plus if value > 0 else minus} {datum}"


def _layout_doubts(setup: Setup) -> Iterator[Question]:
    for key, kind, text in layout_doubts(setup):
        yield Question(key, text, cast(Kind, kind))


def _value_doubts(setup: Setup) -> Iterator[Question]:
    """Compare each value by itself with what is usual, and name the likely slip."""
    for name, value in setup.evidence.items():
        key = KEYS.get(name)
        if key is None or not name.startswith(("front.", "car.", "sheet.")):
            continue
        if key.kind == "point":
            yield from _point_doubts(setup, key, cast(Vec, value))
        elif key.usual is not None and not key.torsion and isinstance(value, int | float):
            yield from _number_doubt(setup, key, float(value), cast(Range, key.usual))
        elif key.torsion and kind_of(name, setup.evidence) == key.kind:
            yield from _number_doubt(setup, key, cast(float, value), cast(Range, key.usual))


def _number_doubt(setup: Setup, key: Key, value: float, usual: Range) -> Iterator[Question]:
    if _is_in(value, usual):
        return
    said = format_value(value, key.kind, setup.units)
    range_words = _range_words(setup, key.kind, usual)
    other = _in_other_units(setup, key.kind, value)
    if other is not None and _is_in(other, usual):
        here, there = unit_of(key.kind, setup.units), unit_of(key.kind, _other(setup))
        meant = format_value(value, key.kind, setup.units).removesuffix(here).strip()
        text = f"{key.title}: {said}? Usual is {range_words}. Was {meant} {there} meant?"
        yield Question(key.name, text, "unit")
    elif _is_in(-value, usual):
        text = f"{key.title}: {said}? Usual is {range_words}. Is the sign right?"
        yield Question(key.name, text, "sign")
    else:
        text = f"{key.title}: {said} is far from the usual {range_words}. Read it once more."
        yield Question(key.name, text, "range")


def _point_doubts(setup: Setup, key: Key, point: Vec) -> Iterator[Question]:
    ranges = cast(tuple[Range, Range, Range], key.usual)
    off = [axis for axis in range(3) if not _is_in(point[axis], ranges[axis])]
    if point[2] <= 0.0:
        said = format_value(abs(point[2]), "length", setup.units)
        where = "on the floor" if point[2] == 0.0 else f"{said} under the floor"
        yield Question(key.name, f"z puts it {where}. Heights count upwards from it.", "ground")
        off = [axis for axis in off if axis != 2]
    doubtful = [axis for axis in off if _unit_slip(setup, point[axis], ranges[axis])]
    if doubtful:
        yield Question(key.name, _unit_words(setup, point, doubtful), "unit")
    for axis in off:
        if axis not in doubtful:
            yield _axis_doubt(setup, key, point, axis, ranges[axis])


def _axis_doubt(setup: Setup, key: Key, point: Vec, axis: int, usual: Range) -> Question:
    said = place_words(point[axis], axis, format_value(abs(point[axis]), "length", setup.units))
    is_right = left_of(key.name) != key.name
    if axis == 1 and _is_in(-point[1], usual):
        side = "right" if is_right else "left"
        text = f"y puts it {said}, but this is the {side}-hand point. Left and right swapped?"
        return Question(key.name, text, "side")
    if _is_in(-point[axis], usual):
        return Question(key.name, f"{'xyz'[axis]} puts it {said}. Is the sign right?", "sign")
    low, high = usual if axis != 1 or not is_right else (-usual[1], -usual[0])
    words = _range_words(setup, "length", (low, high))
    text = f"{'xyz'[axis]} puts it {said}; usual is {words}. Read it once more."
    return Question(key.name, text, "range")


def _unit_slip(setup: Setup, value: float, usual: Range) -> bool:
    """Tell whether the number would be usual in the other unit; not where 0 is usual anyway."""
    other = _in_other_units(setup, "length", value)
    return other is not None and not usual[0] <= 0.0 <= usual[1] and _is_in(other, usual)


def _unit_words(setup: Setup, point: Vec, axes: list[int]) -> str:
    here, there = setup.units, _other(setup)
    numbers = " and ".join(
        f"{'xyz'[axis]} {format_value(point[axis], 'length', here).removesuffix(here).strip()}"
        for axis in axes
    )
    words = {"mm": "millimetres", "in": "inches"}
    return f"{numbers} read as {words[here]}: were {words[there]} meant?"


def _in_other_units(setup: Setup, kind: str, value: float) -> float | None:
    """Return the value if the same number had been meant in the other system of units."""
    quantity = QUANTITIES[kind]
    mine, other = quantity.factor(setup.units), quantity.factor(_other(setup))
    return None if mine == other else value / mine * other


def _other(setup: Setup) -> Literal["mm", "in"]:
    return "in" if setup.units == "mm" else "mm"


def _is_in(value: float, usual: Range) -> bool:
    return usual[0] <= value <= usual[1]


def _range_words(setup: Setup, kind: str, usual: Range) -> str:
    """Return a usual range in round figures: it is a habit of such cars, not a tolerance."""
    how = shown(kind, setup.units)
    low, high = (_round(end / how.size) for end in usual)
    unit = f"{'' if how.unit.startswith('°') else ' '}{how.unit}" if how.unit else ""
    return f"{low} to {high}{unit}"


def _round(number: float) -> str:
    if abs(number) >= 20.0:
        return f"{number:.0f}".replace("-", "−")
    return f"{number:.2g}".replace("-", "−")
