"""Results as figures and words: decimals, unit, sign, limit. No Qt: screen, sheet and report."""

from __future__ import annotations

from math import isclose
from typing import Final

from app.document.model import Limit, Units
from app.document.units import MINUS, NO_VALUE, number_of, shown
from geometry.catalogue.front import Result

_OWN_PLACES: Final = ("angle", "angle per angle", "ratio", "percent")
_MORE: Final = 3  # decimals beyond a result's own that a limit may need
_TYPED: Final = 1e-9  # of a typed number: what turning it into rad or N leaves of it

TWO_MODELS: Final = "by two models, not to be compared"
"""Said of a result that the car as found and the car as built have of two models."""


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
    """Return what a limit allows: "at most 25.0°", "within ±0.325°", "−1.50 to 1.00°"."""
    low, high = limit.minimum, limit.maximum

    def text(end: float | None) -> str:
        places = None if end is None else end_places(end, result, units)
        return result_text(end, result, units, decimal=decimal, places=places)

    if high is None:
        return f"at least {text(low)}"
    if low is None:
        return f"at most {text(high)}"
    if low == -high:
        return f"within ±{text(high)}"
    return f"{limit_number(low, result, units, decimal=decimal)} to {text(high)}"


def limit_number(end: float | None, result: Result, units: Units, *, decimal: str = ".") -> str:
    """Return an end of a limit without its unit, with the digits that were typed."""
    places = None if end is None else end_places(end, result, units)
    return result_number(end, result, units, decimal=decimal, places=places)


def end_places(end: float, result: Result, units: Units) -> int:
    """Return the decimals that say an end of a limit whole, its result's own where none do."""
    size, own = shown(result.kind, units).size, places_of(result, units)
    for places in range(own, own + _MORE + 1):
        if isclose(round(end / size, places), end / size, rel_tol=_TYPED, abs_tol=_TYPED):
            return places
    return own


def beside_limit(
    value: float, limit: Limit, result: Result, units: Units, *, decimal: str = "."
) -> str:
    """Return a value without its unit; a digit more where rounding hides that it is past a limit.

    "−1.504" past −1.50, where "−1.50" would be inside it.
    """
    places = value_places(value, limit, result, units)
    return result_number(value, result, units, decimal=decimal, places=places)


def value_places(value: float, limit: Limit, result: Result, units: Units) -> int:
    """Return the decimals with which a value is seen on its side of a limit."""
    own, size = places_of(result, units), shown(result.kind, units).size
    if limit.allows(value):
        return own
    ends = [end for end in (limit.minimum, limit.maximum) if end is not None]
    passed = min(ends, key=lambda end: abs(end - value))
    end = round(passed / size, end_places(passed, result, units))
    way = 1.0 if value > passed else -1.0
    for places in range(own, own + _MORE + 1):
        if (round(value / size, places) - end) * way > 0.5 * 10.0 ** -(own + _MORE):
            return places
    return own + _MORE


def limit_named(limit: Limit, result: Result, units: Units, *, decimal: str = ".") -> str:
    """Return a limit as part of a sentence: "limit of 0.25°", "limits of −1.50 to 1.00°"."""
    words = limit_words(limit, result, units, decimal=decimal)
    for start in ("at most ", "at least ", "within "):
        if words.startswith(start):
            return f"limit of {words.removeprefix(start)}"
    return f"limits of {words}"
