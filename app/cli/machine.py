"""Results as machine-readable names and numbers: mm, degrees, N, N·m, whatever the file's units."""

from __future__ import annotations

from collections.abc import Iterator
from math import degrees
from typing import Final

from app.document.quantities import QUANTITIES
from app.study import value_in
from geometry.catalogue import RESULTS, Result, machine_name
from geometry.front_sweeps import FrontStudy, Sweep

UNITS: Final = {
    "length": "mm",
    "angle": "deg",
    "angle per length": "deg/mm",
    "length per length": "mm/mm",
    "spring rate": "N/mm",
    "force": "N",
    "torque": "N·m",
    "percent": "%",
    "frequency": "Hz",
    "ratio": "1",
}
Numbers = list[float | None]
Rows = dict[str, Numbers]


def machine_number(value: float | None, result: Result) -> float | None:
    """Return a value in the unit that its machine-readable name tells."""
    if value is None:
        return None
    quantity = QUANTITIES.get(result.kind)
    return value / (quantity.mm_factor if quantity else 1.0) + 0.0


def posed_results() -> Iterator[Result]:
    """Return the results that a pose has: all but those that a car has once."""
    return (result for result in RESULTS if result.scope != "car")


def drivers(sweep: Sweep, steer: float) -> Rows:
    """Return what drives a sweep: travel and steer in mm, roll in degrees."""
    zero = [0.0] * sweep.at.size
    own = [float(value) + 0.0 for value in sweep.at]
    if sweep.driver == "roll":
        travel = sweep.values["wheel_travel"][0]
        moved = [float(t) if r else None for t, r in zip(travel, sweep.reached, strict=True)]
        return {
            "travel_mm": [*moved],
            "roll_deg": [round(degrees(value), 12) for value in own],
            "steer_mm": [steer] * len(own),
        }
    return {
        "travel_mm": [*own] if sweep.driver == "travel" else [*zero],
        "roll_deg": [*zero],
        "steer_mm": [*own] if sweep.driver == "steer" else [steer] * len(own),
    }


def sweep_values(sweep: Sweep, prefix: str = "") -> tuple[Rows, Rows]:
    """Return every result over a sweep by name: the left wheel's, and the right one's alone."""
    left = {name(result, prefix): _row(sweep, result, 0) for result in posed_results()}
    wheels = (result for result in posed_results() if result.scope == "wheel")
    return left, {name(result, prefix): _row(sweep, result, 1) for result in wheels}


def absent_values(prefix: str) -> tuple[Rows, Rows]:
    """Return the same as lists of one null."""
    left: Rows = {name(result, prefix): [None] for result in posed_results()}
    wheels = (result for result in posed_results() if result.scope == "wheel")
    return left, {name(result, prefix): [None] for result in wheels}


def name(result: Result, prefix: str = "") -> str:
    """Return a result's name with its unit."""
    return f"{prefix}{machine_name(result)}"


def single_values(car: FrontStudy) -> Rows:
    """Return the results that a car has once, as lists of one."""
    singles = (result for result in RESULTS if result.scope == "car")
    return {
        name(result): [machine_number(car.single.get(result.key), result)] for result in singles
    }


def _row(sweep: Sweep, result: Result, side: int) -> Numbers:
    places = range(sweep.at.size)
    return [machine_number(value_in(sweep, result, side, place), result) for place in places]
