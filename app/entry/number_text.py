"""A number as a field shows it, so that it can be changed."""

from __future__ import annotations

from app.document.entries import parse_value
from app.document.model import Units
from app.document.quantities import INCH
from app.document.units import exact_number, inch_fraction


def field_text(value: float, kind: str, units: Units, decimal: str) -> str:
    """Return a value for a field: a fraction of an inch where it is exactly one."""
    fraction = inch_fraction(value / INCH) if kind == "length" and units == "in" else None
    if fraction is not None and abs(parse_value(fraction, kind, units) - value) < 1e-9:
        return fraction
    return exact_number(value, kind, units, decimal=decimal)
