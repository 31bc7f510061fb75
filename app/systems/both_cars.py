"""Results of both cars of a study, whose rears may be of two kinds. No Qt."""

from __future__ import annotations

from app.systems.answers import CarAnswers, StudyAnswers, value_at_rest
from app.systems.rear.study import RearCar
from geometry.catalogue.front import Result
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS


def results_of(study: StudyAnswers) -> tuple[Result, ...]:
    """Return the results of both cars group by group; those of one title are one result."""
    both = (*study.results, *own_results(study, study.measured))
    found: dict[str, Result] = {}
    for result in both:
        found.setdefault(result.title, result)
    groups = list(dict.fromkeys(result.group for result in found.values()))
    return tuple(sorted(found.values(), key=lambda result: groups.index(result.group)))


def own_results(study: StudyAnswers, car: CarAnswers) -> tuple[Result, ...]:
    """Return the results that a car of the study has by its kind."""
    if isinstance(car, RearCar):
        return LEAF_RESULTS if car.kind == "leaf axle" else LINK_RESULTS
    return study.results


def value_of(study: StudyAnswers, car: CarAnswers, result: Result) -> float | None:
    """Return a car's value at zero travel of the result of this title, None where it has none."""
    own = next((each for each in own_results(study, car) if each.title == result.title), None)
    return None if own is None else value_at_rest(car, own)


def result_named(study: StudyAnswers, key: str) -> Result | None:
    """Return the proposed car's result of a key, None where its kind has none."""
    return next((result for result in study.results if result.key == key), None)
