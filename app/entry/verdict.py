"""What the last page says of a car: what lacks, what can't be read, how it stands."""

from __future__ import annotations

from typing import Final

from app.document.model import Setup
from app.document.units import format_value
from app.entry.part import GuidePart
from app.systems.answers import value_at_rest
from app.words.errors import geometry_words
from geometry.catalogue.result import by_key
from geometry.errors import GeometryError

SIZES: Final = ("spring_motion_ratio", "wheel_rate", "ride_frequency")  # without a direction


def first_look(
    setup: Setup, part: GuidePart, decimal: str = "."
) -> tuple[tuple[tuple[str, str], ...], str]:
    """Return a few results of one end as measured, and why there are none if it can't be built."""
    try:
        car = part.system.study(setup.having(changes=()), short=True).measured
    except GeometryError as error:
        return (), geometry_words(error, setup.units, decimal, setup.readings)
    rows = []
    results = by_key(car.results)
    for key in part.first_look:
        result = results.get(key)
        value = None if result is None else value_at_rest(car, result)
        if result is not None and value is not None:
            words = result.plus if value > 0 else result.minus
            words = "" if key in SIZES else words
            value_words = format_value(value, result.kind, setup.units, decimal=decimal)
            rows.append((result.title, f"{value_words} {words}".strip()))
    return tuple(rows), ""
