"""What the last page says of a car: what lacks, what can't be read, how it stands."""

from __future__ import annotations

from typing import Final

from app.document.model import Setup
from app.document.units import format_value
from app.systems.answers import value_at_rest
from app.systems.front.system import FRONT
from app.words.errors import geometry_words
from geometry.catalogue.front import BY_KEY
from geometry.errors import GeometryError

FIRST_LOOK: Final = (
    "caster",
    "kingpin_inclination",
    "scrub_radius",
    "mechanical_trail",
    "roll_centre_height",
    "camber_gain",
    "bump_steer",
    "spring_motion_ratio",
    "wheel_rate",
    "ride_frequency",
    "anti_dive",
)
SIZES: Final = ("spring_motion_ratio", "wheel_rate", "ride_frequency")  # without a direction


def first_look(setup: Setup, decimal: str = ".") -> tuple[tuple[tuple[str, str], ...], str]:
    """Return a few results of the measured car, and why there are none when it can't be built."""
    try:
        car = FRONT.study(setup.having(changes=()), short=True).measured
    except GeometryError as error:
        return (), geometry_words(error, setup.units, decimal, setup.readings)
    rows = []
    for key in FIRST_LOOK:
        result = BY_KEY[key]
        value = value_at_rest(car, result)
        if value is not None:
            words = result.plus if value > 0 else result.minus
            words = "" if key in SIZES else words
            value_words = format_value(value, result.kind, setup.units, decimal=decimal)
            rows.append((result.title, f"{value_words} {words}".strip()))
    return tuple(rows), ""
