"""Figures as the panels show them: with the user's decimal sign, a dash for what doesn't exist."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from PySide6.QtCore import QLocale

from app.document.model import Limit, Units
from app.document.units import MINUS, NO_VALUE, number_of, unit_of
from app.words import bands as band_words
from app.words import results as result_words
from geometry.catalogue.front import Result

NOTHING: Final = "—"


def decimal_sign() -> str:
    """Return the user's decimal sign."""
    return "," if QLocale().decimalPoint() == "," else "."


def result_number(
    value: float | None, result: Result, units: Units, plus: bool = False, decimal: str = ""
) -> str:
    """Return a result's value without its unit; who asks for many hands the decimal sign in."""
    if value is None:
        return NOTHING
    places = result_words.places_of(result, units)
    return _number(value, result.kind, units, places, plus, decimal or decimal_sign())


def banded_number(
    value: float | None,
    within: float | None,
    result: Result,
    units: Units,
    plus: bool = False,
    decimal: str = "",
) -> str:
    """Return a result's value without its unit, with the digits that its band leaves it."""
    if value is None or within is None:
        return result_number(value, result, units, plus, decimal)
    sign = decimal or decimal_sign()
    text = band_words.banded_number(value, within, result, units, plus=plus, decimal=sign)
    return NOTHING if text == NO_VALUE else text


def within_number(within: float | None, result: Result, units: Units, decimal: str = "") -> str:
    """Return how far a result may be off: "±0.05"; empty where nobody knows, or it is nothing."""
    if within is None:
        return ""
    return band_words.within_number(within, result, units, decimal=decimal or decimal_sign())


@lru_cache(maxsize=2048)
def _number(value: float, kind: str, units: Units, places: int, plus: bool, decimal: str) -> str:
    text = number_of(value, kind, units, decimal=decimal, places=places, plus=plus)
    if is_nought(text):
        return text.lstrip(f"+{MINUS}")
    return NOTHING if text == NO_VALUE else text


def result_text(
    value: float | None, result: Result, units: Units, limit: Limit | None = None
) -> str:
    """Return a result's value with its unit, and with the digits that show it past a limit."""
    places = None
    if value is not None and limit is not None:
        places = result_words.value_places(value, limit, result, units)
    text = result_words.result_text(value, result, units, decimal=decimal_sign(), places=places)
    return NOTHING if text == NO_VALUE else text


def limit_words(limit: Limit, result: Result, units: Units) -> str:
    """Return what a limit allows: "at most 25.0°"."""
    return result_words.limit_words(limit, result, units, decimal=decimal_sign())


def limit_named(limit: Limit, result: Result, units: Units) -> str:
    """Return a limit as part of a sentence: "limit of 25.0°"."""
    return result_words.limit_named(limit, result, units, decimal=decimal_sign())


def is_nought(figure: str) -> bool:
    """Tell whether a shown figure is zero."""
    return not figure.strip(f"+{MINUS}0.,")


def whole_length(length: float, units: Units) -> str:
    """Return a length's size as it is said: "21 mm", "0.83 in"."""
    places = 0 if units == "mm" else 2
    number = number_of(abs(length), "length", units, places=places, decimal=decimal_sign())
    return f"{number} {unit_of('length', units)}"
