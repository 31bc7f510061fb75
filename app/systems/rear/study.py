"""From a setup to the rear's answers: measured and proposed, on leaf springs or on links.

The studies have the shape of the front's (`rest`, `travel`, `roll`, `single` …), so that panels,
curves, sheet and command line read both alike.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache, partial

import numpy as np

from app.document.model import FrozenMap, Setup
from app.document.moves import known_points
from app.systems.answers import value_at_rest
from app.systems.front.study import FURTHEST, Driver, Pose, Ranges
from app.systems.rear.answers import RearCar, RearStudy, RearSweep, has_rear
from app.systems.rear.inputs import (
    gives_leaves,
    leaf_car,
    link_car,
    proposed_rear_values,
    rear_kind,
)
from geometry.catalogue.front import Result
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.errors import GeometryError
from geometry.leaf.rear import LeafRear, build_leaf
from geometry.leaf.single import hop_modes, single_results, torque_curve
from geometry.links.car import LinkRear, LinkReference, build_links
from geometry.numeric import quietly
from geometry.rear_limits import leaf_limit, link_limit
from geometry.vectors import Array

__all__ = ["RearCar", "RearStudy", "RearSweep", "has_rear", "rear_at_pose", "study_rear"]


@quietly
def study_rear(setup: Setup, ranges: Ranges | None = None) -> RearStudy:
    """Solve the rear as measured and as proposed.

    Raises
    ------
    GeometryError
        The points or the pack can't be built, or can't stand at the measured height.
    """
    ranges = ranges or rear_ranges(setup)
    measured = measured_rear(_evidence_only(setup), ranges)
    proposed = measured
    if _proposes(setup):
        proposed = _solve(setup, ranges, True, measured)
    results = LEAF_RESULTS if proposed.kind == "leaf axle" else LINK_RESULTS
    return RearStudy(setup, ranges, measured, proposed, results, _missing(setup, proposed, results))


@lru_cache(maxsize=8)
def measured_rear(setup: Setup, ranges: Ranges) -> RearCar:
    """Solve the measured rear; kept by value."""
    return _solve(setup, ranges, False, None)


def rear_ranges(setup: Setup) -> Ranges:
    """Return the sweeps of a rear: its stops where given."""
    values = setup.evidence
    bump, rebound = values.get("rear.travel.bump"), values.get("rear.travel.rebound")
    plain = Ranges()
    return replace(
        plain,
        travel=(
            -float(rebound) if isinstance(rebound, float) else plain.travel[0],
            float(bump) if isinstance(bump, float) else plain.travel[1],
            61,
        ),
        steer=(0.0, 0.0, 1),
    )


@quietly
def rear_at_pose(car: RearCar, pose: Pose) -> RearSweep:
    """Solve one pose: travel [mm] and roll [rad] together.

    An axle on links answers with `reached` false and NaN where it can't go; one on leaf springs
    raises.

    Raises
    ------
    ShackleOutOfReach
        A leaf spring's shackle doesn't let the axle there. In roll the error tells the travel of
        the spring that stops, which is the travel asked for less or more half the spring base times
        the sine of the roll.
    """
    return _sweep(car.leaf, car.links, "pose", np.array([pose.travel]), np.array([pose.roll]))


@quietly
def explain_rear_pose(car: RearCar, pose: Pose) -> GeometryError:
    """Say what keeps a rear from a pose that it can't take."""
    if car.links is not None:
        return link_limit(car.links.car.axle, pose.travel, pose.roll)
    assert car.leaf is not None
    return leaf_limit(car.leaf, pose.travel)


@quietly
def rear_sweep_at(car: RearCar, driver: Driver, values: Sequence[float]) -> RearSweep:
    """Solve a car at exactly these travels [mm] or rolls [rad]."""
    at = np.asarray(values, dtype=float)
    tried = np.abs(at) <= FURTHEST[driver]
    # Zero, which every car reaches, goes with them: a run may lie out of reach as a whole.
    place = np.append(np.where(tried, at, 0.0), 0.0)
    if driver == "roll":
        swept = _sweep(car.leaf, car.links, driver, np.zeros_like(place), place)
    else:
        swept = _sweep(car.leaf, car.links, driver, place, None)
    asked = _part(swept, slice(0, at.size))
    return replace(asked, at=at, reached=asked.reached & tried)


def _solve(setup: Setup, ranges: Ranges, proposed: bool, measured: RearCar | None) -> RearCar:
    values = proposed_rear_values(setup) if proposed else setup.evidence
    if rear_kind(values) == "leaf axle":
        return _leaf_answers(_leaf(setup, proposed, measured), ranges)
    return _link_answers(_links(setup, proposed, measured), ranges)


def _leaf(setup: Setup, proposed: bool, measured: RearCar | None) -> LeafRear:
    """Put leaf springs together; where others stand on the car, its own points are the measured."""
    car = leaf_car(setup, proposed)
    if not proposed:
        return build_leaf(car)
    if measured is not None and measured.leaf is not None:
        return build_leaf(car, measured.leaf.reference)
    known = leaf_car(setup, False) if gives_leaves(setup.evidence) else car
    return build_leaf(car, build_leaf(known).reference)


