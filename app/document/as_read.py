"""Readings as a shop's gauges give them, worked into the values of the file with their bands.

Each way of reading asks for what stands on the tape, the scale or the wall, and gives one or more
values. How sure each reading is goes through to the values; what was read goes into the car's
notes, so that the figures can be found again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Final, Literal

import numpy as np

from app.document.bounds import bound_words
from app.document.edits import clean_text
from app.document.ends import end_of, key_in
from app.document.entries import EntryError
from app.document.heights import heights_in_reach
from app.document.keys import KEYS, kind_of
from app.document.model import FrozenMap, Setup, Units, Value
from app.document.plain_text import lower_first
from app.document.units import number_of, unit_of
from geometry.dataclass import dataclass
from geometry.readings import angle_at_wall, angle_over, spread, toe_between
from geometry.vectors import Array

Figures = Mapping[str, float]
RIGHT: Final = "_right"


@dataclass(frozen=True, slots=True)
class Asked:
    """One figure that is asked for: its unit's kind, its usual uncertainty, what it starts with."""

    name: str
    title: str
    kind: str = "length"
    within: float = 0.5  # mm or kg, k = 2; common practice, no source
    may_be_left_out: bool = False
    starts_as: str = ""  # the key whose value it starts with
    sign: Literal["size", "gap", "either"] = "size"  # more than 0, 0 as well, or below it too


@dataclass(frozen=True, slots=True)
class AsRead:
    """One way of reading: what is asked, and what the file's values come to."""

    title: str
    how: str
    asked: tuple[Asked, ...]
    gives: tuple[str, ...]
    work: Callable[[Figures], Figures]
    says: Callable[[Figures, Units, str], str] = lambda _figures, _units, _decimal: ""


@dataclass(frozen=True, slots=True)
class Worked:
    """What readings come to: values by key, and their uncertainty, k = 2."""

    values: Mapping[str, float]
    within: Mapping[str, float]


def worked(way: AsRead, read: Figures, within: Figures) -> Worked:
    """Return what readings come to.

    `read` and `within` go by the names of what is asked, inside units.

    Raises
    ------
    EntryError
        Something is missing that may not be left out, or the readings are of no possible car.
    """
    for asked in way.asked:
        if asked.name not in read:
            if not asked.may_be_left_out:
                raise EntryError(f"{asked.title} is missing.")
        elif asked.sign == "size" and read[asked.name] <= 0.0:
            raise EntryError(f"{asked.title} must be more than 0.")
        elif asked.sign == "gap" and read[asked.name] < 0.0:
            raise EntryError(f"{asked.title} can't be below 0.")
        if within.get(asked.name, 0.0) < 0.0:
            raise EntryError(f"{asked.title}: how well it is read can't be below 0; 0 is exact.")
    try:
        values = way.work(read)
        names = tuple(read)
        keys = tuple(values)

        def figures(readings: Array) -> Array:
            results = way.work(dict(zip(names, map(float, readings), strict=True)))
            return np.array([results[key] for key in keys])

        spreads = spread(figures, list(read.values()), [within.get(name, 0.0) for name in names])
    except KeyError as missing:
        (name,) = missing.args
        raise EntryError(f"{_title(way, name)} is missing.") from None
    except (ValueError, ZeroDivisionError):
        raise EntryError("These readings can't be of one car: look at them again.") from None
    return Worked(values, dict(zip(keys, map(float, spreads), strict=True)))


def bound_error(setup: Setup, result: Worked) -> str:
    """Return which value is out of what the file may hold; nothing where all are within."""
    for name, value in result.values.items():
        key = KEYS[name]
        kind = kind_of(name, setup.readings)
        words = bound_words(value, key.over, key.least, key.most, kind, setup.units)
        if words:
            return f"{key.title} must be {words}: look at the readings again."
    return ""


def as_kept(setup: Setup, result: Worked) -> Figures:
    """Return the values that are written: no right wheel's that is the left's in a car alike."""
    return {
        key: value
        for key, value in result.values.items()
        if not key.endswith(RIGHT)
        or key in setup.readings
        or value != result.values.get(key.removesuffix(RIGHT))
    }


def with_readings(setup: Setup, result: Worked, note: str) -> Setup:
    """Return the setup with the values that readings come to; a note is added to the car's."""
    readings, within = dict(setup.readings), dict(setup.within)
    for key, value in as_kept(setup, result).items():
        readings[key] = value
        within.pop(key, None)
        if result.within[key] > 0.0:
            within[key] = result.within[key]
    notes = "\n".join(filter(None, (setup.notes.rstrip("\n"), clean_text(note))))
    after = setup.having(evidence=FrozenMap(readings), within=FrozenMap(within), notes=notes)
    return heights_in_reach(after)


def note_of(way: AsRead, read: Figures, units: Units, decimal: str = ".") -> str:
    """Return what was read, in a line for the car's notes."""
    parts = [
        f"{lower_first(asked.title)} {_figure(read[asked.name], asked.kind, units, decimal)}"
        for asked in way.asked
        if asked.name in read
    ]
    return f"{way.title}: {', '.join(parts)}."


