"""The results that shop and owner ask about first: before, after, their meaning. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from app.document.address import SIDES, Side
from app.document.model import SETTLES
from app.document.units import NO_VALUE
from app.systems.answers import Study
from app.systems.banded import CarOf
from app.systems.limits import LimitCheck, limit_checks
from app.systems.sides import sides_told, value_told
from app.systems.study_results import result_named
from app.systems.targets import shop_length, stands_by
from app.words.bands import banded_number
from app.words.results import (
    TWO_MODELS,
    beside_limit,
    is_zero,
    limit_named,
    limit_words,
    result_number,
    result_unit,
    sign_words,
)
from geometry.catalogue.result import Asked, Result, asked_first
from geometry.dataclass import dataclass

SEEN: Final = 0.01  # a smaller share of itself is no change
_AS_IT_WAS: Final = "much as it was"


@dataclass(frozen=True)
class Outcome:
    """A result of both cars with its meaning in words."""

    key: str
    title: str
    before: str
    after: str
    meaning: str
    past: bool = False  # a limit is not kept


def outcomes(study: Study[Any], decimal: str = ".") -> tuple[Outcome, ...]:
    """Return the results that are asked about first, as far as they exist."""
    limits = {reading.result.key: reading for reading in limit_checks(study)}
    return tuple(_outcomes(study, limits, decimal))


def _outcomes(study: Study[Any], limits: dict[str, LimitCheck], decimal: str) -> Iterator[Outcome]:
    for result, question in asked_first(study.results):
        rows = [
            row
            for side in sides_told(study, result)
            for row in _outcome(study, result, question, side, limits.get(result.key), decimal)
        ]
        is_still = all(row.meaning.startswith(_AS_IT_WAS) for row in rows)
        yield from rows[:1] if is_still else rows  # the table of results has both wheels
    yield from _height(study, decimal)


def _outcome(
    study: Study[Any],
    result: Result,
    question: Asked,
    side: Side | None,
    reading: LimitCheck | None,
    decimal: str,
) -> Iterator[Outcome]:
    """Yield a result's outcome, of a wheel where the other one differs."""
    units = study.setup.units
    before, after = (value_told(car, result, side) for car in (study.measured, study.proposed))
    if before is not None and after is not None:
        numbers = [
            _number(study, "found", before, result, side, reading, decimal),
            _number(study, "built", after, result, side, reading, decimal),
        ]
        is_told = NO_VALUE not in numbers  # what may be anywhere is neither more nor less
        meaning = _meaning(study, result, question, before, after) if is_told else ""
        if study.system.is_by_two_models(study, result):
            meaning = TWO_MODELS
        near = None if reading is None else reading.proposed
        is_nearest = near is None or side in (None, near.side)  # of both wheels, to the limit
        if reading is not None and is_nearest:
            meaning = ", ".join(filter(None, (meaning, _limit(study, reading, decimal))))
        past = reading is not None and reading.held is False and is_nearest
        title = ", ".join(filter(None, (result.title, side, result_unit(result, units))))
        yield Outcome(result.key, title, numbers[0], numbers[1], meaning, past)


def _number(
    study: Study[Any],
    car: CarOf,
    value: float,
    result: Result,
    side: Side | None,
    reading: LimitCheck | None,
    decimal: str,
) -> str:
    """Return a figure with the digits that its band leaves it, or that its limit needs."""
    units, row = study.setup.units, SIDES.index(side) if side else 0
    within = None if study.bands is None else study.bands.within(car, result, row)
    if within is not None:
        return banded_number(value, within, result, units, decimal=decimal)
    if reading is None:
        return result_number(value, result, units, decimal=decimal)
    return beside_limit(value, reading.limit, result, units, decimal=decimal)


def _meaning(
    study: Study[Any], result: Result, question: Asked, before: float, after: float
) -> str:
    if not question.more:
        return sign_words(after, result, study.setup.units)
    if abs(after - before) <= SEEN * abs(before):
        return _AS_IT_WAS
    return question.more if after > before else question.less


def _limit(study: Study[Any], reading: LimitCheck, decimal: str) -> str:
    units = study.setup.units
    if reading.held is False:
        return f"past its {limit_named(reading.limit, reading.result, units, decimal=decimal)}"
    return f"limit: {limit_words(reading.limit, reading.result, units, decimal=decimal)}"


def _height(study: Study[Any], decimal: str) -> Iterator[Outcome]:
    by, result = stands_by(study), result_named(study, "settled_travel")
    if by is None or result is None:
        return
    units, end = study.setup.units, study.system.key
    size = shop_length(abs(by), units, decimal, 1)
    still = by == 0.0 or is_zero(by, result, units)
    after = "as it was" if still else f"{size} {'lower' if by > 0 else 'higher'}"
    how = "same load" if study.choice == SETTLES else "held"
    yield Outcome(result.key, f"Ride height at the {end}, {how}", "", after, "")
