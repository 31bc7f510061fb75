"""The report's figures with how far they may be off."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from app.cli.bands import NOT_SAID
from app.cli.bands_text import EXACT, HOLDS
from app.cli.refused import Refused
from app.document.units import NO_VALUE
from app.judge.banded import with_bands_at_rest
from app.judge.bands import concerned, is_exact
from app.judge.cars import SAMPLES
from app.systems.answers import Study
from app.systems.banded import CARS_OF, ENDLESS, CarOf
from app.systems.report import Report
from app.words.bands import banded_number, kept_words, within_number
from geometry.catalogue.result import Result

_ENDLESS = "Through infinity, so no figure is told: {}."
_ASKED = "How far each figure may be off: report --within."


def ends_with_bands(
    ends: Sequence[Report], path: Path, samples: int = SAMPLES
) -> tuple[Report, ...]:
    """Return the ends with bands; refuse a file that says of nothing how well it is known."""
    if not any(concerned(end.study).parameters or is_exact(end.study) for end in ends):
        raise Refused(NOT_SAID.format(path.name))
    return tuple(end.study.system.report(with_bands_at_rest(end.study, samples)) for end in ends)


def band_words(study: Study[Any]) -> str:
    """Return what ± means, or how it is asked for; empty where nothing is known of it."""
    if study.bands is None:
        return _ASKED if concerned(study).parameters else ""
    if is_exact(study):
        return EXACT
    endless = [
        result.title
        for result in study.results
        if any(is_endless(study, car, result) for car in CARS_OF[:2])
    ]
    return f"{HOLDS} {_ENDLESS.format('; '.join(endless))}" if endless else HOLDS


def is_endless(study: Study[Any], car: CarOf, result: Result, side: int = 0) -> bool:
    """Tell whether a result may be anywhere, through infinity, so that its figure says nothing."""
    return study.bands is not None and study.bands.within(car, result, side) == ENDLESS


def figure(
    study: Study[Any],
    car: CarOf,
    result: Result,
    value: float | None,
    side: int | None,
    plain: str,
) -> tuple[str, str]:
    """Return a figure with no more digits than its band leaves it, and the band; else as it is.

    `side` is None for the most over travel and steer, the only value that a limit of swings asks.
    """
    if value is None or study.bands is None:
        return plain, ""
    if side is None:
        within = study.bands.within_most(car, result)
    else:
        within = study.bands.within(car, result, side)
    if within == ENDLESS:
        return NO_VALUE, ""
    if within is None:
        return plain, ""
    units = study.setup.units
    if is_exact(study):
        return plain, "0"
    number = banded_number(value, within, result, units, plus=car == "moves")
    return number, within_number(within, result, units).removeprefix("±")


def kept_cell(study: Study[Any], result: Result) -> str:
    """Return how probably a limit is kept, where nobody can say for sure; else nothing."""
    return "" if study.bands is None else kept_words(study.bands.kept.get(result.key))