def _links(setup: Setup, proposed: bool, measured: RearCar | None) -> LinkRear:
    """Put links together; coils that never stood on the car are as long as the file says."""
    car = link_car(setup, proposed)
    if measured is not None and measured.links is not None:
        return build_links(car, measured.links.reference)
    if proposed and car.has_coils and car.free_given is not None:
        return build_links(car, LinkReference(car.free_given, car.free_given))
    return build_links(car)


def _leaf_answers(leaf: LeafRear, ranges: Ranges) -> RearCar:
    ask, zero = ranges.ask(), np.zeros(1)
    found = torque_curve(leaf)
    twist, by_grip = (found[0], found[2]) if found else (None, False)
    hop = hop_modes(leaf)
    both = _sweep(leaf, None, "travel", np.concatenate([ask.travel, zero]), None)
    count = ask.travel.size
    rest = _part(both, slice(count, count + 1))
    return RearCar(
        kind="leaf axle",
        leaf=leaf,
        links=None,
        rest=rest,
        travel=_part(both, slice(0, count)),
        roll=_leaned(leaf, ask.roll, rest),
        single=single_results(leaf, found, hop),
        twist=twist,
        hop=hop,
        curve=leaf.curve() if leaf.car.load is not None else None,
        by_grip=by_grip,
        at_travel=partial(_at_travel, leaf, None),
    )


def _link_answers(links: LinkRear, ranges: Ranges) -> RearCar:
    """Solve travel, rest and roll in one batch."""
    ask = ranges.ask()
    count, zero = ask.travel.size + 1, np.zeros(1)
    travel = np.concatenate([ask.travel, zero, np.zeros_like(ask.roll)])
    lean = np.concatenate([np.zeros(count), ask.roll])
    both = _sweep(None, links, "pose", travel, lean)
    level, leaned = _part(both, slice(0, count)), _part(both, slice(count, None))
    settled = links.settled(level.links)
    level = replace(level, driver="travel")
    return RearCar(
        kind="five-link axle",
        leaf=None,
        links=links,
        rest=_part(level, slice(count - 1, count)),
        travel=_part(level, slice(0, count - 1)),
        roll=replace(leaned, driver="roll", at=ask.roll),
        single={} if settled is None else {"settled_travel": settled},
        at_travel=partial(_at_travel, None, links),
    )


def _sweep(
    leaf: LeafRear | None, links: LinkRear | None, driver: str, travel: Array, roll: Array | None
) -> RearSweep:
    """Solve a run of poses; roll None is a level body."""
    level = roll is None
    lean = np.zeros_like(travel) if roll is None else roll
    at = travel if level or driver == "pose" else lean
    if links is not None:
        found = links.solve(travel, lean)
        values, reached = links.values(found)
        return RearSweep(driver, at, values, reached, found)
    assert leaf is not None
    if level or not np.any(lean):
        values, reached, poses = leaf.bounce(travel)
        return RearSweep(driver, at, values, reached, leaf=poses)
    middle, stands, _ = leaf.bounce(travel[:1])
    level_pose = RearSweep("travel", travel[:1], middle, stands)
    return replace(_leaned(leaf, lean, level_pose), driver=driver, at=at)


def _leaned(leaf: LeafRear, lean: Array, middle: RearSweep) -> RearSweep:
    """Lean the body [rad] over a level pose, whose results stay where roll changes nothing."""
    values, reached, poses = leaf.lean(lean, float(middle.at[0]))
    kept = {key: np.repeat(value, lean.size) for key, value in middle.values.items()}
    return RearSweep("roll", lean, kept | values, reached & middle.reached, leaf=poses)


@quietly
def _at_travel(leaf: LeafRear | None, links: LinkRear | None, travel: float) -> RearSweep:
    """Solve one travel [mm] of a level body; raises as `rear_at_pose` does."""
    return _sweep(leaf, links, "pose", np.array([travel]), np.zeros(1))


def _part(sweep: RearSweep, part: slice) -> RearSweep:
    values = {key: value[part] for key, value in sweep.values.items()}
    poses = None if sweep.leaf is None else sweep.leaf.part(part)
    links = None if sweep.links is None else sweep.links.part(part)
    return RearSweep(sweep.driver, sweep.at[part], values, sweep.reached[part], links, poses)


def _missing(setup: Setup, car: RearCar, results: tuple[Result, ...]) -> dict[str, tuple[str, ...]]:
    values = {**known_points(setup), **proposed_rear_values(setup)}
    lacking = {}
    for result in results:
        gone = tuple(key for key in result.needs if key not in values)
        if gone and value_at_rest(car, result) is None:
            lacking[result.key] = gone
    return lacking


def _evidence_only(setup: Setup) -> Setup:
    kept = {k: v for k, v in setup.evidence.items() if k.startswith(("rear.", "car."))}
    return Setup(title="", units=setup.units, evidence=FrozenMap(kept))


def _proposes(setup: Setup) -> bool:
    return any(
        key.startswith(("rear.", "car."))
        for change in setup.changes
        if change.on
        for key in (*change.moves, *change.sets)
    )
