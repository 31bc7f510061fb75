"""How coordinates and tapes agree: what each reading is off, which is doubtful, what is hidden."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import lru_cache
from itertools import combinations
from math import dist
from statistics import median
from typing import Final

import numpy as np

from app.document.address import Point, coordinate, left_of
from app.document.adjusting import Adjusted, adjusted, planned
from app.document.keys import KEYS, is_point
from app.document.model import MARK, Setup, Tape, Units, Vec
from app.document.moves import point_in
from app.document.quantities import INCH
from geometry.dataclass import dataclass
from geometry.survey.adjustment import LEAST_REDUNDANCY, Distances
from geometry.survey.doubt import chance_of_more, doubtful, hidden_errors, one_more
from geometry.uncertainty import COVERAGE
from geometry.vectors import Array

TOO_GOOD: Final = 0.999  # probability above which all uncertainties are given too wide
TELLS: Final = 0.95  # correlation under which two readings are told apart
_TAPED: Final = (50.0, 3000.0)  # mm; shorter or longer is no work for tape and trammel


@dataclass(frozen=True)
class TapeRow:
    """A tape as it agrees with the others; `number` counts from 1, lengths in mm.

    `hidden` is how far it may be misread unseen; None with the rest where it took no part.
    """

    number: int
    tape: Tape
    adjusted: float | None
    residual: float | None
    redundancy: float | None = None
    standardised: float | None = None
    hidden: float | None = None
    is_doubtful: bool = False
    is_far: bool = False


@dataclass(frozen=True)
class PointRow:
    """A measured point, or a mark that isn't exact; lengths in mm, each number in x, y and z.

    `within` is of the adjusted point, k = 2; None where nothing says how well it is known.
    """

    key: str
    read: Vec
    adjusted: Vec
    read_within: Vec | None
    within: Vec | None
    residual: Vec
    redundancy: Vec
    standardised: tuple[float | None, ...]
    is_taped: bool


@dataclass(frozen=True)
class Doubt:
    """A doubtful reading: its name, how many standard uncertainties it is off, and by how much.

    `off` is what it reads more than all the others say [mm]. `row` and `axis` are of a point,
    `tape` of a tape, counted from 1.
    """

    name: str
    size: float
    off: float
    key: str = ""
    axis: int = 0
    tape: int = 0


@dataclass(frozen=True)
class Gain:
    """What a tape that isn't taken yet would bring; lengths in mm, k = 2.

    `within` is how well its length is known before it is taken. `points` are those that it makes
    surer: key, the axis along which it gains most, the uncertainty along it before, and with it.
    `tells` says whether doubtful readings
    could be told apart with it, None where there is nothing to tell apart.
    """

    between: tuple[str, str]
    length: float
    within: float
    redundancy: float
    hidden: float
    points: tuple[tuple[str, int, float, float], ...]
    tells: bool | None


@dataclass(frozen=True)
class Survey:
    """How all readings of points and tapes agree."""

    points: tuple[PointRow, ...]
    tapes: tuple[TapeRow, ...]
    doubts: tuple[Doubt, ...]
    chi_square: float
    degrees_of_freedom: int
    probability: float
    telling: Gain | None  # the tape that would tell doubtful readings apart

    @property
    def doubtful(self) -> tuple[str, ...]:
        """The doubtful readings' names, tapes that are too far off first."""
        far = (f"tape {row.number}" for row in self.tapes if row.is_far)
        return (*far, *(doubt.name for doubt in self.doubts))

    @property
    def far(self) -> tuple[TapeRow, ...]:
        """The tapes that are too far off the points to be adjusted."""
        return tuple(row for row in self.tapes if row.is_far)


def survey_of(setup: Setup) -> Survey:
    """Return how a car's coordinates and tapes agree; kept while none of them changes."""
    return _survey(adjusted(setup))


@lru_cache(maxsize=4)
def _survey(found: Adjusted) -> Survey:
    adjustment = found.adjustment
    suspects = doubtful(adjustment)
    freedom = adjustment.degrees_of_freedom
    return Survey(
        tuple(_point_rows(found)),
        tuple(_tape_rows(found, suspects)),
        tuple(_doubt(found, reading) for reading in suspects),
        adjustment.chi_square,
        freedom,
        chance_of_more(adjustment.chi_square, freedom),
        _telling(found, suspects),
    )


def usual_within(tapes: Collection[Tape], units: Units = "mm") -> float:
    """Return how well a further tape is read, as the tapes so far are [mm]; k = 2.

    Without any it is 1 mm, or a thirty-second of an inch: the finest that a tape is divided into.
    """
    usual = INCH / 32.0 if units == "in" else 1.0
    return median(tape.within for tape in tapes) if tapes else usual


def gain_of(setup: Setup, between: tuple[str, str], within: float) -> Gain:
    """Return what one more tape between two points or marks would bring, before it is taken."""
    found = adjusted(setup)
    suspects = doubtful(found.adjustment)
    return _gains(found, [between], within, suspects)[0]


def _point_rows(found: Adjusted) -> Iterator[PointRow]:
    readings, rows = found.readings, {key: row for row, key in enumerate(found.keys)}
    taped = {end for tape in found.tapes for end in tape.between}
    taped |= {left_of(key) for key in taped if key not in rows}
    for key in filter(is_point, readings):
        if key in rows:
            yield _point_row(found, key, rows[key], key in taped)
        else:
            place = point_in(readings, key)
            nought = (0.0, 0.0, 0.0)
            yield PointRow(key, place, place, None, None, nought, nought, (None, None, None), False)
    for key in found.keys:
        if key.startswith(MARK) and key in found.within:
            yield _point_row(found, key, rows[key], key in taped)


