"""Many cars at once, as found and as built: measured again, each settled and aligned by itself."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, Final, NamedTuple, cast

import numpy as np

from app.document.model import Setup
from app.judge.known import Knowledge, Parameter, measured_again
from app.judge.pausing import Pause, go_on
from app.systems.answers import Driver, Study
from app.systems.standing import standings
from app.systems.system import System
from geometry.catalogue.result import Result, by_key
from geometry.dataclass import dataclass
from geometry.uncertainty import hypercube
from geometry.vectors import Array

SAMPLES: Final = 2000
STEP: Final = 0.25  # of a standard uncertainty, by which a reading is moved each way
SEED: Final = 1
_PART: Final = 1000  # cars that are worked out before others may break it off

Values = Mapping[str, Array]
Poses = Mapping[str, Any]


class Cars(NamedTuple):
    """Results of many cars, as found and as built."""

    found: Values
    built: Values


@dataclass(frozen=True)
class Asked:
    """Poses asked for: travel or steer [mm] or roll [rad], the first of them at rest.

    `found_at` are those of the car as found, where they differ.
    """

    driver: Driver
    at: Array
    steer: float = 0.0
    found_at: Array | None = None

    @property
    def poses(self) -> dict[str, Array]:
        """The poses of the car as built, by what a system calls its drivers."""
        return self._poses(self.at)

    @property
    def found_poses(self) -> dict[str, Array]:
        """Those of the car as found."""
        return self._poses(self.at if self.found_at is None else self.found_at)

    def _poses(self, at: Array) -> dict[str, Array]:
        poses: dict[str, Array] = {self.driver: at}
        if self.steer and self.driver != "steer":
            poses["steer"] = np.full(at.shape, self.steer)
        return poses


def cars_of(
    study: Study[Any], setups: Sequence[Setup], keys: Collection[str], asked: Asked, pause: Pause
) -> Cars:
    """Return results of many cars as found and as built, each standing by itself."""
    found = found_of(study, setups, keys, asked.found_poses, pause)
    if not study.changed:
        return Cars(found, found)
    return Cars(found, built_of(study, setups, keys, asked.poses, pause))


def found_of(
    study: Study[Any],
    setups: Sequence[Setup],
    keys: Collection[str],
    poses: Poses,
    pause: Pause = go_on,
) -> Values:
    """Return results of many cars as found."""
    own = by_key(tuple(study.measured.results))
    return _found(study.system, setups, [key for key in keys if key in own], poses, pause)


def built_of(
    study: Study[Any],
    setups: Sequence[Setup],
    keys: Collection[str],
    poses: Poses,
    pause: Pause = go_on,
) -> Values:
    """Return results of many cars as built; poses may be each car's own, (m, n)."""
    system, results = study.system, by_key(tuple(study.results))
    own_keys = [key for key in keys if key in results]
    parts = []
    for part in _parts(setups):
        pause()
        own_poses = {driver: at[part] if np.ndim(at) == 2 else at for driver, at in poses.items()}
        some = setups[part]
        parts.append(system.built_many(some, own_keys, standings(system, some), **own_poses).values)
    return _joined(parts, results)


def _found(
    system: System[Any], setups: Sequence[Setup], keys: Sequence[str], poses: Poses, pause: Pause
) -> Values:
    parts = []
    for part in _parts(setups):
        pause()
        bare = [without_work(setup) for setup in setups[part]]
        parts.append(system.solve_many(bare, keys, **poses).values)
    return _joined(parts, keys)


def without_work(setup: Setup) -> Setup:
    """Return the measured car of a setup by itself, the points that agree best taken as read."""
    return Setup(title="", evidence=setup.evidence, within=setup.within)


def _parts(setups: Sequence[Setup]) -> Iterator[slice]:
    return (slice(start, start + _PART) for start in range(0, len(setups), _PART))


def _joined(parts: Sequence[Values], own: Collection[str]) -> Values:
    """Return results of parts of the cars as those of all; those that a part lacks are left out."""
    keys = set.intersection(*(set(part) for part in parts)).intersection(own)
    if len(parts) == 1:
        return {key: parts[0][key] for key in keys}
    return {key: np.concatenate([part[key] for part in parts]) for key in keys}


# Each reading a step greater and a step less


def stepped(
    study: Study[Any], known: Knowledge, asked: Asked, keys: Collection[str], pause: Pause
) -> Cars:
    """Return results of the car itself, then with each reading a step greater, then a step less.

    What is asked of the car as found is kept, since nothing that is drawn changes it.
    """
    own = by_key(tuple(study.measured.results))
    found_at = asked.found_poses[asked.driver]
    found = _found_stepped(
        cast(Hashable, study.system),
        without_work(study.setup),
        known.parameters,
        tuple(known.deviations.tolist()),
        tuple(sorted(key for key in keys if key in own)),
        (asked.driver, tuple(found_at.tolist()), asked.steer),
        pause,
    )
    if not study.changed:
        return Cars(found, found)
    setups = [*measured_again(study.setup, known.parameters, step_errors(known.deviations))]
    return Cars(found, built_of(study, setups, keys, asked.poses, pause))


def step_errors(deviations: Array) -> Array:
    """Return errors of none, then of each reading a step greater, then a step less, (1 + 2p, p)."""
    rows = np.diag(deviations * STEP)
    return np.concatenate([np.zeros((1, deviations.size)), rows, -rows])


@lru_cache(maxsize=12)
def _found_stepped(
    system: Hashable,
    measured: Setup,
    parameters: tuple[Parameter, ...],
    deviations: tuple[float, ...],
    keys: tuple[str, ...],
    at: tuple[Driver, tuple[float, ...], float],
    pause: Pause,
) -> Values:
    driver, places, steer = at
    asked = Asked(driver, np.array(places), steer)
    errors = step_errors(np.array(deviations))
    setups = [*measured_again(measured, parameters, errors)]
    return _found(cast("System[Any]", system), setups, keys, asked.poses, pause)


# Cars sampled


def errors_of(samples: int, readings: int) -> Array:
    """Return the errors of sampled cars' readings, in standard deviations: the same each time."""
    if not samples or not readings:
        return np.zeros((samples, readings))
    random = np.random.default_rng(SEED)
    orders = np.array([random.permutation(samples) for _ in range(readings)]).T
    return hypercube(orders)


def measured_off(setup: Setup, known: Knowledge, errors: Array) -> Iterator[Setup]:
    """Yield the setup as if its readings had been off by each row of errors, (s, r)."""
    return measured_again(setup, known.parameters, errors @ known.factor.T)


def compared(study: Study[Any]) -> frozenset[str]:
    """Return the results that mean the same of both cars, so that one can be taken from another."""
    found, built = by_key(tuple(study.measured.results)), by_key(tuple(study.results))

    def is_same(key: str) -> bool:
        one: Result = found[key]
        return one.identity == built[key].identity and one.scope == built[key].scope

    return frozenset(filter(is_same, found.keys() & built.keys()))
