"""What a plot shows: a result over a driver in the shown units, with gaps where out of reach."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from app.document.model import Units
from app.document.units import BEYOND, shown
from app.systems.answers import CarAnswers
from geometry.catalogue.front import Result

Driver = Literal["travel", "roll", "steer"]
Numbers = NDArray[np.float64]

KINDS: Final[dict[str, str]] = {"travel": "length", "roll": "angle", "steer": "length"}
LEAST: Final = {  # of a plot's width in inside units; less would magnify what nobody can measure
    "length": 4.0,
    "angle": 0.004,
    "angle per length": 2e-5,
    "length per length": 0.01,
    "percent": 2.0,
    "ratio": 0.02,
    "spring rate": 0.5,
    "force": 50.0,
    "torque": 1e4,
    "frequency": 0.05,
}
_WIDE: Final = 12.0  # a span this many times the middle half of the values is a centre running off


@dataclass(frozen=True, eq=False)
class Curve:
    """Numbers as shown: the driver's, the result's (NaN out of reach), and where it breaks off."""

    at: Numbers
    values: Numbers
    ends: tuple[int, ...]

    def value_at(self, place: float) -> float | None:
        """Return the value between two poses, None out of reach."""
        value = float(np.interp(place, self.at, self.values, left=np.nan, right=np.nan))
        return value if np.isfinite(value) else None


def curve_of(
    car: CarAnswers, driver: Driver, result: Result, units: Units, side: int
) -> Curve | None:
    """Return a car's curve, None where that result isn't there."""
    sweep = getattr(car, driver)
    values = None if sweep is None else sweep.values.get(result.key)
    if values is None:
        return None
    row = values[side] if values.ndim == 2 else values
    numbers = np.where(sweep.reached, row, np.nan) / shown(result.kind, units).size
    numbers = np.where(np.abs(numbers) < BEYOND, numbers, np.nan)
    at = sweep.at / shown(KINDS[driver], units).size
    return Curve(at, numbers, breaks(sweep.reached))


def breaks(reached: NDArray[np.bool_]) -> tuple[int, ...]:
    """Return the places that are reached beside one that isn't."""
    padded = np.concatenate([[True], reached, [True]])
    edge = reached & ~(padded[:-2] & padded[2:])
    return tuple(int(place) for place in np.flatnonzero(edge))


def range_over(curves: list[Curve], result: Result, units: Units) -> tuple[float, float]:
    """Return the range that holds the curves, with some air, and no hair's breadth magnified.

    A centre that runs off to infinity is cut off rather than flattening the rest.
    """
    found = [curve.values[np.isfinite(curve.values)] for curve in curves]
    values = np.concatenate(found) if found else np.empty(0)
    least = LEAST.get(result.kind, 0.1) / shown(result.kind, units).size
    if not values.size:
        return -least / 2, least / 2
    low, high = float(values.min()), float(values.max())
    first, last = (float(each) for each in np.percentile(values, (25, 75)))
    middle = max(last - first, least)
    low, high = max(low, first - _WIDE * middle), min(high, last + _WIDE * middle)
    air = max(0.06 * (high - low), (least - (high - low)) / 2)
    return low - air, high + air


def ticks(low: float, high: float, most: int) -> list[float]:
    """Return at most `most` round numbers between two ends."""
    span = high - low
    if span <= 0 or most < 1:
        return []
    rough = span / most
    power = 10.0 ** floor(log10(rough))
    for factor in (1.0, 2.0, 5.0, 10.0, 20.0, 50.0):
        step = factor * power
        first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
        if last - first + 1 <= most:
            return [round(count * step, 12) for count in range(first, last + 1)]
    return []


def tick_text(value: float, step: float, decimal: str) -> str:
    """Return a tick's number with the decimals that its step needs."""
    places = max(0, -floor(log10(step) + 1e-9)) if step > 0 else 0
    text = f"{abs(value):.{places}f}"
    sign = "−" if value < 0 and text.strip("0.") else ""
    return f"{sign}{text}".replace(".", decimal)
