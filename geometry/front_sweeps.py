"""The sweeps of a front: travel, roll and steer, the settled height, and what is read off them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from geometry.conventions import GRAVITY, TURN_PLATE_ANGLE
from geometry.errors import Unreachable
from geometry.front_axle import Front, Results
from geometry.parts import Corner
from geometry.reach import Lines
from geometry.road import (
    Demand,
    Poses,
    ask_roll,
    ask_steer,
    ask_travel,
    choose,
    drive,
    survey_axle,
    together,
)
from geometry.vectors import Array, norm, subtract
from geometry.wheel import caster_from_turn_plates, interpolate, kingpin_at
from geometry.wishbone import close_linkage

SETTLE_RANGE = 150.0
"""Travel each way within which a settled height is looked for [mm]."""


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


@dataclass(frozen=True)
class Sweep:
    """Results over one driver, and the poses behind them.

    Parameters
    ----------
    driver
        "travel", "roll" or "steer".
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
    values: Results
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
        place, zero = np.array([self.single["settled_travel"]]), np.zeros(1)
        line = _cover(self.front, self.line, place)
        poses = drive(self.front.axle, ask_travel(line, place, zero))
        return _whole("travel", place, self.front.results(poses), poses)


def study_front(front: Front, ask: Ask, short: bool = False) -> FrontStudy:
    """Solve a car over its sweeps; a short study leaves roll and steer out.

    Raises
    ------
    Unreachable
        The car can't stand at zero travel.
    """
    low, high = min(ask.travel.min(), -ask.window, -1.0), max(ask.travel.max(), ask.window, 1.0)
    zero = np.zeros(1)
    line = survey_axle(front.axle, zero, np.array([low]), np.array([high]))
    if not line.holds(np.zeros((2, 1))).all():
        raise explain(front, line, 0.0)
    travels = np.concatenate([ask.travel, [0.0, -ask.window, ask.window]])
    demands = [ask_travel(line, travels, zero)]
    if not short:
        demands += [_ask_roll(front, line, ask.roll), ask_steer(front.axle, line, ask.steer)]
    poses = drive(front.axle, together(demands))
    if not short:
        poses = _without_jumps(poses, ask.steer)
    values = front.results(poses)
    place = iter(np.cumsum([0, ask.travel.size, 1, 2, ask.roll.size, ask.steer.size]).tolist())
    cuts = _Cuts(values, poses, next(place), place)
    travel, rest = cuts.take("travel", ask.travel), cuts.take("travel", zero)
    edges = cuts.take("travel", travels[-2:])
    roll = None if short else cuts.take("roll", ask.roll)
    steer = None if short else cuts.take("steer", ask.steer)
    settled = settled_travel(front, line, travel)
    single = _single(front, travel, edges) | _turning(front, rest, steer)
    if settled is not None:
        single["settled_travel"] = settled
    return FrontStudy(front, line, rest, travel, roll, steer, single)


def pose_front(front: Front, travel: Array, roll: Array, steer: Array) -> Sweep:
    """Solve any mix of travel [mm], roll [rad] and steer [mm], each of shape (n,).

    Steer is applied first at zero travel, then travel and roll, since the set of poses that can be
    reached is not a rectangle.
    """
    travel, roll, steer = np.broadcast_arrays(travel, roll, steer)
    lean = np.abs(np.tan(roll)) * 900.0  # no half track is wider [mm]
    line = survey_axle(
        front.axle, steer, np.minimum(travel - lean, -1.0), np.maximum(travel + lean, 1.0)
    )
    flat = ask_roll(line, travel, roll, steer, front.reference.contact_y)
    level = ask_travel(line, travel, steer)
    leaning = roll != 0.0
    demand = replace(flat, flat=leaning, angle=np.where(leaning, flat.angle, level.angle))
    poses = drive(front.axle, demand)
    poses = replace(poses, reached=poses.reached & _steerable(front, steer))
    return _whole("pose", travel, front.results(poses), poses)


def explain(front: Front, line: Lines, travel: float, steer: float = 0.0) -> Unreachable:
    """Say which two points can't be brought together at a travel [mm] beyond the branch."""
    corner = front.axle.corners
    angle = line.angle_at(np.full((2, line.low.shape[1]), travel))[:, :1]
    end = np.where(travel < line.lowest, line.lowest, line.highest)[:, :1]
    beyond = travel - np.clip(end, -1e4, 1e4)
    off = ~line.holds(np.full_like(line.low, travel))[:, :1]
    angle = angle + np.where(off, beyond / np.sqrt(corner.lower.radius_2), 0.0)
    side = int(np.argmax(off[:, 0]))
    inner = tuple(part[:, :1] for part in line.inner)
    first, second, wanted, there = _gap(corner, angle, inner, side)
    known = bool(line.holds(np.zeros((2, 1)))[:, 0].all())
    limit = float(end[side, 0]) if known else None
    return Unreachable(first, second, wanted, there, travel, limit, steer)


