"""What may move to find a change: points in their room, values, packs of shims."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, cast

from app.document.address import AXES, coordinate, left_of
from app.document.edits import free_name
from app.document.freed import leaves_now, number_now
from app.document.keys import is_point, kind_of, number_row
from app.document.leaf_parts import LEAVES, leaf_part, with_leaf_number
from app.document.model import Change, FrozenMap, Leaf, Setup, Value, Vec
from app.document.moves import is_there, measured_place, proposed_place
from app.document.plans import Adjuster, Room, Span
from geometry.dataclass import dataclass
from geometry.shims import pieces_with, refitted, thicknesses

INBOARD: Final = 1  # the axis of shims and eccentrics
NAME: Final = "Found"


class FindError(ValueError):
    """A search that can't be made, with the reason in the user's words.

    It says keys as a file and a call do; `words` has {} where each of them stands, for a reader who
    knows them by their titles.
    """

    def __init__(self, words: str, *keys: str) -> None:
        super().__init__(words.format(*keys))
        self.words, self.keys = words, keys


@dataclass(frozen=True)
class Freedom:
    """One number that may move, from 0, where the proposal has it now; mm or the value's own unit.

    It moves `key`, and what is alike it, along `axis` of a point, None for a value. `low` and
    `high` are how far it may, `width` that of its room; `steps` are the moves that exist, where
    only some do; `sign` turns it into the axis's own direction. `kind` is that of its quantity. Of
    a leaf's thickness `pack` are the leaves as they are now.
    """

    key: str
    axis: int | None
    low: float
    high: float
    width: float
    followers: tuple[str, ...] = ()
    steps: tuple[float, ...] = ()
    sign: float = 1.0
    start: float = 0.0  # of a value: what it is now
    kind: str = "length"
    pack: tuple[Leaf, ...] = ()

    @property
    def name(self) -> str:
        """What it is called: "front.upper_front.z", "front.spring.rate"."""
        return self.key if self.axis is None else coordinate(self.key, self.axis)

    @property
    def weight(self) -> float:
        """Return what the square of a move of 1 costs: a follower counts like its leader."""
        return (1 + len(self.followers)) / self.width**2


def freedoms_of(setup: Setup) -> tuple[Freedom, ...]:
    """Return what a setup's rooms let move.

    Raises
    ------
    FindError
        There is no room at all, points alike each other have none in common, or a point is alike
        one that has none.
    """
    freedoms = tuple(_freedoms(setup))
    if not freedoms:
        raise FindError("nothing may move: say what the metal lets move, as a room.")
    return freedoms


def _freedoms(setup: Setup) -> Iterator[Freedom]:
    leaders = {key: _leader(setup.rooms, key) for key in setup.rooms}
    for key, room in setup.rooms.items():
        if leaders[key] != key:
            continue
        followers = tuple(other for other, leader in leaders.items() if leader == key != other)
        if room.by_adjuster:
            yield from _of_adjuster(setup.adjusters[key])
        elif is_point(key):
            yield from _of_point(setup, key, followers)
        else:
            yield _of_value(setup, key, room)


def _leader(rooms: Mapping[str, Room], key: str) -> str:
    """Return the point that others move with; points alike each other in a ring have one."""
    chain = [key]
    while (alike := rooms[key].alike) and alike not in chain:
        if alike not in rooms:
            raise FindError("{} is alike {}, which has no room: give it one.", key, alike)
        key = alike
        chain.append(key)
    return min(chain) if rooms[key].alike else key


def _of_point(setup: Setup, key: str, followers: Sequence[str]) -> Iterator[Freedom]:
    for each in (key, *followers):
        if not is_there(setup, each):
            words = "{} may move, but this car has no such point: measure it first."
            raise FindError(words, each)
    for axis, letter in enumerate(AXES):
        rooms = [(each, setup.rooms[each]) for each in (key, *followers)]
        given = [(each, getattr(room, letter)) for each, room in rooms if _has_axes(room)]
        spans = [span for each, room in given if (span := _further(setup, each, axis, room))]
        if not spans or len(spans) < len(given):  # one that isn't free holds the others
            continue
        low, high = max(s[0] for s in spans), min(s[1] for s in spans)
        if low > high:
            names = ", ".join("{}" for _ in (key, *followers))
            words = f"{names}: what is alike has no room in common along {letter}."
            raise FindError(words, key, *followers)
        width = min(s[1] - s[0] for s in spans)
        if width > 0.0:
            yield Freedom(key, axis, low, high, width, tuple(followers))


def _has_axes(room: Room) -> bool:
    """Tell whether a room says how far; one that is only alike another follows all that does."""
    return any((room.x, room.y, room.z))


def _further(setup: Setup, key: str, axis: int, span: Span | None) -> Span | None:
    """Return room from the measured place as room from where the proposal has a point now."""
    if span is None:
        return None
    moved_by = proposed_place(setup, key)[axis] - measured_place(setup, key)[axis]
    return span[0] - moved_by, span[1] - moved_by


def _of_value(setup: Setup, key: str, room: Room) -> Freedom:
    now = number_now(setup, key)
    if now is None and leaf_part(key) is not None:
        count = len(leaves_now(setup))
        raise FindError(f"{{}} may change, but the pack has {count} leaves.", key)
    if now is None:
        row = number_row(key)
        title = key if row is None else row.title
        raise FindError(f"{title} may move, but nothing says what it is now: give {{}}.", key)
    low, high = room.span or (min(room.steps), max(room.steps))
    steps = tuple(step - now for step in room.steps) if room.span is None else ()
    width, kind = max(high - low, 1e-9), kind_of(key, setup.readings)
    pack = leaves_now(setup) if leaf_part(key) is not None else ()
    return Freedom(
        key, None, low - now, high - now, width, (), steps, start=now, kind=kind, pack=pack
    )


def _of_adjuster(adjuster: Adjuster) -> Iterator[Freedom]:
    """Yield the pivots that shims or an eccentric move inboard; a rod turns nothing by itself."""
    if not adjuster.at:
        raise FindError("a rod is set when the car is aligned: give room to its points instead.")
    for place, key in enumerate(adjuster.at):
        steps: tuple[float, ...] = ()
        if adjuster.reach is not None:
            low, high = adjuster.reach
        elif adjuster.sizes:
            steps = _steps_of_pack(adjuster, place)
            low, high = steps[0], steps[-1]
        else:
            fitted = adjuster.fitted[place]
            low, high = -fitted, _thickest(adjuster) - fitted
        sign = -1.0 if adjuster.inboard or adjuster.reach is not None else 1.0
        yield Freedom(key, INBOARD, low, high, max(high - low, 1e-9), (), steps, sign)


def _thickest(adjuster: Adjuster) -> float:
    return adjuster.most or max(*adjuster.fitted, *adjuster.fitted_right, 10.0)


def _steps_of_pack(adjuster: Adjuster, place: int) -> tuple[float, ...]:
    """Return by how much a pack can grow, on both wheels alike; the one fitted can stay."""
    pieces = pieces_with(adjuster.both, adjuster.sizes, adjuster.have)
    packs = thicknesses(adjuster.sizes, _thickest(adjuster), pieces)
    of_wheels = [fitted[place] for fitted in _fitted(adjuster)]
    shared_moves = {round(pack - of_wheels[0], 6) for pack in packs}
    for fitted in of_wheels[1:]:
        shared_moves &= {round(pack - fitted, 6) for pack in packs}
    return tuple(sorted({*shared_moves, 0.0}))


def _fitted(adjuster: Adjuster) -> list[tuple[float, ...]]:
    """Return the packs as fitted of the left wheel and of the right one."""
    return [adjuster.packs(right) for right in (False, True)]


def can_be_made(setup: Setup, freedoms: Sequence[Freedom], moves: Sequence[float]) -> bool:
    """Tell whether packs of shims are near enough to each other and the pieces there make them."""
    by_key = {f.key: m for f, m in zip(freedoms, moves, strict=True) if f.axis == INBOARD}
    shimmed = (setup.adjusters[key] for key, room in setup.rooms.items() if room.by_adjuster)
    return all(
        _packs_can_be_made(adjuster, [by_key[key] for key in adjuster.at])
        for adjuster in shimmed
        if adjuster.sizes
    )


def _packs_can_be_made(adjuster: Adjuster, moves: Sequence[float]) -> bool:
    packs = [[own + move for own, move in zip(f, moves, strict=True)] for f in _fitted(adjuster)]
    apart = max(max(pair) - min(pair) for pair in packs)
    if adjuster.apart is not None and any(moves) and apart > adjuster.apart + 1e-6:
        return False
    whole = [pack for pair in packs for pack in pair]
    return refitted(adjuster.both, whole, adjuster.sizes, adjuster.have) is not None


def with_moves(
    setup: Setup, freedoms: Sequence[Freedom], moves: Sequence[float], drop_still: bool = False
) -> Setup:
    """Return the setup with a change on top that makes these moves, each from where it is now.

    `drop_still` leaves out what doesn't move; cars that are solved together must all name the same.
    """
    points, sets = points_and_values(freedoms, moves, drop_still)
    change = Change(free_name(setup, NAME), moves=FrozenMap(points), sets=FrozenMap(sets))
    return setup.having(changes=(*setup.changes, change))


def points_and_values(
    freedoms: Sequence[Freedom], moves: Sequence[float], drop_still: bool = False
) -> tuple[dict[str, Vec], dict[str, Value]]:
    """Return what these moves come to: how far points go, and what values are then."""
    by_point: dict[str, list[float]] = {}
    sets: dict[str, Value] = {}
    for freedom, move in zip(freedoms, moves, strict=True):
        if drop_still and not move:
            continue
        part = leaf_part(freedom.key)
        if part is not None:
            leaves = cast("tuple[Leaf, ...]", sets.get(LEAVES, freedom.pack))
            sets[LEAVES] = with_leaf_number(leaves, part, _number(freedom.start + move))
            continue
        if freedom.axis is None:
            sets[freedom.key] = _number(freedom.start + move)
            continue
        for key in (freedom.key, *freedom.followers):
            by_point.setdefault(key, [0.0, 0.0, 0.0])[freedom.axis] += freedom.sign * move
    for key in (key for freedom in freedoms for key in (freedom.key, *freedom.followers)):
        if left_of(key) in by_point:  # one that stays doesn't mirror a left one that moves
            by_point.setdefault(key, [0.0, 0.0, 0.0])
    return {key: cast(Vec, tuple(vector)) for key, vector in by_point.items()}, sets


def _number(number: float) -> float:
    """Return a number without the last bits that come of adding a move to it."""
    return float(f"{number:.12g}")


def is_alike(setup: Setup, freedoms: Sequence[Freedom]) -> bool:
    """Tell whether a car's right side mirrors its left one, whatever of all this moves."""
    named = (key for c in setup.changes if c.on for key in (*c.moves, *c.sets))
    moved = (key for freedom in freedoms for key in (freedom.key, *freedom.followers))
    return not any(left_of(key) != key for key in (*setup.readings, *named, *moved))
