"""Tables as CSV, in the setup's units, with points as decimal signs; whole or not at all."""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, Final, Literal, cast

import numpy as np

from app.document.atomic import write_whole
from app.document.keys import points_of
from app.document.model import Vec
from app.document.moves import known_points
from app.document.point_names import point_title
from app.document.quantities import QUANTITIES
from app.systems.answers import Answered, CarAnswers, Study, value_at_rest
from geometry.catalogue.front import Result

Over = Literal["travel", "roll", "steer"]
_DECIMALS: Final = 9
Target = str | os.PathLike[str]
DRIVERS: Final = {
    "travel": ("travel", "length"),
    "roll": ("roll", "angle"),
    "steer": ("steer", "length"),
}


def write_points(study: Study[Any], path: Target) -> None:
    """Write where the points were measured and where they are proposed, as CSV."""
    setup, proposed = study.setup, study.system.places(study)
    unit = QUANTITIES["length"].unit(setup.units)
    head = ["point", "key"]
    head += [f"{car} {axis} [{unit}]" for car in ("measured", "proposed") for axis in "XYZ"]
    head.append(f"within ± [{unit}]")
    rows = []
    points = known_points(setup)
    for key in points_of(setup, study.system.key):
        measured = cast(Vec, points[key])
        within = setup.within.get(key, setup.evidence.get("sheet.measured_within"))
        numbers = (*measured, *proposed.get(key, measured), within)
        rows.append(
            [point_title(key, setup.evidence), key, *(_cell(n, "length", study) for n in numbers)]
        )
    _write_table(path, head, rows)


def write_results(study: Study[Any], path: Target) -> None:
    """Write every result of both cars on their wheels, left and right, as CSV."""
    study = study.system.whole(study)
    cars = {"measured": study.measured, "proposed": study.proposed}
    head = ["group", "result", "key", "unit", "+ means", "- means"]
    head += [f"{car} {side}" for car in cars for side in ("left", "right")]
    rows = []
    for result in study.results:
        sides = (0, 1) if result.scope == "wheel" else (0,)
        values = [
            value_at_rest(car, result, side) if side in sides else None
            for car in cars.values()
            for side in (0, 1)
        ]
        unit = QUANTITIES[result.kind].unit(study.setup.units)
        cells = [_cell(value, result.kind, study) for value in values]
        words = [result.group, result.title, result.key, unit, result.plus, result.minus]
        rows.append([*words, *cells])
    _write_table(path, head, rows)


def write_curve_table(study: Study[Any], path: Target, over: Over = "travel") -> None:
    """Write every result of both cars over travel, roll or steer, as CSV; each on its wheels.

    The steps are those of the study; a cell is empty where a result doesn't exist.
    """
    study = study.system.whole(study)
    name, kind = DRIVERS[over]
    places = _sweep(study.measured, over).at
    cars = {"measured": study.measured, "proposed": study.proposed}
    sweeps = {car: answers.sweep_at(over, places) for car, answers in cars.items()}
    unit = QUANTITIES[kind].unit(study.setup.units)
    columns = {f"{name} [{unit}]": [_cell(at, kind, study) for at in sweeps["measured"].at]}
    for car, sweep in sweeps.items():
        for result in study.results:
            for side, values in _rows_of(sweep, result):
                unit = QUANTITIES[result.kind].unit(study.setup.units)
                head = f"{car} {result.key}{side}" + (f" [{unit}]" if unit else "")
                columns[head] = [_cell(value, result.kind, study) for value in values]
    _write_table(path, list(columns), zip(*columns.values(), strict=True))


def _sweep(car: CarAnswers, over: Over) -> Answered:
    sweep = {"travel": car.travel, "roll": car.roll, "steer": car.steer}[over]
    if sweep is None:
        raise ValueError(f"There are no curves over {over} of this axle.")
    return sweep


def _rows_of(sweep: Answered, result: Result) -> Iterable[tuple[str, list[float]]]:
    """Return a result's values over a sweep, by side; NaN where a pose can't be taken."""
    values = sweep.values.get(result.key)
    if values is None:
        return []
    reached_values = np.where(sweep.reached, values, np.nan)
    if reached_values.ndim == 1:
        return [("", reached_values.tolist())]
    return [(" left", reached_values[0].tolist()), (" right", reached_values[1].tolist())]


def _cell(value: object, kind: str, study: Study[Any]) -> str:
    """Return a number in the setup's units with the digits it is worth, empty for none."""
    if not isinstance(value, float | int) or not np.isfinite(value):
        return ""
    number = round(value / QUANTITIES[kind].factor(study.setup.units), _DECIMALS)
    return f"{number + 0.0:.9g}"  # no -0, and nought for what rounding has left of it


def _write_table(path: Target, head: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(rows)
    write_whole(Path(path), text.getvalue().encode())
