"""From a setup to its answers: the front measured and proposed, with sweeps, notes and what lacks.

One study feeds the window, the command line and the sheet. The measured car is solved once and
kept; a drag solves only the proposal.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from math import radians
from typing import Final, Literal

import numpy as np

from app.document.model import FrozenMap, Setup, Value, frozen
from app.document.proposal import split_moves
from app.systems.front.inputs import measured_car, proposed_car
from geometry.catalogue.front import BY_KEY, RESULTS, Result
from geometry.front.axle import Front, build_front
from geometry.front.sweeps import (
    Ask,
    FrontStudy,
    Sweep,
    pose_front,
    study_front,
    travel_at_length,
)
from geometry.numeric import quietly

Driver = Literal["travel", "roll", "steer"]

FURTHEST: Final = {"travel": 1000.0, "roll": radians(45.0), "steer": 500.0}
"""What no car's suspension takes [mm, rad]: beyond it nothing is tried."""

_STOPS: Final = (
    ("damper_bump_travel", "front.damper.closed_length"),
    ("damper_droop_travel", "front.damper.open_length"),
)


@dataclass(frozen=True)
class Ranges:
    """What is swept: travel and steer [mm], roll [rad], each as (from, to, number of poses)."""

    travel: tuple[float, float, int] = (-80.0, 80.0, 61)
    roll: tuple[float, float, int] = (-radians(6.0), radians(6.0), 41)
    steer: tuple[float, float, int] = (-65.0, 65.0, 41)
    window: float = 50.0

    def ask(self) -> Ask:
        """Return the sweeps as arrays."""
        return Ask(
            np.linspace(*self.travel),
            np.linspace(*self.roll),
            np.linspace(*self.steer),
            self.window,
        )


@dataclass(frozen=True)
class Pose:
    """Where the car is shown: travel and steer [mm], roll [rad]; settled adds its own travel."""

    travel: float = 0.0
    roll: float = 0.0
    steer: float = 0.0


@dataclass(frozen=True)
class Study:
    """Both cars' answers.

    `measured` and `proposed` are the same object when no change is on. `missing` gives, for each
    result that lacks data, the setup keys that it needs.
    """

    setup: Setup
    ranges: Ranges
    measured: FrontStudy
    proposed: FrontStudy
    missing: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def results(self) -> tuple[Result, ...]:
        """The results that a front has."""
        return RESULTS

    @property
    def changed(self) -> bool:
        """Tell whether the proposal differs from the measured car."""
        return self.proposed is not self.measured

    @property
    def short(self) -> bool:
        """Tell whether roll and steer sweeps are left out."""
        return self.proposed.roll is None


def has_front(setup: Setup) -> bool:
    """Tell whether a setup gives a front."""
    return "front.kind" in setup.evidence


@quietly
def study(setup: Setup, ranges: Ranges | None = None, short: bool = False) -> Study:
    """Solve both cars; a short study leaves out the sweeps that only curves need.

    Raises
    ------
    GeometryError
        The measured or the proposed points can't be built, or can't stand at the measured height.
    """
    ranges = ranges or ranges_for(setup)
    measured = measured_front(_evidence_only(setup), ranges)
    if not _proposes(setup):
        proposed = measured
    else:
        front = build_front(proposed_car(setup), measured.front.reference)
        proposed = _with_stops(study_front(front, ranges.ask(), short), _proposed_values(setup))
    return Study(setup, ranges, measured, proposed, missing_for(setup))


@quietly
def complete(partial: Study) -> Study:
    """Add the sweeps that a short study left out."""
    if not partial.short:
        return partial
    proposed = study_front(partial.proposed.front, partial.ranges.ask())
    return replace(partial, proposed=_with_stops(proposed, _proposed_values(partial.setup)))


@lru_cache(maxsize=8)
def measured_front(setup: Setup, ranges: Ranges) -> FrontStudy:
    """Solve the measured car; kept by value, since nothing done later may change it."""
    car = study_front(build_front(measured_car(setup)), ranges.ask())
    return _with_stops(car, setup.evidence)


@quietly
def at_pose(front: Front, pose: Pose) -> Sweep:
    """Solve one pose of a car.

    It never raises: whatever the travel, the roll and the steer, `reached` is false where the
    linkage can't go, and the numbers mean nothing there.
    """
    return pose_front(front, np.array([pose.travel]), np.array([pose.roll]), np.array([pose.steer]))


@quietly
def sweep_at(front: Front, driver: Driver, values: Sequence[float], steer: float = 0.0) -> Sweep:
    """Solve a car at exactly these travels or steers [mm] or rolls [rad].

    `steer` holds the rack there meanwhile [mm].
    """
    at = np.asarray(values, dtype=float)
    tried = np.abs(at) <= FURTHEST[driver]
    held = driver != "steer" and abs(steer) > FURTHEST["steer"]
    place = np.where(tried, at, 0.0)
    zero = np.zeros_like(place)
    rack = place if driver == "steer" else zero if held else zero + steer
    sweep = pose_front(
        front, place if driver == "travel" else zero, place if driver == "roll" else zero, rack
    )
    return replace(sweep, driver=driver, at=at, reached=sweep.reached & tried & (not held))


def ranges_for(setup: Setup) -> Ranges:
    """Return the sweeps of a setup: its stops and rack travel where given."""
    plain = Ranges()
    bump = _number(setup, "front.travel.bump")
    rebound = _number(setup, "front.travel.rebound")
    steer = _number(setup, "front.steering.travel")
    return replace(
        plain,
        travel=(-rebound if rebound else plain.travel[0], bump or plain.travel[1], 61),
        steer=(-steer, steer, 41) if steer else plain.steer,
        window=50.8 if setup.units == "in" else 50.0,
    )


def missing_for(setup: Setup) -> Mapping[str, tuple[str, ...]]:
    """Return, by result, the setup keys that it needs and that aren't given."""
    return _missing(frozen(setup.evidence), frozen(split_moves(setup).sets))


@lru_cache(maxsize=16)
def _missing(evidence: FrozenMap[Value], sets: FrozenMap[Value]) -> FrozenMap[tuple[str, ...]]:
    lacking = {}
    for result in RESULTS:
        gone = tuple(key for key in result.needs if key not in evidence and key not in sets)
        if gone:
            lacking[result.key] = gone
    return FrozenMap(lacking)


def result_of(key: str) -> Result:
    """Return the catalogue's entry."""
    return BY_KEY[key]


def _evidence_only(setup: Setup) -> Setup:
    """Strip all that the measured car doesn't depend on, so that its study is kept."""
    return Setup(title="", units=setup.units, evidence=setup.evidence)


def _proposed_values(setup: Setup) -> dict[str, Value]:
    return {**setup.evidence, **split_moves(setup).sets}


def _with_stops(car: FrontStudy, values: Mapping[str, Value]) -> FrontStudy:
    """Add the travels at which the damper is at its ends."""
    lengths = ((name, values.get(key)) for name, key in _STOPS)
    found = {
        name: travel_at_length(car.travel, "damper_length", length)
        for name, length in lengths
        if isinstance(length, int | float)
    }
    reached = {name: travel for name, travel in found.items() if travel is not None}
    return replace(car, single={**car.single, **reached}) if reached else car


def _proposes(setup: Setup) -> bool:
    return any(
        key.startswith(("front.", "car."))
        for change in setup.changes
        if change.on
        for key in (*change.moves, *change.sets)
    )


def _number(setup: Setup, key: str) -> float | None:
    value = setup.evidence.get(key)
    return float(value) if isinstance(value, int | float) else None