def _point_row(found: Adjusted, key: str, row: int, is_taped: bool) -> PointRow:
    adjustment = found.adjustment
    part = slice(3 * row, 3 * row + 3)
    residual = _vec(adjustment.residuals[part])
    place = _vec(adjustment.places[row])
    tests = adjustment.standardised[part].tolist()
    return PointRow(
        key,
        (place[0] - residual[0], place[1] - residual[1], place[2] - residual[2]),
        place,
        _vec(COVERAGE * adjustment.deviations[part]),
        _vec(COVERAGE * adjustment.adjusted_deviations[row]),
        residual,
        _vec(adjustment.redundancies[part]),
        tuple(None if np.isnan(test) else test for test in tests),
        is_taped,
    )


def _tape_rows(found: Adjusted, suspects: tuple[int, ...]) -> Iterator[TapeRow]:
    adjustment, start = found.adjustment, 3 * len(found.keys)
    hidden, tests = hidden_errors(adjustment), adjustment.standardised
    for number, tape in enumerate(found.tapes):
        if number in found.numbers:
            reading = start + found.numbers.index(number)
            share = float(adjustment.redundancies[reading])
            is_checked = share >= LEAST_REDUNDANCY
            residual = float(adjustment.residuals[reading])
            yield TapeRow(
                number + 1,
                tape,
                tape.length + residual,
                residual,
                share,
                float(tests[reading]) if is_checked else None,
                float(hidden[reading]) if is_checked else None,
                reading in suspects,
            )
        elif number in found.far:
            length = dist(*map(found.place, tape.between))
            yield TapeRow(
                number + 1, tape, length, length - tape.length, is_doubtful=True, is_far=True
            )
        else:
            yield TapeRow(number + 1, tape, None, None)


def _doubt(found: Adjusted, reading: int) -> Doubt:
    adjustment = found.adjustment
    size = abs(float(adjustment.standardised[reading]))
    off = -float(adjustment.residuals[reading] / adjustment.redundancies[reading])
    row, axis = divmod(reading, 3)
    if row < len(found.keys):
        key = found.keys[row]
        return Doubt(coordinate(key, axis), size, off, key, axis)
    number = found.numbers[reading - 3 * len(found.keys)] + 1
    return Doubt(f"tape {number}", size, off, tape=number)


def _telling(found: Adjusted, suspects: tuple[int, ...]) -> Gain | None:
    """Return the tape that would tell doubtful readings apart best, None where none would."""
    if len(suspects) < 2:
        return None
    taped_pairs = {frozenset(tape.between) for tape in found.tapes}
    pairs = [pair for pair in _pairs(found) if frozenset(pair) not in taped_pairs]
    if not pairs:
        return None
    within = usual_within(found.tapes)
    gains = one_more(found.adjustment, planned(found.keys, pairs, within), suspects)
    best = int(np.lexsort((gains.alike, gains.company))[0])
    return _gains(found, [pairs[best]], within, suspects)[0] if gains.alike[best] < TELLS else None


def _pairs(found: Adjusted) -> Iterator[tuple[str, str]]:
    """Yield the pairs of points that a tape can go between, on the left and across the car.

    Only points whose readings tapes have met already, and marks: others tell nothing of those.
    """
    taped = {end for tape in found.tapes for end in tape.between}
    near = {*taped, *map(left_of, taped)}
    keys = [key for key in found.keys if key in near or key.startswith(MARK)]
    rights = [
        Point.at(key).mirror.key
        for key in keys
        if not key.startswith(MARK) and not Point.at(key).is_right
    ]
    ends = [*keys, *(key for key in rights if key in KEYS and key not in keys)]
    for pair in combinations(ends, 2):
        if not set(pair) & set(found.keys):
            continue  # both mirrored: that is the left one's tape again
        if _TAPED[0] <= dist(*map(found.place, pair)) <= _TAPED[1]:
            yield pair


def _gains(
    found: Adjusted, pairs: list[tuple[str, str]], within: float, suspects: tuple[int, ...]
) -> list[Gain]:
    adjustment = found.adjustment
    tapes: Distances = planned(found.keys, pairs, within)
    gains = one_more(adjustment, tapes, suspects)
    before = adjustment.adjusted_deviations
    return [
        Gain(
            pair,
            float(gains.lengths[place]),
            COVERAGE * float(gains.spread[place]),
            float(gains.redundancies[place]),
            float(gains.hidden[place]),
            tuple(_surer(found.keys, before, gains.deviations[place])),
            bool(gains.alike[place] < TELLS) if len(suspects) > 1 else None,
        )
        for place, pair in enumerate(pairs)
    ]


def _surer(
    keys: tuple[str, ...], before: Array, after: Array
) -> Iterator[tuple[str, int, float, float]]:
    """Yield the points that gain, the most first: in the direction in which they gain most."""
    falls = before - after
    for row in np.argsort(-falls.max(axis=1), kind="stable"):
        axis = int(falls[row].argmax())
        if falls[row, axis] > 0.05 * before[row, axis]:
            was, now = COVERAGE * before[row, axis], COVERAGE * after[row, axis]
            yield keys[row], axis, float(was), float(now)


def _vec(numbers: Array) -> Vec:
    x, y, z = numbers.tolist()
    return (x, y, z)
