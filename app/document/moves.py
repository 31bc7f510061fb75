"""What the changes that are on come to, taken together in file order: moves, places and values.

A left-hand job is done on the right as its mirror, unless the same change says by itself what is
done there. This module is the only one that knows, so every function here speaks of both sides.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Final, cast

from app.document.address import Point, is_right, left_of, mirrored, named
from app.document.ends import ALIGNED_END, end_of
from app.document.keys import KEYS, is_point
from app.document.model import Change, FrozenMap, Setup, Value, Vec, frozen
from geometry.dataclass import dataclass

Values = Mapping[str, Value]
Moves = Mapping[str, Vec]

REST: Final[Vec] = (0.0, 0.0, 0.0)
BY_VALUE: Final = frozenset({"rear.pinion"})  # goes with the axle: a wedge turns it, no move
_KINDS: Final = ("front.kind", "rear.kind")
LEAST: Final = 1e-9  # a smaller move is none: sums leave last bits [mm]


# --- moves, by setup key ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SummedMoves:
    """The moves of a proposal by setup key, both sides, split by what they do to the parts.

    Moves of `parts` define new parts in the measured pose; then those of `holes` carry body points
    of the same parts to new holes.
    """

    parts: FrozenMap[Vec]
    holes: FrozenMap[Vec]
    both: FrozenMap[Vec]  # parts and holes together, of points that move


def summed_moves(setup: Setup) -> SummedMoves:
    """Return the moves of all changes that are on.

    A point that is set moves from its measured place to the one set, and forgets what came before;
    one that wasn't measured is where it is first set.
    """
    return _summed(frozen(setup.evidence), setup.changes)


@lru_cache(maxsize=4)
def _summed(evidence: FrozenMap[Value], changes: tuple[Change, ...]) -> SummedMoves:
    parts: dict[str, Vec] = {}
    holes: dict[str, Vec] = {}
    known = _known(evidence, changes)
    for change in changes:
        for key, move in moves_of_both_sides(known, change).items() if change.on else ():
            if key in change.sets or left_of(key) in change.sets:
                parts.pop(key, None)
                holes.pop(key, None)
            by_nature = KEYS[key].on_part or change.parts == "made to fit"
            total = parts if by_nature else holes
            total[key] = add(total.get(key, REST), move)
    both = dict(parts)
    for key, move in holes.items():
        both[key] = add(both.get(key, REST), move)
    seen = {key: move for key, move in both.items() if _is_seen(move)}
    return SummedMoves(FrozenMap(parts), FrozenMap(holes), FrozenMap(seen))


def total_moves(setup: Setup) -> FrozenMap[Vec]:
    """Return what all changes together move points by, of those that move [mm]."""
    return summed_moves(setup).both


def total_moves_of_side(setup: Setup, end: str, side: str) -> dict[str, Vec]:
    """Return the same for one side of one end, by the points' names."""
    return named(end, side, total_moves(setup))


def right_moves_of_their_own(setup: Setup, end: str) -> dict[str, Vec]:
    """Return the moves of right-hand points that don't mirror the left ones', by name."""
    left, right = (total_moves_of_side(setup, end, side) for side in ("left", "right"))
    return {name: move for name, move in right.items() if not _mirrors(move, left.get(name))}


def move_in_change(setup: Setup, change: Change, key: str) -> Vec:
    """Return what one change moves a point by: a right-hand one as the left one's mirror."""
    return moves_of_both_sides(known_points(setup), change).get(key, REST)


def moves_named(known: Values, change: Change) -> dict[str, Vec]:
    """Return the moves that a change names, those to where it sets points included.

    Mirrors of left-hand ones aren't among them. A point that isn't known begins where it is set.
    """
    moves = {key: move for key, move in change.moves.items() if key not in BY_VALUE}
    for key, value in change.sets.items():
        if is_point(key):
            place = cast(Vec, value)
            has_move = _has(known, key) and key not in BY_VALUE
            moves[key] = subtract(place, _place(known, key)) if has_move else REST
    return moves


