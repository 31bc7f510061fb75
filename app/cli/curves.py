"""Every result over a sweep of travel, roll or steer: solved, as JSON, CSV or tables."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from math import radians
from pathlib import Path
from typing import Final

from app.cli.arguments import Call
from app.cli.machine import UNITS, Rows, drivers, name, sweep_values
from app.cli.notes import Naming, absent_notes, beyond_notes, reach_notes, setup_notes
from app.cli.report_json import all_notes, conditions
from app.study import Ranges, Study, sweep_at
from geometry.front_axle import Front
from geometry.front_sweeps import Sweep

_OWN: Final = {"travel": "travel_mm", "roll": "roll_deg", "steer": "steer_mm"}


@dataclass(frozen=True)
class Curves:
    """Both cars' sweeps, with their notes."""

    study: Study
    over: str
    steer: float
    asked: bool  # at given places, not over a whole range
    measured: Sweep
    proposed: Sweep
    notes: dict[str, list[str]]

    @property
    def cars(self) -> tuple[tuple[str, Sweep], tuple[str, Sweep]]:
        """Return both sweeps by the car's name."""
        return ("measured", self.measured), ("proposed", self.proposed)


def curves_of(study: Study, call: Call, naming: Naming) -> Curves:
    """Solve both cars at the poses asked for, or over the setup's own ranges."""
    values = _values(study.ranges, call)
    fronts = {"measured": study.measured.front, "proposed": study.proposed.front}
    sweeps = {car: sweep_at(front, call.over, values, call.steer) for car, front in fronts.items()}
    notes = {
        car: [*_notes(study, fronts[car], sweep, call.steer, naming)]
        for car, sweep in sweeps.items()
    }
    return Curves(
        study=study,
        over=call.over,
        steer=call.steer,
        asked=call.at is not None,
        measured=sweeps["measured"],
        proposed=sweeps["proposed"],
        notes=notes,
    )


def curves_object(curves: Curves, path: Path) -> dict[str, object]:
    """Return both cars' sweeps as an object for JSON."""
    return {
        "title": curves.study.setup.title,
        "file": path.name,
        "axle": "front",
        "over": curves.over,
        "units": UNITS,
        "conditions": conditions(curves.study),
        "changes": [change.name for change in curves.study.setup.changes if change.on],
        **{
            car: {**_numbers(sweep, curves.steer), "notes": curves.notes[car]}
            for car, sweep in curves.cars
        },
        "notes": [*setup_notes(curves.study, name), *all_notes(curves.notes)],
    }


def curves_csv(curves: Curves) -> str:
    """Return both cars' sweeps as CSV: a row per pose, a column per car, wheel and result."""
    columns: Rows = {}
    for car, sweep in curves.cars:
        left, right = sweep_values(sweep)
        if car == "measured":
            asked = drivers(sweep, curves.steer)
            columns[_OWN[curves.over]] = asked.pop(_OWN[curves.over])
            columns |= {key: row for key, row in asked.items() if key == "steer_mm"}
        columns |= {f"{car} {key}": row for key, row in left.items()}
        columns |= {f"{car} right {key}": row for key, row in right.items()}
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(
        ["" if value is None else repr(value) for value in row]
        for row in zip(*columns.values(), strict=True)
    )
    return text.getvalue()


def _values(ranges: Ranges, call: Call) -> list[float]:
    """Return what is swept, in mm and radians."""
    if call.at is not None:
        return [radians(value) if call.over == "roll" else value for value in call.at]
    low, high, count = {"travel": ranges.travel, "roll": ranges.roll, "steer": ranges.steer}[
        call.over
    ]
    step = (high - low) / (count - 1)
    return [low + place * step for place in range(count - 1)] + [high]


def _numbers(sweep: Sweep, steer: float) -> dict[str, object]:
    left, right = sweep_values(sweep)
    return {**drivers(sweep, steer), **left, "right": right}


def _notes(study: Study, front: Front, sweep: Sweep, steer: float, naming: Naming) -> Iterator[str]:
    yield from reach_notes(study, front, sweep, steer)
    yield from absent_notes(study, sweep, naming)
    yield from beyond_notes(study, sweep, steer)
