"""Figures with how far they may be off: no digit more than that leaves, and what stays open."""

from __future__ import annotations

from math import floor, inf, isfinite, log10
from typing import Final

from app.document.model import Limit, Units
from app.document.units import MINUS, NO_VALUE, number_of, shown
from app.words.results import limit_named, places_of, result_unit
from geometry.catalogue.result import Result
from geometry.uncertainty import SURE

ENDLESS_WORDS: Final = "by how well the car was measured it may be anywhere, through infinity"
_LEADING: Final = 2.0  # a band that begins with 1 has two digits, any other one


def band_places(within: float | None, result: Result, units: Units) -> int | None:
    """Return the decimals that a band leaves to its figure, negative for tens; None for its own.

    A figure never has more than it has without a band.
    """
    if within is None or not isfinite(within):
        return None
    size = within / shown(result.kind, units).size
    own = places_of(result, units)
    if not size > 0.5 * 10.0**-own:
        return own
    first = floor(log10(size))
    places = -first + (1 if size / 10.0**first < _LEADING else 0)
    return min(own, places)


def banded_number(
    value: float | None,
    within: float | None,
    result: Result,
    units: Units,
    *,
    plus: bool = False,
    decimal: str = ".",
) -> str:
    """Return a result's value without its unit, with the digits that its band leaves it.

    One that may be anywhere, through infinity, has none.
    """
    places = band_places(within, result, units)
    if value is None or not isfinite(value) or within == inf:
        return NO_VALUE
    text = _rounded(value, places, result, units, plus=plus, decimal=decimal)
    return text if text.strip(f"+{MINUS}0.,") else text.lstrip(f"+{MINUS}")


def within_number(within: float | None, result: Result, units: Units, *, decimal: str = ".") -> str:
    """Return how far a result may be off without its unit: "±0.05"; empty where it isn't known.

    It is never said to be less than it is by more than half of its last digit; one too small to be
    shown is left out.
    """
    if within is None or not isfinite(within):
        return ""
    text = _rounded(within, band_places(within, result, units), result, units, decimal=decimal)
    return f"±{text}" if text.strip("0.,") else ""


def banded_text(
    value: float | None, within: float | None, result: Result, units: Units, *, decimal: str = "."
) -> str:
    """Return a result with its band and unit: "93 ±6 mm"."""
    number = banded_number(value, within, result, units, decimal=decimal)
    band, unit = within_number(within, result, units, decimal=decimal), result_unit(result, units)
    if number == NO_VALUE:
        return NO_VALUE
    words = f"{number} {band}" if band else number
    return f"{words}{'' if unit.startswith('°') or not unit else ' '}{unit}"


def is_open(chance: float | None) -> bool:
    """Tell whether nobody can say that a limit is kept, or that it isn't."""
    return chance is not None and 1.0 - SURE < chance < SURE


def open_limit_words(
    result: Result, limit: Limit, chance: float, units: Units, *, decimal: str = "."
) -> str:
    """Say that a limit may or may not be kept."""
    named = limit_named(limit, result, units, decimal=decimal)
    return f"{result.title}: its {named} may or may not be kept, {percent(chance)}."


def kept_words(chance: float | None) -> str:
    """Return that a limit may or may not be kept, for a table; empty where that is sure."""
    if chance is None or not is_open(chance):
        return ""
    return f"may or may not be kept: {percent(chance)}"


def open_sign_words(
    result: Result, value: float, within: float, units: Units, *, decimal: str = "."
) -> str:
    """Say that a result's sign isn't known; empty where it is, or where signs mean nothing."""
    has_words = bool(result.plus and result.minus)
    if not has_words or not isfinite(within) or abs(value) >= within:
        return ""
    text = banded_text(value, within, result, units, decimal=decimal)
    return f"{result.title}, {text}, may be either: {result.plus}, or {result.minus}."


def percent(share: float) -> str:
    """Return a share in whole percent; what isn't quite sure is never called so."""
    if 0.99 < share < 1.0:
        return "over 99 %"
    if 0.0 < share < 0.01:
        return "under 1 %"
    return f"{round(100.0 * share)} %"


def _rounded(
    value: float,
    places: int | None,
    result: Result,
    units: Units,
    *,
    plus: bool = False,
    decimal: str,
) -> str:
    if places is None:
        places = places_of(result, units)
    if places < 0:  # to tens or hundreds
        size = shown(result.kind, units).size
        value, places = round(value / size, places) * size, 0
    return number_of(value, result.kind, units, decimal=decimal, places=places, plus=plus)
