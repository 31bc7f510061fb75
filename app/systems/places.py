"""Where a setup's points are: as measured, and as proposed, bolted up at the measured height."""

from __future__ import annotations

from app.document.keys import left_of
from app.document.model import Setup, Vec
from app.document.moves import known_points
from app.document.proposal import mirrored, point_in


def measured_place(setup: Setup, key: str) -> Vec:
    """Return a point as measured; the right one is the left one's mirror where not given.

    A point that wasn't measured is where a change first puts it.
    """
    known = known_points(setup)
    return point_in(known, key) if key in known else mirrored(point_in(known, left_of(key)))


def is_there(setup: Setup, key: str) -> bool:
    """Tell whether a point was measured or is fitted by a change that is on."""
    known = known_points(setup)
    return key in known or left_of(key) in known


def is_measured(setup: Setup, key: str) -> bool:
    """Tell whether a point was measured, on its own side or on the left."""
    return key in setup.evidence or left_of(key) in setup.evidence


def typed_step(text: str, number: float, there: float) -> float:
    """Return the move that something typed asks for, of a coordinate that is `there` [mm].

    A plain number is a place; one with a sign before it is a move, and after "=" again a place.
    Where the coordinate is negative, a number near it is its new place: "-120" for -118.
    """
    plain = text.strip()
    if plain.startswith("=") or not plain.startswith(("+", "-", "−")):
        return number - there
    corrected = there < 0 > number and abs(number - there) <= abs(number) / 2
    return number - there if corrected else number
