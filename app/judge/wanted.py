"""What a want asks of each wheel: what that has as found, between which ends, how near counts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf, isfinite, radians
from typing import Any, Final

from app.document.address import SIDES, Side
from app.document.model import Units
from app.document.plans import Want
from app.document.units import shown
from app.systems.answers import CarAnswers, Study
from app.systems.limits import readings
from app.systems.study_results import namesake_of
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass

_WITHIN: Final = {  # how near counts as met, where nothing is said: inside units
    "angle": radians(0.02),
    "length": 0.2,
    "angle per length": radians(0.0025) / 25.0,
    "percent": 0.5,
    "spring rate": 0.1,
}
_SHARE: Final = 0.005  # of the value, for other kinds


@dataclass(frozen=True)
class Ends:
    """What a want asks of a wheel: between `low` and `high`; `found` is what that has as found."""

    found: float
    low: float
    high: float

    def missed_by(self, value: float) -> float:
        """Return how far a value is outside."""
        return max(self.low - value, value - self.high, 0.0)


def asked_of_wheels(want: Want, study: Study[Any], result: Result) -> Mapping[Side, Ends]:
    """Return what a want asks of each wheel, or once under left; of none where nothing is known."""
    found = by_wheel(study.measured, result)
    return {side: Ends(value, *_ends(want, value)) for side, value in found.items()}


def by_wheel(car: CarAnswers, result: Result) -> dict[Side, float]:
    """Return the value of each wheel, or once under left: of a joint's swing the most."""
    namesake = namesake_of(car, result)
    values: dict[Side, float] = {}
    for each in () if namesake is None else readings(car, namesake):
        before = values.get(each.side)
        values[each.side] = each.value if before is None else max(before, each.value)
    return {side: values[side] for side in SIDES if side in values}


def within_of(want: Want, asked: Mapping[Side, Ends], units: Units) -> float:
    """Return how near counts as met: as the want says, or what is usual for its kind."""
    if want.within is not None:
        return want.within
    return usual_within(want.kind, [end for e in asked.values() for end in (e.low, e.high)], units)


def usual_within(kind: str, ends: Sequence[float], units: Units) -> float:
    """Return how near counts where nothing is said; never less than the last place shown."""
    if kind in _WITHIN:
        return _WITHIN[kind]
    how = shown(kind, units)
    largest = max((abs(end) for end in ends if isfinite(end)), default=0.0)
    return float(max(largest * _SHARE, how.size * 10.0**-how.places))


def _ends(want: Want, found: float) -> tuple[float, float]:
    if want.keep:
        return found, found
    if want.value is not None:
        return want.value, want.value
    low = -inf if want.at_least is None else want.at_least
    return low, inf if want.at_most is None else want.at_most
