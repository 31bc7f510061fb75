"""Where the rear's dampers come to their ends: travel and roll, read off the sweeps."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, NamedTuple

import numpy as np

from app.systems.rear.answers import RearSweep
from geometry.dampers import place_at_length
from geometry.leaf.car import LeafCar
from geometry.links.car import LinkCar


class End(NamedTuple):
    """An end of the stroke: its results over travel and roll, the setup key of its length."""

    by_travel: str
    by_roll: str
    length_key: str


CLOSED: Final = End("damper_bump_travel", "damper_bump_roll", "rear.damper.closed_length")
OPEN: Final = End("damper_droop_travel", "damper_droop_roll", "rear.damper.open_length")
RESULTS: Final = frozenset({*CLOSED[:2], *OPEN[:2]})


def end_lengths(car: LeafCar | LinkCar) -> dict[End, float | None]:
    """Return a damper's length at its ends [mm], None where it isn't known."""
    return {CLOSED: car.damper_closed, OPEN: car.damper_open}


def side_places(sweep: RearSweep, length: float) -> list[float | None]:
    """Return for the left and the right damper the travel or roll at which it has a length."""
    lengths = sweep.values.get("damper_length")
    if lengths is None:
        return [None, None]
    return [place_at_length(sweep.at, row, sweep.reached, length) for row in lengths]


def _fits(lengths: Mapping[End, float | None], travel: RearSweep) -> bool:
    """Tell whether both dampers can be bolted up where the car stands."""
    rows = travel.values.get("damper_length")
    closed, opened = lengths[CLOSED], lengths[OPEN]
    for row in () if rows is None else rows:
        standing = float(np.interp(0.0, travel.at, row))
        if (closed is not None and standing < closed) or (opened is not None and standing > opened):
            return False
    return True


def damper_singles(
    lengths: Mapping[End, float | None], travel: RearSweep, roll: RearSweep | None
) -> dict[str, float]:
    """Return the travels [mm] and the rolls [rad] at which the first damper is at its ends."""
    singles: dict[str, float] = {}
    if not _fits(lengths, travel):
        return singles
    for end, length in lengths.items():
        if length is None:
            continue
        for key, sweep in ((end.by_travel, travel), (end.by_roll, roll)):
            places = [] if sweep is None else side_places(sweep, length)
            reached = [place for place in places if place is not None]
            if reached:
                nearest = min(reached, key=abs)
                singles[key] = nearest if key == end.by_travel else abs(nearest)
    return singles
