"""Axes of charts: which range holds the curves, where round figures stand, and how they read."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor, log10
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass

Numbers = NDArray[np.float64]

USUAL: Final = (0.05, 0.95)  # shares of a curve's values between which the usual ones lie
_SLACK: Final = 1e-9  # of a step, by which a tick may lie beyond an end


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis in shown units: its ends, and the round figures that stand on it."""

    low: float
    high: float
    ticks: tuple[float, ...] = ()

    @property
    def span(self) -> float:
        """Return how much the axis holds."""
        return self.high - self.low

    def share(self, value: float) -> float:
        """Return how far along the axis a value is, 0 to 1."""
        return (value - self.low) / (self.high - self.low)

    def value_at(self, share: float) -> float:
        """Return the value that is so far along the axis."""
        return self.low + share * (self.high - self.low)

    def figures(self, decimal: str) -> tuple[str, ...]:
        """Return the ticks' numbers with the decimals that their step needs."""
        step = self.ticks[1] - self.ticks[0] if len(self.ticks) > 1 else 1.0
        return tuple(tick_text(tick, step, decimal) for tick in self.ticks)


# Ranges


def usual_ends(values: Numbers) -> tuple[float, float]:
    """Return the ends of the usual values, without the few highest and lowest."""
    ordered = np.sort(values)
    last = len(ordered) - 1
    low, high = (ordered[round(share * last)] for share in USUAL)
    return float(low), float(high)


def range_over(values: Numbers, least: float, air: float = 0.06) -> tuple[float, float]:
    """Return the range that holds values with some air, no less than `least` wide.

    A straight line isn't made a drama. A centre that runs off to infinity is cut off rather than
    flattening the rest: nothing is shown that lies farther from the usual values than these are
    wide.
    """
    values = values[np.isfinite(values)]
    if not values.size:
        return -least / 2, least / 2
    low, high = usual_ends(values)
    room = max(high - low, least)
    core = values[(values >= low - room) & (values <= high + room)]
    return padded(float(core.min()), float(core.max()), least, air)


def padded(low: float, high: float, least: float, air: float) -> tuple[float, float]:
    """Return a range at least so wide, with a share of itself as air at both ends."""
    if high - low < least:
        middle = (low + high) / 2
        low, high = middle - least / 2, middle + least / 2
    return low - air * (high - low), high + air * (high - low)


# Ticks


def ticks_at_most(low: float, high: float, most: int) -> tuple[float, ...]:
    """Return as many round figures between two ends as there may be, `most` at most."""
    marks: tuple[float, ...] = ()
    if high <= low or most < 1:
        return marks
    for step in _steps(high - low):
        places = _multiples(low, high, step)
        if len(places) > most:
            break
        marks = places
    return marks


def ticks_at_least(low: float, high: float, fewest: int) -> tuple[float, ...]:
    """Return as few round figures between two ends as there may be, but `fewest` at least."""
    for step in _steps(high - low):
        places = _multiples(low, high, step)
        if len(places) >= fewest:
            return places
    return ()


def _steps(span: float) -> Iterator[float]:
    """Yield the round steps from one wider than a span down to one that no axis can show."""
    power = ceil(log10(span))
    for exponent in range(power, power - 4, -1):
        for factor in (10.0, 5.0, 2.0):
            yield factor * 10.0 ** (exponent - 1)


def _multiples(low: float, high: float, step: float) -> tuple[float, ...]:
    first, last = ceil(low / step - _SLACK), floor(high / step + _SLACK)
    return tuple(round(count * step, 12) for count in range(first, last + 1))


def tick_text(value: float, step: float, decimal: str) -> str:
    """Return a tick's number with the decimals that its step needs."""
    places = max(0, -floor(log10(step) + 1e-9)) if step > 0 else 0
    text = f"{abs(value):.{places}f}"
    sign = "−" if value < 0 and text.strip("0.") else ""
    return f"{sign}{text}".replace(".", decimal)
