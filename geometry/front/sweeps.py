"""The sweeps of a front: travel, roll and steer, the settled height, and what is read off them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from geometry.conventions import GRAVITY
from geometry.front.axle import Front
from geometry.front.limits import explain
from geometry.front.road import Demand, Poses, choose, drive, survey_axle
from geometry.front.runs import Lines
from geometry.front.singles import travel_singles
from geometry.front.turning import turning_results
from geometry.front.wheel import interpolate, kingpin_at
from geometry.numeric import quietly
from geometry.vectors import Array, Scalar

SETTLE_RANGE = 150.0
"""Travel each way within which a settled height is looked for [mm]."""

STEER_SURVEY = 60.0
"""Travel each way that is surveyed to start poses that are steered at zero travel [mm]."""


@dataclass(frozen=True)
class Ask:
    """What to sweep; travel and steer in mm, roll in rad.

    Parameters
    ----------
    travel, roll, steer
        Values of each sweep, shape (n,).
    window
        Travel each way over which the bump-steer range is quoted [mm].
    """

    travel: Array
    roll: Array
    steer: Array
    window: float = 50.0


class Values(Mapping[str, Array]):
    """Results of some of the poses that were worked out together, cut out as they are asked for."""

    def __init__(self, whole: Mapping[str, Array], part: slice) -> None:
        self._whole, self._part = whole, part

    def __getitem__(self, key: str) -> Array:
        return self._whole[key][..., self._part]

    def __iter__(self) -> Iterator[str]:
        return iter(self._whole)

    def __len__(self) -> int:
        return len(self._whole)


@dataclass(frozen=True)
class Sweep:
    """Results over one driver, and the poses behind them.

    Parameters
    ----------
    driver
        "travel", "roll", "steer", or "pose" for any mix.
    at
        Its values [mm or rad], shape (n,).
    values
        Results by key, shape (2, n) or (n,).
    reached
        Where the poses could be taken, shape (n,); elsewhere the values mean nothing.
    whole, part
        All poses that were solved together, and which of them are these.
    """

    driver: str
    at: Array
    values: Mapping[str, Array]
    reached: Array
    whole: Poses
    part: slice

    @cached_property
    def poses(self) -> Poses:
        """The poses behind the values."""
        return choose(self.whole, self.part)


@dataclass(frozen=True)
class FrontStudy:
    """One car's answers.

    Parameters
    ----------
    front
        The car bolted up.
    line
        The surveyed run of both wheels straight ahead.
    rest
        Results at zero travel, arrays of one pose.
    travel, roll, steer
        The sweeps; roll and steer are None in a short study.
    single
        Results that exist once per car, by key; absent where they don't exist.
    """

    front: Front
    line: Lines
    rest: Sweep
    travel: Sweep
    roll: Sweep | None
    steer: Sweep | None
    single: dict[str, float]

    @cached_property
    def settled(self) -> Sweep | None:
        """Results at the settled height, None when it isn't known."""
        if "settled_travel" not in self.single:
            return None
        return self.at_travel(self.single["settled_travel"])

    @quietly
    def at_travel(self, travel: float) -> Sweep:
        """Solve one travel [mm] of a level car straight ahead, on the run that was surveyed."""
        return _at_travel(self.front, self.line, travel)


@quietly
def study_front(front: Front, ask: Ask, short: bool = False) -> FrontStudy:
    """Solve a car over its sweeps; a short study leaves roll and steer out.

    Parameters
    ----------
    front
        The front.
    ask
        Travels [mm], rolls [rad] and steers [mm] of the sweeps.
    short
        Whether roll and steer are left out.

    Raises
    ------
    Unreachable
        The car can't stand at zero travel.
    """
    rolls, steers = (_NONE, _NONE) if short else (ask.roll, ask.steer)
    window = ask.window
    line = _straight_line(front, ask, rolls)
    if not line.holds(np.zeros((2, 1))).all():
        raise explain(front, line, 0.0)
    # all sweeps in one run, one behind the other: travel, rest, window's edges, roll, steer
    travels = np.concatenate([ask.travel, [0.0, -window, window]])
    ends = np.cumsum([0, ask.travel.size, 1, 2, rolls.size, steers.size])
    demand = _demand(travels, rolls, steers)
    poses = drive(front.axle, line, demand, front.reference.contact_y)
    parts = [slice(start, end) for start, end in pairwise(ends.tolist())]
    if not poses.reached.all():
        poses = replace(poses, reached=_without_jumps(demand, poses.reached, parts))
    values = front.results(poses)
    travel, level, edges, roll, steer = (
        Sweep(driver, at, Values(values, part), poses.reached[part], poses, part)
        for driver, at, part in zip(
            ("travel", "travel", "travel", "roll", "steer"),
            (ask.travel, travels[-3:-2], travels[-2:], rolls, steers),
            parts,
            strict=True,
        )
    )
    spring = front.car.spring
    single = travel_singles(travel, edges, spring.solid_length if spring else None)
    settled = settled_travel(front, level, travel)
    if settled is not None:
        single["settled_travel"] = settled
    if short:
        return FrontStudy(front, line, level, travel, None, None, single)
    single |= turning_results(
        steer.values, steer.reached, _between(poses, parts[1]), front.car.wheelbase
    )
    return FrontStudy(front, line, level, travel, roll, steer, single)


