"""From a setup to the front's answers: one car, with its sweeps and what it lacks.

The measured car is solved once and kept; a drag solves only the proposal.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import inf
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from app.document.model import FrozenMap, Setup, Value, frozen
from app.document.moves import Numbers, last_sets, proposed_settings, toe_is_reset
from app.systems.answers import FURTHEST, Driver, Pose, Ranges, Stance
from app.systems.front.inputs import measured_car, proposed_car
from app.systems.standing import Standing
from geometry.catalogue.front import RESULTS
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.front.axle import Front, build_front
from geometry.front.limits import explain_pose
from geometry.front.settling import settles
from geometry.front.singles import travels_at_length, worst_of
from geometry.front.standing import held, stood
from geometry.front.sweeps import (
    Ask,
    FrontStudy,
    Sweep,
    pose_front,
    standing_sweep,
    study_front,
)
from geometry.numeric import quietly
from geometry.standing import AS_MEASURED, Stand

FROM_STEER: Final = frozenset(
    {"caster_turn_plates", "toe_out_on_turns", "ackermann", "ackermann_track"}
)
"""Results that need the steer sweep."""
STOPS: Final = (
    ("damper_bump_travel", "front.damper.closed_length"),
    ("damper_droop_travel", "front.damper.open_length"),
)


@dataclass(frozen=True)
class FrontAnswers(FrontStudy):
    """One car's front and its answers."""

    @property
    def kind(self) -> str:
        """What is fitted."""
        return "double wishbone"

    @property
    def results(self) -> tuple[Result, ...]:
        """The results that a front has."""
        return RESULTS

    @property
    def stance(self) -> Stance | None:
        """How it stands in a corner, None where the springs aren't known."""
        values = self.rest.values
        if "wheel_rate" not in values:
            return None
        return Stance(
            float(values["roll_centre_height"][0]),
            float(values["wheel_rate"].mean()),
            float(values["half_track"].sum()),
        )

    @property
    def short(self) -> bool:
        """Tell whether roll and steer sweeps are left out."""
        return self.roll is None

    @property
    def late(self) -> frozenset[str]:
        """The results that a short solve leaves out."""
        return FROM_STEER if self.short else frozenset()

    def at_pose(self, pose: Pose) -> Sweep:
        """Solve one pose.

        Raises
        ------
        Unreachable
            The linkage can't go there.
        """
        level = pose.roll == 0.0 and pose.steer == 0.0
        in_body = replace(pose, travel=pose.travel + self.stand.travel)
        if level:
            sweep = self.at_travel(pose.travel)
        else:
            sweep = self._standing(at_pose(self.front, in_body))
        if not sweep.reached[0]:
            raise explain_pose(self.front, in_body.travel, pose.roll, pose.steer)
        return sweep

    def sweep_at(self, driver: Driver, values: Sequence[float], steer: float = 0.0) -> Sweep:
        """Solve exactly these travels or steers [mm] or rolls [rad], the rack held at `steer`."""
        height = self.stand.travel
        at = np.asarray(values, dtype=float) + (height if driver == "travel" else 0.0)
        return self._standing(sweep_at(self.front, driver, at, steer, height))

    def _standing(self, sweep: Sweep) -> Sweep:
        return standing_sweep(self.front, sweep, self.stand)


def measured_front(setup: Setup, ranges: Ranges) -> FrontAnswers:
    """Solve the measured car."""
    car = study_front(build_front(measured_car(setup)), ask(ranges))
    return _with_stops(car, setup.evidence)


def proposed_front(
    setup: Setup, measured: FrontAnswers, ranges: Ranges, short: bool
) -> FrontAnswers:
    """Solve the car with the changes that are on; a short solve leaves out roll and steer."""
    front = build_front(proposed_car(setup), measured.front.reference)
    return answers_of(front, setup, ranges, short)


def built_front(
    setup: Setup,
    measured: FrontAnswers,
    proposes: bool,
    stand_at: Standing,
    ranges: Ranges,
    short: bool,
) -> FrontAnswers:
    """Solve the proposal on its wheels, aligned there; a short solve leaves out roll and steer."""
    front = measured.front
    if proposes:
        front = build_front(proposed_car(setup), front.reference)
    else:  # a measured car isn't aligned anew until it is held elsewhere
        front = replace(front, car=replace(front.car, reset_toe=toe_is_reset(setup)))
    stand = stand_at(settles(front, ask(ranges).travel))
    if stand.is_as_measured:
        return answers_of(front, setup, ranges, short) if proposes else measured
    aligned = stood(front, stand)  # which shifts the height by some microns: nobody sees that
    if stand.is_held:
        aligned = held(aligned, at_pose(aligned, Pose(travel=stand.travel)).poses)
    return answers_of(aligned, setup, ranges, short, stand)


