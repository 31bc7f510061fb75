"""The sweeps of a front: travel, roll and steer, and what is read off them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from functools import cached_property
from itertools import pairwise
from math import inf

import numpy as np

from geometry.conventions import TURN_PLATE_ANGLE
from geometry.dataclass import dataclass
from geometry.front.axle import Front
from geometry.front.limits import explain
from geometry.front.road import Demand, Poses, choose, drive, survey_axle
from geometry.front.runs import Lines
from geometry.front.settling import settled_travel
from geometry.front.singles import wheels_over_travel, worst_of
from geometry.front.standing import to_road
from geometry.front.turning import turning_results, wheels_on_turn_plates
from geometry.front.wheel import kingpin_at
from geometry.numeric import first_of_each, quietly
from geometry.rows import Cut
from geometry.standing import AS_MEASURED, Stand
from geometry.vectors import Array, Scalar

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
    stops
        Travel from the measured height at which the wheels meet their stops [mm], rebound first;
        infinite where it isn't known.
    locks
        Steer at which turn plates read camber, toe-out and toe-in [rad].
    """

    travel: Array
    roll: Array
    steer: Array
    window: float = 50.0
    stops: tuple[float, float] = (-inf, inf)
    locks: tuple[float, float] = (TURN_PLATE_ANGLE, TURN_PLATE_ANGLE)

    def window_at(self, height: float) -> tuple[float, float]:
        """Return the travels between which the range is quoted, from where a car stands [mm].

        No wheel goes beyond its stops: what they leave of the window is all that counts.

        Parameters
        ----------
        height
            Where it stands, from the measured height [mm].
        """
        rebound, bump = self.stops
        low = min(0.0, max(-self.window, rebound - height))
        return low, max(0.0, min(self.window, bump - height))


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
    """One car's answers; its travel counts from where it stands.

    Parameters
    ----------
    front
        The car bolted up.
    line
        The surveyed run of both wheels straight ahead.
    rest
        Results where it stands, arrays of one pose.
    travel, roll, steer
        The sweeps; roll and steer are None in a short study.
    single
        Results that exist once per car, by key; absent where they don't exist.
    stand
        Where it stands.
    window
        Travels between which its bump-steer range is quoted, from where it stands [mm].
    wheels
        Of `single`, what each wheel has, shape (rows,), NaN where one has none; the car has the
        worse wheel's.
    """

    front: Front
    line: Lines
    rest: Sweep
    travel: Sweep
    roll: Sweep | None
    steer: Sweep | None
    single: dict[str, float]
    stand: Stand = AS_MEASURED
    window: tuple[float, float] = (-50.0, 50.0)
    wheels: Mapping[str, Array] = field(default_factory=dict)

    @cached_property
    def settled(self) -> Sweep | None:
        """Results where the springs carry the load, None when that isn't known."""
        if "settled_travel" not in self.single:
            return None
        return self.at_travel(self.single["settled_travel"] - self.stand.travel)

    @quietly
    def at_travel(self, travel: float) -> Sweep:
        """Solve one travel [mm] of a level car straight ahead, on the run that was surveyed."""
        sweep = _at_travel(self.front, self.line, travel + self.stand.travel)
        return standing_sweep(self.front, sweep, self.stand)


