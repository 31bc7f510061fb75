"""A study of the front, and how its figures are said."""

from __future__ import annotations

from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from app.systems.sentence import Teller
from geometry.catalogue.front import BY_KEY
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class Telling(Teller):
    """A study of the front."""

    study: Study[FrontAnswers]

    def result(self, key: str) -> Result:
        """Return a result of the front."""
        return BY_KEY[key]
