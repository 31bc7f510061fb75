"""What is set and read on the finished car, a row each, and how high it then stands. No Qt."""

from __future__ import annotations

from typing import Any, Final

from app.document.model import Units
from app.document.quantities import INCH
from app.document.units import format_value
from app.systems.answers import Study
from app.words.lengths import bench_length
from geometry.dataclass import dataclass

HEIGHT_WITHIN: Final = {"mm": 3.0, "in": INCH / 8}  # [mm]; common practice, no source
HEIGHT_SEEN: Final = 0.5  # a car that settles by less stands as it did [mm]


@dataclass(frozen=True)
class Target:
    """A row of the alignment table.

    `found` and `wanted` hold one figure, or left and right where they differ; `both` is one box
    for the whole axle instead of one per wheel.
    """

    title: str
    found: tuple[str, ...]
    wanted: tuple[str, ...]
    within: str
    both: bool = False


def stands_by(study: Study[Any]) -> float | None:
    """Return how much lower the proposal stands [mm], 0 when unseen, None where not known."""
    by = study.stands
    return None if by is None else by if abs(by) >= HEIGHT_SEEN else 0.0


def shop_length(value: float, units: Units, decimal: str, places: int) -> str:
    """Return a length as a shop reads it: to the mm, or the nearest 32nd of an inch.

    With places for tenths of a mm it is the nearest 64th.
    """
    if units == "mm":
        return format_value(value, "length", "mm", decimal=decimal, places=places)
    parts = 64 if places else 32
    return bench_length(round(value / INCH * parts) / parts * INCH, "in", decimal)
