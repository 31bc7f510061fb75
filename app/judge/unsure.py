"""What bands leave open: a sign that nobody knows, a limit that may or may not be kept."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from app.document.address import split_coordinate
from app.systems.answers import Study, value_at_rest
from app.systems.banded import Again, CarOf, StudyBands
from app.systems.limits import limit_checks
from app.systems.sentence import Sentence
from app.words.bands import is_open, open_limit_words, open_sign_words

_WEIGHT: Final = 50.0  # of a limit that is open: above all but what can't be built
_RINGED: Final = 3  # points that are ringed on the drawing
_LITTLE: Final = 0.05  # share of the variance below which a reading isn't worth the floor


def unsure_sentences(study: Study[Any], decimal: str) -> Iterator[tuple[Sentence, float]]:
    """Yield what is open of a study with bands, each with its weight."""
    bands, units = study.bands, study.setup.units
    if bands is None:
        return
    for check in limit_checks(study):
        chance = bands.kept.get(check.result.key)
        if chance is not None and is_open(chance):
            words = open_limit_words(check.result, check.limit, chance, units, decimal=decimal)
            yield Sentence(words, "watch", check.result.key), _WEIGHT
    car: CarOf = "built" if study.changed else "found"
    for result in study.results:
        value, within = value_at_rest(study.proposed, result), bands.within(car, result)
        if result.first and value is not None and within is not None:
            words = open_sign_words(result, value, within, units, decimal=decimal)
            if words:
                yield Sentence(words, "plain", result.key), 0.0


def again_first(study: Study[Any]) -> tuple[Again, ...]:
    """Return the readings that are worth taking again, those that bring most first."""
    return () if study.bands is None else worth_taking_again(study.bands)


def worth_taking_again(bands: StudyBands) -> tuple[Again, ...]:
    """Return the readings of bands that are worth taking again, those that bring most first."""
    return tuple(one for one in bands.again if one.share >= _LITTLE)


def point_of(reading: str) -> str:
    """Return the point whose coordinate a reading is; empty where it is none's."""
    key, axis = split_coordinate(reading)
    return key if axis else ""


def ringed_points(study: Study[Any]) -> frozenset[str]:
    """Return the points that are worth measuring again before all others."""
    keys = dict.fromkeys(point_of(one.reading) for one in again_first(study))
    return frozenset([key for key in keys if key][:_RINGED])