def settled_travel(front: Front, line: Lines, travel: Sweep) -> float | None:
    """Return the travel at which the spring carries the measured car's load [mm], or None.

    Positive: the wheel has risen into the body, the car sits lower.
    """
    spring, mass = front.fitted_spring(), front.car.sprung_mass
    if spring is None or mass is None:
        return None
    wanted = mass * GRAVITY
    place = _settled_guess(front, travel, wanted)
    for _ in range(12):
        at = np.array([place])
        poses = drive(front.axle, ask_travel(_cover(front, line, at), at, np.zeros(1)))
        squeeze = front.spring_compression(poses)
        if squeeze is None or not poses.reached.all():
            return None
        stiff, changing = spring.wheel_rate(squeeze)
        rate = float((stiff + changing).mean())
        if rate <= 0.0:
            return None
        step = (wanted - float(spring.load(squeeze).mean())) / rate
        place = float(np.clip(place + np.clip(step, -60.0, 60.0), -SETTLE_RANGE, SETTLE_RANGE))
        if abs(step) < 1e-4:  # the next step would be its square, some 1e-10
            return place
    return None


def _settled_guess(front: Front, travel: Sweep, wanted: float) -> float:
    """Guess the settled travel from the sweep by a cubic through two neighbours' loads and rates.

    The wheel's load is F·MR; its slope is the wheel rate.
    """
    coil = front.car.spring is not None and front.car.spring.kind == "coil"
    force, ratio = (
        ("spring_force", "spring_motion_ratio") if coil else ("bar_torque", "bar_motion_ratio")
    )
    load = (travel.values[force] * travel.values[ratio]).mean(axis=0)
    rate = travel.values["wheel_rate"].mean(axis=0)
    index = int(np.searchsorted(load, wanted))
    if not (0 < index < load.size and travel.reached[index - 1 : index + 1].all()):
        return 0.0
    low, high = load[index - 1], load[index]
    start, end = travel.at[index - 1], travel.at[index]
    share = (wanted - low) / (high - low)
    first, last = (high - low) / rate[index - 1], (high - low) / rate[index]
    bend = first * (1 - share) - last * share + (end - start) * (2 * share - 1)
    return float(start + (end - start) * share + share * (1 - share) * bend)


def _cover(front: Front, line: Lines, place: Array) -> Lines:
    """Return the line, or a wider one where a travel lies beyond what was surveyed."""
    if line.holds(np.broadcast_to(place, line.lowest.shape)).all():
        return line
    edge = np.array([SETTLE_RANGE])
    return survey_axle(front.axle, np.zeros(1), -edge, edge)


def _ask_roll(front: Front, line: Lines, roll: Array) -> Demand:
    half_track = front.reference.contact_y
    reach = np.abs(np.tan(roll)).max(initial=0.0) * float(half_track.max())
    short_low = -reach < float(line.lowest.max()) and not line.ends_low.any()
    short_high = reach > float(line.highest.min()) and not line.ends_high.any()
    if short_low or short_high:
        edge = np.array([1.1 * reach])
        line = survey_axle(front.axle, np.zeros(1), -edge, edge)
    zero = np.zeros_like(roll)
    return ask_roll(line, zero, roll, np.zeros(1), half_track)


def _without_jumps(poses: Poses, steer: Array) -> Poses:
    """Refuse steers that lie beyond one that can't be reached."""
    reached = poses.reached.copy()
    reached[-steer.size :] &= _connected(steer, reached[-steer.size :])
    return replace(poses, reached=reached)


def _steerable(front: Front, steer: Array) -> Array:
    """Return which steers [mm] can be got to from straight ahead at zero travel."""
    furthest = float(np.abs(steer).max(initial=0.0))
    if furthest == 0.0:
        return np.ones(steer.shape, dtype=bool)
    dense = np.linspace(-furthest, furthest, 2 * int(np.ceil(furthest / 6.0)) + 1)
    path = np.unique(np.concatenate([dense, steer]))
    zero = np.zeros(1)
    line = survey_axle(front.axle, zero, zero, zero)
    good = drive(front.axle, ask_steer(front.axle, line, path)).reached
    return _connected(path, good)[np.searchsorted(path, steer)]


def _connected(steer: Array, good: Array) -> Array:
    """Return where nothing between straight ahead and a steer is out of reach."""
    broken_left = steer[~good & (steer <= 0)].max(initial=-np.inf)
    broken_right = steer[~good & (steer >= 0)].min(initial=np.inf)
    return np.asarray((steer < broken_right) & (steer > broken_left))


class _Cuts:
    """Takes sweeps one after the other from values that were worked out together."""

    def __init__(self, values: Results, poses: Poses, start: int, ends: Iterator[int]) -> None:
        self.values, self.poses, self.start, self.ends = values, poses, start, ends

    def take(self, driver: str, at: Array) -> Sweep:
        part = slice(self.start, next(self.ends))
        self.start = part.stop
        values = {key: value[..., part] for key, value in self.values.items()}
        return Sweep(driver, at, values, self.poses.reached[part], self.poses, part)


