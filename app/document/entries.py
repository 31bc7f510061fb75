"""What people type, read as a value: both decimal signs, fractions, and a unit if they like."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from app.document.bounds import bound_words, ends_of
from app.document.model import Units
from app.document.quantities import DEGREE, INCH, POUND, POUND_FORCE, QUANTITIES

_SIGNS: Final = str.maketrans(
    {"−": "-", "–": "-", "‐": "-", "‑": "-", "\u2044": "/", "″": '"', "’": "'", "′": "'", "”": '"'}
)
OVER_NOUGHT: Final = "It must be more than 0."
_NUMBER: Final = re.compile(
    r"(?P<sign>[+-]?)\s*"
    r"(?:(?P<whole>\d+)[\s-]+(?P<over>\d+)\s*/\s*(?P<under>\d+)"
    r"|(?P<only_over>\d+)\s*/\s*(?P<only_under>\d+)"
    r"|(?P<number>\d+[.,]?\d*|[.,]\d+))"
)
_THOUSANDS: Final = re.compile(r"[1-9]\d{0,2}(?P<sign>[.,])\d{3}")
_MINUTES: Final = re.compile(
    r"(?P<sign>[+-]?)\s*(?:(?P<degrees>\d+)\s*°)?\s*(?P<minutes>\d+([.,]\d+)?)\s*'"
)
_UNITS: Final[dict[str, dict[str, float]]] = {
    "length": {
        "mm": 1.0,
        "cm": 10.0,
        "m": 1000.0,
        "in": INCH,
        "inch": INCH,
        "inches": INCH,
        '"': INCH,
        "''": INCH,
    },
    "angle": {"°": DEGREE, "deg": DEGREE, "degree": DEGREE, "degrees": DEGREE, "rad": 1.0},
    "mass": {"kg": 1.0, "lb": POUND, "lbs": POUND},
    "force": {"n": 1.0, "kn": 1000.0, "lbf": POUND_FORCE, "lb": POUND_FORCE, "lbs": POUND_FORCE},
    "spring rate": {
        "n/mm": 1.0,
        "kn/m": 1.0,
        "n/m": 0.001,
        "lbf/in": POUND_FORCE / INCH,
        "lb/in": POUND_FORCE / INCH,
        "lbs/in": POUND_FORCE / INCH,
    },
    "torque": {
        "nm": 1000.0,
        "nmm": 1.0,
        "lbfft": POUND_FORCE * 12 * INCH,
        "lbft": POUND_FORCE * 12 * INCH,
        "ftlb": POUND_FORCE * 12 * INCH,
        "ftlbf": POUND_FORCE * 12 * INCH,
    },
    "angle per length": {"°/mm": DEGREE, "°/in": DEGREE / INCH},
    "length per length": {"mm/mm": 1.0, "in/in": 1.0},
    "frequency": {"hz": 1.0},
    "percent": {"%": 1.0},
    "stress": {"n/mm²": 1.0, "n/mm2": 1.0, "mpa": 1.0, "gpa": 1000.0, "psi": POUND_FORCE / INCH**2},
}


class EntryError(ValueError):
    """A typed text that can't be read as the value; its message says what could be read."""


def parse_value(
    text: str, kind: str, units: Units, *, decimal: str = ".", most: float | None = None
) -> float:
    """Return the value inside of what was typed: "12.5", "12,5", "1 1/4", "1-1/4 in", "38 mm".

    A number without a unit is in the setup's. `decimal` is the sign the user's numbers are shown
    with: "1,234" is refused where it may as well mean 1234. So is what is larger than `most`
    (inside units), or than anything of its kind.
    """
    value = _value(text, kind, units, decimal)
    great = ends_of(kind, None, None, most)[2]
    if not abs(value) <= great:
        bound = bound_words(value, None, -great, great, kind, units).replace(".", decimal)
        unit = QUANTITIES[kind].unit(units)
        raise EntryError(
            f"“{_shortened(text)}” is too large: it can be {bound} {unit}".rstrip() + "."
        )
    return value + 0.0