def start_of(asked: Asked, values: Mapping[str, Value]) -> float | None:
    """Return the figure that a field starts with, where the car has one already."""
    value = values.get(asked.starts_as)
    return float(value) if isinstance(value, int | float) else None


def ways_for(keys: tuple[str, ...]) -> tuple[AsRead, ...]:
    """Return the ways of reading that give any of these values."""
    return tuple(way for way in WAYS if set(keys) & set(way.gives))


def ways_of(setup: Setup) -> tuple[AsRead, ...]:
    """Return the ways of reading that fit what the car has."""
    ends = {end_of(key) for key in setup.readings} | {"car"}
    return tuple(way for way in WAYS if end_of(way.gives[0]) in ends)


def _title(way: AsRead, name: str) -> str:
    return next(asked.title for asked in way.asked if asked.name == name)


def _figure(value: float, kind: str, units: Units, decimal: str) -> str:
    unit = unit_of(kind, units)
    return f"{number_of(value, kind, units, decimal=decimal)} {unit}".rstrip()


# --- the ways -----------------------------------------------------------------------------------

_TOE: Final = ("front.toe", "front.toe_right")
_CAMBER: Final = ("front.camber", "front.camber_right")
_BEAM: Final = 1.0  # mm: the spot of a level on a wall, to its middle


def _both(keys: tuple[str, str], angle: Callable[[str], float], read: Figures) -> Figures:
    """Return both wheels' values; a right wheel that wasn't read is as the left."""
    left = angle("left")
    has_right = any(name.startswith("right") for name in read)
    return {keys[0]: left, keys[1]: angle("right") if has_right else left}


def _toe_between(read: Figures) -> Figures:
    toe = toe_between(read["ahead"], read["behind"], read["over"])
    return dict.fromkeys(_TOE, toe)


def _toe_each(read: Figures) -> Figures:
    return _both(_TOE, lambda side: angle_over(read[side], read["over"]), read)


def _at_wall(keys: tuple[str, str], read: Figures) -> Figures:
    """Return toe-in of a spot nearer to the centreline, or camber of a spot lower."""

    def angle(side: str) -> float:
        return angle_at_wall(read[f"{side}_start"] - read[f"{side}_spot"], read["distance"])

    return _both(keys, angle, read)


def _camber_by_plumb(read: Figures) -> Figures:
    def angle(side: str) -> float:
        return angle_over(read[f"{side}_low"] - read[f"{side}_high"], read["over"])

    return _both(_CAMBER, angle, read)


_SCALES: Final = ("front_left", "front_right", "rear_left", "rear_right")


def _weights(read: Figures) -> Figures:
    total = sum(read[name] for name in _SCALES)
    return {
        "car.mass": total,
        "car.front_share": (read["front_left"] + read["front_right"]) / total,
    }


def _weights_words(read: Figures, units: Units, decimal: str) -> str:
    total = sum(read[name] for name in _SCALES)
    left = (read["front_left"] + read["rear_left"]) / total
    cross = (read["front_left"] + read["rear_right"]) / total
    return (
        f"{_share(left, decimal)} stands on the left wheels, {_share(cross, decimal)} on the left "
        "front and right rear. Both sides are computed with half of their axle's load."
    )


def _share(share: float, decimal: str) -> str:
    return f"{100.0 * share:.1f} %".replace(".", decimal)


def _stroke(end: str, read: Figures) -> Figures:
    closed = read["between"] - read["showing"]
    if read.get("stroke", read["showing"]) < read["showing"]:
        raise ValueError("the rod shows more than its whole stroke")
    given = {key_in(end, "damper.closed_length"): closed}
    if "stroke" in read:
        given[key_in(end, "damper.open_length")] = closed + read["stroke"]
    return given


def _stroke_words(read: Figures, units: Units, decimal: str) -> str:
    used, left = (_figure(read[name], "length", units, decimal) for name in ("tie", "showing"))
    return f"The damper has closed by {used} of the {left} that it has, since the tie was set."


def _stroke_way(end: str, title: str) -> AsRead:
    return AsRead(
        title,
        "Push a cable tie down the rod onto the body of the damper, drive, let the car come to "
        "rest on level ground, and read. Closed is where rod and bump rubber would be used up; "
        "the whole stroke is read with the damper off the car, or left out.",
        (
            Asked("between", "Between the eyes, at rest"),
            Asked("showing", "Rod showing at rest, up to where it stops", sign="gap"),
            Asked("tie", "From the body to the tie", sign="gap"),
            Asked("stroke", "Whole stroke of the rod", may_be_left_out=True),
        ),
        (key_in(end, "damper.closed_length"), key_in(end, "damper.open_length")),
        partial(_stroke, end),
        _stroke_words,
    )


