"""What an answer stands at, bounds, limits and clearances, and what a little more would bring."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from math import inf
from typing import Final, NamedTuple

import numpy as np

from app.document.model import Setup
from app.document.quantities import QUANTITIES
from app.judge.clearing import End
from app.judge.conditions import Condition
from app.judge.found import HeldBack, Price, Reached, Stop
from app.judge.freedoms import Freedom
from geometry.seeking import Problem, best_of_model, misses, price_of_bound, rank, seek
from geometry.vectors import Array

_NEAR: Final = 1e-6  # of a room: at its bound
_AT_LIMIT: Final = 0.05  # in `within`s, of a wall that an answer is at
_SHAPES: Final = 0.98  # of the size of a move: where less would do without a limit, that is told
_BALANCED: Final = 0.05  # of all pulls, by which pulls of wants that hold each other may differ
_DEAF: Final = 1e-3  # in `within`s a room, of a want that nothing moves
_FLAT: Final = 0.2  # of a miss, that the whole of a room would bring where a result turns back
_PULLS: Final = 0.05  # in `within`s, of a miss that counts
_MOST_SOUGHT: Final = 3  # limits without which it is sought anew


class Bound(NamedTuple):
    """A bound at which a move stands: its name, which freedom's, whether the upper one."""

    name: str
    place: int
    is_high: bool


