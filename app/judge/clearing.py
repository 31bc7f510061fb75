"""Clearances as walls of a search.

How near two parts come over all poses takes too long to look over for each candidate. So an answer
is looked over as a whole car. Where it comes too near, the pose in which it does is kept, what is
left there is taken as a straight line about the answer, and the search goes on from there with this
as a wall: until what the whole car leaves is what was asked. (Exchange of poses, as in
J. W. Blankenship and J. E. Falk, "Infinitely constrained optimization problems", Journal of
Optimization Theory and Applications 19, 1976.)
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final, NamedTuple

import numpy as np

from app.document.address import Side
from app.document.ends import end_of
from app.document.model import Setup
from app.judge.freedoms import Freedom, with_moves
from app.judge.wanted import usual_within
from app.systems.answers import Study
from app.systems.clearance.clearances import Shares, clearances, gaps_at
from app.systems.clearance.results import key_of_clearance
from geometry.errors import GeometryError
from geometry.least_move import KEPT
from geometry.seeking import Found as Sought
from geometry.seeking import Model, Problem, misses, seek
from geometry.vectors import Array

_ROUNDS: Final = 10
_ON_THE_WAY: Final = 0.1  # mm by which a step may come too near
_SAME_POSE: Final = 0.02  # of travel and of steer: of nearer poses the last is kept
_BESIDE: Final = 0.01  # mm by which a wall keeps beyond what is asked, since lines are straight
_NEAR: Final = 0.01  # mm that a line may be off before it is drawn anew
_LITTLE: Final = 0.01  # by which wants may be missed more, squared in `within`s
_CLOSE: Final = 0.01  # a step after which lines are good enough, in shares of the room
_STEP: Final = 2e-3  # of a room, for slopes
_BACK: Final = 5  # halves of the way back from where parts touch


class Pose(NamedTuple):
    """A pose in which a pair may come too near, by the clearance's place among its end's."""

    end: str
    number: int
    side: Side
    at: Shares


class Line(NamedTuple):
    """What is left in a pose [mm], as a straight line about a place in shares of the room."""

    place: Array
    gap: float
    slopes: Array

    def at(self, places: Array) -> Array:
        """Return what is left at places, (m, n) to (m,)."""
        return np.asarray(self.gap + (places - self.place) @ self.slopes)


class End(NamedTuple):
    """Where a search ended, the problem with its walls of clearances, and each column's name."""

    found: Sought
    problem: Problem
    names: tuple[str, ...]
    near: float = 1.0  # mm: how near counts of a clearance


