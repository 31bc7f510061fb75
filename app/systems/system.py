"""The protocol of a system of the car: the questions that each of them answers."""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Protocol

from numpy.typing import ArrayLike

from app.document.ends import ALIGNED_END, is_in, key_in
from app.document.model import Change, FrozenMap, Setup, Value, Vec
from app.document.moves import touches
from app.drawing.strokes import Drawing
from app.drawing.views import View
from app.systems.answers import Car, Driver, Ranges, Study
from app.systems.shown import Options, Shown
from app.systems.standing import Standing, standing
from geometry.catalogue.result import Result
from geometry.numeric import quietly
from geometry.vectors import Array

if TYPE_CHECKING:
    from app.systems.clearance.placing import Placing
    from app.systems.holding import Holder
    from app.systems.holes import Drilled
    from app.systems.jobs import Job, JobWords
    from app.systems.lean import Lean
    from app.systems.many import ManyAnswers, ManyStanding
    from app.systems.points import PointFacts
    from app.systems.report import Report
    from app.systems.sentence import Sentence
    from app.systems.spring_order import SpringOrder
    from app.systems.targets import Target


class System(Protocol[Car]):
    """One system of the car; the systems themselves are `FRONT`, `REAR` and whatever follows.

    `key` begins the setup keys of its points and values, `title` is its name in a sentence's
    beginning. `drivers` are what it can be swept over, `views` the titles of its drawings, `first`
    the view that stands first on the board, None where all three stand in drawing arrangement.
    `axes` says what X, Y and Z are in a table of its points; `drills_each_side` whether the holes
    of a side are drilled by themselves, rather than those of both sides as one.
    """

    key: str
    title: str
    drivers: tuple[Driver, ...]
    views: Mapping[View, str]
    first: View | None
    axes: str
    drills_each_side: bool

    @property
    @abstractmethod
    def catalogue(self) -> tuple[Result, ...]:
        """Every result that a car can have of this system, whatever is fitted."""

    @property
    def is_aligned(self) -> bool:
        """Whether its wheels are set by a gauge's reading, in an alignment."""
        return self.key == ALIGNED_END

    def gives(self, setup: Setup) -> bool:
        """Tell whether a setup gives this system."""
        return key_in(self.key, "kind") in setup.evidence

    @property
    def reads(self) -> tuple[str, ...]:
        """How the setup keys begin that this system reads."""
        return (f"{self.key}.", "car.")

    @property
    def looked_up(self) -> tuple[str, ...]:
        """How the other systems' keys begin that its measured car reads as well."""
        return ()

    def concerns(self, key: str) -> bool:
        """Tell whether a setup key is read by this system."""
        return key.startswith(self.reads)

    def is_own(self, key: str) -> bool:
        """Tell whether a setup key is of this system alone."""
        return is_in(self.key, key)

    @abstractmethod
    def ranges(self, setup: Setup) -> Ranges:
        """Return what is swept: to the stops where the setup gives them."""

    @abstractmethod
    def solve(self, setup: Setup, ranges: Ranges | None = None, short: bool = False) -> Car:
        """Return one car's answers at its measured height: the setup with the changes that are on.

        A setup without changes that concern the system gives the measured car, which is kept by
        value. A short solve leaves out what only curves and pages need.

        Raises
        ------
        GeometryError
            The points can't be a car, or it can't stand at its measured height.
        """

    @abstractmethod
    def built(
        self, setup: Setup, stand_at: Standing, ranges: Ranges | None = None, short: bool = False
    ) -> Car:
        """Return the answers of the same car on its wheels, aligned where it stands.

        `stand_at` tells where that is by the travel at which the springs carry the load.

        Raises
        ------
        GeometryError
            The points can't be a car, or it can't stand there.
        """

    @abstractmethod
    def solve_many(
        self,
        setups: Sequence[Setup],
        keys: Collection[str],
        *,
        travel: ArrayLike = 0.0,
        roll: ArrayLike = 0.0,
        steer: ArrayLike = 0.0,
    ) -> ManyAnswers:
        """Return results of the cars of m setups, with the changes that are on, in one batch.

        The setups differ in numbers alone. Travel and steer [mm] and roll [rad] are (n,); travel
        and roll may be (m, n), each car's own. A car that can't be built is NaN.

        Raises
        ------
        ValueError
            The setups differ in more than numbers.
        GeometryError
            None of the cars can be built.
        """

    @abstractmethod
    def built_many(
        self,
        setups: Sequence[Setup],
        keys: Collection[str],
        stand_at: ManyStanding,
        *,
        travel: ArrayLike = 0.0,
        roll: ArrayLike = 0.0,
        steer: ArrayLike = 0.0,
    ) -> ManyAnswers:
        """Return results of the same cars on their wheels, each aligned where it stands.

        Travel counts from there; `stand_at` tells where that is by the travels at which the
        springs carry the load. The rest is as in `solve_many`.
        """

    @abstractmethod
    def completed(self, study: Study[Any]) -> Car:
        """Return the proposed car with what a short solve left out."""

    @abstractmethod
    def holders(self, study: Study[Any]) -> Iterable[Holder]:
        """Return the values that can be changed to hold the proposal's height, cheapest first."""

    @abstractmethod
    def missing(self, setup: Setup, car: Any) -> Mapping[str, tuple[str, ...]]:
        """Return, for each result that a car lacks for want of data, the setup keys it needs."""

    @quietly
    def study(self, setup: Setup, ranges: Ranges | None = None, short: bool = False) -> Study[Car]:
        """Solve the car as found and as built, each on its wheels.

        Raises
        ------
        GeometryError
            One of them can't be built, or can't stand where it should.
        """
        ranges = ranges or self.ranges(setup)
        measured = self.solve(setup.having(changes=()), ranges)
        proposed = self.built(setup, standing(self, setup), ranges, short)
        return Study(self, setup, ranges, measured, proposed, self.missing(setup, proposed))

    @quietly
    def whole(self, study: Study[Any]) -> Study[Car]:
        """Return a study with everything that a short one left out."""
        if not study.short:
            return study
        return replace(study, proposed=self.completed(study))

    def proposes(self, setup: Setup) -> bool:
        """Tell whether a change that is on concerns this system."""
        return touches(setup, self.reads)

    def measured_setup(self, setup: Setup) -> Setup:
        """Remove what this system as measured doesn't depend on, so that its car can be cached."""
        return _read_by((*self.reads, *self.looked_up), setup.evidence)

    def unreal(self, study: Study[Any], decimal: str) -> str:
        """Return why the proposal's figures are of no real part; empty where they are of one."""
        return ""

    def is_by_two_models(self, study: Study[Any], result: Result) -> bool:
        """Tell whether the cars' figures of a result come of two models: not to be compared."""
        return False

    def lean(self, study: Study[Any]) -> Lean | None:
        """Return how the body leans on this end's springs, None where it stands level."""
        return None

    @abstractmethod
    def places(self, study: Study[Any]) -> dict[str, Vec]:
        """Return every point's place in the proposal at rest, by setup key, both sides [mm]."""

    def fixed_because(self, setup: Setup, key: str) -> str:
        """Say why the hand can't move a point of the proposal; empty where it can."""
        return ""

    def moved_by_value(self, setup: Setup, index: int, key: str, step: Vec) -> Setup | None:
        """Return the setup whose change moves a point [mm] by a value; None for a plain move.

        Raises
        ------
        EditError
            The value can't do it, with the reason in the user's words.
        """
        return None

    @abstractmethod
    def drawings(
        self, shown: Shown[Any, Any], options: Options, views: Collection[View] = tuple(View)
    ) -> dict[View, Drawing]:
        """Return the drawings of these views."""

    @abstractmethod
    def sentences(self, study: Study[Any], decimal: str) -> Iterable[Sentence]:
        """Say what the proposal does to this system."""

    @abstractmethod
    def cautions(self, study: Study[Any], on: Sequence[Change]) -> Iterable[str]:
        """Return the cautions of changes that are on, reduced to what they do to this system."""

    @abstractmethod
    def points(self, study: Study[Any]) -> PointFacts:
        """Return what a table of this system's points is made of."""

    @abstractmethod
    def job_words(self) -> JobWords:
        """Return this system's own words for jobs."""

    @abstractmethod
    def holes(self, setup: Setup) -> Iterable[Drilled]:
        """Return the points of the body that a shop drills anew where they move."""

    @abstractmethod
    def spring_orders(self, study: Study[Any], decimal: str) -> Iterable[SpringOrder]:
        """Return what a spring maker is asked for, where the work changes this system's springs."""

    @abstractmethod
    def closing_jobs(self, study: Study[Any], decimal: str) -> Iterable[Job]:
        """Return the jobs that must follow all other work on this system."""

    @abstractmethod
    def targets(self, study: Study[Any], decimal: str) -> tuple[str, Sequence[Target]]:
        """Return what is set and read on the finished car, and what that table is called."""

    @abstractmethod
    def is_said_by_table(
        self, sentence: Sentence, shown: frozenset[str], past: frozenset[str]
    ) -> bool:
        """Tell whether a sentence repeats the table of outcomes, or that of targets.

        `shown` are the results in the table, `past` those of them that are past their limit.
        """

    @abstractmethod
    def placing(
        self,
        setup: Setup,
        car: Any,
        ranges: Ranges,
        shares: tuple[Array, Array],
        proposed: bool,
    ) -> Placing:
        """Return where one car's parts are in poses between its stops, each at both drivers' share.

        They are the travel and steer of a front, the left and the right wheel's travel of a rear.
        """

    @abstractmethod
    def report(self, study: Study[Any]) -> Report:
        """Return what a report says of a study beside its results."""


@lru_cache(maxsize=16)
def _read_by(starts: tuple[str, ...], evidence: FrozenMap[Value]) -> Setup:
    read = {key: value for key, value in evidence.items() if key.startswith(starts)}
    return Setup(title="", evidence=FrozenMap(read))
