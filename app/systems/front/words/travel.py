"""Over which travel a car's bump steer is told."""

from __future__ import annotations

from math import isclose
from typing import Final

from app.document.model import Units
from app.document.quantities import INCH
from app.document.units import MINUS, number_of, unit_of
from app.systems.front.study import FrontAnswers
from app.words.lengths import length_words, shortened

_SEEN: Final = 0.05  # mm
_SIXTEENTHS: Final = 16.0  # of an inch: what is no multiple of one was given in mm


def is_whole(car: FrontAnswers, window: float) -> bool:
    """Tell whether a car's stops leave the whole of the travel each way [mm]."""
    return all(isclose(abs(end), window, abs_tol=_SEEN) for end in car.window)


def is_alike(one: FrontAnswers, other: FrontAnswers) -> bool:
    """Tell whether the bump steer of two cars is over the same travel."""
    return all(isclose(a, b, abs_tol=_SEEN) for a, b in zip(one.window, other.window, strict=True))


def each_way(window: float, units: Units, decimal: str = ".") -> str:
    """Return a travel each way [mm]: "±50 mm", which has no fraction of an inch, or "±2 in"."""
    parts = window / INCH * _SIXTEENTHS
    in_mm = units == "in" and not isclose(parts, round(parts), abs_tol=1e-6)
    own: Units = "mm" if in_mm and isclose(window, round(window), abs_tol=1e-6) else units
    return f"±{length_words(window, own, decimal)}"


def travel_told(car: FrontAnswers, window: float, units: Units, decimal: str = ".") -> str:
    """Return a car's own travel: "±50 mm", or "−50 to +6 mm between its stops"."""
    if is_whole(car, window):
        return each_way(window, units, decimal)
    places = 1 if units == "mm" else 2
    low, high = (
        shortened(number_of(abs(end), "length", units, places=places), decimal)
        for end in car.window
    )
    return f"{MINUS}{low} to +{high} {unit_of('length', units)} between its stops"