def _whole(driver: str, at: Array, values: Results, poses: Poses) -> Sweep:
    return Sweep(driver, at, values, poses.reached, poses, slice(None))


def _single(front: Front, travel: Sweep, edges: Sweep) -> dict[str, float]:
    """Results read off the travel sweep."""
    found = {"bump_steer_range": _toe_range(travel, edges)}
    spring = front.car.spring
    if spring is not None and spring.solid_length is not None:
        found["coil_bind_travel"] = _crossing(travel, "spring_length", spring.solid_length)
    return {key: value for key, value in found.items() if np.isfinite(value)}


def travel_at_length(travel: Sweep, key: str, length: float | None) -> float | None:
    """Return the travel [mm] at which a strut has a length [mm], None where it hasn't."""
    if length is None or key not in travel.values:
        return None
    place = _crossing(travel, key, length)
    return place if np.isfinite(place) else None


def _crossing(travel: Sweep, key: str, wanted: float) -> float:
    good = travel.reached
    if key not in travel.values or good.sum() < 2:
        return float("nan")
    lengths, at = travel.values[key][0][good], travel.at[good]
    order = np.argsort(lengths)
    lengths, at = lengths[order], at[order]
    if not lengths[0] <= wanted <= lengths[-1]:
        return float("nan")
    return interpolate(lengths, at, wanted)


def _toe_range(travel: Sweep, edges: Sweep) -> float:
    """Largest minus least toe inside the window, its turning points included."""
    inside = (np.abs(travel.at) <= edges.at[-1]) & travel.reached
    if not (edges.reached.all() and inside.sum() > 2):
        return float("nan")
    at, toe, slope = (
        travel.at[inside],
        travel.values["toe"][0][inside],
        travel.values["bump_steer"][0][inside],
    )
    turning = np.flatnonzero(slope[:-1] * slope[1:] < 0)
    # between two samples the slope is nearly straight: its zero, and the toe there by Hermite
    share = slope[turning] / (slope[turning] - slope[turning + 1])
    step = at[turning + 1] - at[turning]
    tops = toe[turning] + 0.5 * step * share * slope[turning]
    every = np.concatenate([toe, tops, edges.values["toe"][0]])
    return float(np.ptp(every))


def _turning(front: Front, rest: Sweep, steer: Sweep | None) -> dict[str, float]:
    """Turn-plate caster, toe-out on turns and Ackermann share."""
    if steer is None:
        return {}
    good = steer.reached
    toe, camber = steer.values["toe"][:, good], steer.values["camber_road"][:, good]
    found: dict[str, float] = {}
    caster = caster_from_turn_plates((toe[0], camber[0]), TURN_PLATE_ANGLE)
    if caster is not None:
        found["caster_turn_plates"] = caster
    inner = -toe[0]  # of a left turn
    order = np.argsort(inner)
    if inner.size < 6 or not inner[order[0]] < TURN_PLATE_ANGLE < inner[order[-1]]:
        return found
    outer = interpolate(inner[order], toe[1][order], TURN_PLATE_ANGLE)
    found["toe_out_on_turns"] = outer
    if front.car.wheelbase is not None:
        ground = kingpin_at(rest.poses, rest.poses.contact)
        between = float(ground[1].sum())
        found["ackermann"] = ackermann_share(TURN_PLATE_ANGLE, outer, between, front.car.wheelbase)
    return found


def ideal_outer(inner: float, between: float, wheelbase: float) -> float:
    """Return the outer wheel's ideal steer angle [rad]: cot(outer) - cot(inner) = b/L.

    References
    ----------
    ISO 8855, 7.1.9.
    """
    return float(np.arctan(1.0 / (1.0 / np.tan(inner) + between / wheelbase)))


def ackermann_share(inner: float, outer: float, between: float, wheelbase: float) -> float:
    """Return 100·(inner - outer)/(inner - ideal outer) [%]; common practice."""
    return 100.0 * (inner - outer) / (inner - ideal_outer(inner, between, wheelbase))


def _gap(corner: Corner, angle: Array, inner: object, side: int) -> tuple[str, str, float, float]:
    """Which closure is open at an arm angle: the points, distance wanted and nearest there is."""
    link = close_linkage(corner, angle, inner)  # type: ignore[arg-type]
    upper = norm(subtract(link.upper_ball, link.lower_ball))
    rod = norm(subtract(link.tie_outer, link.tie_inner))
    wanted = np.broadcast_to(np.sqrt(corner.parts.kingpin_length_2), upper.shape)
    rod_wanted = np.broadcast_to(corner.parts.tie_length, rod.shape)
    if float(link.tie_sine[side, 0]) < float(link.upper_sine[side, 0]):
        return "tie_inner", "tie_outer", float(rod_wanted[side, 0]), float(rod[side, 0])
    return "lower_ball", "upper_ball", float(wanted[side, 0]), float(upper[side, 0])
