"""A result that is drawn by hand: what has room follows by the least move, in one change.

The answer depends on the setup from which the drawing began and on the value alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from typing import Any, Final

import numpy as np

from app.document.ends import end_of
from app.document.model import FrozenMap, Setup
from app.document.moves import BY_VALUE, add, move_in_change
from app.document.plain_text import lower_first
from app.judge.drawn_walls import AtWall, WallOnTheWay, Walls
from app.judge.freedoms import FindError, Freedom, freedoms_of, points_and_values
from app.judge.wanted import usual_within
from app.systems.answers import CarAnswers, Pose, Study, value_in
from app.systems.every import BY_KEY
from app.systems.pose import posed_car
from app.systems.standing import standing, standings
from app.systems.system import System
from geometry.catalogue.result import Result, by_key
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.following import Following, Place, Rooms
from geometry.standing import Stands
from geometry.vectors import Array

NO_ROOM: Final = "Give points room first: point's menu, Room to move."
_MISSED: Final = 0.02  # of what counts as near: a result that stays behind by more is stuck
_GIVES: Final = 1.0  # of that: so much a result stays behind the hand before the end of reach
_STILL: Final = 1e-9  # mm or a value's own unit: a smaller move is none


class DrawError(ValueError):
    """A result that can't be drawn, with the reason in the user's words."""


@dataclass(frozen=True)
class Drawn:
    """What is drawn: results of one system by their keys, of a wheel, in a pose.

    With `in_body` the pose's travel counts from the measured height.
    """

    system: str
    keys: tuple[str, ...]
    side: int = 0
    pose: Pose = Pose()
    in_body: bool = False


@dataclass(frozen=True)
class Drew:
    """Where a drawing has come to: the setup, the moves by freedom, and what is at its end.

    `values` are those that the results come to; `bounds` are the freedoms at the end of their room,
    and whether that is the upper one; `walls` are limits that would be passed where the hand is;
    `stuck` tells that the results stay behind it.
    """

    setup: Setup
    values: tuple[float, ...]
    moves: tuple[float, ...]
    bounds: tuple[tuple[Freedom, bool], ...]
    stuck: bool
    walls: tuple[AtWall, ...] = ()


class Drawing:
    """A drawing of results from its beginning on; each value is answered by itself.

    `study` is the whole one of a setup with the same numbers, where there is one.

    Raises
    ------
    DrawError
        Nothing has room, nothing that has it moves the results, or this car lacks one.
    """

    def __init__(
        self,
        setup: Setup,
        index: int,
        drawn: Drawn,
        locks: Mapping[str, frozenset[int]],
        study: Study[Any] | None = None,
    ) -> None:
        self._study = study
        self.setup, self.index, self.drawn = setup, index, drawn
        self.system: System[Any] = BY_KEY[drawn.system]
        self.freedoms = _freedoms(setup, self.system, locks)
        self.widths = np.array([freedom.width for freedom in self.freedoms])
        self.ranges = self.system.ranges(setup)
        self.results = self._results()
        self.scales = np.array(
            [usual_within(result.kind, (), setup.units) for result in self.results]
        )
        self.following = Following(self._rooms())
        self.start: tuple[float, ...] = tuple((self.following.start * self.scales).tolist())
        if len(self.start) < len(self.results):
            raise DrawError(f"{self.results[0].title} isn't known of this car as it stands.")
        if self.following.is_dead:
            what = lower_first(self.results[0].title)
            raise DrawError(f"nothing that has room moves {what} to speak of. {NO_ROOM}")

    @property
    def goes_anywhere(self) -> bool:
        """Tell whether the results can be drawn in any direction; else they keep to a line."""
        return self.following.rank == len(self.results)

    def at(self, values: Sequence[float]) -> Drew:
        """Return the setup with the results drawn to values, as quickly as a hand needs it."""
        return self._walled(values, self._followed)

    def settled(self, values: Sequence[float]) -> Drew:
        """Return the same as exactly as cars are worked out: for what stays when a hand lets go."""
        return self._walled(values, self._settled)

    def typed(self, values: Sequence[float]) -> Drew:
        """Return the same for values that are meant as they are, up to the very end of reach."""
        return self._walled(values, self._typed)

    def _walled(self, values: Sequence[float], drew: Callable[[Sequence[float]], Drew]) -> Drew:
        """Return what is drawn as far as the first wall, which the values alone place."""
        if tuple(values) == self.start or not self.walls.are_there:
            return drew(values)
        if len(values) > 1:
            free = drew(values)
            walls = self.walls.passed(free.setup)
            return replace(free, stuck=True, walls=walls) if walls else free
        (value,), (start,) = values, self.start
        on_the_way = self._on_the_way[int(value > start)]
        end = on_the_way.before(value, lambda each: self._followed([each]).setup)
        if end is None:
            return drew(values)
        if drew != self._followed:
            end = on_the_way.exactly(end, lambda each: drew([each]).setup)
            walls = self.walls.passed(self._followed(values).setup)
        else:
            walls = on_the_way.walls_at(value)
        return replace(drew([end]), stuck=True, walls=walls)

    def _followed(self, values: Sequence[float]) -> Drew:
        target = np.array(values) / self.scales
        place = self.following.follow(self._exact(values, target), _GIVES)
        return self._drew(target, place)

    def _typed(self, values: Sequence[float]) -> Drew:
        return self._settled(values, 0.0)

    def _settled(self, values: Sequence[float], gives: float = _GIVES) -> Drew:
        target = self._exact(values, np.array(values) / self.scales)
        place = self.following.follow(target, gives)
        if place.shares.any():
            place = self.following.settle(target, place, gives)
        return self._drew(target, place)

    def _exact(self, values: Sequence[float], target: Array) -> Array:
        """Return a target that is the start where the values are: no last bit moves anything."""
        return self.following.start if tuple(values) == self.start else target

    def _drew(self, target: Array, place: Place) -> Drew:
        bounds = self.following.bounds_at(place.shares)
        at_end = tuple((self.freedoms[number], is_high) for number, is_high in bounds)
        exact = place.shares * self.widths
        moves = tuple(np.where(np.abs(exact) < _STILL, 0.0, exact).tolist())
        setup = with_drawn(self.setup, self.index, self.freedoms, moves, drop_still=True)
        values = tuple(((target - place.missed - place.given) * self.scales).tolist())
        stuck = bool(np.abs(place.missed).max() > _MISSED) and (self.goes_anywhere or bool(bounds))
        return Drew(setup, values, moves, at_end, stuck)

    @cached_property
    def walls(self) -> Walls:
        """The limits that the car keeps as the drawing begins."""
        return Walls(self.setup, self.freedoms, self._study)

    @cached_property
    def _on_the_way(self) -> tuple[WallOnTheWay, WallOnTheWay]:
        """The walls of one result, less of it and more of it."""
        start, near = self.start[0], float(self.scales[0])
        return WallOnTheWay(self.walls, start, -1.0, near), WallOnTheWay(
            self.walls, start, 1.0, near
        )

    def look_ahead(self) -> None:
        """Know the walls before the first value asks for them."""
        _ = self.walls

    # The cars

    def _rooms(self) -> Rooms:
        low = np.array([min(freedom.low, 0.0) for freedom in self.freedoms])
        high = np.array([max(freedom.high, 0.0) for freedom in self.freedoms])
        costs = np.array([1.0 + len(freedom.followers) for freedom in self.freedoms])
        return Rooms(low / self.widths, high / self.widths, costs, self._many, self._one)

    def _results(self) -> tuple[Result, ...]:
        """Return what is drawn as this car has it: rears of two kinds have results of one key."""
        try:
            stand_at = standing(self.system, self.setup)
            car = self.system.built(self.setup, stand_at, self.ranges, short=True)
        except GeometryError:
            raise DrawError("the car as proposed can't be built.") from None
        results = by_key(tuple(car.results))
        if any(key not in results for key in self.drawn.keys):
            raise DrawError("this car has no such result.")
        return tuple(results[key] for key in self.drawn.keys)

    def _many(self, shares: Array) -> Array:
        """Return the results of the cars of many places, (m, n) to (m, k), in their scales."""
        setups = [
            with_drawn(self.setup, self.index, self.freedoms, row)
            for row in (shares * self.widths).tolist()
        ]
        try:
            values = self._built_many(setups)
        except GeometryError:
            return np.full((len(setups), len(self.results)), np.nan)
        columns = [self._column(values, result, len(setups)) for result in self.results]
        return np.asarray(np.column_stack(columns) / self.scales)

    def _built_many(self, setups: Sequence[Setup]) -> Mapping[str, Array]:
        pose, stand_at = self.drawn.pose, standings(self.system, setups)
        travel = np.array([pose.travel])
        if self.drawn.in_body:
            travel = (pose.travel - self._heights(setups))[:, None]
        poses: dict[str, Array] = {"travel": travel}
        poses |= {"roll": np.array([pose.roll])} if pose.roll else {}
        poses |= {"steer": np.array([pose.steer])} if pose.steer else {}
        return self.system.built_many(setups, self.drawn.keys, stand_at, **poses).values

    def _heights(self, setups: Sequence[Setup]) -> Array:
        """Return where the cars stand, from the measured height [mm], (m,)."""
        stand_at, stood = standings(self.system, setups), []

        def stand(settled: Array | None) -> Stands:
            stood.append(stand_at(settled))
            return stood[-1]

        self.system.built_many(setups, (), stand)
        return np.nan_to_num(stood[-1].travel)

    def _column(self, values: Mapping[str, Array], result: Result, count: int) -> Array:
        value = values.get(result.key)
        if value is None:
            return np.full(count, np.nan)
        if value.ndim == 1:
            return value
        here = value[..., 0]
        return here[:, self.drawn.side] if here.ndim == 2 else here

    def _one(self, shares: Array) -> Array | None:
        """Return the results of one car as the screen has them: by the short way."""
        moves = (shares * self.widths).tolist()
        setup = with_drawn(self.setup, self.index, self.freedoms, moves)
        try:
            stand_at = standing(self.system, setup)
            car = self.system.built(setup, stand_at, self.ranges, short=True)
            values = [self._value(car, result) for result in self.results]
        except GeometryError:
            return None
        if any(value is None for value in values):
            values = self._many(shares[None])[0].tolist()
            return np.array(values) if np.isfinite(values).all() else None
        return np.asarray(np.array(values, dtype=float) / self.scales)

    def _value(self, car: CarAnswers, result: Result) -> float | None:
        if result.key in car.late:
            return None
        if result.scope == "car":
            return car.single.get(result.key)
        return value_in(
            posed_car(car, self.drawn.pose, self.drawn.in_body), result, self.drawn.side
        )


def with_drawn(
    setup: Setup,
    index: int,
    freedoms: Sequence[Freedom],
    moves: Sequence[float],
    drop_still: bool = False,
) -> Setup:
    """Return the setup whose change moves points and values further by these moves.

    `drop_still` leaves out what doesn't move; cars that are solved together must all name the same.
    """
    change = setup.changes[index]
    points, values = points_and_values(freedoms, moves, drop_still)
    total, sets = dict(change.moves), {**change.sets, **values}
    for key, step in points.items():
        if key in change.sets:
            at: Any = change.sets[key]
            sets[key] = add(at, step)
        else:
            total[key] = add(move_in_change(setup, change, key), step)
    after = replace(change, moves=FrozenMap(total), sets=FrozenMap(sets))
    return setup.having(changes=(*setup.changes[:index], after, *setup.changes[index + 1 :]))


def _freedoms(
    setup: Setup, system: System[Any], locks: Mapping[str, frozenset[int]]
) -> tuple[Freedom, ...]:
    """Return what has room, may be moved by hand and isn't locked, of one system.

    What exists in steps only doesn't follow a hand.
    """
    try:
        every = freedoms_of(setup)
    except FindError as error:
        raise DrawError(str(error) if setup.rooms else f"nothing has room yet. {NO_ROOM}") from None
    of_end = [each for each in every if end_of(each.key) == system.key]
    own = [each for each in of_end if not each.steps]
    if of_end and not own:
        raise DrawError(f"what has room goes in steps only, which no hand draws. {NO_ROOM}")
    free = tuple(each for each in own if _is_free(each, setup, system, locks))
    if not free and own:
        raise DrawError("what has room is locked: unlock it first.")
    if not free:
        raise DrawError(f"nothing of the {system.title.lower()} has room yet. {NO_ROOM}")
    return free


def _is_free(
    freedom: Freedom, setup: Setup, system: System[Any], locks: Mapping[str, frozenset[int]]
) -> bool:
    if freedom.axis is None:
        return True
    keys = (freedom.key, *freedom.followers)
    return not any(
        freedom.axis in locks.get(key, ()) or key in BY_VALUE or system.fixed_because(setup, key)
        for key in keys
    )