class Pricing:
    """Tells of a search's answers what stops or shapes them."""

    def __init__(
        self,
        setup: Setup,
        conditions: Sequence[Condition],
        freedoms: Sequence[Freedom],
        going: Callable[[], bool],
    ) -> None:
        self.setup, self.conditions, self.freedoms = setup, conditions, freedoms
        self.widths = np.array([freedom.width for freedom in freedoms])
        self.going = going

    def bounds(self, moves: Array, is_met: bool) -> Iterator[Bound]:
        """Yield the bounds at which moves stand; where all is met, not of what need not move."""
        for place, (freedom, move) in enumerate(zip(self.freedoms, moves, strict=True)):
            if is_met and not move:
                continue
            for is_high, bound in ((False, freedom.low), (True, freedom.high)):
                if abs(move - bound) <= _NEAR * freedom.width:
                    is_most = is_high == (freedom.sign > 0.0)
                    yield Bound(f"{freedom.name} {'max' if is_most else 'min'}", place, is_high)

    def held_back(self, end: End, is_met: bool) -> Iterator[HeldBack]:
        """Yield the limits and clearances at which an answer is.

        Steps leave some room before them: it is the car before it is rounded to steps. Where all
        wants are met, only those are told without which a smaller move would do.
        """
        names = tuple(dict.fromkeys(end.names[column] for column in self._at_walls(end)))
        if not is_met:
            yield from map(HeldBack, names)
            return
        own_rank = rank(end.problem, end.found.model.place, end.found.model.values)
        for name in [name for name in names if self._is_shaping(end, name)][:_MOST_SOUGHT]:
            free = self._without(end, name, inf)
            found = seek(free, end.found.model.place, self.going)
            if found is not None:
                then = rank(free, found.model.place, found.model.values)
                if then[:2] <= own_rank[:2] and then[2] < _SHAPES * own_rank[2]:
                    yield HeldBack(name, then[2])

    def stop(self, end: End, is_stopped: bool, is_stepped: bool) -> Stop:
        """Tell what else keeps wants from being met: steps, or one another.

        Parameters
        ----------
        end
            The answer before it is made in steps.
        is_stopped
            Whether a bound or a limit stops it.
        is_stepped
            Whether it was made in steps.
        """
        problem, model = end.problem, end.found.model
        missed = np.where(problem.walls, 0.0, misses(problem, model.values))
        if missed.max(initial=0.0) <= 1.0:
            return Stop("steps") if is_stepped else Stop()
        ends = problem.evaluate(np.array([problem.low, model.place, problem.high]))
        still = (missed > 1.0) & (np.nan_to_num(np.ptp(ends, axis=0), nan=1.0) < _DEAF)
        if still.any():
            return Stop("nothing moves it", self._names_of(still))
        pulling = missed > _PULLS
        if is_stopped:
            return Stop()
        if len(self._names_of(pulling)) == 1:
            is_flat = (np.abs(model.slopes[pulling]) < _FLAT * missed[pulling, None]).all()
            return Stop("turn", self._names_of(pulling)) if is_flat else Stop()
        signed = np.where(model.values < problem.least, -missed, missed)
        pulls = (problem.weights * signed)[pulling, None] * model.slopes[pulling]
        is_even = np.abs(pulls.sum(axis=0)).max() < _BALANCED * float(np.abs(pulls).sum())
        return Stop("wants", self._names_of(pulling)) if is_even else Stop()

    def _names_of(self, columns: Array) -> tuple[str, ...]:
        """Return the results of these conditions; of clearances that aren't walls none."""
        names = [condition.name for condition in self.conditions]
        own_columns = columns[: len(names)].tolist()
        return tuple(
            dict.fromkeys(name for name, is_own in zip(names, own_columns, strict=True) if is_own)
        )

    def prices(
        self, end: End, wants: Sequence[Reached], bounds: Sequence[Bound]
    ) -> Iterator[Price]:
        """Yield what each bound and limit costs a want that gives: what a little more would do."""
        columns = self._most_missed(end, {each.want.result for each in wants if not each.is_met})
        problem, model = end.problem, end.found.model
        for name, place, is_high in bounds if columns else ():
            kind = self.freedoms[place].kind
            share = QUANTITIES[kind].mm_factor / self.widths[place]
            gain = price_of_bound(problem, model, place, is_high, min(share, 0.1))
            yield from self._priced(end, columns, name, kind, gain * max(1.0, share / 0.1))
        for name, columns_of in self._walls_by_name(end).items() if columns else ():
            kind, scale, is_most = self._limit_of(end, columns_of[0])
            unit = QUANTITIES[kind].mm_factor / scale
            wider = self._without(end, name, min(unit, 1.0))
            gain = model.at(best_of_model(wider, model)) - model.at(best_of_model(problem, model))
            bound = f"{name} {'max' if is_most else 'min'}"
            yield from self._priced(end, columns, bound, kind, gain * max(1.0, unit))

    def _priced(
        self, end: End, columns: Mapping[str, int], bound: str, kind: str, gain: Array
    ) -> Iterator[Price]:
        for want, column in columns.items():
            condition = self.conditions[column]
            is_turned = condition.quantity.less_in and end.found.model.values[column] < 0.0
            price = float(gain[column] * condition.scale)
            yield Price(bound, want, -price if is_turned else price, kind)

    def _at_walls(self, end: End) -> Iterator[int]:
        """Yield the columns of walls that an end is at."""
        values = end.found.model.values
        room = np.minimum(values - end.problem.least, end.problem.most - values)
        yield from np.flatnonzero(end.problem.walls & (room < _AT_LIMIT)).tolist()

    def _walls_by_name(self, end: End) -> dict[str, list[int]]:
        by_name: dict[str, list[int]] = {}
        for column in self._at_walls(end):
            by_name.setdefault(end.names[column], []).append(column)
        return by_name

    def _limit_of(self, end: End, column: int) -> tuple[str, float, bool]:
        """Return a wall's kind of quantity, how near counts there, and whether it is a most."""
        if column >= len(self.conditions):  # a clearance
            return "length", end.near, False
        condition, values = self.conditions[column], end.found.model.values
        limit = self.setup.limits[condition.name]
        is_high = end.problem.most[column] - values[column] < _AT_LIMIT
        return limit.kind, condition.scale, bool(is_high or condition.quantity.less_in)

    def _without(self, end: End, name: str, by: float) -> Problem:
        """Return the problem with a limit that gives way by so many `within`s; inf: without it."""
        own_walls = np.array([each == name for each in end.names]) & end.problem.walls
        return replace(
            end.problem,
            least=np.where(own_walls, end.problem.least - by, end.problem.least),
            most=np.where(own_walls, end.problem.most + by, end.problem.most),
        )

    def _is_shaping(self, end: End, name: str) -> bool:
        """Tell whether by a straight line a smaller move would do without a limit."""
        model, problem = end.found.model, end.problem
        free = best_of_model(self._without(end, name, inf), model, 0.5)
        now, then = (float((problem.costs * at**2).sum()) for at in (model.place, free))
        return then < _SHAPES * now

    def _most_missed(self, end: End, names: set[str]) -> dict[str, int]:
        """Return of each want the condition that is missed most, of one wheel or end."""
        missed = misses(end.problem, end.found.model.values)
        columns: dict[str, int] = {}
        for column, condition in enumerate(self.conditions):
            name = condition.name
            if name in names and not condition.is_wall:
                best = columns.setdefault(name, column)
                columns[name] = column if missed[column] > missed[best] else best
        return columns
