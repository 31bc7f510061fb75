"""Limits as walls for a hand that draws a result: it stops where the first one would be passed.

A limit that the car breaks as it stands is no wall, as in a search.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

import numpy as np

from app.document.address import end_of
from app.document.model import Limit, Setup
from app.judge.conditions import RANGE, Condition, Conditions
from app.judge.freedoms import Freedom
from app.systems.answers import Study
from app.systems.every import given_systems
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.seeking import KEPT
from geometry.vectors import Array

_LEAST: Final = 4.0  # in what counts as near: what is drawn is looked at this often on its way
_OFTEST: Final = 8
_MOST_TRIED: Final = 40
_ABOUT: Final = 1.0  # in what counts as near: a wall of cars solved more exactly isn't further off
_SETTLED: Final = 1e-4  # of that: how well it is known there
_THERE: Final = 1e-9  # in what counts as near: how well the place of a wall is known


@dataclass(frozen=True)
class AtWall:
    """A limit that stops a hand, and what its result would be where the hand is."""

    result: Result
    limit: Limit
    value: float
    side: str = ""  # "left", "right" where the wheels are unlike


class Walls:
    """The limits of a setup that the car keeps as it stands.

    Parameters
    ----------
    setup
        The setup in which a drawing begins.
    freedoms
        What may move.
    """

    def __init__(self, setup: Setup, freedoms: Sequence[Freedom]) -> None:
        self.setup, self.studies = setup, _limited(setup)
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

    def left(self, setups: Sequence[Setup]) -> Array:
        """Return how far each car is from its nearest wall, in what counts as near, (m,).

        Beyond it that is negative. What can't be told stops nothing.
        """
        if self.conditions is None:
            return np.full(len(setups), np.inf)
        values = self.conditions.values(setups)
        room = np.fmin(values - self.low, self.high - values) / self.scales
        return np.asarray(np.where(np.isnan(room), np.inf, room).min(axis=1))

    def passed(self, setup: Setup) -> tuple[AtWall, ...]:
        """Return the walls that a car is beyond, each limit once by its furthest value."""
        if self.conditions is None:
            return ()
        values = self.conditions.values([setup])[0]
        beyond = np.fmax(self.low - values, values - self.high) / self.scales
        order = [n for n in np.argsort(-beyond).tolist() if beyond[n] > 0.0]
        told: dict[str, AtWall] = {}
        for number in order:
            condition = self.conditions.all[number]
            told.setdefault(condition.name, self._told(condition, float(values[number])))
        return tuple(told.values())

    def _told(self, condition: Condition, value: float) -> AtWall:
        assert self.conditions is not None
        end, _, key = condition.name.partition(".")
        study = next(study for study in self.studies if study.system.key == end)
        result = next(each for each in study.results if each.key == key)
        is_of_wheel = len(self.conditions.sides) > 1 and result.scope == "wheel"
        side = ("left", "right")[condition.quantity.side] if is_of_wheel else ""
        own = abs(value) if key == RANGE else value
        return AtWall(result, self.setup.limits[condition.name], own, side)


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

    def before(self, value: float, car: Callable[[float], Setup]) -> float | None:
        """Return the value at which a wall stops what is drawn to this one; None where none does.

        Parameters
        ----------
        value
            What is drawn to, this way from the start.
        car
            Gives the setup in which the result is drawn to a value.
        """
        far = (value - self.start) * self.way / self.near
        if self.at is None and far > self.clear:
            count = int(min(max((far - self.clear) // _LEAST, 0.0), _OFTEST)) + 1
            places = np.linspace(self.clear, far, count + 1)[1:].tolist()
            left = self.walls.left([car(self._value(place)) for place in places])
            beyond = np.flatnonzero(left < 0.0)
            if beyond.size:
                first = int(beyond[0])
                low = places[first - 1] if first else self.clear
                self.at = self._found(low, places[first], float(left[first]), car, _THERE)
            self.clear = far
        if self.at is None or (value - self.at) * self.way <= 0.0:
            return None
        return self.at

    def exactly(self, end: float, car: Callable[[float], Setup]) -> float:
        """Return the value near one that was found at which cars solved more exactly come to it.

        Parameters
        ----------
        end
            What was found.
        car
            Gives the setup in which the result is drawn to a value.
        """
        far = (end - self.start) * self.way / self.near
        low, high = max(far - _ABOUT, 0.0), far + _ABOUT
        beyond = float(self.walls.left([car(self._value(high))])[0])
        return end if beyond >= 0.0 else self._found(low, high, beyond, car, _SETTLED)

    def _value(self, far: float) -> float:
        return self.start + self.way * self.near * far

    def _found(
        self,
        low: float,
        high: float,
        beyond: float,
        car: Callable[[float], Setup],
        there: float,
    ) -> float:
        """Return the last value before a wall, by the false position that halves what stays.

        References
        ----------
        M. Dowell, P. Jarratt, BIT 11 (1971), p. 168: the "Illinois" algorithm.
        """
        inside = float(self.walls.left([car(self._value(low))])[0]) if low > 0.0 else None
        if inside is None:
            inside = float(self.walls.left([self.walls.setup])[0])
        kept = 0
        for _ in range(_MOST_TRIED):
            if high - low <= there or not np.isfinite(inside):
                break
            share = inside / (inside - beyond) if inside > 0.0 else 0.5
            place = low + min(max(share, 1e-3), 1.0 - 1e-3) * (high - low)
            left = float(self.walls.left([car(self._value(place))])[0])
            if left < 0.0:
                high, beyond = place, left
                inside, kept = (0.5 * inside if kept > 0 else inside), 1
            else:
                low, inside = place, left
                beyond, kept = (0.5 * beyond if kept < 0 else beyond), -1
        return self._value(low)


def _limited(setup: Setup) -> tuple[Study[Any], ...]:
    """Return the studies of the ends that have limits; none of one that can't be built."""
    studies = []
    for system in given_systems(setup):
        if any(end_of(name) == system.key for name in setup.limits):
            try:
                studies.append(system.study(setup))
            except GeometryError:
                continue
    return tuple(studies)
