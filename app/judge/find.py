"""Find the change that brings about what is wanted, inside what the metal lets move.

The least move counts: the sum of the squares of all moves in shares of their room. Where not all
can be had, the wants are missed as little as can be first, and then the least move does it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import replace
from functools import partial
from typing import Any, Final, NamedTuple

import numpy as np

from app.document.ends import split_key
from app.document.model import Setup
from app.document.plans import Want
from app.judge.clearing import Clearing, End
from app.judge.conditions import Conditions
from app.judge.found import Answer, Reached, Search, Stop
from app.judge.freedoms import FindError, can_be_made, freedoms_of, with_moves
from app.judge.prices import Pricing
from app.judge.stepping import badness, in_steps
from app.judge.wanted import asked_of_wheels, by_wheel, within_of
from app.systems.answers import Study
from app.systems.every import given_systems
from app.systems.limits import limit_checks
from app.systems.study_results import result_named
from geometry.errors import GeometryError
from geometry.least_move import KEPT
from geometry.seeking import Found, Problem, best_of_model, misses, rank, same_wants, seek
from geometry.vectors import Array

_NO_CAR: Final = "no car can be built inside the room: give another."
STARTS: Final = 5
MOST_OTHERS: Final = 3
_APART: Final = 0.05  # of a room
_COSTLIER: Final = 4.0  # times the best's size, from which another answer is none
_AS_GOOD: Final = 1.02  # times the best's misses, up to which another answer is as good
_MOST_ROUNDS: Final = 3  # of steps that come too near
_ENOUGH: Final = 0.99  # in `within`s, by which wants may be missed more for a much smaller move
_MUCH_SMALLER: Final = 0.25  # times the best's size: half the move
_CHEAP: Final = 1e-4  # a size below which answers aren't compared by it


def find(
    setup: Setup,
    step: float | None = None,
    going: Callable[[], bool] = lambda: True,
    tell: Callable[[float], None] = lambda _share: None,
) -> Search | None:
    """Search for the change that a setup's wants and rooms ask for; None where it was stopped.

    `step` [mm] is the step that a shop can make; None leaves the moves as they are. `going` is
    asked before each batch of cars; `tell` hears which share is done.

    Raises
    ------
    FindError
        There is nothing to seek, or nothing that may move.
    GeometryError
        The car as proposed can't be built.
    """
    return _Search(setup, step, going, tell).run()


class Made(NamedTuple):
    """An end, and the moves that a shop makes of it, by freedom."""

    end: End
    moves: Array


class Spot(NamedTuple):
    """A place in shares of the room, how bad it is, and its size."""

    place: Array
    bad: tuple[float, float, float]  # walls passed, wants missed beyond what is met, and at all
    size: float

    def is_as_good_as(self, best: Spot) -> bool:
        """Tell whether walls are passed and wants missed by no more than by the best."""
        passed, beyond, missed = self.bad
        return (
            passed <= best.bad[0] + KEPT
            and beyond <= _AS_GOOD * best.bad[1]
            and missed <= _AS_GOOD * best.bad[2]
        )

    def is_another_than(self, others: Sequence[Spot]) -> bool:
        """Tell whether it is elsewhere than others and not much costlier than the first."""
        is_apart = all(np.abs(self.place - other.place).max() > _APART for other in others)
        return is_apart and self.size <= _COSTLIER * max(others[0].size, _CHEAP)


def _spot(problem: Problem, place: Array, values: Array) -> Spot:
    passed, beyond, missed = (float(each[0]) for each in badness(problem, values[None]))
    return Spot(place, (passed, beyond, missed), float((problem.costs * place**2).sum()))


class _Search:
    """One search."""

    def __init__(
        self,
        setup: Setup,
        step: float | None,
        going: Callable[[], bool],
        tell: Callable[[float], None],
    ) -> None:
        self.setup, self.step, self.going, self.tell = setup, step, going, tell
        self.freedoms = freedoms_of(setup)
        self.studies = tuple(system.study(setup) for system in given_systems(setup))
        self.conditions = Conditions(setup, self.studies, self.freedoms)
        self.widths = np.array([freedom.width for freedom in self.freedoms])
        self.clearing = Clearing(setup, self.studies, self.freedoms)

    def run(self) -> Search | None:
        """Search from where the car stands and from elsewhere in the room."""
        problem = self._problem()
        ends: list[Found] = []
        for number, start in enumerate(self._starts(problem), start=1):
            found = seek(problem, start, self.going)
            self.tell(0.5 * number / (STARTS + 1))
            if found is not None:
                ends.append(found)
            if not self.going():
                return None
        if not ends:
            raise FindError(_NO_CAR)
        best = [*self._apart(self._cleared(problem, ends))]
        made = [*self._told_apart([*self._made_all(best)])]
        if not self.going():
            return None
        answers = [*self._answers(made)]
        enough = self._enough(best[0], made)
        if enough is not None:
            with suppress(GeometryError):
                answers.append(replace(self._answer(*enough), is_enough=True))
        count = len(self.conditions.all)
        same = [
            (self.conditions.all[i].name, self.conditions.all[j].name)
            for i, j in same_wants(best[0].found.model.slopes[:count])
            if not (problem.walls[i] or problem.walls[j])
            and self.conditions.all[i].name != self.conditions.all[j].name
        ]
        unique = tuple(dict.fromkeys(same))
        return Search(answers[0], tuple(answers[1:]), unique, self.conditions.batches)

    def _problem(self) -> Problem:
        all_conditions = self.conditions.all
        scales = np.array([condition.scale for condition in all_conditions])

        def evaluate(shares: Array) -> Array:
            setups = [
                with_moves(self.setup, self.freedoms, row)
                for row in (shares * self.widths).tolist()
            ]
            return np.asarray(self.conditions.values(setups) / scales)

        walls = np.array([condition.is_wall for condition in all_conditions], dtype=bool)
        inset = np.where(walls, KEPT, 0.0)  # so that what counts as kept passes no limit
        return Problem(
            np.array([freedom.low for freedom in self.freedoms]) / self.widths,
            np.array([freedom.high for freedom in self.freedoms]) / self.widths,
            np.array([1.0 + len(freedom.followers) for freedom in self.freedoms]),
            np.array([condition.low for condition in all_conditions]) / scales + inset,
            np.array([condition.high for condition in all_conditions]) / scales - inset,
            np.array([condition.weight for condition in all_conditions]),
            walls,
            evaluate,
        )

    def _starts(self, problem: Problem) -> Iterator[Array]:
        """Yield where it stands, and places spread over the room by a fixed seed."""
        count = len(self.freedoms)
        yield np.zeros(count)
        random = np.random.default_rng(1)
        orders = np.column_stack([random.permutation(STARTS) for _ in range(count)])
        spread = (orders + 0.5) / STARTS
        yield from problem.low + spread * (problem.high - problem.low)

    def _cleared(self, problem: Problem, ends: Sequence[Found]) -> list[End]:
        """Return the ends that are elsewhere, clearances kept as well, the best first."""
        names = tuple(condition.name for condition in self.conditions.all)
        every = [End(found, problem, names) for found in ends]
        every.sort(key=_rank)
        if not self.clearing.is_asked:
            return every
        elsewhere: list[End] = []
        for end in every:
            place = end.found.model.place
            away = [np.abs(place - other.found.model.place).max() for other in elsewhere]
            if len(elsewhere) <= MOST_OTHERS and all(each > _APART for each in away):
                elsewhere.append(end)
        return sorted((self.clearing.cleared(e, self.going) for e in elsewhere), key=_rank)

    def _apart(self, ends: Sequence[End]) -> Iterator[End]:
        """Yield the best end, and others as good, elsewhere and not much costlier."""
        spots_kept: list[Spot] = []
        for end in ends:
            spot = _spot(end.problem, end.found.model.place, end.found.model.values)
            if not spots_kept or (
                end.found.came_to_rest
                and len(spots_kept) <= MOST_OTHERS
                and spot.is_as_good_as(spots_kept[0])
                and spot.is_another_than(spots_kept)
            ):
                spots_kept.append(spot)
                yield end

    def _told_apart(self, made: Sequence[Made]) -> Iterator[Made]:
        """Yield the answers as they are made, the best first; steps may have made one of two."""
        spots = [self._spot_of(each) for each in made]
        order = [*range(len(made))]
        if self._is_stepped:
            order.sort(key=lambda number: (*spots[number].bad, spots[number].size))
        spots_kept: list[Spot] = []
        for number in order:
            spot = spots[number]
            if not spots_kept or (
                spot.is_as_good_as(spots_kept[0]) and spot.is_another_than(spots_kept)
            ):
                spots_kept.append(spot)
                yield made[number]

    def _enough(self, best: End, made: Sequence[Made]) -> Made | None:
        """Return a much smaller move that misses wants by no more than what counts as met.

        Wants are brought to their values, for which the last hair may cost a long way. A straight
        line tells whether it is worth a search.
        """
        problem, model = best.problem, best.found.model
        more = misses(problem, model.values) + _ENOUGH
        looser = replace(
            problem,
            least=np.where(problem.walls, problem.least, problem.least - more),
            most=np.where(problem.walls, problem.most, problem.most + more),
        )
        spots = [self._spot_of(each) for each in made]
        largest = _MUCH_SMALLER * spots[0].size

        def size(place: Array) -> float:
            return float((problem.costs * place**2).sum())

        start = best_of_model(looser, model)
        if spots[0].size < _CHEAP or size(start) > largest:
            return None
        found = seek(looser, start, self.going)
        if found is None or not found.is_met:
            return None
        cleared = self.clearing.cleared(End(found, looser, best.names, best.near), self.going)
        end = cleared._replace(problem=problem)
        less = self._made(end) if self._is_stepped else Made(end, self._moves(end))
        place, values = less.moves / self.widths, problem.evaluate((less.moves / self.widths)[None])
        beyond = misses(looser, values[0])
        is_apart = all(np.abs(place - spot.place).max() > _APART for spot in spots)
        return less if is_apart and size(place) <= largest and beyond.max() <= KEPT else None

    def _spot_of(self, made: Made) -> Spot:
        problem, place = made.end.problem, made.moves / self.widths
        if not self._is_stepped:
            return _spot(problem, place, made.end.found.model.values)
        return _spot(problem, place, problem.evaluate(place[None])[0])

    # --- answers ---

    @property
    def _is_stepped(self) -> bool:
        return self.step is not None or any(freedom.steps for freedom in self.freedoms)

    def _made_all(self, ends: Sequence[End]) -> Iterator[Made]:
        for number, end in enumerate(ends, start=1):
            yield self._made(end) if self._is_stepped else Made(end, self._moves(end))
            self.tell(0.5 + 0.5 * number / len(ends))

    def _moves(self, end: End) -> Array:
        moves = end.found.model.place * self.widths
        return np.where(np.abs(moves) < 1e-9, 0.0, moves)

    def _made(self, end: End) -> Made:
        """Return the moves of an answer as a shop can make them, clearances kept by them too."""
        can = partial(can_be_made, self.setup, self.freedoms)
        for _ in range(_MOST_ROUNDS):
            model = end.found.model
            moves = in_steps(self.freedoms, end.problem, model, self.step, can, self.going)
            moves = np.where(np.abs(moves) < 1e-9, 0.0, moves)
            walled = self.clearing.walled(end, moves / self.widths)
            if walled is None or not self.going():
                break
            end = walled
        return Made(end, moves)

    def _answers(self, made: Sequence[Made]) -> Iterator[Answer]:
        """Yield the answers of which a whole car can be built.

        Raises
        ------
        FindError
            None can.
        """
        is_none = True
        for end, moves in made:
            with suppress(GeometryError):
                yield self._answer(end, moves)
                is_none = False
        if is_none:
            raise FindError(_NO_CAR)

    def _answer(self, end: End, moves: Array) -> Answer:
        setup = with_moves(self.setup, self.freedoms, moves.tolist(), drop_still=True)
        studies = tuple(system.study(setup) for system in given_systems(setup))
        wants = tuple(self._reached(want, studies) for want in self.setup.wants)
        broken = tuple(
            check for study in studies for check in limit_checks(study) if check.held is False
        )
        pricing = Pricing(self.setup, self.conditions.all, self.freedoms, self.going)
        is_met = all(want.is_met for want in wants)
        bounds = tuple(pricing.bounds(moves, is_met))
        held_back = tuple(pricing.held_back(end, is_met))
        is_stopped = bool(bounds or held_back)
        stop = Stop() if is_met else pricing.stop(end, is_stopped, self._is_stepped)
        costs, place = end.problem.costs, end.found.model.place
        return Answer(
            setup,
            studies,
            self.freedoms,
            tuple(moves.tolist()),
            float((costs * np.square(moves / self.widths)).sum()),
            wants,
            tuple(bound.name for bound in bounds),
            held_back,
            tuple(pricing.prices(end, wants, bounds)),
            broken,
            float((costs * np.square(place)).sum()),
            stop,
        )

    def _reached(self, want: Want, studies: Sequence[Study[Any]]) -> Reached:
        end, key = split_key(want.result)
        study = next(each for each in studies if each.system.key == end)
        result = result_named(study, key)
        assert result is not None  # the conditions were made of it
        asked, reached = asked_of_wheels(want, study, result), by_wheel(study.proposed, result)
        near = within_of(want, asked, self.setup.units)
        left_value = next(iter(asked.values()))
        if not reached:
            return Reached(want, left_value.found, None, near, False)
        ends = {side: asked.get(side, left_value) for side in reached}
        worst = max(reached, key=lambda side: ends[side].missed_by(reached[side]))
        is_met = ends[worst].missed_by(reached[worst]) <= near * 1.001
        return Reached(want, ends[worst].found, reached[worst], near, is_met)


def _rank(end: End) -> tuple[float, float, float]:
    return rank(end.problem, end.found.model.place, end.found.model.values)
