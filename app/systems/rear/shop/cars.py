"""Both cars of a rear study under the names that a sheet gives them. No Qt."""

from __future__ import annotations

from app.systems.answers import CAR_WORDS, Study
from app.systems.rear.answers import RearAnswers


def named_cars(study: Study[RearAnswers]) -> list[tuple[str, RearAnswers]]:
    """Return the cars in the order in which they stand on paper."""
    named = [(CAR_WORDS[name], car) for name, car in study.cars.items()]
    return named if study.changed else named[:1]
