"""Find the change that brings about what is wanted, inside what the metal lets move.

The least move counts: the sum of the squares of all moves in shares of their room. Where not all
can be had, the wants are missed as little as can be first, and then the least move does it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from functools import partial
from typing import Any, Final

import numpy as np

from app.document.model import Setup
from app.document.plans import Want
from app.document.quantities import QUANTITIES
from app.judge.conditions import Conditions
from app.judge.freedoms import FindError, Freedom, can_be_made, freedoms_of, with_moves
from app.judge.stepping import badness, in_steps
from app.judge.wanted import asked_of_wheels, by_wheel, within_of
from app.systems.answers import Study
from app.systems.clearance.clearances import ClearanceCheck, clearances
from app.systems.every import given_systems
from app.systems.limits import LimitCheck, limit_checks
from app.systems.study_results import result_named
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.seeking import KEPT, Found, Problem, misses, price_of_bound, rank, same_wants, seek
from geometry.vectors import Array

_NO_CAR: Final = "no car can be built inside the room: give another."
STARTS: Final = 5
MOST_OTHERS: Final = 3
_APART: Final = 0.05  # of a room
_COSTLIER: Final = 4.0  # times the best's size, from which another answer is none
_AS_GOOD: Final = 1.02  # times the best's misses, up to which another answer is as good
_NEAR: Final = 1e-6  # of a room: at its bound
_AT_LIMIT: Final = 0.05  # in `within`s, of a wall that stops a want
_CHEAP: Final = 1e-4  # a size below which answers aren't compared by it


@dataclass(frozen=True)
class Reached:
    """A want, what the answer comes to, and whether that is near enough; inside units.

    Of two wheels it is the one that misses it most; `within` is how near counts.
    """

    want: Want
    found: float
    reached: float | None
    within: float
    is_met: bool


@dataclass(frozen=True)
class Price:
    """What more room would bring a want that gives: by a mm, or by 1 in a value's unit.

    That unit is the one of files in mm, by the `kind` of what has the bound.
    """

    bound: str
    want: str
    per_mm: float
    kind: str


@dataclass(frozen=True)
class Answer:
    """One change that was found: the setup with it on top, and what it comes to.

    `moves` are the further moves by freedom, `size` the sum of the squares of all moves in shares
    of their room.
    """

    setup: Setup
    studies: tuple[Study[Any], ...]
    freedoms: tuple[Freedom, ...]
    moves: tuple[float, ...]
    size: float
    wants: tuple[Reached, ...]
    at_bound: tuple[str, ...]
    at_limit: tuple[str, ...]
    prices: tuple[Price, ...]
    broken: tuple[LimitCheck, ...]

    @property
    def is_met(self) -> bool:
        """Tell whether all wants are met, and all limits kept that the search could keep.

        A clearance, for which it doesn't look, or a limit of an end where nothing moves, spoils an
        answer only where the car as found keeps it.
        """
        moved = {
            key.partition(".")[0] for each in self.freedoms for key in (each.key, *each.followers)
        }
        still = [study for study in self.studies if study.system.key not in moved]
        mended = (
            check
            for check in self.broken
            if check.held_before is not False
            or not any(check.result in study.results for study in still)
        )
        nearer = (check for check in self.broken_clearances if check.held_before is not False)
        return all(want.is_met for want in self.wants) and not any((*mended, *nearer))

    @property
    def broken_clearances(self) -> tuple[ClearanceCheck, ...]:
        """The clearances that the answer doesn't keep: the search doesn't look for them."""
        checks = (check for study in self.studies for check in clearances(study))
        return tuple(check for check in checks if check.held is False)


@dataclass(frozen=True)
class Search:
    """All that a search brought: the best answer, others beside it, wants that ask for the same."""

    answer: Answer
    others: tuple[Answer, ...]
    same: tuple[tuple[str, str], ...]
    batches: int


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
        ends.sort(key=lambda end: rank(problem, end.model.place, end.model.values))
        best = [*self._apart(problem, ends)]
        made = [*self._told_apart(problem, best, [*self._made_all(problem, best)])]
        if not self.going():
            return None
        answers = [*self._answers(problem, made)]
        same = [
            (self.conditions.all[i].name, self.conditions.all[j].name)
            for i, j in same_wants(best[0].model.slopes)
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

    def _apart(self, problem: Problem, ends: Sequence[Found]) -> Iterator[Found]:
        """Yield the best end, and others as good, elsewhere and not much costlier."""
        kept: list[Found] = []
        for found in ends:
            place, count = found.model.place, len(kept)
            if not kept or (
                found.came_to_rest
                and count <= MOST_OTHERS
                and self._is_as_good(problem, found.model.values, kept[0].model.values)
                and self._is_another(problem, place, [each.model.place for each in kept])
            ):
                kept.append(found)
                yield found

    def _told_apart(
        self, problem: Problem, ends: Sequence[Found], moves: Sequence[Array]
    ) -> Iterator[tuple[Found, Array]]:
        """Yield the answers as they are made, the best first; steps may have made one of two."""
        places = np.array(moves) / self.widths
        stepped = self._is_stepped
        values = problem.evaluate(places) if stepped else np.array([e.model.values for e in ends])
        if not stepped:
            order = range(len(ends))
        else:
            sizes = (problem.costs * places**2).sum(axis=1)
            order = np.lexsort((sizes, *badness(problem, values)[::-1])).tolist()
        kept: list[Array] = []
        for number in order:
            if not kept or (
                self._is_as_good(problem, values[number], values[order[0]])
                and self._is_another(problem, places[number], kept)
            ):
                kept.append(places[number])
                yield ends[number], moves[number]

    def _is_as_good(self, problem: Problem, values: Array, best: Array) -> bool:
        """Tell whether walls are passed and wants missed by no more than by the best."""
        own, least = (badness(problem, each[None]) for each in (values, best))
        passed, beyond, missed = (float(each[0]) for each in own)
        return (
            passed <= float(least[0][0]) + KEPT
            and beyond <= _AS_GOOD * float(least[1][0])
            and missed <= _AS_GOOD * float(least[2][0])
        )

    def _is_another(self, problem: Problem, place: Array, others: Sequence[Array]) -> bool:
        """Tell whether a place is elsewhere than others and not much costlier than the first."""
        size, best = (float((problem.costs * each**2).sum()) for each in (place, others[0]))
        is_apart = all(np.abs(place - other).max() > _APART for other in others)
        return is_apart and size <= _COSTLIER * max(best, _CHEAP)

    # --- answers ---

    @property
    def _is_stepped(self) -> bool:
        return self.step is not None or any(freedom.steps for freedom in self.freedoms)

    def _made_all(self, problem: Problem, ends: Sequence[Found]) -> Iterator[Array]:
        for number, found in enumerate(ends, start=1):
            yield self._made(problem, found)
            self.tell(0.5 + 0.5 * number / len(ends))

    def _made(self, problem: Problem, found: Found) -> Array:
        """Return the moves of an answer as a shop can make them."""
        moves = found.model.place * self.widths
        if self._is_stepped:
            can = partial(can_be_made, self.setup, self.freedoms)
            moves = in_steps(self.freedoms, problem, found.model, self.step, can, self.going)
        return np.where(np.abs(moves) < 1e-9, 0.0, moves)

    def _answers(self, problem: Problem, made: Sequence[tuple[Found, Array]]) -> Iterator[Answer]:
        """Yield the answers of which a whole car can be built.

        Raises
        ------
        FindError
            None can.
        """
        is_none = True
        for found, moves in made:
            with suppress(GeometryError):
                yield self._answer(problem, found, moves)
                is_none = False
        if is_none:
            raise FindError(_NO_CAR)

    def _answer(self, problem: Problem, found: Found, moves: Array) -> Answer:
        setup = with_moves(self.setup, self.freedoms, moves.tolist(), drop_still=True)
        studies = tuple(system.study(setup) for system in given_systems(setup))
        wants = tuple(self._reached(want, studies) for want in self.setup.wants)
        broken = tuple(
            check for study in studies for check in limit_checks(study) if check.held is False
        )
        bounds = tuple(self._bounds(moves))
        prices = tuple(self._prices(problem, found, wants, bounds))
        size = float((problem.costs * np.square(moves / self.widths)).sum())
        return Answer(
            setup,
            studies,
            self.freedoms,
            tuple(moves.tolist()),
            size,
            wants,
            tuple(name for name, _, _ in bounds),
            self._limits_reached(problem, found) if any(not w.is_met for w in wants) else (),
            prices,
            broken,
        )

    def _reached(self, want: Want, studies: Sequence[Study[Any]]) -> Reached:
        end, _, key = want.result.partition(".")
        study = next(each for each in studies if each.system.key == end)
        result = result_named(study, key)
        assert result is not None  # the conditions were made of it
        asked, reached = asked_of_wheels(want, study, result), by_wheel(study.proposed, result)
        near = within_of(want, asked, self.setup.units)
        left = next(iter(asked.values()))
        if not reached:
            return Reached(want, left.found, None, near, False)
        ends = {side: asked.get(side, left) for side in reached}
        worst = max(reached, key=lambda side: ends[side].missed_by(reached[side]))
        is_met = ends[worst].missed_by(reached[worst]) <= near * 1.001
        return Reached(want, ends[worst].found, reached[worst], near, is_met)

    def _limits_reached(self, problem: Problem, found: Found) -> tuple[str, ...]:
        """Return the limits that the car is at, so that no want comes any nearer.

        Steps leave some room before them: it is the car before it is rounded to steps.
        """
        values = found.model.values
        room = np.minimum(values - problem.least, problem.most - values)
        return tuple(
            dict.fromkeys(
                condition.name
                for condition, left in zip(self.conditions.all, room, strict=True)
                if condition.is_wall and left < _AT_LIMIT
            )
        )

    def _bounds(self, moves: Array) -> Iterator[tuple[str, int, bool]]:
        """Yield the bounds at which moves stand: name, which freedom, whether the upper one."""
        for place, (freedom, move) in enumerate(zip(self.freedoms, moves, strict=True)):
            for is_high, bound in ((False, freedom.low), (True, freedom.high)):
                if abs(move - bound) <= _NEAR * freedom.width:
                    is_most = is_high == (freedom.sign > 0.0)
                    yield f"{freedom.name} {'max' if is_most else 'min'}", place, is_high

    def _prices(
        self,
        problem: Problem,
        found: Found,
        wants: Sequence[Reached],
        bounds: Sequence[tuple[str, int, bool]],
    ) -> Iterator[Price]:
        """Yield what each bound costs a want that gives: how far it would come for a mm more."""
        missed = {each.want.result for each in wants if not each.is_met}
        columns = self._most_missed(problem, found, missed)
        for name, place, is_high in bounds if missed else ():
            kind = self.freedoms[place].kind
            share = QUANTITIES[kind].mm_factor / self.widths[place]
            gain = price_of_bound(problem, found.model, place, is_high, min(share, 0.1))
            per_mm = gain * share / min(share, 0.1)
            for want, column in columns.items():
                condition = self.conditions.all[column]
                is_turned = condition.quantity.less_in and found.model.values[column] < 0.0
                price = float(per_mm[column] * condition.scale)
                yield Price(name, want, -price if is_turned else price, kind)

    def _most_missed(self, problem: Problem, found: Found, names: set[str]) -> dict[str, int]:
        """Return of each want the condition that is missed most, of one wheel or end."""
        missed = misses(problem, found.model.values)
        columns: dict[str, int] = {}
        for column, condition in enumerate(self.conditions.all):
            name = condition.name
            if name in names and not condition.is_wall:
                best = columns.setdefault(name, column)
                columns[name] = column if missed[column] > missed[best] else best
        return columns
