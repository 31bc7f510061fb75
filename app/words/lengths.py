"""Lengths as they are said: a whole number or a fraction where one says it, else decimals."""

from __future__ import annotations

from app.document.model import Units
from app.document.quantities import INCH
from app.document.units import format_value, inch_fraction, number_of, unit_of


def length_words(length: float, units: Units, decimal: str = ".") -> str:
    """Return a length as it is said: "22 mm", "7/8 in", with no decimals it doesn't need."""
    if units == "in" and inch_fraction(length / INCH) is not None:
        return format_value(length, "length", units, fractions=True)
    return f"{shortened(number_of(length, 'length', units), decimal)} {unit_of('length', units)}"


def bench_length(length: float, units: Units, decimal: str) -> str:
    """Return a length to work to: a fraction of an inch where a rule has it, else a decimal."""
    if units == "in" and inch_fraction(length / INCH) is not None:
        return length_words(length, "in", decimal)
    return format_value(length, "length", units, decimal=decimal)


def bench_number(length: float, units: Units, decimal: str) -> str:
    """Return the same without its unit, for a column that names it."""
    return bench_length(length, units, decimal).removesuffix(f" {units}")


def shortened(number: str, decimal: str) -> str:
    """Return a number with a point as decimal sign without the zeros at its end."""
    short = number.rstrip("0").rstrip(".") if "." in number else number
    return short.replace(".", decimal)