@quietly
def study_front(
    front: Front, ask: Ask, short: bool = False, stand: Stand = AS_MEASURED
) -> FrontStudy:
    """Solve a car over its sweeps; a short study leaves roll and steer out.

    Parameters
    ----------
    front
        The front.
    ask
        Travels [mm], rolls [rad] and steers [mm] of the sweeps; travels count from the measured
        height, since stops are in the body.
    short
        Whether roll and steer are left out.
    stand
        Where the car stands: there it is leant and steered, and from there its travel counts.

    Raises
    ------
    Unreachable
        The car can't stand there.
    """
    rolls, steers = (_NONE, _NONE) if short else (ask.roll, ask.steer)
    height = stand.travel
    window = ask.window_at(height)
    line = _straight_line(front, ask, rolls, height)
    if not line.holds(np.full((2, 1), height)).all():
        raise explain(front, line, height)
    # all sweeps in one run, one behind the other: travel, rest, window's edges, roll, steer
    travels = np.concatenate([ask.travel, [height, height + window[0], height + window[1]]])
    ends = np.cumsum([0, ask.travel.size, 1, 2, rolls.size, steers.size])
    demand = _demand(travels, rolls, steers, height)
    poses = drive(front.axle, line, demand, front.reference.contact_y)
    parts = [slice(start, end) for start, end in pairwise(ends.tolist())]
    if not poses.reached.all():
        poses = replace(poses, reached=_without_jumps(demand, poses.reached, parts))
    values = to_road(front, front.results(poses), poses, stand)
    travel, level, edges, roll, steer = (
        Sweep(driver, at, Cut(values, part), poses.reached[part], poses, part)
        for driver, at, part in zip(
            ("travel", "travel", "travel", "roll", "steer"),
            (ask.travel - height, travels[-3:-2] - height, travels[-2:] - height, rolls, steers),
            parts,
            strict=True,
        )
    )
    spring = front.car.spring
    solid = None if spring is None else spring.solid_length
    wheels = wheels_over_travel(travel, edges, None if solid is None else float(np.ravel(solid)[0]))
    single = worst_of(wheels)
    settled: float | None = height
    if stand.is_as_measured:
        settled = settled_travel(front, level.values, travel)
    if settled is not None:
        single["settled_travel"] = settled
    if short:
        return FrontStudy(front, line, level, travel, None, None, single, stand, window, wheels)
    plates = wheels_on_turn_plates(steer.values, steer.reached, ask.locks)
    wheels, single = {**wheels, **plates}, single | worst_of(plates)
    track = float(level.values["half_track"].sum())
    single |= turning_results(
        steer.values, steer.reached, _between(poses, parts[1]), track, front.car.wheelbase
    )
    return FrontStudy(front, line, level, travel, roll, steer, single, stand, window, wheels)


def standing_sweep(front: Front, sweep: Sweep, stand: Stand) -> Sweep:
    """Return a sweep of a car that stands elsewhere: travel from there, side view to the road.

    Parameters
    ----------
    front
        The front.
    sweep
        Its poses, their travel from the measured height.
    stand
        Where it stands.
    """
    if stand.is_as_measured:
        return sweep
    values = to_road(front, sweep.values, sweep.poses, stand)
    at = sweep.at if sweep.driver in ("roll", "steer") else sweep.at - stand.travel
    return replace(sweep, at=at, values=values)


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
    poses = replace(poses, reached=poses.reached & steerable(front, steer))
    return Sweep("pose", travel, front.results(poses), poses.reached, poses, slice(None))


_NONE = np.zeros(0)


def _straight_line(front: Front, ask: Ask, rolls: Array, height: float) -> Lines:
    """Survey the straight-ahead run over all that is asked for."""
    lean = float(_lean(front, rolls).max(initial=0.0))
    low, high = (height + end for end in ask.window_at(height))
    low = min(ask.travel.min(initial=-1.0), low, height - lean)
    high = max(ask.travel.max(initial=1.0), high, height + lean)
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


def _demand(travels: Array, rolls: Array, steers: Array, height: float = 0.0) -> Demand:
    count = travels.size + rolls.size + steers.size
    travel, roll, rack = np.zeros((3, count))
    flat = np.zeros(count, dtype=bool)
    travel[: travels.size] = travels
    leaning = slice(travels.size, travels.size + rolls.size)
    travel[travels.size :] = height
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


def _without_jumps(demand: Demand, reached: Array, parts: list[slice]) -> Array:
    """Refuse poses of each sweep that lie beyond one that can't be reached."""
    reached = reached.copy()
    travel, _, _, roll, steer = parts
    for driver, part in ((demand.travel, travel), (demand.roll, roll), (demand.rack, steer)):
        reached[part] &= connected(driver[part], reached[part])
    return reached


def steerable(front: Front, steer: Array) -> Array:
    """Return which steers [mm] can be got to from straight ahead at zero travel.

    Parameters
    ----------
    front
        The front.
    steer
        Of the rack or the relay [mm], + to the left, shape (n,).
    """
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
    path = np.concatenate([dense, steer])
    return path[first_of_each(path)]


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
