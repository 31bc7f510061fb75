"""Tables for people: heads in words, units, signs in words, both cars and the change.

Rows of text, for a file that a spreadsheet opens and for the clipboard. Where the decimal sign is
a comma, cells of a file are parted by semicolons, as spreadsheets there expect.
"""

from __future__ import annotations

import csv
import io
import os
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np

from app.document.address import SIDES
from app.document.atomic import write_whole
from app.document.model import Vec
from app.document.plain_text import one_line, upper_first
from app.document.units import MINUS, NO_VALUE, number_of, shown, unit_of
from app.export.leaf import Imprint, SecondCar, changes_words, second_line
from app.sheet.heads import day_words
from app.shop.points import point_rows
from app.systems.answers import Answered, CarAnswers, Study
from app.systems.curves import KINDS, Driver
from app.systems.height_words import height_words
from app.systems.sides import sides_are_alike, wheel_value
from app.systems.study_results import namesake_of, results_of
from app.words.results import (
    TWO_MODELS,
    places_of,
    result_number,
    result_unit,
    sign_words,
)
from geometry.catalogue.result import Result

Target = str | os.PathLike[str]
Row = Sequence[str]

MORE: Final = 1  # decimals beyond those on the screen: a spreadsheet computes with them
CARS: Final = ("as found", "as built")
SECOND: Final = "second car"
OVER: Final[dict[Driver, str]] = {
    "travel": "Wheel travel (+ bump)",
    "roll": "Body roll (+ leans to the right)",
    "steer": "Steer (+ to the left)",
}
AXES: Final = ("X (+ ahead)", "Y (+ left)", "Z (+ up)")


def points_table(
    study: Study[Any], decimal: str = ".", second: SecondCar | None = None
) -> list[Row]:
    """Return where every point was found, where it is as built, and how far it moves.

    A second car that lies over has columns of its own, at the end, for what is the same point.
    """
    unit = unit_of("length", study.setup.units)
    head = ["Point", "Side"]
    head += [f"{axis} {car}, {unit}" for car in CARS for axis in AXES]
    head += [f"{axis} change, {unit}" for axis in AXES]
    head.append(f"Measured within ±, {unit}")
    other: dict[tuple[str, str], Vec | None] = {}
    if second is not None:
        head += [f"{axis} {SECOND}, {unit}" for axis in AXES]
        other = {(each.key, each.title): each.proposed for each in point_rows(second.study)}
    rows: list[Row] = [head]
    usual = study.setup.evidence.get("sheet.measured_within")
    for point in point_rows(study):
        within = usual if point.within is None else point.within
        cells = [
            *_place(point.measured, study, decimal),
            *_place(point.proposed, study, decimal),
            *_place(_between(point.measured, point.proposed), study, decimal),
            _length(within, study, decimal) if isinstance(within, float | int) else "",
            *(
                _place(other.get((point.key, point.title)), study, decimal)
                if second is not None
                else ()
            ),
        ]
        rows.append([point.title, "right" if point.is_right else "left", *cells])
    return rows


def results_table(
    study: Study[Any], decimal: str = ".", second: SecondCar | None = None
) -> list[Row]:
    """Return every result of both cars on their wheels, with the change and its sign in words.

    A second car that lies over has a column of its own, at the end.
    """
    study = study.system.whole(study)
    head = ["Group", "Result", "Wheel", "Unit", "As found", "As built", "Change"]
    head += ["As built means", "+ means", "- means"]
    other = None
    if second is not None:
        head.append(upper_first(SECOND))
        other = second.study.system.whole(second.study).proposed
    rows: list[Row] = [head]
    units = study.setup.units
    for result in results_of(study):
        is_of_each = result.scope == "wheel" or not sides_are_alike(study, result)
        for side in (0, 1) if is_of_each else (0,):
            values = [wheel_value(car, result, side) for car in (study.measured, study.proposed)]
            if values == [None, None]:
                continue
            found, built = values
            two_models = study.system.is_by_two_models(study, result)
            change = None
            if found is not None and built is not None and not two_models:
                change = built - found
            wheel = SIDES[side] if is_of_each else ""
            figures = [_figure(value, result, study, decimal) for value in (found, built, change)]
            models = TWO_MODELS if two_models else ""
            means = "; ".join(filter(None, (sign_words(built, result, units), models)))
            words = [result.group, result.title, wheel, result_unit(result, units)]
            row = [*words, *figures, means, result.plus, result.minus]
            if other is not None:
                own = namesake_of(other, result)
                value = None if own is None else wheel_value(other, own, side)
                row.append(_figure(value, result, study, decimal))
            rows.append(row)
    return rows


