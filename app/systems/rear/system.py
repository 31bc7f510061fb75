"""The rear as a system of the car; its modules are imported late to keep start-up quick."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from numpy.typing import ArrayLike

from app.document.model import Change, Setup, Vec
from app.drawing.strokes import Drawing
from app.drawing.views import View
from app.systems.answers import Driver, Ranges, Study
from app.systems.shown import Options, Shown
from app.systems.standing import Standing
from app.systems.system import System
from geometry.catalogue.rear import REAR_RESULTS
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
    from app.systems.rear.answers import RearAnswers, RearSweep
    from app.systems.report import Report
    from app.systems.sentence import Sentence
    from app.systems.spring_order import SpringOrder
    from app.systems.targets import Target


FRONT_WHEELS: Final = ("front.wheel_centre", "front.right.wheel_centre")


class Rear(System["RearAnswers"]):
    """A live axle, on leaf springs or on five links."""

    key = "rear"
    title = "Rear"
    drivers: tuple[Driver, ...] = ("travel", "roll")
    views: Mapping[View, str] = {
        View.FRONT: "Rear axle, seen from the front",
        View.SIDE: "Rear, side view",
        View.TOP: "Rear, top view",
    }
    first = View.SIDE
    drills_each_side = False
    axes = "X forward of the front axle, Y from the middle, Z above the ground"

    @property
    def catalogue(self) -> tuple[Result, ...]:
        """Every result that a rear can have."""
        return tuple(REAR_RESULTS.values())

    @property
    def looked_up(self) -> tuple[str, ...]:
        """The front wheel centres: wheelbases side to side are to them."""
        return FRONT_WHEELS

    def ranges(self, setup: Setup) -> Ranges:
        """Return what is swept: to the stops where the setup gives them."""
        from app.systems.rear.study import rear_ranges

        return rear_ranges(setup)

    @quietly
    def solve(self, setup: Setup, ranges: Ranges | None = None, short: bool = False) -> RearAnswers:
        """Return one car's answers: the setup with the changes that are on."""
        from app.systems.rear.study import solve_rear

        ranges = ranges or self.ranges(setup)
        measured = kept_rear(self.measured_setup(setup), ranges)
        return solve_rear(setup, ranges, measured, short) if self.proposes(setup) else measured

    @quietly
    def built(
        self, setup: Setup, stand_at: Standing, ranges: Ranges | None = None, short: bool = False
    ) -> RearAnswers:
        """Return the answers of the same car on its wheels."""
        from app.systems.rear.study import built_rear

        ranges = ranges or self.ranges(setup)
        measured = kept_rear(self.measured_setup(setup), ranges)
        return built_rear(setup, measured, self.proposes(setup), stand_at, ranges, short)

    def solve_many(
        self,
        setups: Sequence[Setup],
        keys: Collection[str],
        *,
        travel: ArrayLike = 0.0,
        roll: ArrayLike = 0.0,
        steer: ArrayLike = 0.0,
    ) -> ManyAnswers:
        """Return results of many setups' cars at once."""
        from app.systems.rear.many import values_of_many

        return values_of_many(setups, keys, travel=travel, roll=roll, steer=steer)

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
        """Return results of many setups' cars at once, each on its wheels."""
        from app.systems.rear.many import values_of_built

        return values_of_built(setups, keys, stand_at, travel=travel, roll=roll, steer=steer)

    def completed(self, study: Study[RearAnswers]) -> RearAnswers:
        """Return the proposed car with what a short solve left out."""
        return study.proposed.completed(study.ranges)

    def holders(self, study: Study[RearAnswers]) -> Iterable[Holder]:
        """Return the block and the arch of leaf springs, or the coils' free length."""
        from app.systems.rear.holders import rear_holders

        return rear_holders(study)

    def missing(self, setup: Setup, car: RearAnswers) -> Mapping[str, tuple[str, ...]]:
        """Return, for each result that a car lacks for want of data, the setup keys it needs."""
        from app.systems.rear.study import missing_for

        return missing_for(setup, car)

    def places(self, study: Study[RearAnswers]) -> dict[str, Vec]:
        """Return every point's place in the proposal at rest, by setup key, both sides [mm]."""
        from app.systems.rear.places import proposed_places

        return proposed_places(study)

    def fixed_because(self, setup: Setup, key: str) -> str:
        """Say why a point can't be moved: the pinion of an axle on links."""
        from app.systems.rear.pinion import fixed_because

        return fixed_because(setup, key)

    def moved_by_value(self, setup: Setup, index: int, key: str, step: Vec) -> Setup | None:
        """Return the setup with the axle turned by a wedge, where the pinion's joint is moved."""
        from app.systems.rear.pinion import PINION, turned_axle

        return turned_axle(setup, index, step) if key == PINION else None

    def drawings(
        self,
        shown: Shown[RearAnswers, RearSweep],
        options: Options,
        views: Collection[View] = tuple(View),
    ) -> dict[View, Drawing]:
        """Return the drawings of these views."""
        from app.systems.rear.drawing.drawing import rear_drawings

        return rear_drawings(shown, options, views)

    def sentences(self, study: Study[RearAnswers], decimal: str) -> Iterable[Sentence]:
        """Say what the proposal does to the rear."""
        from app.systems.rear.words.sentences import rear_sentences

        return rear_sentences(study, decimal)

    def cautions(self, study: Study[RearAnswers], on: Sequence[Change]) -> Iterable[str]:
        """Return the cautions of changes that are on, reduced to the rear."""
        from app.systems.rear.words.cautions import rear_cautions

        return rear_cautions(study, on)

    def points(self, study: Study[RearAnswers]) -> PointFacts:
        """Return what a table of the rear's points is made of."""
        from app.systems.rear.shop.points import rear_points

        return rear_points(study)

    def job_words(self) -> JobWords:
        """Return the rear's own words for jobs."""
        from app.systems.rear.shop.jobs import RearJobs

        return RearJobs()

    def holes(self, setup: Setup) -> Iterable[Drilled]:
        """Return the points of the body that a shop drills anew where they move."""
        from app.systems.rear.shop.holes import rear_holes

        return rear_holes(setup)

    def spring_orders(self, study: Study[RearAnswers], decimal: str) -> Iterable[SpringOrder]:
        """Return what a spring maker is asked for, where the work changes the rear springs."""
        from app.systems.rear.shop.spring_order import rear_order

        return rear_order(study, decimal)

    def closing_jobs(self, study: Study[RearAnswers], decimal: str) -> Iterable[Job]:
        """Return what the traction bars' gap needs."""
        from app.systems.rear.shop.bar_gap import bar_gap_jobs

        return bar_gap_jobs(study, decimal)

    def targets(self, study: Study[RearAnswers], decimal: str) -> tuple[str, Sequence[Target]]:
        """Return what is set and read at the rear, and what that is called."""
        from app.systems.rear.shop.targets import rear_targets

        title = "Set and read at the rear" if study.has_work else "Readings at the rear"
        return title, rear_targets(study, decimal)

    def is_said_by_table(
        self, sentence: Sentence, shown: frozenset[str], past: frozenset[str]
    ) -> bool:
        """Tell whether a sentence repeats the table of outcomes."""
        key = sentence.result_key
        return key in past or (sentence.severity == "plain" and key in shown)

    def lean(self, study: Study[RearAnswers]) -> Lean | None:
        """Return how the body leans where the right springs' holes were put elsewhere."""
        from app.systems.rear.lean import rear_lean

        return rear_lean(study)

    def is_by_two_models(self, study: Study[RearAnswers], result: Result) -> bool:
        """Tell whether one car's wind-up is of bent halves and the other's by stiffness alone."""
        from app.systems.rear.two_models import is_by_two_models

        return is_by_two_models(study, result)

    def placing(
        self,
        setup: Setup,
        car: RearAnswers,
        ranges: Ranges,
        shares: tuple[Array, Array],
        proposed: bool,
    ) -> Placing:
        """Return where the rear's parts are in poses between its stops."""
        from app.systems.rear.envelopes import rear_placing

        return rear_placing(setup, car, ranges, shares, proposed)

    def report(self, study: Study[RearAnswers]) -> Report:
        """Return what a report says of the rear beside its results."""
        from app.systems.rear.report import RearReport

        return RearReport(study)


@lru_cache(maxsize=8)
def kept_rear(setup: Setup, ranges: Ranges) -> RearAnswers:
    """Solve the measured rear; kept by value."""
    from app.systems.rear.study import solve_rear

    return solve_rear(setup, ranges)


REAR: Final = Rear()
