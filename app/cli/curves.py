"""Every result over a sweep of travel, roll or steer: solved, as JSON, CSV or tables."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians
from pathlib import Path
from typing import Any

from app.cli.arguments import Call, Over
from app.cli.columns import OWN_NAMES, columns_csv
from app.cli.machine import UNITS, Rows, drivers, name, sweep_values
from app.cli.report_json import all_notes
from app.systems.answers import Answered, CarName, Ranges, Study
from app.systems.naming import Naming
from app.systems.report import Report
from geometry.dataclass import dataclass


@dataclass(frozen=True)
class Curves:
    """Both cars' sweeps, with their notes."""

    end: Report
    over: str
    steer: float | None  # held meanwhile; None where nothing steers
    asked: bool  # at given places, not over a whole range
    is_bare: bool  # places were typed without a unit: they are mm
    measured: Answered
    proposed: Answered  # from the measured height, as other programs ask for poses
    built: Answered  # from where it stands
    notes: dict[CarName, list[str]]

    @property
    def study(self) -> Study[Any]:
        """Return what was studied."""
        return self.end.study

    @property
    def standing(self) -> tuple[tuple[str, Answered], tuple[str, Answered]]:
        """Return the sweeps of both cars from where they stand, by what a report calls them."""
        return ("as found", self.measured), ("as built", self.built)

    @property
    def cars(self) -> tuple[tuple[CarName, Answered], tuple[CarName, Answered]]:
        """Return both sweeps by the car's name."""
        return ("measured", self.measured), ("proposed", self.proposed)


def curves_of(end: Report, call: Call, naming: Naming) -> Curves:
    """Solve both cars at the poses asked for, or over the setup's own ranges."""
    over = call.over or "travel"
    values = driver_values(end.study.ranges, over, call.at)
    measured, proposed, built = (
        car.sweep_at(over, values, call.steer)
        for car in (end.study.measured, end.study.unsettled, end.study.proposed)
    )
    sweeps: dict[CarName, Answered] = {"measured": measured, "proposed": proposed}
    return Curves(
        end=end,
        over=over,
        steer=call.steer if "steer" in end.study.system.drivers else None,
        asked=call.at is not None,
        is_bare=call.is_bare,
        measured=measured,
        proposed=proposed,
        built=built,
        notes={
            car: list(end.sweep_notes(car, sweep, call.steer, naming))
            for car, sweep in sweeps.items()
        },
    )


def curves_object(curves: Curves, path: Path) -> dict[str, object]:
    """Return both cars' sweeps as an object for JSON."""
    end, setup = curves.end, curves.study.setup
    return {
        "title": setup.title,
        "file": path.name,
        "axle": end.study.system.key,
        "over": curves.over,
        "units": UNITS,
        "conditions": end.conditions(),
        "changes": [change.name for change in setup.changes if change.on],
        **{
            car: {**_numbers(curves, sweep), "notes": curves.notes[car]}
            for car, sweep in curves.cars
        },
        "found": _numbers(curves, curves.measured),
        "built": _numbers(curves, curves.built),
        "notes": [*end.setup_notes(name), *all_notes(curves.notes)],
    }


def curves_csv(curves: Curves) -> str:
    """Return both cars' sweeps as CSV: a row per pose, a column per car, wheel and result."""
    columns: Rows = {}
    for car, sweep in curves.cars:
        left, right = sweep_values(sweep, curves.end.results)
        if car == "measured":
            driver_rows = drivers(sweep, curves.steer)
            columns[OWN_NAMES[curves.over]] = driver_rows.pop(OWN_NAMES[curves.over])
            columns |= {key: row for key, row in driver_rows.items() if key == "steer_mm"}
        columns |= {f"{car} {key}": row for key, row in left.items()}
        columns |= {f"{car} right {key}": row for key, row in right.items()}
    return columns_csv(columns)


def driver_values(ranges: Ranges, over: Over, at: Sequence[float] | None) -> list[float]:
    """Return the places of a sweep in mm and radians: those asked for, or the setup's own range."""
    if at is not None:
        return [radians(value) if over == "roll" else value for value in at]
    low, high, count = {"travel": ranges.travel, "roll": ranges.roll, "steer": ranges.steer}[over]
    step = (high - low) / (count - 1)
    return [low + place * step for place in range(count - 1)] + [high]


def _numbers(curves: Curves, sweep: Answered) -> dict[str, object]:
    left, right = sweep_values(sweep, curves.end.results)
    numbers: dict[str, object] = {**drivers(sweep, curves.steer), **left}
    return {**numbers, "right": right} if right else numbers
