"""What a search found: answers, what each comes to, what stops it and what more would bring."""

from __future__ import annotations

from typing import Any, Literal

from app.document.ends import end_of
from app.document.model import Setup
from app.document.plans import Want
from app.judge.freedoms import Freedom
from app.systems.answers import Study
from app.systems.clearance.clearances import ClearanceCheck, clearances
from app.systems.limits import LimitCheck
from geometry.dataclass import dataclass


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

    That unit is the one of files in mm, by the `kind` of what has the bound: room, or a limit.
    """

    bound: str
    want: str
    per_mm: float
    kind: str


@dataclass(frozen=True)
class HeldBack:
    """A limit or a clearance that an answer is at, by its name: "front.upper_ball_swing".

    `size` is that of the least move without it, None where a want gives instead.
    """

    name: str
    size: float | None = None


@dataclass(frozen=True)
class Stop:
    """What keeps wants from being met where no bound and no limit does, and whose results.

    Steps, wants that pull against each other, one that turns back, or one that nothing moves.
    """

    by: Literal["", "steps", "wants", "turn", "nothing moves it"] = ""
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answer:
    """One change that was found: the setup with it on top, and what it comes to.

    `moves` are the further moves by freedom, `size` the sum of the squares of all moves in shares
    of their room; `exact_size` is that before the moves were made in steps. `is_enough` marks a
    much smaller move that misses each want by no more than what counts as met beyond the best one.
    """

    setup: Setup
    studies: tuple[Study[Any], ...]
    freedoms: tuple[Freedom, ...]
    moves: tuple[float, ...]
    size: float
    wants: tuple[Reached, ...]
    at_bound: tuple[str, ...]
    held_back: tuple[HeldBack, ...]
    prices: tuple[Price, ...]
    broken: tuple[LimitCheck, ...]
    exact_size: float = 0.0
    stop: Stop = Stop()
    is_enough: bool = False

    @property
    def at_limit(self) -> tuple[str, ...]:
        """The names of the limits and clearances that hold the answer back."""
        return tuple(each.name for each in self.held_back)

    @property
    def is_met(self) -> bool:
        """Tell whether all wants are met, and all limits kept that the search could keep.

        A limit of an end where nothing moves, or a clearance there, spoils an answer only where the
        car as found keeps it; so does a clearance that the car as found doesn't keep.
        """
        moved_ends = {end_of(key) for each in self.freedoms for key in (each.key, *each.followers)}
        still = [study for study in self.studies if study.system.key not in moved_ends]
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
        """The clearances that the answer doesn't keep."""
        checks = (check for study in self.studies for check in clearances(study))
        return tuple(check for check in checks if check.held is False)


@dataclass(frozen=True)
class Search:
    """All that a search brought: the best answer, others beside it, wants that ask for the same."""

    answer: Answer
    others: tuple[Answer, ...]
    same: tuple[tuple[str, str], ...]
    batches: int
