"""Both cars of a rear study under the names that a sheet gives them. No Qt."""

from __future__ import annotations

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers


def named_cars(study: Study[RearAnswers]) -> list[tuple[str, RearAnswers]]:
    """Return the cars in the order in which they stand on paper."""
    if not study.changed:
        return [("as found", study.measured)]
    return [("as found", study.measured), ("as built", study.proposed)]