def _between(poses: Poses, level: slice) -> float:
    """Return the distance of both kingpin axes at the ground [mm], straight ahead."""
    return float(kingpin_at(poses, poses.contact)[1][:, level].sum())


@quietly
def pose_front(front: Front, travel: Array, roll: Array, steer: Array) -> Sweep:
    """Solve any mix of travel [mm], roll [rad] and steer [mm], each of shape (n,).

    Steer is applied first at zero travel, then travel and roll, since the set of poses that can be
    reached is not a rectangle.

    Parameters
    ----------
    front
        The front.
    travel
        Mean of both wheels [mm], + in bump, shape (n,).
    roll
        Of the body [rad], + to its right, shape (n,).
    steer
        Of the rack or the relay [mm], + to the left, shape (n,).
    """
    travel, roll, steer = np.broadcast_arrays(travel, roll, steer)
    lean = _lean(front, roll)
    rack, low, high = steer, np.minimum(travel - lean, -1.0), np.maximum(travel + lean, 1.0)
    if steer.size and (steer == steer[0]).all():  # one run of the wheels serves all
        rack, low, high = steer[:1], low.min(keepdims=True), high.max(keepdims=True)
    line = survey_axle(front.axle, rack, low, high)
    demand = Demand(travel, roll, steer, roll != 0.0)
    poses = drive(front.axle, line, demand, front.reference.contact_y)
    poses = replace(poses, reached=poses.reached & _steerable(front, steer))
    return Sweep("pose", travel, front.results(poses), poses.reached, poses, slice(None))


_NONE = np.zeros(0)


def _straight_line(front: Front, ask: Ask, rolls: Array) -> Lines:
    """Survey the straight-ahead run over all that is asked for."""
    lean = float(_lean(front, rolls).max(initial=0.0))
    low = min(ask.travel.min(initial=-1.0), -ask.window, -lean)
    high = max(ask.travel.max(initial=1.0), ask.window, lean)
    return survey_axle(front.axle, np.zeros(1), np.array([low]), np.array([high]))


def _lean(front: Front, roll: Array) -> Array:
    return lean_travel(roll, float(front.reference.contact_y.max()))


def lean_travel(roll: Array, half_track: Scalar) -> Array:
    """Return the wheel travel that a roll asks for, with something to spare [mm].

    Parameters
    ----------
    roll
        Body roll [rad], any shape.
    half_track
        Half the track [mm].
    """
    return np.asarray(np.abs(np.tan(roll)) * (1.1 * half_track))


def _demand(travels: Array, rolls: Array, steers: Array) -> Demand:
    count = travels.size + rolls.size + steers.size
    travel, roll, rack = np.zeros((3, count))
    flat = np.zeros(count, dtype=bool)
    travel[: travels.size] = travels
    leaning = slice(travels.size, travels.size + rolls.size)
    roll[leaning], flat[leaning] = rolls, True
    rack[count - steers.size :] = steers
    return Demand(travel, roll, rack, flat)


def _at_travel(front: Front, line: Lines, travel: float) -> Sweep:
    """Solve one travel [mm] straight ahead; a wider line is surveyed where this one ends."""
    at, zero = np.array([travel]), np.zeros(1)
    if not line.holds(np.broadcast_to(at, line.lowest.shape)).all():
        line = survey_axle(front.axle, zero, np.minimum(at, -1.0), np.maximum(at, 1.0))
    poses = drive(front.axle, line, Demand(at, zero, zero, np.zeros(1, dtype=bool)))
    return Sweep("travel", at, front.results(poses), poses.reached, poses, slice(None))


