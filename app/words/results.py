"""Results as figures and words: decimals, unit, sign, limit. No Qt: screen, sheet and report."""

from __future__ import annotations

from typing import Final

from app.document.model import Limit, Units
from app.document.units import MINUS, NO_VALUE, number_of, shown
from geometry.catalogue.front import Result

_OWN_PLACES: Final = ("angle", "ratio", "percent")


def result_unit(result: Result, units: Units) -> str:
    """Return the unit in which a result is shown; empty for a bare number."""
    return shown(result.kind, units).unit


def places_of(result: Result, units: Units) -> int:
    """Return the decimals of a result: its own, or its kind's where units change the size."""
    if result.kind == "length":
        return result.decimals if units == "mm" else result.decimals + 1
    if result.kind in _OWN_PLACES:
        return result.decimals
    return shown(result.kind, units).places


def result_number(
    value: float | None,
    result: Result,
    units: Units,
    *,
    plus: bool = False,
    decimal: str = ".",
    places: int | None = None,
) -> str:
    """Return a result's value without its unit, a dash for what doesn't exist."""
    if value is None:
        return NO_VALUE
    places = places_of(result, units) if places is None else places
    text = number_of(value, result.kind, units, decimal=decimal, places=places, plus=plus)
    return text if text.strip(f"+{MINUS}0.,") else text.lstrip(f"+{MINUS}")


def result_text(
    value: float | None,
    result: Result,
    units: Units,
    *,
    plus: bool = False,
    decimal: str = ".",
    places: int | None = None,
) -> str:
    """Return a result's value with its unit."""
    number = result_number(value, result, units, plus=plus, decimal=decimal, places=places)
    unit = result_unit(result, units)
    if number == NO_VALUE or not unit:
        return number
    return f"{number}{'' if unit.startswith('°') else ' '}{unit}"


def is_zero(value: float | None, result: Result, units: Units) -> bool:
    """Tell whether a value is shown as zero."""
    return value is None or not result_number(value, result, units).strip("0.")


def sign_words(value: float | None, result: Result, units: Units) -> str:
    """Return what the sign of a value means: "top leans in"; empty at zero."""
    if value is None or is_zero(value, result, units):
        return ""
    return result.plus if value > 0 else result.minus


def limit_words(limit: Limit, result: Result, units: Units, *, decimal: str = ".") -> str:
    """Return what a limit allows: "at most 25.0°", "within ±0.25°", "−1.50 to 1.00°"."""
    low, high = limit.minimum, limit.maximum
    if high is None:
        return f"at least {result_text(low, result, units, decimal=decimal)}"
    most = result_text(high, result, units, decimal=decimal)
    if low is None:
        return f"at most {most}"
    if low == -high:
        return f"within ±{most}"
    return f"{result_number(low, result, units, decimal=decimal)} to {most}"


def limit_named(limit: Limit, result: Result, units: Units, *, decimal: str = ".") -> str:
    """Return a limit as part of a sentence: "limit of 0.25°", "limits of −1.50 to 1.00°"."""
    words = limit_words(limit, result, units, decimal=decimal)
    for start in ("at most ", "at least ", "within "):
        if words.startswith(start):
            return f"limit of {words.removeprefix(start)}"
    return f"limits of {words}"
