"""A study of the front, and how its figures are said."""

from __future__ import annotations

import numpy as np

from app.document.address import SIDES, Side
from app.systems.answers import Study
from app.systems.front.study import FrontAnswers
from app.systems.sentence import Teller
from app.words.results import is_zero
from geometry.catalogue.front import BY_KEY
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.front.singles import worst_wheel


@dataclass(frozen=True)
class Telling(Teller):
    """A study of the front."""

    study: Study[FrontAnswers]

    def result(self, key: str) -> Result:
        """Return a result of the front."""
        return BY_KEY[key]

    def wheel(self, car: FrontAnswers, key: str) -> Side | None:
        """Return whose a result is that a car has of its worse wheel, None of both alike."""
        each = car.wheels.get(key)
        worse = None if each is None else worst_wheel(key, each)
        if each is None or worse is None or each.size == 1:
            return None
        apart = float(each[0] - each[1])
        alike = np.isfinite(apart) and is_zero(apart, self.result(key), self.units)
        return None if alike else SIDES[worse]