def settled_travel(front: Front, level: Sweep, travel: Sweep) -> float | None:
    """Return the travel at which the springs carry the measured car's load [mm], or None.

    Positive: the wheel has risen into the body, the car sits lower. It is read off the sweep, or
    off finer ones where that is too short or too coarse.

    Parameters
    ----------
    front
        The front as proposed.
    level
        Its pose at the measured height.
    travel
        Its sweep over travel.
    """
    if front.fitted_spring() is None or front.car.sprung_mass is None:
        return None
    weight = front.car.sprung_mass * GRAVITY
    if abs(_load(front, level)[0] - weight) < 1e-9 * weight:
        return 0.0
    at, load, reached = travel.at, _load(front, travel), travel.reached
    for count in range(4):
        crossing = _crossing(at, load, reached, weight)
        place = None if crossing is None else _place_of(at, load, reached, weight, crossing)
        if place is not None:
            return place
        if crossing is None and count > 0:
            return None
        # finer about the crossing, or as far as any car may sink where there is none yet
        low, high = -SETTLE_RANGE, SETTLE_RANGE
        if crossing is not None:
            low, high = at[max(crossing - 2, 0)], at[min(crossing + 3, at.size - 1)]
        at, load, reached = _loads_between(front, low, high)
    return None


def _load(front: Front, sweep: Sweep) -> Array:
    """Return what the springs carry at the wheels [N], the mean of both, shape (n,)."""
    coil = front.car.spring is not None and front.car.spring.kind == "coil"
    force, ratio = (
        ("spring_force", "spring_motion_ratio") if coil else ("bar_torque", "bar_motion_ratio")
    )
    return np.asarray((sweep.values[force] * sweep.values[ratio]).mean(axis=0))


def _loads_between(front: Front, low: float, high: float) -> tuple[Array, Array, Array]:
    """Sweep the loads alone over the part of a range that can be reached."""
    zero, ends = np.zeros(1), (np.array([min(low, -1.0)]), np.array([max(high, 1.0)]))
    line = survey_axle(front.axle, zero, *ends)
    low, high = max(low, float(line.lowest.max())), min(high, float(line.highest.min()))
    at = np.linspace(low, high, 101)
    poses = drive(front.axle, line, _demand(at, _NONE, _NONE))
    return at, front.wheel_load(poses), poses.reached


def _crossing(at: Array, load: Array, reached: Array, weight: float) -> int | None:
    """Return after which sample a load rises past a value, nearest to zero travel."""
    passing = (load[:-1] <= weight) & (load[1:] > weight) & reached[:-1] & reached[1:]
    places = np.flatnonzero(passing)
    return int(places[np.abs(at[places]).argmin()]) if places.size else None


def _place_of(at: Array, load: Array, reached: Array, weight: float, crossing: int) -> float | None:
    """Return where a load is a value by the polynomial through six samples.

    It counts when the load rises there and the one through four says nearly the same.
    """
    start = min(max(crossing - 2, 0), max(at.size - 6, 0))
    near = slice(start, start + 6)
    load, at = load[near], at[near]
    if load.size < 6 or not (reached[near].all() and (np.diff(load) > 0.0).all()):
        return None
    place = interpolate(load, at, weight)
    rough = interpolate(load[1:-1], at[1:-1], weight)
    return place if abs(place - rough) < 1e-4 else None


def _without_jumps(demand: Demand, reached: Array, parts: list[slice]) -> Array:
    """Refuse poses of each sweep that lie beyond one that can't be reached."""
    reached = reached.copy()
    travel, _, _, roll, steer = parts
    for driver, part in ((demand.travel, travel), (demand.roll, roll), (demand.rack, steer)):
        reached[part] &= connected(driver[part], reached[part])
    return reached


def _steerable(front: Front, steer: Array) -> Array:
    """Return which steers [mm] can be got to from straight ahead at zero travel."""
    furthest = float(np.abs(steer).max(initial=0.0))
    if furthest == 0.0:
        return np.ones(steer.shape, dtype=bool)
    path = steer_path(steer)
    zero, edge = np.zeros(1), np.array([STEER_SURVEY])
    line = survey_axle(front.axle, zero, -edge, edge)
    good = drive(front.axle, line, _demand(_NONE, _NONE, path)).reached
    return connected(path, good)[np.searchsorted(path, steer)]


def steer_path(steer: Array) -> Array:
    """Return the steers [mm] on the way to those asked for, both ways, rising."""
    furthest = float(np.abs(steer).max())
    dense = np.linspace(-furthest, furthest, 2 * int(np.ceil(furthest / 6.0)) + 1)
    return np.unique(np.concatenate([dense, steer]))


def connected(steer: Array, good: Array) -> Array:
    """Return where nothing between straight ahead and a steer is out of reach, (..., n).

    Parameters
    ----------
    steer
        Steer of each pose, left negative, shape (n,).
    good
        Which poses are reached, shape (..., n).
    """
    left, right = ~good & (steer <= 0), ~good & (steer >= 0)
    broken_left = np.where(left, steer, -np.inf).max(axis=-1, initial=-np.inf, keepdims=True)
    broken_right = np.where(right, steer, np.inf).min(axis=-1, initial=np.inf, keepdims=True)
    return np.asarray((steer < broken_right) & (steer > broken_left))