def moves_of_both_sides(known: Values, change: Change) -> dict[str, Vec]:
    """Return what one change moves, on both sides, points that it sets included."""
    moves = moves_named(known, change)
    for key, move in tuple(moves.items()):
        other = Point.at(key).mirror
        if other.is_right and (right := other.key) not in moves and right in KEYS:
            moves[right] = mirrored(move)
    return moves


def _mirrors(move: Vec, other: Vec | None) -> bool:
    return other is not None and not _is_seen(subtract(move, mirrored(other)))


def _is_seen(move: Vec) -> bool:
    return max(map(abs, move)) > LEAST


# --- places -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class SidePoints:
    """One side's points by name, in car axes: as its parts are made, and as they are bolted up.

    Parts are made in the measured pose. `bolted` then has the holes in their new places and all
    else as made, before kept parts pull anything along: that is what a study solves.
    """

    made: Mapping[str, Vec]
    bolted: Mapping[str, Vec]


def measured_points(setup: Setup, end: str, side: str) -> SidePoints:
    """Return where a side's points were measured; the right may be a mirror."""
    points = points_of_side(setup.evidence, end, side)
    return SidePoints(points, points)


def proposed_points(setup: Setup, end: str, side: str) -> SidePoints:
    """Return where the changes that are on put a side's points."""
    summed = summed_moves(setup)
    at = points_of_side(known_points(setup), end, side)
    made = _moved(at, named(end, side, summed.parts))
    return SidePoints(made, _moved(made, named(end, side, summed.holes)))


def points_of_side(values: Values, end: str, side: str) -> dict[str, Vec]:
    """Return a side's points by name, in car axes; the right may be a mirror."""
    return dict(_points_of_side(frozen(values), end, side))


@lru_cache(maxsize=16)
def _points_of_side(values: FrozenMap[Value], end: str, side: str) -> Mapping[str, Vec]:
    points: dict[str, Vec] = {}
    for key in filter(is_point, values):
        point, place = Point.at(key), point_in(values, key)
        if point[:2] == (end, "left"):
            own = point_in(values, point.mirror.key) if point.mirror.key in values else None
            points[point.name] = place if side == "left" else own or mirrored(place)
    return points


def proposed_place(setup: Setup, key: str) -> Vec:
    """Return where the changes that are on put a point, before anything is solved [mm]."""
    return add(measured_place(setup, key), total_moves(setup).get(key, REST))


def measured_place(setup: Setup, key: str) -> Vec:
    """Return a point as measured; the right one is the left one's mirror where not given.

    A point that wasn't measured is where a change first puts it.
    """
    return _place(known_points(setup), key)


def is_there(setup: Setup, key: str) -> bool:
    """Tell whether a point was measured or is fitted by a change that is on."""
    return _has(known_points(setup), key)


def is_measured(setup: Setup, key: str) -> bool:
    """Tell whether a point was measured, on its own side or on the left."""
    return _has(setup.evidence, key)


def known_points(setup: Setup) -> FrozenMap[Value]:
    """Return what was measured, and points that only a change that is on gives."""
    return _known(frozen(setup.evidence), setup.changes)


def _known(evidence: FrozenMap[Value], changes: tuple[Change, ...]) -> FrozenMap[Value]:
    new: dict[str, Value] = {}
    for change in changes:
        for key, value in change.sets.items() if change.on else ():
            if is_point(key) and not (_has(evidence, key) or _has(new, key)):
                new[key] = value
    return FrozenMap({**evidence, **new}) if new else evidence


def _has(values: Values, key: str) -> bool:
    return key in values or left_of(key) in values


def _place(values: Values, key: str) -> Vec:
    """Return where a point is; a right-hand one that isn't given mirrors the left one."""
    return point_in(values, key) if key in values else mirrored(point_in(values, left_of(key)))


def _moved(points: Mapping[str, Vec], moves: Moves) -> dict[str, Vec]:
    return {name: add(at, moves[name]) if name in moves else at for name, at in points.items()}


def point_in(values: Values, key: str) -> Vec:
    """Return the value of a point's key as what it is, a point."""
    return cast(Vec, values[key])


