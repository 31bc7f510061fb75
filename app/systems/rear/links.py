"""The rear on five links: solved, and its answers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from app.document.model import Setup
from app.systems.answers import Pose, Ranges
from app.systems.rear.answers import RearAnswers, RearSweep, stood
from app.systems.rear.dampers import damper_singles, end_lengths
from app.systems.rear.inputs import link_car
from app.systems.standing import Standing
from geometry.catalogue.rear import LINK_RESULTS
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.full_loads import full_load_results
from geometry.links.car import LinkCar, LinkRear, LinkReference, build_links, held_links
from geometry.links.hop import link_hop
from geometry.links.limits import link_limit
from geometry.links.poses import AxlePoses, joined, pose_beside, solve_poses
from geometry.links.results import link_axle_results
from geometry.modes.hop import hop_results
from geometry.numeric import quietly
from geometry.standing import AS_MEASURED, Stand
from geometry.vectors import Array


@dataclass(frozen=True, kw_only=True)
class LinkAnswers(RearAnswers):
    """One car's rear on five links."""

    kind = "five-link axle"
    results = LINK_RESULTS
    links: LinkRear

    @property
    def car(self) -> LinkCar:
        """The car that it was made from."""
        return self.links.car

    @property
    def track(self) -> float:
        """Distance between the wheels [mm]."""
        return self.links.axle.track

    def solve_poses(self, driver: str, travel: Array, roll: Array | None) -> RearSweep:
        """Solve a run of poses; where one can't be had, `reached` is false and values are NaN."""
        return _poses(self.links, driver, travel, roll)

    def completed(self, ranges: Ranges) -> RearAnswers:
        """Return the same car with what a short solve left out."""
        return answers_of(self.links, ranges, stand=self.stand)

    @quietly
    def reason(self, pose: Pose) -> GeometryError:
        """Say what keeps the axle from a pose that it can't take."""
        return link_limit(self.links.car.axle, pose.travel + self.stand.travel, pose.roll)


def solve_links(
    setup: Setup, proposed: bool, measured: RearAnswers | None, ranges: Ranges, short: bool
) -> LinkAnswers:
    """Solve a rear on links, as measured or with the changes that are on."""
    return answers_of(_built(setup, proposed, measured), ranges, short)


def stood_links(
    setup: Setup,
    measured: RearAnswers,
    proposes: bool,
    stand_at: Standing,
    ranges: Ranges,
    short: bool,
) -> LinkAnswers:
    """Solve the proposed links where they stand; the poses that tell where serve twice."""
    links = _built(setup, proposes, measured if proposes else None)
    travel = np.linspace(*ranges.travel)
    level = solve_poses(links.axle, travel, 0.0)
    settled = links.settled_on(level)
    stand = stand_at(settled)
    if stand.drop and links.car.cg_height is not None:
        links = replace(links, car=replace(links.car, cg_height=links.car.cg_height - stand.drop))
    if stand.is_held:  # other coils carry it: what they do is worked out anew
        return answers_of(held_links(links, stand.travel), ranges, short, stand)
    return answers_of(links, ranges, short, stand, _Level(level, settled))


@dataclass(frozen=True)
class _Level:
    """Poses over the swept travel, and the travel at which the springs carry the load [mm]."""

    poses: AxlePoses
    settled: float | None


def answers_of(
    links: LinkRear,
    ranges: Ranges,
    short: bool = False,
    stand: Stand = AS_MEASURED,
    level: _Level | None = None,
) -> LinkAnswers:
    """Solve rest, roll unless it is a short solve, and travel unless its poses are at hand."""
    travel, lean = np.linspace(*ranges.travel), np.linspace(*ranges.roll)
    swept_poses = solve_poses(links.axle, travel, 0.0) if level is None else level.poses
    poses = [swept_poses, pose_beside(swept_poses, stand.travel)]
    if not short:
        poses.append(solve_poses(links.axle, stand.travel, lean))
    results = link_axle_results(joined(poses))
    every = stood(
        RearSweep("pose", results.poses.travel, *links.values(results), results), links.car, stand
    )
    count = travel.size
    swept = replace(every.part(slice(0, count)), driver="travel")
    rest = replace(every.part(slice(count, count + 1)), driver="travel")
    rolled = None
    if not short:
        rolled = replace(every.part(slice(count + 1, None)), driver="roll", at=lean)
    settled: float | None = stand.travel
    if level is not None:
        settled = level.settled
    elif not stand.is_held:
        settled = links.settled(results.part(slice(0, count)).carried)
    single = {} if settled is None else {"settled_travel": settled}
    single |= {} if short else full_load_results(links.car)
    hop = None if short or rest.links is None else link_hop(links.car, rest.links)
    single |= {} if hop is None else hop_results(hop)
    return LinkAnswers(
        links=links,
        rest=rest,
        travel=swept,
        roll=rolled,
        single=single | damper_singles(end_lengths(links.car), swept, rolled),
        hop=hop,
        stand=stand,
    )


def _built(setup: Setup, proposed: bool, measured: RearAnswers | None) -> LinkRear:
    """Put links together; coils that never stood on the car are as long as the file says."""
    car = link_car(setup, proposed)
    if measured is not None and measured.links is not None:
        return build_links(car, measured.links.reference)
    if proposed and car.has_coils and car.free_given is not None:
        return build_links(car, LinkReference(car.free_given, car.free_given))
    return build_links(car)


def _poses(links: LinkRear, driver: str, travel: Array, roll: Array | None) -> RearSweep:
    lean = np.zeros_like(travel) if roll is None else roll
    at = travel if roll is None or driver == "pose" else lean
    poses = links.solve(travel, lean)
    values, reached = links.values(poses)
    return RearSweep(driver, at, values, reached, poses)
