"""The few results that a shop and an owner ask about first: before, after, what it means. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from app.limit_readings import LimitReading, limit_readings
from app.result_words import is_zero, limit_words, result_number, result_text, result_unit
from app.sheet.targets import settles_by
from app.study import Study, result_of, value_at_rest
from geometry.catalogue import Result

ASKED: Final = {  # key: what more and less of it mean
    "camber_gain": ("", ""),
    "roll_centre_height": ("the body rolls less", "the body rolls more"),
    "bump_steer_range": ("more toe change in bump", "less toe change in bump"),
    "wheel_rate": ("stiffer", "softer"),
    "ride_frequency": ("quicker", "slower"),
}
SEEN: Final = 0.01  # a smaller share of itself is no change


@dataclass(frozen=True)
class Outcome:
    """A result of both cars with its meaning in words."""

    key: str
    title: str
    before: str
    after: str
    meaning: str
    past: bool = False  # a limit is not kept


def outcomes(study: Study, decimal: str = ".") -> tuple[Outcome, ...]:
    """Return the results that are asked about first, as far as they exist."""
    limits = {reading.result.key: reading for reading in limit_readings(study)}
    return tuple(_outcomes(study, limits, decimal))


def _outcomes(study: Study, limits: dict[str, LimitReading], decimal: str) -> Iterator[Outcome]:
    units = study.setup.units
    for result in map(result_of, ASKED):
        before, after = (value_at_rest(car, result) for car in (study.measured, study.proposed))
        if before is None or after is None:
            continue
        numbers = [result_number(v, result, units, decimal=decimal) for v in (before, after)]
        reading = limits.get(result.key)
        meaning = _limit(study, reading, decimal) if reading else _meaning(result, before, after)
        past = reading is not None and reading.held is False
        unit = result_unit(result, units)
        title = f"{result.title}, {unit}" if unit else result.title
        yield Outcome(result.key, title, numbers[0], numbers[1], meaning, past)
    yield from _height(study, decimal)


def _meaning(result: Result, before: float, after: float) -> str:
    if result.key == "camber_gain":
        return result.plus if after > 0 else result.minus
    if abs(after - before) <= SEEN * abs(before):
        return "much as it was"
    more, less = ASKED[result.key]
    return more if after > before else less


def _limit(study: Study, reading: LimitReading, decimal: str) -> str:
    words = limit_words(reading.limit, reading.result, study.setup.units, decimal=decimal)
    return f"past its limit: {words}" if reading.held is False else f"limit: {words}"


def _height(study: Study, decimal: str) -> Iterator[Outcome]:
    by = settles_by(study)
    if by is None:
        return
    result, units = result_of("settled_travel"), study.setup.units
    size = result_text(abs(by), result, units, decimal=decimal)
    still = by == 0.0 or is_zero(by, result, units)
    after = "as it was" if still else f"{size} {'lower' if by > 0 else 'higher'}"
    yield Outcome(result.key, "Ride height at the front, same load", "", after, "")
