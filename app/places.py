"""Where a setup's points are: as measured, and as proposed, bolted up at the measured height."""

from __future__ import annotations

from app.document.keys import left_of
from app.document.model import Setup, Vec
from app.document.proposal import mirrored, point_in
from app.drawing.front_places import places_of
from app.study import Study


def measured_place(setup: Setup, key: str) -> Vec:
    """Return a point as measured; the right one is the left one's mirror where not given."""
    if key in setup.evidence:
        return point_in(setup.evidence, key)
    return mirrored(point_in(setup.evidence, left_of(key)))


def proposed_places(study: Study) -> dict[str, Vec]:
    """Return every point's place in the proposal at rest, by setup key, both sides."""
    front = study.proposed.front
    places = places_of(study.setup, front, study.proposed.rest, True)
    left = {f"front.{name}": place for name, place in places.left.points.items()}
    right = {f"front.right.{name}": place for name, place in places.right.points.items()}
    return left | right


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
