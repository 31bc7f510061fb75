"""Which results a car's measurements are enough for, and what each of the others still needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from app.document.keys import KEYS
from app.document.model import Setup

_ARMS: Final = (
    "front.upper_front",
    "front.upper_rear",
    "front.upper_ball",
    "front.lower_front",
    "front.lower_rear",
    "front.lower_ball",
)
_BALLS: Final = ("front.upper_ball", "front.lower_ball")
_WHEEL: Final = ("front.wheel_centre", "front.tyre_radius", "front.camber", "front.toe")
_TIE: Final = ("front.tie_inner", "front.tie_outer")
_COIL: Final = ("front.spring_arm", "front.spring_body")
_MASS: Final = ("car.mass", "car.front_share", "car.front_unsprung")
_BRAKES: Final = ("car.wheelbase", "car.cg_height", "car.front_brake_share")


@dataclass(frozen=True, slots=True)
class Row:
    """Some results that need the same keys."""

    title: str
    needs: tuple[str, ...]
    board: bool = False  # without it the car can't be put on the board


ROWS: Final = (
    Row("Caster and kingpin", _BALLS),
    Row("Scrub radius and trail", (*_BALLS, *_WHEEL)),
    Row("Roll centre and camber gain", (*_ARMS, *_WHEEL), board=True),
    Row("Bump steer", (*_ARMS, *_WHEEL, *_TIE), board=True),
    Row("Spring's motion ratio", _COIL),
    Row("Damper's motion ratio", ("front.damper_arm", "front.damper_body")),
    Row("Wheel rate", ("front.spring.rate", *_COIL)),
    Row("Ride frequency and settled height", ("front.spring.rate", *_COIL, *_MASS)),
    Row("Ride rate with the tyre", ("front.spring.rate", "front.tyre_rate")),
    Row("Anti-dive", _BRAKES),
    Row("Ackermann share", ("car.wheelbase",)),
    Row("Coil bind", ("front.spring.solid_length",)),
    Row("Damper's ends of travel", ("front.damper.closed_length", "front.damper.open_length")),
)
_SAID: Final = (  # what these are for stands in their own words
    "front.spring.solid_length",
    "front.damper.closed_length",
    "front.damper.open_length",
    "front.tyre_rate",
)
_RELAY: Final = ("front.pitman_pivot", "front.pitman_end", "front.idler_pivot", "front.idler_end")


def needs_of(setup: Setup) -> tuple[tuple[Row, tuple[str, ...]], ...]:
    """Return each row that fits the car with the keys that it still lacks."""
    return tuple((row, lacking(setup, row)) for row in ROWS if _fits(row, setup))


def lacking(setup: Setup, row: Row) -> tuple[str, ...]:
    """Return the keys that a row still lacks in this car."""
    needs = row.needs
    if setup.evidence.get("front.spring.kind") == "torsion bar":
        needs = tuple(key for key in needs if key not in _COIL)
    if row.title == "Bump steer" and setup.evidence.get("front.steering.kind") == "relay":
        needs += _RELAY
    return tuple(key for key in needs if key not in setup.evidence)


def in_words(keys: tuple[str, ...], most: int = 3) -> str:
    """Return keys as words: "lower ball joint, wheel centre and 2 more"."""
    names = [said(KEYS[key].title) for key in keys]
    if len(names) > most:
        rest = len(names) - most + 1
        return f"{', '.join(names[: most - 1])} and {rest} more"
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def said(title: str) -> str:
    """Return a title as it stands in a sentence: "upper arm front pivot"."""
    plain = title.replace(", ", " ")
    return plain if plain.startswith("Ackermann") else plain[0].lower() + plain[1:]


def purposes(key: str) -> str:
    """Return which results a key is for, in words."""
    return ", ".join(said(row.title) for row in ROWS if key in row.needs and key not in _SAID)


def _fits(row: Row, setup: Setup) -> bool:
    bar = setup.evidence.get("front.spring.kind") == "torsion bar"
    return not (bar and (row.needs == _COIL or row.title == "Coil bind"))
