"""A study with its bands: quick ones for a drag, straight ones at rest, then sampled ones too."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from typing import Any, Final

import numpy as np

from app.judge.again import measure_again
from app.judge.bands import Band, Bands, bands_of, concerned
from app.judge.cars import SAMPLES, Asked
from app.judge.drilling import holes_within
from app.judge.kept import Chances, KeptLimit
from app.judge.pausing import Pause, go_on
from app.systems.answers import Driver, Study
from app.systems.banded import (
    CARS_OF,
    QUICK,
    STRAIGHT,
    WHOLE,
    CarBands,
    CarOf,
    CurveBand,
    StudyBands,
)
from app.systems.curves import curves_shown
from geometry.catalogue.front import JOINTS
from geometry.catalogue.result import Result
from geometry.vectors import Array

_PLACES: Final = 21  # of a curve that have a band
_FEWER: Final = 9  # where whole cars are sampled


def with_bands(study: Study[Any]) -> Study[Any]:
    """Return a study with what paper shows of its bands; the same where nobody knows them."""
    bands: StudyBands | None = None
    travel: tuple[Driver, ...] = ("travel",)
    for each in study_bands(study, WHOLE, drivers=travel):
        bands = each if bands is None else bands.newer(each)
    return study if bands is None else replace(study, bands=bands)


def with_bands_at_rest(study: Study[Any], samples: int = SAMPLES) -> Study[Any]:
    """Return a study with the bands of its figures where it stands, and of its limits.

    The same where nothing says how well it is known.
    """
    bands = bands_of(study, Asked("travel", np.array([0.0])), samples=samples)
    if bands is None:
        return study
    figures = _told(WHOLE, [bands])
    at_rest = replace(figures, cars={car: CarBands(one.rest) for car, one in figures.cars.items()})
    chances = Chances(bands, samples)
    return replace(study, bands=_with_limits(at_rest, chances.limits()))


def study_bands(
    study: Study[Any],
    level: int = WHOLE,
    pause: Pause = go_on,
    drivers: Collection[Driver] | None = None,
) -> Iterator[StudyBands]:
    """Yield a study's bands: none where nothing says how well it is known; more with each level.

    `drivers` are those over which curves are wanted, travel among them; None for all.

    Raises
    ------
    GeometryError
        A car measured again can't be had.
    """
    if not concerned(study).parameters:
        return
    if level == QUICK:
        yield _told(QUICK, [_over(study, "travel", _quick(study), 0, pause)])
        return
    straight = [
        _over(study, driver, _in_poses(study) if driver != "travel" else None, 0, pause)
        for driver in study.system.drivers
        if drivers is None or driver in drivers
    ]
    yield _told(STRAIGHT, straight)
    if level == WHOLE:
        sampled = {result.key for result in _results(study) if result.sampled}
        parts = [_over(study, "travel", sampled, SAMPLES, pause, _FEWER)]
        whole = _joined(straight[0], parts[0])
        yield _judged(_told(WHOLE, parts), whole, pause)


def _results(study: Study[Any]) -> tuple[Result, ...]:
    return (*study.measured.results, *study.results)


def _in_poses(study: Study[Any]) -> set[str]:
    return {result.key for result in _results(study) if result.scope != "car"}


def _quick(study: Study[Any]) -> set[str]:
    """Return the results that are looked at during a drag."""
    first = {result.key for result in study.results if result.first}
    return ({result.key for result in curves_shown(study)} | first) & _in_poses(study)


def _over(
    study: Study[Any],
    driver: Driver,
    keys: Collection[str] | None,
    samples: int,
    pause: Pause,
    count: int = _PLACES,
) -> Bands:
    low, high, _ = getattr(study.ranges, driver)
    found = np.concatenate([[0.0], np.linspace(low, high, count)])
    built = found.copy()
    if driver == "travel":
        built[1:] -= study.proposed.stand.travel
    bands = bands_of(study, Asked(driver, built, found_at=found), keys, samples, pause)
    assert bands is not None  # something is known of it
    return bands


def _joined(straight: Bands, sampled: Bands) -> Bands:
    """Return straight bands with the sampled ones beside them."""
    return replace(
        straight,
        found={**straight.found, **sampled.found},
        built={**straight.built, **sampled.built},
        moves={**straight.moves, **sampled.moves},
        samples=sampled.samples,
        errors=sampled.errors,
        cars=sampled.cars,
    )


def _judged(told: StudyBands, bands: Bands, pause: Pause) -> StudyBands:
    """Return bands with what follows from them for limits, readings and holes."""
    chances = Chances(bands, SAMPLES, pause)
    limits = chances.limits()
    return replace(
        _with_limits(told, limits),
        again=measure_again(bands, chances),
        drill_within=holes_within(chances, limits),
    )


def _with_limits(told: StudyBands, limits: Iterable[KeptLimit]) -> StudyBands:
    limits = tuple(limits)
    chances = {one.result.key: (one.kept, one.found_kept) for one in limits}
    swings = [one for one in limits if one.result.group == JOINTS]
    most: dict[CarOf, dict[str, float | None]] = {
        "found": {one.result.key: one.found_within for one in swings},
        "built": {one.result.key: one.within for one in swings},
    }
    return replace(
        told,
        kept={key: built for key, (built, _) in chances.items() if built is not None},
        found_kept={key: found for key, (_, found) in chances.items() if found is not None},
        most={
            car: {key: each for key, each in all_of.items() if each is not None}
            for car, all_of in most.items()
        },
    )


def _told(level: int, parts: list[Bands]) -> StudyBands:
    return StudyBands({car: _car(car, parts) for car in CARS_OF}, level=level)


def _car(car: CarOf, parts: list[Bands]) -> CarBands:
    rest: dict[str, Array] = {}
    curves: dict[Driver, dict[str, CurveBand]] = {}
    for bands in parts:
        asked = bands.asked
        at = asked.found_poses[asked.driver] if car == "found" else asked.at
        driver_curves = curves.setdefault(asked.driver, {})
        for key, band in getattr(bands, car).items():
            if bands.results[key].scope == "car":
                rest[key] = np.asarray(band.within)
            else:
                rest.setdefault(key, _first(band))
                driver_curves[key] = CurveBand(at[1:], band.within[..., 1:])
    return CarBands(rest, curves)


def _first(band: Band) -> Array:
    return np.atleast_1d(band.within[..., 0])
