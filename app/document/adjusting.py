"""The points that agree best with all that was read: coordinates, and tapes between them.

A tape is better than the coordinates of its ends, so they move a little each, by how well they are
known. What isn't at the end of a tape stays as it was read.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from typing import Final

import numpy as np

from app.document.address import left_of
from app.document.keys import is_point
from app.document.model import (
    MARK,
    FrozenMap,
    Setup,
    Tape,
    Value,
    Vec,
    Within,
    frozen,
    mark_key,
)
from app.document.moves import point_in
from geometry.dataclass import dataclass
from geometry.survey.adjustment import Adjustment, Distances, adjust, in_reach
from geometry.uncertainty import COVERAGE

USUAL: Final = "sheet.measured_within"
_FINEST: Final = 1e-4  # mm; no tape is better, and the equations stay solvable
TOO_BAD: Final = 0.001  # probability below which uncertainties are given too small
_EXACT: Final = 1e-9  # mm; nothing is known so well, and the square of less may be no number


@dataclass(frozen=True, eq=False)
class Adjusted:
    """A car's points adjusted by its tapes.

    `keys` are all points and marks that say how well they are known, one for each row of the
    adjustment's places; `numbers` the tapes that took part, in its order, counted from 0; `far`
    those that are too far off to take part. The last three fields are what it was made from.
    """

    keys: tuple[str, ...]
    numbers: tuple[int, ...]
    far: tuple[int, ...]
    adjustment: Adjustment
    evidence: FrozenMap[Value]
    readings: FrozenMap[Value]
    within: FrozenMap[Within]
    tapes: tuple[Tape, ...]

    def place(self, key: str) -> Vec:
        """Return where a point or mark is; a right-hand one may mirror the left one."""
        row, is_mirrored = _row(self.keys, key)
        x, y, z = self.adjustment.places[row].tolist()
        return (x, -y if is_mirrored else y, z)


def adjusted(setup: Setup) -> Adjusted:
    """Return a setup's points adjusted by its tapes; kept, since a drag asks again and again."""
    return _adjusted(frozen(setup.readings), frozen(setup.within), frozen(setup.marks), setup.tapes)


def adjusted_evidence(setup: Setup) -> FrozenMap[Value]:
    """Return a setup's readings with the points adjusted by its tapes."""
    return adjusted(setup).evidence


def within_of(
    readings: Mapping[str, Value], within: Mapping[str, Within], key: str
) -> Within | None:
    """Return how well a point or mark is known, k = 2; None where nothing says so.

    A right-hand point is as well known as the left one unless it says otherwise; a mark is exact.
    """
    if key.startswith(MARK):
        return within.get(key, 0.0)
    own = within.get(key, within.get(left_of(key)))
    usual = readings.get(USUAL)
    return own if own is not None or not isinstance(usual, float) else usual


def planned(keys: tuple[str, ...], between: Sequence[tuple[str, str]], within: float) -> Distances:
    """Return tapes that could be taken between points and marks of an adjustment."""
    ends = [[_row(keys, end) for end in pair] for pair in between]
    blank = np.zeros(len(between))
    table = np.array(ends, dtype=int).reshape(-1, 2, 2)
    spread = blank + within / COVERAGE
    return Distances(table[:, :, 0], table[:, :, 1].astype(bool), blank, spread)


@lru_cache(maxsize=8)
def _adjusted(
    readings: FrozenMap[Value],
    within: FrozenMap[Within],
    marks: FrozenMap[Vec],
    tapes: tuple[Tape, ...],
) -> Adjusted:
    places = {key: point_in(readings, key) for key in readings if is_point(key)}
    places |= {mark_key(name): place for name, place in marks.items()}
    known = {key: within_of(readings, within, key) for key in places}
    keys = tuple(key for key in places if known[key] is not None)
    usable = [n for n, tape in enumerate(tapes) if all(is_end(keys, end) for end in tape.between)]
    read = np.array([places[key] for key in keys], dtype=float).reshape(-1, 3)
    spread = np.array([_three(known[key]) for key in keys]).reshape(-1, 3) / COVERAGE
    spread[spread < _EXACT] = 0.0
    distances = _distances(keys, [tapes[n] for n in usable])
    near = in_reach(read, distances)
    adjustment = adjust(read, spread, distances.only(near))
    moved = {
        key: (x, y, z)
        for key, (x, y, z) in zip(keys, adjustment.places.tolist(), strict=True)
        if key in readings and (x, y, z) != readings[key]
    }
    numbers = np.array(usable, dtype=int)
    return Adjusted(
        keys,
        tuple(numbers[near].tolist()),
        tuple(numbers[~near].tolist()),
        adjustment,
        FrozenMap({**readings, **moved}),
        readings,
        within,
        tapes,
    )


def _distances(keys: tuple[str, ...], tapes: list[Tape]) -> Distances:
    """Return tapes as the numbers behind them."""
    distances = planned(keys, [tape.between for tape in tapes], 0.0)
    lengths, within = (
        np.array([getattr(tape, name) for tape in tapes], dtype=float)
        for name in ("length", "within")
    )
    spread = np.maximum(within / COVERAGE, _FINEST)
    return Distances(distances.ends, distances.mirrored, lengths, spread)


def _row(keys: tuple[str, ...], key: str) -> tuple[int, bool]:
    """Return which point an end of a tape is, and whether it is that one's mirror."""
    return (keys.index(key), False) if key in keys else (keys.index(left_of(key)), True)


def is_end(keys: Collection[str], key: str) -> bool:
    """Tell whether a tape can end at a point or mark; a right-hand point may mirror the left."""
    return key in keys or left_of(key) in keys


def _three(within: Within | None) -> Vec:
    if isinstance(within, tuple):
        return within
    return (within or 0.0,) * 3
