"""A study of the rear, and how its figures are said."""

from __future__ import annotations

from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.sentence import Teller
from geometry.catalogue.rear import REAR_RESULTS
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class RearTelling(Teller):
    """A study of the rear."""

    study: Study[RearAnswers]

    def result(self, key: str) -> Result:
        """Return a result of the rear."""
        return REAR_RESULTS[key]
