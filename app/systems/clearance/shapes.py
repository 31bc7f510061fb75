"""From an envelope of the file to its shape in many poses, of both sides."""

from __future__ import annotations

import numpy as np

from app.document.clearances import BOX, CAPSULE, EDGE, TYRE, Envelope, Place
from app.document.ends import key_in, name_in_end
from app.document.masses import mass_on
from app.document.model import Setup, Vec
from app.document.moves import Numbers, proposed_settings
from app.systems.clearance.placing import Placing
from geometry.clearance.shapes import Shape, box, box_halves, capsule, cylinder
from geometry.conventions import GRAVITY
from geometry.vectors import Array


def shape_of(envelope: Envelope, placing: Placing, setup: Setup, proposed: bool) -> Shape:
    """Return an envelope in n poses: 2n rows, those of the left side first."""
    if envelope.kind == TYRE:
        return _tyre(envelope, placing, setup, proposed)
    ends = [_end(envelope, place, placing) for place in (envelope.start, envelope.finish)]
    if envelope.kind == BOX:
        return _box(envelope, placing, ends)
    make = capsule if envelope.kind in (CAPSULE, EDGE) else cylinder
    start, finish = map(_as_rows, ends)
    return make(start, finish, envelope.radius or 0.0)


def tyre_size(envelope: Envelope, setup: Setup, proposed: bool) -> tuple[float, float]:
    """Return a tyre's radius and width [mm]: as given, else as the car has it.

    The radius of a car's tyre is given as loaded. Away from the road a tyre is round: where the
    load on it and its rate are known, what that presses it flat by is added.
    """
    number = Numbers(proposed_settings(setup) if proposed else setup.evidence)
    width = envelope.width or number.get(key_in(envelope.end, "tyre_width")) or 0.0
    if envelope.radius is not None:
        return envelope.radius, width
    return number.need(key_in(envelope.end, "tyre_radius")) + _pressed_flat(
        number, envelope.end
    ), width


def left_place(envelope: Envelope, place: Place) -> Vec:
    """Return coordinates of an envelope as those of the left side, or of its mirror."""
    x, y, z = place
    return (x, -y, z) if envelope.side == "right" else place


def _pressed_flat(number: Numbers, end: str) -> float:
    on_road, rate = mass_on(end, number.get), number.get(key_in(end, "tyre_rate"))
    return 0.5 * on_road * GRAVITY / rate if on_road is not None and rate else 0.0


def _end(envelope: Envelope, place: str | Place, placing: Placing) -> Array:
    if isinstance(place, str):
        return placing.point(name_in_end(place))
    return placing.carried(envelope.moves_with, left_place(envelope, place))


def _tyre(envelope: Envelope, placing: Placing, setup: Setup, proposed: bool) -> Shape:
    radius, width = tyre_size(envelope, setup, proposed)
    centre, spin = placing.wheel()
    half = 0.5 * width * spin
    return cylinder(_as_rows(centre - half), _as_rows(centre + half), radius)


def _box(envelope: Envelope, placing: Placing, ends: list[Array]) -> Shape:
    """Return a box that goes with its part: its half width and height are carried like places."""
    start, finish = (
        np.array(left_place(envelope, place))[None]
        for place in (envelope.start, envelope.finish)
        if not isinstance(place, str)
    )
    halves = box_halves(start, finish, envelope.width or 0.0, envelope.height or 0.0)
    sides = []
    for half in halves:
        x, y, z = (start + half)[0].tolist()
        sides.append(_as_rows(placing.carried(envelope.moves_with, (x, y, z)) - ends[0]))
    return box(_as_rows(ends[0]), _as_rows(ends[1]), *sides)


def _as_rows(places: Array) -> Array:
    return np.ascontiguousarray(places.reshape(-1, 3))
