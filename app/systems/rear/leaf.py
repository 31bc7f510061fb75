"""The rear on leaf springs: solved, and its answers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from app.document.model import Setup
from app.systems.answers import Pose, Ranges, Study
from app.systems.rear.answers import RearAnswers, RearSweep, stood
from app.systems.rear.dampers import damper_singles, end_lengths
from app.systems.rear.inputs import gives_leaves, leaf_car
from app.systems.standing import Standing
from geometry.catalogue.rear import LEAF_RESULTS
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.full_loads import full_load_results
from geometry.leaf.build import build_leaf, held_leaf
from geometry.leaf.car import LeafCar
from geometry.leaf.limits import leaf_limit
from geometry.leaf.rear import LeafRear
from geometry.leaf.single import hop_modes, single_results, torque_curve
from geometry.numeric import quietly
from geometry.squareness import leaning_thrust
from geometry.standing import AS_MEASURED, Stand
from geometry.vectors import Array


@dataclass(frozen=True, kw_only=True)
class LeafAnswers(RearAnswers):
    """One car's rear on leaf springs."""

    kind = "leaf axle"
    results = LEAF_RESULTS
    leaf: LeafRear

    @property
    def car(self) -> LeafCar:
        """The car that it was made from."""
        return self.leaf.car

    @property
    def track(self) -> float:
        """Distance between the wheels [mm]."""
        return self.leaf.track

    def solve_poses(self, driver: str, travel: Array, roll: Array | None) -> RearSweep:
        """Solve a run of poses; in roll a shackle that doesn't let the axle there raises."""
        return _poses(self.leaf, driver, travel, roll)

    def completed(self, ranges: Ranges) -> RearAnswers:
        """Return the same car with what a short solve left out."""
        return answers_of(self.leaf, ranges, stand=self.stand)

    @quietly
    def reason(self, pose: Pose) -> GeometryError:
        """Say what keeps the axle from a pose that it can't take."""
        return leaf_limit(self.leaf, pose.travel + self.stand.travel)


def solve_leaf(
    setup: Setup, proposed: bool, measured: RearAnswers | None, ranges: Ranges, short: bool
) -> LeafAnswers:
    """Solve a rear on leaf springs, as measured or with the changes that are on."""
    return answers_of(_built(setup, proposed, measured), ranges, short)


def stood_leaf(
    setup: Setup, measured: RearAnswers, proposes: bool, stand_at: Standing
) -> tuple[LeafRear, Stand]:
    """Return the proposed leaf springs where they stand, and where that is."""
    leaf = _built(setup, proposes, measured if proposes else None)
    stand = stand_at(leaf.settled_travel)
    return leaf_at(leaf, stand), stand


def leaf_at(leaf: LeafRear, stand: Stand) -> LeafRear:
    """Return leaf springs of a car that stands there, made to hold it there if they must."""
    if stand.is_held:
        leaf = held_leaf(leaf, stand.travel)
    if stand.drop and leaf.car.cg_height is not None:
        leaf = replace(leaf, car=replace(leaf.car, cg_height=leaf.car.cg_height - stand.drop))
    return leaf


def answers_of(
    leaf: LeafRear, ranges: Ranges, short: bool = False, stand: Stand = AS_MEASURED
) -> LeafAnswers:
    """Sweep a rear that is bolted up; a short solve leaves out what is `LATE`."""
    travel, others = np.linspace(*ranges.travel), np.array([stand.travel, leaf.car.bump])
    torque = None if short else torque_curve(leaf)
    hop = None if short else hop_modes(leaf)
    level = _poses(leaf, "travel", np.concatenate([travel, others]), None)
    at_rest = level.part(slice(travel.size, travel.size + 1))
    at_bump = level.part(slice(travel.size + 1, None))
    leaned = None
    if not short:
        leaned = stood(_leaned(leaf, np.linspace(*ranges.roll), at_rest), leaf.car, stand)
    swept = stood(level.part(slice(0, travel.size)), leaf.car, stand)
    return LeafAnswers(
        leaf=leaf,
        rest=stood(at_rest, leaf.car, stand),
        travel=swept,
        roll=leaned,
        single=single_results(
            leaf, torque, hop, stand.pitch, short, at_bump.leaf if at_bump.reached[0] else None
        )
        | ({} if short else full_load_results(leaf.car))
        | damper_singles(end_lengths(leaf.car), swept, leaned),
        torque=torque,
        hop=hop,
        stand=stand,
    )


def _built(setup: Setup, proposed: bool, measured: RearAnswers | None) -> LeafRear:
    """Put leaf springs together.

    Where the measured car stands on something else, the points given for leaf springs are taken
    for measured ones: their parts are made from them.
    """
    car = leaf_car(setup, proposed)
    if not proposed:
        return build_leaf(car)
    if measured is not None and measured.leaf is not None:
        return build_leaf(car, measured.leaf.reference)
    measured_car = leaf_car(setup, False) if gives_leaves(setup.evidence) else car
    return build_leaf(car, build_leaf(measured_car).reference)


def _poses(leaf: LeafRear, driver: str, travel: Array, roll: Array | None) -> RearSweep:
    lean = np.zeros_like(travel) if roll is None else roll
    at = travel if roll is None or driver == "pose" else lean
    if roll is None or not np.any(lean):
        values, reached, poses = leaf.bounce(travel)
        return RearSweep(driver, at, values, reached, leaf=poses)
    middle, stands, _ = leaf.bounce(travel[:1])
    level = RearSweep("travel", travel[:1], middle, stands)
    return replace(_leaned(leaf, lean, level), driver=driver, at=at)


def _leaned(leaf: LeafRear, lean: Array, middle: RearSweep) -> RearSweep:
    """Lean the body [rad] over a level pose, whose results stay where roll changes nothing."""
    values, reached, poses = leaf.lean(lean, float(middle.at[0]))
    repeated = {key: np.repeat(value, lean.size, axis=-1) for key, value in middle.values.items()}
    values |= leaning_thrust(middle.values, values["axle_steer"], leaf.track)
    return RearSweep("roll", lean, repeated | values, reached & middle.reached, leaf=poses)


def fitted_leaf(study: Study[Any] | None) -> LeafRear | None:
    """Return the proposed leaf springs of a study, None where it has none."""
    car = study.proposed if study is not None else None
    return car.leaf if isinstance(car, LeafAnswers) else None