def _value(text: str, kind: str, units: Units, decimal: str) -> float:
    plain = _plain(text)
    if not plain:
        raise EntryError(f"Nothing is entered: type a number{_in_unit(kind, units)}.")
    if kind == "angle" and (minutes := _MINUTES.fullmatch(plain)):
        return _degrees(minutes) * DEGREE
    match = _NUMBER.match(plain)
    if match is None:
        raise EntryError(f"“{text.strip()}” is no number: type one like 12.5, 12,5 or 1 1/4.")
    unit = plain[match.end() :].strip()
    _refuse_leftover(text, unit, kind)
    return _number(match, text, decimal) * _factor(unit, text, kind, units)


def _shortened(text: str) -> str:
    plain = text.strip()
    return plain if len(plain) < 24 else f"{plain[:20]}…"


def _plain(text: str) -> str:
    """Return the text with every kind of minus, space and fraction sign as the plain one."""
    spaced = "".join(" " if unicodedata.category(c) == "Zs" else c for c in text)
    for char in set(spaced):
        if unicodedata.category(char) == "No" and "⁄" in unicodedata.normalize("NFKC", char):
            spaced = spaced.replace(char, " " + unicodedata.normalize("NFKC", char))
    return " ".join(spaced.translate(_SIGNS).split())


def _number(match: re.Match[str], text: str, decimal: str) -> float:
    sign = -1.0 if match["sign"] == "-" else 1.0
    if match["number"] is None:
        whole = float(match["whole"] or 0)
        over = float(match["over"] or match["only_over"])
        under = float(match["under"] or match["only_under"])
        if under == 0.0:
            raise EntryError(f"“{text.strip()}” has nothing under its fraction line.")
        return sign * (whole + over / under)
    number = match["number"]
    thousands = _THOUSANDS.fullmatch(number)
    if thousands and thousands["sign"] != decimal:
        plain = number.replace(thousands["sign"], "")
        exact = number.replace(thousands["sign"], decimal)
        raise EntryError(f"“{text.strip()}” can mean two things: type {plain} or {exact}.")
    return sign * float(number.replace(",", "."))


def _degrees(match: re.Match[str]) -> float:
    minutes = float(match["minutes"].replace(",", "."))
    return (-1.0 if match["sign"] == "-" else 1.0) * (float(match["degrees"] or 0) + minutes / 60.0)


def _refuse_leftover(text: str, unit: str, kind: str) -> None:
    if re.match(r"[\d.,/+-]", unit):
        raise EntryError(f"“{text.strip()}” is no single number: type one like 12.5 or 1 1/4.")


def _factor(unit: str, text: str, kind: str, units: Units) -> float:
    """Return what the typed number is multiplied by: its own unit's size, or the setup's."""
    quantity = QUANTITIES[kind]
    if not unit:
        return quantity.factor(units)
    factors = dict(_UNITS.get(kind, {}))
    for name, size in (
        (quantity.mm_unit, quantity.mm_factor),
        (quantity.inch_unit, quantity.inch_factor),
    ):
        factors[_squeezed(name)] = size
    if _squeezed(unit) in factors:
        return factors[_squeezed(unit)]
    names = dict.fromkeys(filter(None, (quantity.mm_unit, quantity.inch_unit)))
    unit_words = f"the unit here is {' or '.join(names)}" if names else "this value has no unit"
    raise EntryError(f"“{unit}” is no unit that fits: {unit_words}.")


def _squeezed(unit: str) -> str:
    """Return a unit's name without what people write between its parts."""
    return re.sub(r"[\s·.*-]", "", unit).lower()


def _in_unit(kind: str, units: Units) -> str:
    unit = QUANTITIES[kind].unit(units)
    return f" in {'inches' if unit == 'in' else unit}" if unit else ""


def typed_step(text: str, number: float, present: float) -> float:
    """Return the move that something typed asks for, of a coordinate that is at `present` [mm].

    A plain number is a place; one with a sign before it is a move, and after "=" again a place.
    Where the coordinate is negative, a number near it is its new place: "-120" for -118.
    """
    plain = text.strip()
    if plain.startswith("=") or not plain.startswith(("+", "-", "−")):
        return number - present
    corrected = present < 0 > number and abs(number - present) <= abs(number) / 2
    return number - present if corrected else number