def answers_of(
    front: Front,
    setup: Setup,
    ranges: Ranges,
    short: bool = False,
    stand: Stand = AS_MEASURED,
) -> FrontAnswers:
    """Sweep a front that is bolted up."""
    return _with_stops(study_front(front, ask(ranges), short, stand), proposed_values(setup))


def proposed_values(setup: Setup) -> dict[str, Value]:
    """Return the setup's values with those that changes set."""
    return {**setup.evidence, **last_sets(setup)}


@quietly
def at_pose(front: Front, pose: Pose) -> Sweep:
    """Solve one pose of a car.

    It never raises: whatever the travel, the roll and the steer, `reached` is false where the
    linkage can't go, and the numbers mean nothing there.
    """
    return pose_front(front, np.array([pose.travel]), np.array([pose.roll]), np.array([pose.steer]))


@quietly
def sweep_at(
    front: Front,
    driver: Driver,
    values: ArrayLike,
    steer: float = 0.0,
    height: float = 0.0,
) -> Sweep:
    """Solve a car at exactly these travels or steers [mm] or rolls [rad].

    `steer` holds the rack there meanwhile [mm]; in roll and steer the mean travel is `height` [mm].
    """
    at = np.asarray(values, dtype=float)
    tried = np.abs(at) <= FURTHEST[driver]
    held = driver != "steer" and abs(steer) > FURTHEST["steer"]
    place = np.where(tried, at, 0.0)
    zero = np.zeros_like(place)
    rack = place if driver == "steer" else zero if held else zero + steer
    sweep = pose_front(
        front,
        place if driver == "travel" else zero + height,
        place if driver == "roll" else zero,
        rack,
    )
    return replace(sweep, driver=driver, at=at, reached=sweep.reached & tried & (not held))


def front_ranges(setup: Setup) -> Ranges:
    """Return the sweeps of a setup: its stops and rack travel where given."""
    plain = Ranges()
    number = Numbers(proposed_settings(setup))
    bump, rebound = number.get("front.travel.bump"), number.get("front.travel.rebound")
    steer = number.get("front.steering.travel")
    return replace(
        plain,
        travel=(-rebound if rebound else plain.travel[0], bump or plain.travel[1], 61),
        steer=(-steer, steer, 41) if steer else plain.steer,
        window=number.get("front.bump_steer_travel") or plain.window,
        stops=(-(rebound or inf), bump or inf),
        locks=(
            number.get("front.turn_plates.out") or plain.locks[0],
            number.get("front.turn_plates.in") or plain.locks[1],
        ),
    )


def missing_for(setup: Setup) -> Mapping[str, tuple[str, ...]]:
    """Return, by result, the setup keys that it needs and that aren't given."""
    return _missing(frozen(setup.evidence), last_sets(setup))


@lru_cache(maxsize=16)
def _missing(evidence: FrozenMap[Value], sets: FrozenMap[Value]) -> FrozenMap[tuple[str, ...]]:
    lacking = {}
    for result in RESULTS:
        lacking_keys = tuple(key for key in result.needs if key not in evidence and key not in sets)
        if lacking_keys:
            lacking[result.key] = lacking_keys
    return FrozenMap(lacking)


@lru_cache(maxsize=8)
def ask(ranges: Ranges) -> Ask:
    """Return the sweeps as arrays; kept by value, since a drag asks for the same ones again."""
    return Ask(
        np.linspace(*ranges.travel),
        np.linspace(*ranges.roll),
        np.linspace(*ranges.steer),
        ranges.window,
        ranges.stops,
        ranges.locks,
    )


def _with_stops(car: FrontStudy, values: Mapping[str, Value]) -> FrontAnswers:
    """Add the travels at which the damper is at its ends."""
    lengths = ((name, values.get(key)) for name, key in STOPS)
    ends = {
        name: travels_at_length(car.travel, "damper_length", length)
        for name, length in lengths
        if isinstance(length, int | float)
    }
    return FrontAnswers(
        car.front,
        car.line,
        car.rest,
        car.travel,
        car.roll,
        car.steer,
        {**car.single, **worst_of(ends)},
        car.stand,
        car.window,
        {**car.wheels, **ends},
    )