class Clearing:
    """The clearances that a search can spoil: walls where the car as it stands keeps them."""

    def __init__(
        self, setup: Setup, studies: Sequence[Study[Any]], freedoms: Sequence[Freedom]
    ) -> None:
        self.setup, self.freedoms = setup, freedoms
        self.widths = np.array([freedom.width for freedom in freedoms])
        moved_ends = {end_of(freedom.key) for freedom in freedoms}
        concerned_studies = [study for study in studies if moved_ends & {study.system.key, "car"}]
        self.systems = [study.system for study in concerned_studies]
        self.near = usual_within("length", (), setup.units)
        self.least: dict[tuple[str, int], float] = {}
        self.walls: set[tuple[str, int]] = set()
        self.names: dict[tuple[str, int], str] = {}
        for study in concerned_studies:
            for number, check in enumerate(clearances(study)):
                least, built = check.clearance.at_least, check.built
                if least is None or built is None or built.touches:
                    continue  # of parts that touch already nothing tells which way is better
                key = (study.system.key, number)
                self.least[key] = least
                self.names[key] = f"{study.system.key}.{key_of_clearance(check.clearance)}"
                if check.held:
                    self.walls.add(key)

    @property
    def is_asked(self) -> bool:
        """Tell whether anything is to be kept clear."""
        return bool(self.least)

    def cleared(self, end: End, going: Callable[[], bool]) -> End:
        """Seek on from an end until the clearances are kept there, or as nearly as can be.

        Lines hold near by only: a step after which whole cars leave less is taken back and tried
        anew, shorter.
        """
        base, lines, reach = end, dict[Pose, Line](), 0.5
        near = self._too_near(end.found.model.place) if self.is_asked else {}
        poses = [*near]
        for _ in range(_ROUNDS):
            if not poses or not going():
                break
            place = end.found.model.place
            lines = self._lines(place, poses, lines)
            end = self._with_walls(base._replace(found=end.found), lines)
            sought = seek(_within(end.problem, place, reach), place, going)
            if sought is None:
                break
            step = float(np.abs(sought.model.place - place).max())
            then = self._too_near(sought.model.place)
            before, after = (
                self._badness(base, found, told)
                for found, told in ((end.found, near), (sought, then))
            )
            if step > _STEP and _is_worse(before, after):
                reach, poses = 0.3 * step, _joined(lines, then)
                continue
            near, end = then, end._replace(found=sought)
            is_kept = near.keys() <= lines.keys() and not self._is_off(sought.model.place, lines)
            poses = [] if is_kept and step < _CLOSE else _joined(lines, near)
            reach = max(reach, 2.0 * step)
        return end

    def _badness(self, base: End, found: Sought, near: Mapping[Pose, float]) -> tuple[float, float]:
        """Return by how much walls come too near [mm], and by how much wants are missed."""
        short = {pose[:3]: 0.0 for pose in near}
        for pose, each in near.items():
            short[pose[:3]] = max(short[pose[:3]], each)
        walls = max((each for key, each in short.items() if key[:2] in self.walls), default=0.0)
        count, problem = len(base.names), base.problem
        missed = np.where(problem.walls, 0.0, misses(problem, found.model.values[:count]))
        missed_cost = float((problem.weights * missed**2).sum())
        asked = (each for key, each in short.items() if key[:2] not in self.walls)
        return walls, missed_cost + sum((each / self.near) ** 2 for each in asked)

    def walled(self, end: End, place: Array) -> End | None:
        """Return an end with the walls that a place near it passes; None where it passes none."""
        poses = [*self._too_near(place)] if self.is_asked else []
        return self._with_walls(end, self._lines(place, poses, {})) if poses else None

    def _too_near(self, place: Array) -> dict[Pose, float]:
        """Return the poses in which a whole car comes nearer than asked, and by how much [mm]."""
        near: dict[Pose, float] = {}
        for study in self._studies(place, short=False) or ():
            end = study.system.key
            for number, check in enumerate(clearances(study)):
                least = self.least.get((end, number))
                for reading in check.proposed or () if least is not None else ():
                    if least is not None and reading.gap < least:
                        near[Pose(end, number, reading.side, reading.at)] = least - reading.gap
        return near

    def _is_off(self, place: Array, lines: Mapping[Pose, Line]) -> bool:
        """Tell whether a line that holds the place back is off what a car leaves there."""
        told = {pose: float(line.at(place[None])[0]) for pose, line in lines.items()}
        holds = [p for p, left in told.items() if left < self.least[p[:2]] + self.near]
        gaps = self._gaps(place, holds) if holds else None
        if gaps is None:
            return False
        return any(abs(told[p] - gap) > _NEAR for p, gap in zip(holds, gaps, strict=True))

    def _lines(
        self, place: Array, poses: Sequence[Pose], before: Mapping[Pose, Line]
    ) -> dict[Pose, Line]:
        """Return what is left in poses as lines about a place, or on the way back from it."""
        gaps = self._gaps(place, poses)
        for _ in range(_BACK):
            if gaps is not None and (gaps > 0.0).all():
                break
            place = 0.5 * place
            gaps = self._gaps(place, poses)
        if gaps is None:
            return dict(before)
        beside = [self._gaps(place + step, poses) for step in _STEP * np.eye(place.size)]
        rows = np.array([gaps if each is None else each for each in beside])
        slopes = np.nan_to_num((rows - gaps) / _STEP)
        return {
            pose: Line(place, gap, slope)
            for pose, gap, slope in zip(poses, gaps.tolist(), slopes.T, strict=True)
            if np.isfinite(gap)
        }

    def _with_walls(self, end: End, lines: Mapping[Pose, Line]) -> End:
        """Return an end whose problem has each line as a wall, or as a want."""
        problem, each = end.problem, [*lines.values()]
        count = len(each)

        def evaluate(shares: Array) -> Array:
            gaps_left = np.column_stack([line.at(shares) for line in each]) / self.near
            return np.hstack([problem.evaluate(shares), gaps_left])

        keys = [pose[:2] for pose in lines]
        least = np.array([self.least[key] + _BESIDE for key in keys]) / self.near
        walls = np.array([key in self.walls for key in keys], dtype=bool)
        wider = replace(
            problem,
            least=np.concatenate([problem.least, least + KEPT]),
            most=np.concatenate([problem.most, np.full(count, np.inf)]),
            weights=np.concatenate([problem.weights, np.ones(count)]),
            walls=np.concatenate([problem.walls, walls]),
            evaluate=evaluate,
        )
        model, own = end.found.model, len(end.names)
        values = np.array([line.at(model.place[None])[0] for line in each]) / self.near
        slopes = np.array([line.slopes for line in each]) / self.near
        model = Model(
            model.place,
            np.concatenate([model.values[:own], values]),
            np.vstack([model.slopes[:own], slopes]),
        )
        names = (*end.names, *(self.names[key] for key in keys))
        return End(replace(end.found, model=model), wider, names, self.near)

    # --- cars ---

    def _gaps(self, place: Array, poses: Sequence[Pose]) -> Array | None:
        """Return what a car leaves in poses [mm]; None where it can't be built."""
        studies = self._studies(place, short=True)
        if studies is None:
            return None
        gaps = np.full(len(poses), np.nan)
        for study in studies:
            own_places = [n for n, pose in enumerate(poses) if pose.end == study.system.key]
            if own_places:
                gaps[own_places] = gaps_at(study, [poses[n][1:] for n in own_places])
        return gaps

    def _studies(self, place: Array, short: bool) -> list[Study[Any]] | None:
        setup = with_moves(self.setup, self.freedoms, (place * self.widths).tolist())
        try:
            return [system.study(setup, short=short) for system in self.systems]
        except GeometryError:
            return None


def _is_worse(before: tuple[float, float], after: tuple[float, float]) -> bool:
    """Tell whether a step has led nearer than the next one mends, or wants away for nothing."""
    (was, wanted), (now, wanted_now) = before, after
    if now > max(0.7 * was, _ON_THE_WAY):
        return True
    return now >= was and wanted_now > 1.005 * wanted + _LITTLE


def _joined(lines: Mapping[Pose, Line], new: Mapping[Pose, float]) -> list[Pose]:
    """Return the poses of lines, but for those that a new one is near to, and the new ones."""
    return [*(old for old in lines if not any(_is_same(old, pose) for pose in new)), *new]


def _within(problem: Problem, place: Array, reach: float) -> Problem:
    low, high = np.maximum(problem.low, place - reach), np.minimum(problem.high, place + reach)
    return replace(problem, low=low, high=high)


def _is_same(one: Pose, other: Pose) -> bool:
    return one[:3] == other[:3] and all(
        abs(a - b) < _SAME_POSE for a, b in zip(one.at, other.at, strict=True)
    )