def _travel(end: str, read: Figures) -> Figures:
    per_mm = read["wheel"] / read["moved"]
    given = {key_in(end, "travel.bump"): read["showing"] * per_mm}
    if "out" in read:
        given[key_in(end, "travel.rebound")] = read["out"] * per_mm
    return given


def _travel_words(read: Figures, units: Units, decimal: str) -> str:
    per_mm = f"{read['wheel'] / read['moved']:.2f}".replace(".", decimal)
    return f"The wheel goes {per_mm} as far as the damper, taken as the same all the way."


def _travel_way(end: str, title: str) -> AsRead:
    return AsRead(
        title,
        "Push a cable tie down the rod onto the body of the damper. Load the car until the wheel "
        "has gone up into the body by a few cm, read by how much, and by how far the tie has been "
        "pushed up the rod: that is how far the wheel goes for the damper. Then unload it, and "
        "read the rod at rest. The rod's way out is read with the wheel hanging, or left out.",
        (
            Asked("wheel", "Wheel gone up into the body, at the arch"),
            Asked("moved", "Tie moved along the rod then"),
            Asked("showing", "Rod showing at rest, up to where it stops", sign="gap"),
            Asked("out", "Rod come out further, wheel hanging", may_be_left_out=True, sign="gap"),
        ),
        (key_in(end, "travel.bump"), key_in(end, "travel.rebound")),
        partial(_travel, end),
        _travel_words,
    )


def _sides(
    first: tuple[str, str],
    second: tuple[str, str],
    within: float,
    sign: Literal["gap", "either"] = "either",
) -> tuple[Asked, ...]:
    """Return two figures asked for the left wheel, and for the right one where it is read."""
    return tuple(
        Asked(
            f"{side}_{name}",
            f"{side.capitalize()} wheel: {words}",
            within=within,
            may_be_left_out=optional,
            sign=sign,
        )
        for side, optional in (("left", False), ("right", True))
        for name, words in (first, second)
    )


WAYS: Final = (
    AsRead(
        "Toe between the wheels",
        "Two widths between the same marks, rims or rods on both wheels, ahead of the axle and "
        "behind it, at hub height. Each wheel gets half. Smaller ahead is toe-in.",
        (
            Asked("ahead", "Width ahead of the axle"),
            Asked("behind", "Width behind the axle"),
            Asked("over", "Between the marks ahead and behind", starts_as="front.toe_diameter"),
        ),
        _TOE,
        _toe_between,
    ),
    AsRead(
        "Toe of each wheel as a length",
        "From a string or the centreline: by how much the wheel's front mark stands nearer to "
        "the car's middle than its rear mark. Further out is minus.",
        (
            Asked("left", "Left wheel: front mark nearer by", sign="either"),
            Asked("right", "Right wheel: front mark nearer by", "length", 0.5, True, sign="either"),
            Asked("over", "Between the front and the rear mark", starts_as="front.toe_diameter"),
        ),
        _TOE,
        _toe_each,
    ),
    AsRead(
        "Toe by a beam to a wall ahead",
        "A beam along the wheel to a wall square to the centreline. Never look into a laser.",
        (
            Asked("distance", "From the beam's start to the wall"),
            *_sides(
                ("start", "beam's start from the centreline"),
                ("spot", "spot from the centreline"),
                _BEAM,
            ),
        ),
        _TOE,
        partial(_at_wall, _TOE),
    ),
    AsRead(
        "Camber by a beam to a wall beside",
        "A beam square to the wheel, outwards to an upright wall. A spot lower than the beam's "
        "start is a wheel that leans out at the top. Never look into a laser.",
        (
            Asked("distance", "From the beam's start to the wall"),
            *_sides(("start", "height of the beam's start"), ("spot", "height of the spot"), _BEAM),
        ),
        _CAMBER,
        partial(_at_wall, _CAMBER),
    ),
    AsRead(
        "Camber by a plumb line",
        "A plumb line beside the wheel: its distance from the rim's edge at the top and at the "
        "bottom, and the length between both places.",
        (
            Asked("over", "Between the upper and the lower place"),
            *_sides(
                ("high", "line to rim at the top"), ("low", "line to rim at the bottom"), 0.5, "gap"
            ),
        ),
        _CAMBER,
        _camber_by_plumb,
    ),
    AsRead(
        "Weights by wheel",
        "All four scales level and read at once, or each wheel in turn with the other three on "
        "pads of the scale's height. As driven, with fluids and driver.",
        tuple(Asked(name, name.replace("_", " ").capitalize(), "mass", 2.0) for name in _SCALES),
        ("car.mass", "car.front_share"),
        _weights,
        _weights_words,
    ),
    _stroke_way("front", "Front damper's stroke by cable tie"),
    _stroke_way("rear", "Rear damper's stroke by cable tie"),
    _travel_way("front", "Front wheel's travel by cable tie"),
    _travel_way("rear", "Rear wheel's travel by cable tie"),
)
