"""One value by itself, compared with what is usual; the likely slip is named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final, Literal, cast

from app.document.address import Point, is_right
from app.document.ends import END, end_of
from app.document.model import Setup, Vec
from app.document.quantities import DEGREE, INCH, POUND_FORCE, QUANTITIES
from app.document.schema import Key, Range
from app.document.units import MINUS, number_of, shown, unit_of

Doubt = tuple[str, str]  # kind, text

_PSI: Final = POUND_FORCE / INCH**2
_SLIPS: Final[Mapping[str, tuple[tuple[str, float], ...]]] = {  # the likelier in mm files first
    "length": (("m", 1000.0), ("cm", 10.0)),
    "mass": (("t", 1000.0),),
    "spring rate": (("N/m", 0.001),),
    "torque": (("N·mm", 1.0), ("kgf·m", 9806.65)),
    "torsional rate": (("N·m/rad", 1000.0), ("N·mm/°", 1.0 / DEGREE)),
    "damping": (("N·s/m", 0.001),),
    "inertia": (("kg·mm²", 1.0), ("kg·cm²", 100.0)),
    "stress": (
        ("GPa", 1000.0),
        ("kgf/mm²", 9.80665),
        ("Pa", 1e-6),
        ("ksi", 1e3 * _PSI),
        ("Msi", 1e6 * _PSI),
    ),
    "ratio": (("%", 0.01),),
}
_LONG_NAMES: Final = {"mm": "millimetres", "in": "inches"}
_SHARE: Final = 2.0  # a ratio that is usually less may have been typed as a percentage
_MANY: Final = 1e7  # numbers from here on are said with a power of ten
_COARSE: Final = 0.002  # and those of which rounding would hide more than this share
_AXIS_WORDS: Final = (
    ("ahead of", "behind", "the axle line"),
    ("left of", "right of", "the centreline"),
    ("above", "below", "the floor"),
)


def said(value: float, kind: str, setup: Setup) -> str:
    """Return a value with its unit as a question says it: what was typed can be recognised."""
    how = shown(kind, setup.units)
    unit = f"{'' if how.unit.startswith('°') else ' '}{how.unit}" if how.unit else ""
    return f"{_number(value, kind, setup)}{unit}"


def place_words(value: float, axis: int, text: str, datum: str = "") -> str:
    """Return a coordinate in words: "105 mm ahead of the axle line"; `text` is its size."""
    plus, minus, usual = _AXIS_WORDS[axis]
    if value == 0.0:
        return ("on the axle line", "on the centreline", "on the floor")[axis]
    return f"{text} {plus if value > 0 else minus} {datum or usual}"


def number_doubt(
    setup: Setup, title: str, kind: str, value: float, usual: Range
) -> Iterator[Doubt]:
    """Ask about a number far from what is usual."""
    if _is_in(value, usual):
        return
    here, other_unit = unit_of(kind, setup.units), unit_of(kind, _other(setup))
    question = f"{title}: {said(value, kind, setup)}? Usual is {_range_words(setup, kind, usual)}."
    other = _in_other_units(setup, kind, value)
    slip = _slip(setup, kind, value, usual)
    if other is not None and _is_in(other, usual):
        meant = said(value, kind, setup).removesuffix(here).strip()
        yield "unit", f"{question} Was {meant} {other_unit} meant?"
    elif _is_in(-value, usual):
        yield "sign", f"{question} Is the sign right?"
    elif slip:
        yield "unit", f"{question} {slip}"
    else:
        far = f"{title}: {said(value, kind, setup)} is far from the usual "
        yield "range", f"{far}{_range_words(setup, kind, usual)}. Read it once more."


def point_doubts(setup: Setup, key: Key, point: Vec) -> Iterator[Doubt]:
    """Ask about the coordinates of a point, each by itself."""
    ranges = cast(tuple[Range, Range, Range], key.usual)
    off = [axis for axis in range(3) if not _is_in(point[axis], ranges[axis])]
    if point[2] <= 0.0:
        size = said(abs(point[2]), "length", setup)
        where = "on the floor" if point[2] == 0.0 else f"{size} under the floor"
        yield "ground", f"z puts it {where}. Heights count upwards from it."
        off = [axis for axis in off if axis != 2]
    doubtful = [axis for axis in off if _other_unit_fits(setup, point[axis], ranges[axis])]
    if doubtful:
        yield "unit", _unit_words(setup, point, doubtful, _LONG_NAMES[_other(setup)])
    elif words := _metric_slip(setup, point, off, ranges):
        yield "unit", _unit_words(setup, point, off, words)
        return
    for axis in off:
        if axis not in doubtful:
            yield _axis_doubt(setup, key, point, axis, ranges[axis])


def _axis_doubt(setup: Setup, key: Key, point: Vec, axis: int, usual: Range) -> Doubt:
    size = said(abs(point[axis]), "length", setup)
    datum = END[end_of(key.name)].datum if axis == 0 else ""
    place = place_words(point[axis], axis, size, datum)
    if axis == 1 and _is_in(-point[1], usual):
        side = Point.at(key.name).side
        text = f"y puts it {place}, but this is the {side}-hand point. Left and right swapped?"
        return "side", text
    if _is_in(-point[axis], usual):
        return "sign", f"{'xyz'[axis]} puts it {place}. Is the sign right?"
    low, high = usual if axis != 1 or not is_right(key.name) else (-usual[1], -usual[0])
    words = _range_words(setup, "length", (low, high))
    return "range", f"{'xyz'[axis]} puts it {place}; usual is {words}. Read it once more."


def _slip(setup: Setup, kind: str, value: float, usual: Range) -> str:
    """Return which other unit of the trade the number may have been meant in."""
    typed = value / QUANTITIES[kind].factor(setup.units)
    slips = _SLIPS.get(kind, ())
    for unit, size in slips if setup.units == "mm" else reversed(slips):
        if unit == "%" and usual[1] > _SHARE:
            continue
        if _is_in(typed * size, usual):
            number = f"{typed:.6g}".replace("-", MINUS)
            return f"Was {said(typed * size, kind, setup)} meant ({number} {unit})?"
    return ""


def _other_unit_fits(setup: Setup, value: float, usual: Range) -> bool:
    """Tell whether the number would be usual in the other unit; not where 0 is usual anyway."""
    other = _in_other_units(setup, "length", value)
    return other is not None and not usual[0] <= 0.0 <= usual[1] and _is_in(other, usual)


def _metric_slip(
    setup: Setup, point: Vec, off: list[int], ranges: tuple[Range, Range, Range]
) -> str:
    """Return the metric unit in which every doubtful coordinate would be usual."""
    if len(off) < 2:  # one alone is rather a slip of the decimal sign
        return ""
    factor = QUANTITIES["length"].factor(setup.units)
    for words, size in (("metres", 1000.0), ("centimetres", 10.0)):
        if all(_is_in(point[axis] / factor * size, ranges[axis]) for axis in off):
            return words
    return ""


def _unit_words(setup: Setup, point: Vec, axes: list[int], other_unit: str) -> str:
    numbers = " and ".join(
        f"{'xyz'[axis]} {_number(point[axis], 'length', setup)}" for axis in axes
    )
    return f"{numbers} read as {_LONG_NAMES[setup.units]}: were {other_unit} meant?"


def _in_other_units(setup: Setup, kind: str, value: float) -> float | None:
    """Return the value if the same number had been meant in the other system of units."""
    quantity = QUANTITIES[kind]
    mine, other = quantity.factor(setup.units), quantity.factor(_other(setup))
    return None if mine == other else value / mine * other


def _other(setup: Setup) -> Literal["mm", "in"]:
    return "in" if setup.units == "mm" else "mm"


def _is_in(value: float, usual: Range) -> bool:
    return usual[0] <= value <= usual[1]


def _number(value: float, kind: str, setup: Setup) -> str:
    """Return the number, with a power of ten where decimals would round it to zero."""
    how = shown(kind, setup.units)
    number = value / how.size
    hidden = abs(round(number, how.places) - number) > _COARSE * abs(number)
    if not abs(number) < _MANY or hidden:
        return f"{number:.4g}".replace("-", MINUS)
    words = number_of(value, kind, setup.units)
    return words.rstrip("0").rstrip(".") if kind == "ratio" else words


def _range_words(setup: Setup, kind: str, usual: Range) -> str:
    """Return a usual range in round figures: it is a habit of such cars, not a tolerance."""
    how = shown(kind, setup.units)
    low, high = (_round(end / how.size) for end in usual)
    unit = f"{'' if how.unit.startswith('°') else ' '}{how.unit}" if how.unit else ""
    return f"{low} to {high}{unit}"


def _round(number: float) -> str:
    if abs(number) >= 20.0:
        return f"{number:.0f}".replace("-", MINUS)
    return f"{number:.2g}".replace("-", MINUS)