def add(a: Vec, b: Vec) -> Vec:
    """Return the sum of two vectors."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def subtract(a: Vec, b: Vec) -> Vec:
    """Return the step from b to a."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


# --- values -----------------------------------------------------------------------------------


def last_sets(setup: Setup) -> FrozenMap[Value]:
    """Return what changes that are on set, points included; the last one wins."""
    return FrozenMap({k: v for each in setup.changes if each.on for k, v in each.sets.items()})


def proposed_settings(setup: Setup) -> FrozenMap[Value]:
    """Return all values with those that changes set; points are where they were measured."""
    return _settings(frozen(setup.evidence), last_sets(setup))


@lru_cache(maxsize=8)
def _settings(evidence: FrozenMap[Value], last: FrozenMap[Value]) -> FrozenMap[Value]:
    """Return them; kept by value, since a drag of a point asks many times and sets nothing."""
    return evidence.updated({key: value for key, value in last.items() if not is_point(key)})


def kinds_fitted(setup: Setup) -> frozenset[Value]:
    """Return what suspensions the car has, as found and as built."""
    kinds = (setup.evidence, proposed_settings(setup))
    return frozenset(each[key] for each in kinds for key in _KINDS if key in each)


def proposed_number(setup: Setup, key: str) -> float | None:
    """Return a number with what changes set, None where it isn't given."""
    return Numbers(proposed_settings(setup)).get(key)


def proposed_values(setup: Setup) -> FrozenMap[Value]:
    """Return evidence with every value set and every move added, before anything is solved.

    A right-hand point has a value where it was measured or is named by a change; any other mirrors
    the left one. Moves of a point that isn't there, since the job that fits it is off, wait for it.
    """
    known, sets, totals = known_points(setup), last_sets(setup), total_moves(setup)
    values: dict[str, Value] = {**known, **sets}
    on = (change for change in setup.changes if change.on)
    keys_with_value = {*known, *(key for change in on for key in (*change.moves, *change.sets))}
    for key in sorted(keys_with_value & {*totals, *filter(is_point, sets)}):
        if _has(known, key):
            place = add(_place(known, key), totals.get(key, REST))
            is_as_set = key in sets and not _is_seen(subtract(place, point_in(sets, key)))
            values[key] = sets[key] if is_as_set else place
    return FrozenMap(values)


def is_lopsided(setup: Setup, end: str) -> bool:
    """Tell whether the right side of an end has points or moves of its own."""
    on = (change for change in setup.changes if change.on)
    keys = (*setup.evidence, *(key for change in on for key in (*change.moves, *change.sets)))
    return any(is_right(key) and end_of(key) == end for key in keys)


def bears_on_toe(change: Change) -> bool:
    """Tell whether a change moves or sets anything of the end whose wheels are aligned."""
    return any(end_of(key) == ALIGNED_END for key in (*change.moves, *change.sets))


def toe_is_reset(setup: Setup) -> bool:
    """Tell whether the toe is reset after the changes that are on.

    Tie rods are turned once, when the car is aligned after the last job: so the last change that
    is on and moves or sets anything of the front decides. Where none does, the toe is as measured
    anyway.
    """
    for change in reversed(setup.changes):
        if change.on and bears_on_toe(change):
            return change.toe == "reset"
    return True


class Numbers:
    """The plain numbers, or columns of them, among a setup's values."""

    def __init__(self, values: Values) -> None:
        self.values = values

    def get(self, key: str) -> float | None:
        """Return a number, None where it isn't given."""
        value = self.values.get(key)
        return None if value is None else cast(float, value) + 0.0

    def need(self, key: str) -> float:
        """Return a number that the file's checks made sure of."""
        return cast(float, self.values[key]) + 0.0


def touches(setup: Setup, starts: tuple[str, ...]) -> bool:
    """Tell whether a change that is on moves or sets a key that begins so."""
    return any(
        key.startswith(starts)
        for change in setup.changes
        if change.on
        for key in (*change.moves, *change.sets)
    )
