"""Lengths as they are said: a whole number or a fraction where one says it, else decimals."""

from __future__ import annotations

from math import gcd
from typing import Final

from app.document.model import Units
from app.document.quantities import INCH
from app.document.units import MINUS, number_of, unit_of

FINEST: Final = 64  # parts of an inch that a good rule has
THIN: Final = 0.05  # of a length: a larger miss is for a gauge
NOTHING: Final = 0.0005  # in, that no gauge shows


def length_words(length: float, units: Units, decimal: str = ".") -> str:
    """Return a length as it is said: "22 mm", "7/8 in", with no decimals it doesn't need."""
    if units == "in":
        return bench_length(length, units, decimal)
    return f"{shortened(number_of(length, 'length', units), decimal)} {unit_of('length', units)}"


def bench_length(length: float, units: Units, decimal: str) -> str:
    """Return a length to work to: the nearest 64th of an inch, as on all of a sheet in inches."""
    return f"{bench_number(length, units, decimal)} {unit_of('length', units)}"


def bench_number(length: float, units: Units, decimal: str) -> str:
    """Return the same without its unit, for a column that names it.

    What is so thin that a 64th misses it by too much is for a gauge, and in decimals: a shim.
    """
    if units == "in":
        count = round(abs(length) / INCH * FINEST)
        miss = abs(abs(length) / INCH - count / FINEST)
        if miss <= max(THIN * abs(length) / INCH, NOTHING):
            return f"{MINUS if length < 0 and count else ''}{_fraction(count)}"
    return number_of(length, "length", units, decimal=decimal)


def ruled_number(length: float, units: Units, decimal: str) -> str:
    """Return a place or a tolerance as a rule shows it: the nearest 64th, however small."""
    if units == "mm":
        return number_of(length, "length", units, decimal=decimal)
    count = round(abs(length) / INCH * FINEST)
    return f"{MINUS if length < 0 and count else ''}{_fraction(count)}"


def _fraction(count: int) -> str:
    """Return so many 64ths as a rule shows them: "1 1/4"."""
    whole, rest = divmod(count, FINEST)
    parts = [str(whole)] if whole or not rest else []
    common = gcd(rest, FINEST)
    return " ".join([*parts, f"{rest // common}/{FINEST // common}"] if rest else parts)


def shortened(number: str, decimal: str) -> str:
    """Return a number with a point as decimal sign without the zeros at its end."""
    short = number.rstrip("0").rstrip(".") if "." in number else number
    return short.replace(".", decimal)
