"""Limits as walls for a hand that draws a result: it stops where the first one would be passed.

A limit that the car breaks as it stands is no wall, as in a search.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, Final

import numpy as np

from app.document.ends import end_of, split_key
from app.document.model import Limit, Setup
from app.judge.conditions import RANGE, Condition, Conditions
from app.judge.freedoms import Freedom
from app.systems.answers import Study
from app.systems.every import BY_KEY
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.least_move import KEPT
from geometry.vectors import Array

_LEAST: Final = 4.0  # in what counts as near: what is drawn is looked at this often on its way
_OFTEST: Final = 8
_MOST_TRIED: Final = 40
_MOST_BACK: Final = 6
_BACK: Final = 1e-3  # in what counts as near, by which it goes back more than a wall asks
_SURE: Final = 0.4  # of what is left to a wall, or of the way gone, isn't looked at again
_SLOWEST: Final = 0.02  # in what counts as near, for as much of what is drawn: no wall comes slower
_STRAIGHT: Final = 3.0  # times the way to a wall: a straight line holds no further
_SHORT: Final = 25.0  # in what counts as near, as which a shorter way to a wall counts there
_THERE: Final = 1e-6  # in what counts as near: how well the place of a wall is known


@dataclass(frozen=True)
class AtWall:
    """A limit that stops a hand, and what its result would be where the hand is.

    `value` is None where the hand is so far beyond that a straight line says nothing true.
    """

    result: Result
    limit: Limit
    value: float | None
    side: str = ""  # "left", "right" where the wheels are unlike
    is_about: bool = False  # the value is told by a straight line


class Walls:
    """The limits of a setup that the car keeps as it stands.

    Parameters
    ----------
    setup
        The setup in which a drawing begins.
    freedoms
        What may move, all of one end: the limits of that end count.
    study
        That of the setup, where it is there already.
    """

    def __init__(
        self, setup: Setup, freedoms: Sequence[Freedom], study: Study[Any] | None = None
    ) -> None:
        self.setup, self.studies = setup, _limited(setup, end_of(freedoms[0].key), study)
        self.conditions: Conditions | None = None
        if not self.studies:
            return
        conditions = Conditions(setup.having(wants=()), self.studies, freedoms)
        conditions.all = tuple(each for each in conditions.all if each.is_wall)
        if conditions.all:
            self.conditions = conditions
            start = conditions.values([setup])[0]
            inset = np.array([KEPT * each.scale for each in conditions.all])
            self.low = np.fmin(np.array([c.low for c in conditions.all]) + inset, start)
            self.high = np.fmax(np.array([c.high for c in conditions.all]) - inset, start)
            self.scales = np.array([each.scale for each in conditions.all])

    @property
    def are_there(self) -> bool:
        """Tell whether there are any."""
        return self.conditions is not None

    def values(self, setups: Sequence[Setup]) -> Array:
        """Return what the limits limit, of each car, (m, k)."""
        assert self.conditions is not None
        return self.conditions.values(setups)

    def left(self, values: Array) -> Array:
        """Return how far cars are from their nearest wall, in what counts as near, (m,).

        Beyond it that is negative. What can't be told stops nothing.
        """
        room = np.fmin(values - self.low, self.high - values) / self.scales
        return np.asarray(np.where(np.isnan(room), np.inf, room).min(axis=1))

    def passed(self, setup: Setup) -> tuple[AtWall, ...]:
        """Return the walls that a car is beyond, each limit once by its furthest value."""
        return () if self.conditions is None else self.told(self.values([setup])[0])

    def told(self, values: Array, is_about: bool = False) -> tuple[AtWall, ...]:
        """Return the walls that these values are beyond, each limit once by its furthest one."""
        assert self.conditions is not None
        beyond = np.fmax(self.low - values, values - self.high) / self.scales
        order = [n for n in np.argsort(-beyond).tolist() if beyond[n] > 0.0]
        walls: dict[str, AtWall] = {}
        for number in order:
            condition = self.conditions.all[number]
            wall = self._told(condition, float(values[number]))
            walls.setdefault(condition.name, replace(wall, is_about=is_about))
        return tuple(walls.values())

    def _told(self, condition: Condition, value: float) -> AtWall:
        assert self.conditions is not None
        end, key = split_key(condition.name)
        study = next(study for study in self.studies if study.system.key == end)
        result = next(each for each in study.results if each.key == key)
        is_of_wheel = len(self.conditions.sides) > 1 and result.scope == "wheel"
        side = ("left", "right")[condition.quantity.side] if is_of_wheel else ""
        size = abs(value) if key == RANGE else value
        return AtWall(result, self.setup.limits[condition.name], size, side)


class WallOnTheWay:
    """Where one result that is drawn one way from its start comes to the first wall.

    What was looked at is kept, so that a wall stays where it was found.

    Parameters
    ----------
    walls
        The limits.
    start
        The result as the drawing begins.
    way
        +1 or -1.
    near
        What counts as near, of this result.
    """

    def __init__(self, walls: Walls, start: float, way: float, near: float) -> None:
        self.walls, self.start, self.way, self.near = walls, start, way, near
        self.clear = 0.0  # so far from the start there is none, in what counts as near
        self.at: float | None = None  # the value that is as far as it goes
        self._looked: list[tuple[float, Array]] = []  # places and values, from the start on

    def before(self, value: float, car: Callable[[float], Setup]) -> float | None:
        """Return the value at which a wall stops what is drawn to this one; None where none does.

        Parameters
        ----------
        value
            What is drawn to, this way from the start.
        car
            Gives the setup in which the result is drawn to a value.
        """
        far = self._far(value)
        if self.at is None and far > self.clear:
            self._look(far, car)
        if self.at is None or (value - self.at) * self.way <= 0.0:
            return None
        return self.at

    def walls_at(self, value: float) -> tuple[AtWall, ...]:
        """Return the walls that would be passed at a value, by a straight line through the wall."""
        (low, inside), (high, beyond) = self._looked[-2:]
        share = max((self._far(value) - low) / max(high - low, _THERE), 1.0)
        walls = self.walls.told(inside + share * (beyond - inside), is_about=share > 1.0)
        if self.at is not None and self._far(value) <= _STRAIGHT * max(self._far(self.at), _SHORT):
            return walls
        return tuple(replace(wall, value=None) for wall in walls)

    def _look(self, far: float, car: Callable[[float], Setup]) -> None:
        """Look for a wall as far as this, and see how far on there can't be any."""
        if not self._looked:
            self._looked.append((0.0, self.walls.values([self.walls.setup])[0]))
        last = self._looked[-1][0]
        count = int(min(max((far - self.clear) // _LEAST, 0.0), _OFTEST)) + 1
        places = np.linspace(max(self.clear, last), far, count + 1)[1:].tolist()
        values = self.walls.values([car(self._value(place)) for place in places])
        for place, own in zip(places, values, strict=True):
            left = float(self.walls.left(own[None])[0])
            before, inside = self._looked[-1]
            self._looked.append((place, own))
            if left < 0.0:
                self.at = self._found(before, place, left, car)
                return
            was = float(self.walls.left(inside[None])[0])
            rate = abs(was - left) / max(place - before, _THERE) if np.isfinite(was) else 0.0
            self.clear = place + min(_SURE * left / max(rate, _SLOWEST), _SURE * place)

    def _far(self, value: float) -> float:
        return (value - self.start) * self.way / self.near

    def exactly(self, end: float, car: Callable[[float], Setup]) -> float:
        """Return the value near one that was found that cars solved more exactly keep it at.

        Parameters
        ----------
        end
            What was found.
        car
            Gives the setup in which the result is drawn to a value.
        """
        (_, inside), (_, beyond) = self._looked[-2:]
        before, after = (float(self.walls.left(each[None])[0]) for each in (inside, beyond))
        last_step = self._looked[-1][0] - self._looked[-2][0]
        rate = max((before - after) / max(last_step, _THERE), _SLOWEST)
        far = self._far(end)
        for _ in range(_MOST_BACK):
            room_left = self._left(far, car)
            if room_left >= 0.0:
                break
            far = max(far + room_left / rate - _BACK, 0.0)
        return self._value(far)

    def _value(self, far: float) -> float:
        return self.start + self.way * self.near * far

    def _found(
        self,
        low: float,
        high: float,
        beyond: float,
        car: Callable[[float], Setup],
    ) -> float:
        """Return the last value before a wall, by the false position that halves what stays.

        References
        ----------
        M. Dowell, P. Jarratt, BIT 11 (1971), p. 168: the "Illinois" algorithm.
        """
        inside, same_side = self._left(low, car), 0
        for _ in range(_MOST_TRIED):
            if high - low <= _THERE or not np.isfinite(inside):
                break
            share = inside / (inside - beyond) if inside > 0.0 else 0.5
            place = low + min(max(share, 1e-3), 1.0 - 1e-3) * (high - low)
            left = self._left(place, car)
            if left < 0.0:
                high, beyond = place, left
                inside, same_side = (0.5 * inside if same_side > 0 else inside), 1
            else:
                low, inside = place, left
                beyond, same_side = (0.5 * beyond if same_side < 0 else beyond), -1
        return self._value(low)

    def _left(self, place: float, car: Callable[[float], Setup]) -> float:
        setup = car(self._value(place)) if place > 0.0 else self.walls.setup
        return float(self.walls.left(self.walls.values([setup]))[0])


def _limited(setup: Setup, own: str, study: Study[Any] | None) -> tuple[Study[Any], ...]:
    """Return the study of the end that is drawn if it has limits; none if it can't be built."""
    if not any(end_of(name) == own for name in setup.limits):
        return ()
    try:
        return (BY_KEY[own].study(setup) if study is None else study,)
    except GeometryError:
        return ()
