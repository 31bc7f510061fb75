"""Results of both cars of a study, whose rears may be of two kinds. No Qt."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from app.systems.answers import CarAnswers, Study, value_at_rest
from app.systems.clearance.results import is_clearance
from geometry.catalogue.every import result_of
from geometry.catalogue.front import Result


def results_of(study: Study[Any]) -> tuple[Result, ...]:
    """Return the results of both cars group by group; those of one identity are one result."""
    all_results = (*study.results, *study.measured.results)
    by_identity: dict[str, Result] = {}
    for result in all_results:
        by_identity.setdefault(result.identity, result)
    groups = list(dict.fromkeys(result.group for result in by_identity.values()))
    return tuple(sorted(by_identity.values(), key=lambda result: groups.index(result.group)))


def value_of(car: CarAnswers, result: Result, side: int = 0) -> float | None:
    """Return a car's value at zero travel of a result of either car, None where it has none."""
    namesake = namesake_of(car, result)
    return None if namesake is None else value_at_rest(car, namesake, side)


def namesake_of(car: CarAnswers, result: Result) -> Result | None:
    """Return a car's own result that is one with a result of either car, None without one."""
    return _by_identity(car.results).get(result.identity)


@lru_cache(maxsize=16)
def _by_identity(results: tuple[Result, ...]) -> Mapping[str, Result]:
    return {each.identity: each for each in reversed(results)}  # of two the first one is meant


def result_named(study: Study[Any], key: str) -> Result | None:
    """Return the proposed car's result of a key, None where its kind has none, or of a clearance.

    Raises
    ------
    KeyError
        No axle has a result of that key.
    """
    return None if is_clearance(key) else result_of(study.results, key)
