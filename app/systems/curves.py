"""A study's results as curves: which of them, over what, of which wheel, in shown units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from app.document.model import Units
from app.document.moves import proposed_number
from app.document.units import BEYOND, shown
from app.drawing.chart import Band, Chart, Look, Series
from app.systems.answers import CarAnswers, Study
from app.systems.banded import CarOf
from app.systems.study_results import namesake_of
from geometry.catalogue.result import CURVES_SHOWN, Result, plotted_first

Driver = Literal["travel", "roll", "steer"]

KINDS: Final[dict[Driver, str]] = {"travel": "length", "roll": "angle", "steer": "length"}


def curve_of(
    car: CarAnswers,
    driver: Driver,
    result: Result,
    units: Units,
    side: int = 0,
    look: Look = "proposed",
    in_body: bool = False,
) -> Series | None:
    """Return a car's curve of a wheel, left 0 or right 1; None where that result isn't there.

    Travel counts from where the car stands, or with `in_body` from the measured height.
    """
    sweep = getattr(car, driver)
    values = None if sweep is None else sweep.values.get(result.key)
    if values is None:
        return None
    size = shown(result.kind, units).size
    row = values[side] if values.ndim == 2 else values
    numbers = np.where(sweep.reached, row, np.nan) / size
    numbers[~(np.abs(numbers) < BEYOND)] = np.nan
    place = sweep.at + car.stand.travel if in_body and driver == "travel" else sweep.at
    at = place / shown(KINDS[driver], units).size
    return Series(at, numbers, look, breaks(sweep.reached), least_span(result, units))


def curve_chart(
    study: Study[Any],
    driver: Driver,
    result: Result,
    units: Units,
    side: int = 0,
    in_body: bool = False,
) -> Chart:
    """Return both cars' curves of a result, one where nothing is changed, none where data lacks."""
    stops = stops_given(study) if driver == "travel" else ()
    cars: list[tuple[CarAnswers, Look]] = [(study.proposed, "proposed")]
    if study.changed:
        cars.insert(0, (study.measured, "measured"))
    series: list[Series] = []
    bands: list[Band] = []
    for car, look in cars:
        curve = curve_of(car, driver, result, units, side, look, in_body)
        if curve is not None and result.key not in study.missing:
            stands = 0.0 if in_body else car.stand.travel
            size = shown(KINDS[driver], units).size
            series.append(replace(curve, stops=tuple((stop - stands) / size for stop in stops)))
            bands += _bands(study, driver, result, series[-1], side, car.stand.travel - stands)
    return Chart(tuple(series), tuple(bands), upright=driver == "travel")


def second_curve(
    study: Study[Any],
    driver: Driver,
    result: Result,
    units: Units,
    side: int = 0,
    in_body: bool = False,
) -> Series | None:
    """Return the curve of another car as built of what a result means, None where it has none."""
    own = namesake_of(study.proposed, result)
    if own is None or own.key in study.missing:
        return None
    return curve_of(study.proposed, driver, own, units, side, "second", in_body)


def _bands(
    study: Study[Any], driver: Driver, result: Result, curve: Series, side: int, shift: float
) -> Iterator[Band]:
    """Yield how far a curve may be off along its lines; `shift` is its place in the body."""
    told: CarOf = "found" if curve.look == "measured" or not study.changed else "built"
    units = study.setup.units
    at = curve.at * shown(KINDS[driver], units).size
    if driver == "travel":
        at = at - shift
    within = None if study.bands is None else study.bands.curve(told, driver, result, at, side)
    if within is None:
        return
    half = within / shown(result.kind, units).size
    for piece in curve.pieces:
        if np.isfinite(half[piece]).all():
            yield Band(
                curve.at[piece],
                curve.values[piece] - half[piece],
                curve.values[piece] + half[piece],
                curve.look,
            )


def stops_given(study: Study[Any]) -> tuple[float, ...]:
    """Return the stops of the end that is told, as travel from the measured height [mm]."""
    ways = (-1.0, "rebound"), (1.0, "bump")
    end = study.system.key
    stops = [(way, proposed_number(study.setup, f"{end}.travel.{name}")) for way, name in ways]
    return tuple(way * stop for way, stop in stops if stop is not None)


def swept_range(study: Study[Any], driver: Driver, in_body: bool = False) -> tuple[float, float]:
    """Return what both cars are swept over [mm, rad]; travel each from where it stands."""
    low, high, _ = getattr(study.ranges, driver)
    stands = 0.0 if in_body or driver != "travel" else study.proposed.stand.travel
    return min(low, low - stands), max(high, high - stands)


def breaks(reached: NDArray[np.bool_]) -> tuple[int, ...]:
    """Return the places that are reached beside one that isn't."""
    if reached.all():
        return ()
    padded = np.concatenate([[True], reached, [True]])
    edge = reached & ~(padded[:-2] & padded[2:])
    return tuple(int(place) for place in np.flatnonzero(edge))


def least_span(result: Result, units: Units) -> float:
    """Return the least span of an axis on which a result is drawn, as shown."""
    return result.least_span / shown(result.kind, units).size


def curves_shown(study: Study[Any]) -> tuple[Result, ...]:
    """Return the results whose curves a page begins with: those that are known, if enough are."""
    results = plotted_first(study.results)
    first_known = sorted(results, key=lambda result: result.key in study.missing)[:CURVES_SHOWN]
    return tuple(result for result in results if result in first_known)
