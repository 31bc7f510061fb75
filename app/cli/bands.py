"""How far results may be off: worked out for what was asked, as JSON and CSV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import degrees, isfinite
from pathlib import Path
from typing import Any, Final

import numpy as np

from app.cli.arguments import Call
from app.cli.columns import OWN_NAMES, columns_csv
from app.cli.curves import driver_values
from app.cli.machine import UNITS, kind_number, machine_number, name
from app.cli.refused import Refused
from app.document.leaf_parts import LEAVES, exact_leaves
from app.judge.again import measure_again
from app.judge.bands import Band, Bands, bands_of
from app.judge.cars import SAMPLES, Asked
from app.judge.drilling import holes_within
from app.judge.kept import Chances, KeptLimit
from app.systems.answers import Study
from app.systems.banded import Again
from app.systems.report import Report
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.vectors import Array

NOT_SAID: Final = (
    "{} doesn't say how well anything was measured. Give measured_within under [sheet] for all "
    "points, or a point or number its own within."
)
CARS: Final = {"found": "as found", "built": "as built", "moves": "change"}


@dataclass(frozen=True)
class Answer:
    """One end's bands in the poses asked for, its limits, and what to measure again.

    `shown` are the places of the poses asked for in the bands' arrays, whose first is at rest.
    """

    end: Report
    bands: Bands
    shown: slice
    asked_poses: bool
    samples: int
    limits: tuple[KeptLimit, ...]
    again: tuple[Again, ...]
    drill_within: float | None

    @property
    def study(self) -> Study[Any]:
        """What was studied."""
        return self.end.study

    @property
    def at(self) -> Array:
        """The poses asked for [mm, rad]."""
        return self.bands.asked.at[self.shown]

    def of(self, car: str) -> Mapping[str, Band]:
        """Return the bands of "found", "built" or "moves"."""
        bands: Mapping[str, Band] = getattr(self.bands, car)
        return bands

    def results(self, car: str) -> list[Result]:
        """Return the results that have a band, in the order of the catalogue."""
        study = self.study
        own = study.measured.results if car == "found" else study.results
        return [result for result in own if result.key in self.of(car)]


def answer_of(end: Report, call: Call, path: Path) -> Answer:
    """Work out the bands of what was asked for: at rest where no poses were."""
    study, samples = end.study, SAMPLES if call.samples is None else call.samples
    asked_poses = call.at is not None or call.over is not None
    over = call.over or "travel"
    places = driver_values(study.ranges, over, call.at) if asked_poses else []
    asked = Asked(over, np.array([0.0, *places]), call.steer)
    bands = bands_of(study, asked, samples=samples)
    if bands is None:
        raise Refused(NOT_SAID.format(path.name))
    chances = Chances(bands, samples)
    limits = chances.limits()
    return Answer(
        end=end,
        bands=bands,
        shown=slice(1, None) if asked_poses else slice(0, 1),
        asked_poses=asked_poses,
        samples=samples,
        limits=limits,
        again=measure_again(bands, chances),
        drill_within=holes_within(chances, limits),
    )


def bands_object(answer: Answer, path: Path) -> dict[str, object]:
    """Return the bands as an object for JSON."""
    study, asked = answer.study, answer.bands.asked
    at = [degrees(v) if asked.driver == "roll" else v for v in answer.at.tolist()]
    results = {result.key: result for car in CARS for result in answer.results(car)}
    return {
        "title": study.setup.title,
        "file": path.name,
        "axle": study.system.key,
        "over": asked.driver,
        "units": UNITS,
        "changes": [change.name for change in study.setup.changes if change.on],
        "coverage": 2.0,
        "samples": answer.samples,
        OWN_NAMES[asked.driver]: at,
        **{car: _car_object(answer, car) for car in CARS},
        "method": {name(result): _method(answer, result) for result in results.values()},
        "limits": [_limit_object(limit) for limit in answer.limits],
        "again": [_again_object(one, answer) for one in answer.again],
        "drill_within_mm": answer.drill_within,
        "notes": [*notes(answer)],
    }


def bands_csv(answer: Answer) -> str:
    """Return the bands as CSV: a row per pose, columns of value and within."""
    asked = answer.bands.asked
    at = [degrees(v) if asked.driver == "roll" else v for v in answer.at.tolist()]
    columns: dict[str, Sequence[float | None]] = {OWN_NAMES[asked.driver]: at}
    for car in CARS:
        for result in answer.results(car):
            for side, words in enumerate(("", "right ")[: 2 if result.scope == "wheel" else 1]):
                numbers = _band_object(answer, answer.of(car)[result.key], result, side)
                for part, values in numbers.items():
                    each = values * len(at) if result.scope == "car" else values
                    columns[f"{car} {words}{name(result)} {part}"] = each
    return columns_csv(columns)


def notes(answer: Answer) -> list[str]:
    """Return what the bands leave out, and which of them have no end."""
    study = answer.study
    words = []
    for car, title in CARS.items():
        results = answer.results(car) if car == "found" or study.changed else []
        endless = [r.title for r in results if through_infinity(answer.of(car)[r.key], answer, r)]
        if endless:
            far = f"through infinity, so no band is given: {'; '.join(endless)}."
            words.append(f"{title.capitalize()}, {far}")
    if study.system.is_own(LEAVES) and (exact := exact_leaves(study.setup)):
        which = "The leaves count" if len(exact) > 1 else f"Leaf {exact[0] + 1} counts"
        words.append(
            f"{which} as exact, since nothing says how well the thickness was measured: 0.1 mm of "
            "a leaf of 6 mm is 5 % of its stiffness."
        )
    if "sheet.datum_within" not in study.setup.evidence:
        words.append("Beside the error of the datum, which the file doesn't give.")
    if study.stands is None and study.has_work:
        words.append("At the measured height: weights not given.")
    return words


def through_infinity(band: Band, answer: Answer, result: Result) -> bool:
    """Tell whether a result may be anywhere, so that its figure says nothing."""
    if band.low is None:
        return False
    shown = np.atleast_1d(band.within) if result.scope == "car" else band.within[..., answer.shown]
    value = np.atleast_1d(band.value) if result.scope == "car" else band.value[..., answer.shown]
    return bool((np.isnan(shown) & np.isfinite(value)).any())


def _car_object(answer: Answer, car: str) -> dict[str, object]:
    bands, results = answer.of(car), answer.results(car)
    left = {name(each): _band_object(answer, bands[each.key], each, 0) for each in results}
    right = {
        name(each): _band_object(answer, bands[each.key], each, 1)
        for each in results
        if each.scope == "wheel"
    }
    return {**left, "right": right} if right else {**left}


def _band_object(
    answer: Answer, band: Band, result: Result, side: int
) -> dict[str, list[float | None]]:
    if band.low is not None:  # what may be anywhere, through infinity, has no figure
        band = replace(band, value=np.where(np.isnan(band.within), np.nan, band.value))
    parts = {"value": band.value, "within": band.within, "low": band.low, "high": band.high}
    return {
        part: _numbers(array, answer, result, side)
        for part, array in parts.items()
        if array is not None
    }


def _numbers(array: Array, answer: Answer, result: Result, side: int) -> list[float | None]:
    row = np.atleast_1d(array)
    if result.scope != "car":
        row = row[side] if row.ndim == 2 else row
        row = row[answer.shown]
    return [machine_number(value, result) if isfinite(value) else None for value in row.tolist()]


def _method(answer: Answer, result: Result) -> str:
    bands = answer.bands
    return bands.built.get(result.key, bands.found.get(result.key, _NONE)).method


_NONE: Final = Band(np.zeros(0), np.zeros(0))


def _limit_object(limit: KeptLimit) -> dict[str, object]:
    result, bounds = limit.result, limit.check.limit
    return {
        "result": name(result),
        "minimum": machine_number(bounds.minimum, result),
        "maximum": machine_number(bounds.maximum, result),
        "by": bounds.by,
        "kept_probability": limit.kept,
        "found_kept_probability": limit.found_kept,
        "within": _finite(limit.within, result),
        "found_within": _finite(limit.found_within, result),
    }


def _finite(value: float | None, result: Result) -> float | None:
    return None if value is None or not isfinite(value) else machine_number(value, result)


def _again_object(one: Again, answer: Answer) -> dict[str, object]:
    results = answer.bands.results
    return {
        "reading": one.reading,
        "share": one.share,
        "shares": {name(results[key]): share for key, share in one.shares.items()},
        "bring": {
            name(results[key]): kind_number(within, results[key].kind)
            for key, within in one.bring.items()
        },
    }
