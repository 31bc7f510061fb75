"""The front as a system of the car; drawings and words are imported late to start quickly."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from numpy.typing import ArrayLike

from app.document.model import Change, Setup, Vec
from app.drawing.strokes import Drawing
from app.drawing.views import View
from app.systems.answers import Driver, Ranges, Study
from app.systems.front.study import (
    FrontAnswers,
    answers_of,
    built_front,
    front_ranges,
    measured_front,
    missing_for,
    proposed_front,
)
from app.systems.shown import Options, Shown
from app.systems.standing import Standing
from app.systems.system import System
from geometry.catalogue.front import RESULTS
from geometry.catalogue.result import Result
from geometry.front.sweeps import Sweep
from geometry.numeric import quietly
from geometry.vectors import Array

if TYPE_CHECKING:
    from app.systems.clearance.placing import Placing
    from app.systems.holding import Holder
    from app.systems.holes import Drilled
    from app.systems.jobs import Job, JobWords
    from app.systems.many import ManyAnswers, ManyStanding
    from app.systems.points import PointFacts
    from app.systems.report import Report
    from app.systems.sentence import Sentence
    from app.systems.spring_order import SpringOrder
    from app.systems.targets import Target


class Front(System[FrontAnswers]):
    """Two double-wishbone corners with their steering."""

    key = "front"
    title = "Front"
    drivers: tuple[Driver, ...] = ("travel", "roll", "steer")
    views: Mapping[View, str] = {view: view.title for view in View}
    first = None
    drills_each_side = True
    axes = "X forward of the axle, Y from the middle of the car, Z above the ground"

    @property
    def catalogue(self) -> tuple[Result, ...]:
        """Every result of the front."""
        return RESULTS

    def ranges(self, setup: Setup) -> Ranges:
        """Return what is swept: to the stops and the rack's travel where the setup gives them."""
        return front_ranges(setup)

    @quietly
    def solve(
        self, setup: Setup, ranges: Ranges | None = None, short: bool = False
    ) -> FrontAnswers:
        """Return one car's answers: the setup with the changes that are on."""
        ranges = ranges or front_ranges(setup)
        measured = kept_front(self.measured_setup(setup), ranges)
        if not self.proposes(setup):
            return measured
        return proposed_front(setup, measured, ranges, short)

    @quietly
    def built(
        self, setup: Setup, stand_at: Standing, ranges: Ranges | None = None, short: bool = False
    ) -> FrontAnswers:
        """Return the answers of the same car on its wheels, aligned where it stands."""
        ranges = ranges or front_ranges(setup)
        measured = kept_front(self.measured_setup(setup), ranges)
        return built_front(setup, measured, self.proposes(setup), stand_at, ranges, short)

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
        from app.systems.front.many import values_of_many

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
        from app.systems.front.many import values_of_built

        return values_of_built(setups, keys, stand_at, travel=travel, roll=roll, steer=steer)

    def completed(self, study: Study[FrontAnswers]) -> FrontAnswers:
        """Return the proposed car with its roll and steer sweeps."""
        car = study.proposed
        return answers_of(car.front, study.setup, study.ranges, stand=car.stand)

    def holders(self, study: Study[FrontAnswers]) -> Iterable[Holder]:
        """Return a coil's free length, or a torsion bar's preload."""
        from app.systems.front.holders import front_holders

        return front_holders(study)

    def missing(self, setup: Setup, car: FrontAnswers) -> Mapping[str, tuple[str, ...]]:
        """Return, for each result that lacks data, the setup keys it needs."""
        return missing_for(setup)

    def unreal(self, study: Study[FrontAnswers], decimal: str) -> str:
        """Say which one-piece arm is stretched further than any arm gives."""
        from app.systems.front.stretch import unreal_words

        return unreal_words(study, decimal)

    def places(self, study: Study[FrontAnswers]) -> dict[str, Vec]:
        """Return every point's place in the proposal at rest, by setup key, both sides [mm]."""
        from app.systems.front.places import proposed_places

        return proposed_places(study)

    def drawings(
        self,
        shown: Shown[FrontAnswers, Sweep],
        options: Options,
        views: Collection[View] = tuple(View),
    ) -> dict[View, Drawing]:
        """Return the drawings of these views."""
        from app.systems.front.drawing.drawing import front_drawings

        return front_drawings(shown, options, views)

    def sentences(self, study: Study[FrontAnswers], decimal: str) -> Iterable[Sentence]:
        """Say what the proposal does to the front."""
        from app.systems.front.words.sentences import front_sentences

        return front_sentences(study, decimal)

    def cautions(self, study: Study[FrontAnswers], on: Sequence[Change]) -> Iterable[str]:
        """Return the cautions of changes that are on, reduced to the front."""
        from app.systems.front.words.cautions import front_cautions

        return front_cautions(study.setup, on)

    def points(self, study: Study[FrontAnswers]) -> PointFacts:
        """Return what a table of the front's points is made of."""
        from app.systems.front.shop.points import front_points

        return front_points(study)

    def job_words(self) -> JobWords:
        """Return the front's own words for jobs."""
        from app.systems.front.shop.jobs import FrontJobs

        return FrontJobs()

    def holes(self, setup: Setup) -> Iterable[Drilled]:
        """Return the points of the body that a shop drills anew where they move."""
        from app.systems.front.shop.holes import front_holes

        return front_holes(setup)

    def spring_orders(self, study: Study[FrontAnswers], decimal: str) -> Iterable[SpringOrder]:
        """Return what a spring maker is asked for, where the work changes the front springs."""
        from app.systems.front.shop.spring_order import front_order

        return front_order(study, decimal)

    def closing_jobs(self, study: Study[FrontAnswers], decimal: str) -> Iterable[Job]:
        """Return what the tie rods need."""
        from app.systems.front.shop.tie_rods import tie_rod_jobs

        return tie_rod_jobs(study, decimal)

    def targets(self, study: Study[FrontAnswers], decimal: str) -> tuple[str, Sequence[Target]]:
        """Return what the wheels are set to, and what that is called."""
        from app.systems.front.shop.targets import targets

        title = "Set the alignment to" if study.has_work else "Alignment"
        return title, targets(study, decimal)

    def is_said_by_table(
        self, sentence: Sentence, shown: frozenset[str], past: frozenset[str]
    ) -> bool:
        """Tell whether a sentence repeats the table of outcomes, or the alignment's."""
        key, angles = sentence.result_key, {"camber", "caster"} if shown else set()
        return key in shown | angles or (sentence.severity == "plain" and key == "toe")

    def placing(
        self,
        setup: Setup,
        car: FrontAnswers,
        ranges: Ranges,
        shares: tuple[Array, Array],
        proposed: bool,
    ) -> Placing:
        """Return where the front's parts are in poses between its stops."""
        from app.systems.front.envelopes import front_placing

        return front_placing(setup, car, ranges, shares, proposed)

    def report(self, study: Study[FrontAnswers]) -> Report:
        """Return what a report says of the front beside its results."""
        from app.systems.front.report import FrontReport

        return FrontReport(study)


@lru_cache(maxsize=8)
def kept_front(setup: Setup, ranges: Ranges) -> FrontAnswers:
    """Solve the measured car; kept by value, since nothing done later may change it."""
    return measured_front(setup, ranges)


FRONT: Final = Front()