def curves_table(
    study: Study[Any],
    over: Driver = "travel",
    decimal: str = ".",
    second: SecondCar | None = None,
) -> list[Row]:
    """Return every result of both cars over travel, roll or steer, a row a step.

    Travel counts from where each car stands. A cell is empty where a result doesn't exist.
    """
    study = study.system.whole(study)
    places = _sweep(study.measured, over).at
    sweeps = {
        car: answers.sweep_at(over, places)
        for car, answers in zip(CARS, (study.measured, study.proposed), strict=True)
    }
    if second is not None:
        other = second.study.system.whole(second.study).proposed
        sweeps[SECOND] = other.sweep_at(over, places)
    kind, units = KINDS[over], study.setup.units
    digits = shown(kind, units).places + MORE
    driver = [_number(at, kind, study, decimal, digits) for at in places]
    columns = {f"{OVER[over]}, {unit_of(kind, units)}": driver}
    for result in results_of(study):
        for side, car, values in _columns(sweeps, result):
            unit = result_unit(result, units)
            head = f"{result.title}{side}, {car}" + (f", {unit}" if unit else "")
            columns[head] = [_figure(value, result, study, decimal) for value in values]
    return [list(columns), *(list(row) for row in zip(*columns.values(), strict=True))]


def _columns(
    sweeps: dict[str, Answered], result: Result
) -> Iterator[tuple[str, str, list[float | None]]]:
    """Yield wheel, car and values over a sweep; None where a pose can't be taken."""
    for side in range(2):
        for car, sweep in sweeps.items():
            values = sweep.values.get(result.key)
            if values is None or (values.ndim == 1 and side == 1):
                continue
            row = values if values.ndim == 1 else values[side]
            numbers = [
                float(value) if reached and np.isfinite(value) else None
                for value, reached in zip(row, sweep.reached, strict=True)
            ]
            yield ("" if values.ndim == 1 else f", {SIDES[side]} wheel"), car, numbers


def about(
    study: Study[Any], what: str, imprint: Imprint, second: SecondCar | None = None
) -> list[Row]:
    """Return whose table it is: car, subject, changes, height and day, a line each."""
    day = day_words(imprint.today.isoformat()) if imprint.today else ""
    words = (
        study.setup.title,
        f"{study.system.title}: {what}",
        changes_words(study.setup),
        height_words(study, imprint.decimal),
        second_line(second, imprint.decimal) if second is not None else "",
        " · ".join(filter(None, (day, imprint.source))),
    )
    return [[one_line(line)] for line in words if line]


def tabbed(rows: Iterable[Row]) -> str:
    """Return rows as text with tabs between the cells, as a spreadsheet takes it."""
    return "".join("\t".join(one_line(cell) for cell in row) + "\n" for row in rows)


def write_table(rows: Iterable[Row], path: Target, decimal: str = ".") -> None:
    """Write rows as a file for spreadsheets.

    Raises
    ------
    OSError
        The file can't be written; what was there is as it was.
    """
    text = io.StringIO()
    between = ";" if decimal == "," else ","
    writer = csv.writer(text, delimiter=between, lineterminator="\r\n")
    writer.writerows([one_line(cell) for cell in row] for row in rows)
    write_whole(Path(path), text.getvalue().encode("utf-8-sig"))


def _sweep(car: CarAnswers, over: Driver) -> Answered:
    sweep = {"travel": car.travel, "roll": car.roll, "steer": car.steer}[over]
    if sweep is None:
        raise ValueError(f"There are no curves over {over} of this axle.")
    return sweep


def _figure(value: float | None, result: Result, study: Study[Any], decimal: str) -> str:
    """Return a result's value as a spreadsheet reads it; empty where there is none."""
    units = study.setup.units
    places = places_of(result, units) + MORE
    return _plain(result_number(value, result, units, decimal=decimal, places=places), decimal)


def _number(value: float, kind: str, study: Study[Any], decimal: str, places: int) -> str:
    text = number_of(float(value), kind, study.setup.units, decimal=decimal, places=places)
    return _plain(text, decimal)


def _length(value: float, study: Study[Any], decimal: str) -> str:
    places = shown("length", study.setup.units).places + MORE
    return _number(value, "length", study, decimal, places)


def _place(place: Vec | None, study: Study[Any], decimal: str) -> list[str]:
    if place is None:
        return ["", "", ""]
    return [_length(number, study, decimal) for number in place]


def _between(start: Vec | None, end: Vec | None) -> Vec | None:
    if start is None or end is None:
        return None
    x, y, z = (b - a for a, b in zip(start, end, strict=True))
    return x, y, z


def _plain(text: str, decimal: str) -> str:
    """Return a figure with the minus sign of a keyboard, without a sign on nought."""
    if text == NO_VALUE:
        return ""
    plain = text.replace(MINUS, "-")
    return plain if plain.strip(f"-0{decimal}") else plain.lstrip("-")
