"""Results as machine-readable names and numbers: mm, degrees, N, N·m, whatever the file's units."""

from __future__ import annotations

from collections.abc import Sequence
from math import degrees, isnan
from typing import Final

from app.document.quantities import DEGREE, QUANTITIES
from app.systems.answers import Answered, CarAnswers, values_over
from app.systems.sides import wheel_value
from geometry.catalogue.front import Result, machine_name

UNITS: Final = {
    "length": "mm",
    "angle": "deg",
    "angle per length": "deg/mm",
    "length per length": "mm/mm",
    "spring rate": "N/mm",
    "force": "N",
    "torque": "N·m",
    "torsional rate": "N·m/deg",
    "stress": "N/mm²",
    "percent": "%",
    "frequency": "Hz",
    "ratio": "1",
    "angle per angle": "deg/deg",
}
PER_MM: Final = {"angle per length": DEGREE, "length per length": 1.0}  # not over about an inch
Numbers = list[float | None]
Rows = dict[str, Numbers]


def machine_number(value: float | None, result: Result) -> float | None:
    """Return a value in the unit that its machine-readable name tells."""
    return None if value is None else kind_number(value, result.kind)


def kind_number(value: float, kind: str) -> float:
    """Return a value of a kind of quantity in the unit that machine-readable names tell."""
    return value / _factor(kind) + 0.0


def _factor(kind: str) -> float:
    """Return how much of a kind of quantity the unit is that machine-readable names tell."""
    quantity = QUANTITIES.get(kind)
    return PER_MM.get(kind, quantity.mm_factor if quantity else 1.0)


def drivers(sweep: Answered, steer: float | None) -> Rows:
    """Return the driver values of a sweep: travel and steer in mm, roll in degrees.

    `steer` is held meanwhile; None where nothing steers.
    """
    driver_values = [float(value) + 0.0 for value in sweep.at]
    zero = [0.0] * len(driver_values)
    driven: Rows = {"travel_mm": [*zero], "roll_deg": [*zero]}
    if sweep.driver == "roll":
        travel = sweep.values["wheel_travel"]
        left = travel[0] if travel.ndim == 2 else travel
        moved = [float(t) if r else None for t, r in zip(left, sweep.reached, strict=True)]
        driven = {
            "travel_mm": moved,
            "roll_deg": [round(degrees(value), 12) for value in driver_values],
        }
    elif sweep.driver == "travel":
        driven["travel_mm"] = [*driver_values]
    if steer is None:
        return {**driven}
    return {
        **driven,
        "steer_mm": [*driver_values] if sweep.driver == "steer" else [steer] * len(driver_values),
    }


def sweep_values(sweep: Answered, results: Sequence[Result], prefix: str = "") -> tuple[Rows, Rows]:
    """Return every result over a sweep by name: the left wheel's, and the right one's alone.

    Results that a car has once are in no pose.
    """
    posed = [result for result in results if result.scope != "car"]
    left = {name(result, prefix): _row(sweep, result, 0) for result in posed}
    wheels = (result for result in posed if result.scope == "wheel")
    return left, {name(result, prefix): _row(sweep, result, 1) for result in wheels}


def absent_values(results: Sequence[Result], prefix: str) -> tuple[Rows, Rows]:
    """Return the same as lists of one null."""
    posed = [result for result in results if result.scope != "car"]
    left: Rows = {name(result, prefix): [None] for result in posed}
    wheels = (result for result in posed if result.scope == "wheel")
    return left, {name(result, prefix): [None] for result in wheels}


def name(result: Result, prefix: str = "") -> str:
    """Return a result's name with its unit."""
    return f"{prefix}{machine_name(result)}"


def single_values(car: CarAnswers, results: Sequence[Result]) -> Rows:
    """Return the results that a car has once, as lists of one."""
    singles = (result for result in results if result.scope == "car")
    return {
        name(result): [machine_number(car.single.get(result.key), result)] for result in singles
    }


def wheel_values(car: CarAnswers, results: Sequence[Result]) -> Rows:
    """Return left and right of the results that a car has once, of its worse wheel."""
    singles = (result for result in results if result.scope == "car")
    return {
        name(result): [machine_number(wheel_value(car, result, side), result) for side in (0, 1)]
        for result in singles
        if result.key in car.wheels
    }


def _row(sweep: Answered, result: Result, side: int) -> Numbers:
    numbers = values_over(sweep, result, side) / _factor(result.kind) + 0.0
    return [None if isnan(number) else number for number in numbers.tolist()]
