"""The sweeps of a front: travel, roll and steer, the settled height, and what is read off them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from geometry.conventions import GRAVITY, TURN_PLATE_ANGLE
from geometry.errors import Unreachable
from geometry.front_axle import Front, Results
from geometry.parts import Corner
from geometry.reach import Lines
from geometry.road import Poses, choose, drive_roll, drive_travel, join, survey_axle
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
    poses
        The poses; where `poses.reached` is False the values mean nothing.
    """

    driver: str
    at: Array
    values: Results
    poses: Poses


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
    settled
        Results at the settled height, None when it isn't known.
    single
        Results that exist once per car, by key; absent where they don't exist.
    """

    front: Front
    line: Lines
    rest: Sweep
    travel: Sweep
    roll: Sweep | None
    steer: Sweep | None
    settled: Sweep | None
    single: dict[str, float]


def study_front(front: Front, ask: Ask, short: bool = False) -> FrontStudy:
    """Solve a car over its sweeps; a short study leaves roll and steer out.

    Raises
    ------
    Unreachable
        The car can't stand at zero travel.
    """
    low, high = min(ask.travel.min(), -ask.window, -1.0), max(ask.travel.max(), ask.window, 1.0)
    zero = np.zeros(1)
    axle = front.axle
    line = survey_axle(axle, zero, np.array([low]), np.array([high]))
    if not line.holds(np.zeros((2, 1))).all():
        raise explain(front, line, 0.0)
    count = ask.travel.size
    base = np.concatenate([ask.travel, [0.0, -ask.window, ask.window]])
    runs = [drive_travel(axle, line, base, zero)]
    if not short:
        runs += [_roll_run(front, line, ask.roll), _steer_run(front, ask.steer)]
    poses = join(*runs) if len(runs) > 1 else runs[0]
    values = front.results(poses)
    travel = _cut("travel", ask.travel, values, poses, slice(0, count))
    rest = _cut("travel", zero, values, poses, slice(count, count + 1))
    edges = _cut("travel", base[-2:], values, poses, slice(count + 1, count + 3))
    if not rest.poses.reached.all():
        raise explain(front, line, 0.0)
    roll = steer = None
    if not short:
        start = base.size + ask.roll.size
        roll = _cut("roll", ask.roll, values, poses, slice(base.size, start))
        steer = _cut("steer", ask.steer, values, poses, slice(start, start + ask.steer.size))
    settled = settle(front, line, travel)
    single = _single(front, travel, edges, settled) | _turning(front, rest, steer)
    return FrontStudy(front, line, rest, travel, roll, steer, settled, single)


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
    level = drive_travel(front.axle, line, travel, steer)
    leaning = drive_roll(front.axle, line, travel, roll, steer)
    poses = _either(roll == 0.0, level, leaning)
    reached = poses.reached & _steers(front, steer)
    poses = _with_reached(poses, reached)
    return Sweep("pose", travel, front.results(poses), poses)


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


def settle(front: Front, line: Lines, travel: Sweep) -> Sweep | None:
    """Find the travel at which the spring carries the same load as on the measured car."""
    spring, mass = front.fitted_spring(), front.car.sprung_mass
    if spring is None or mass is None:
        return None
    zero = np.zeros(1)
    place = zero
    for _ in range(12):
        poses = drive_travel(front.axle, _cover(front, line, place), place, zero)
        if not poses.reached.all():
            return None
        squeeze = front.spring_compression(poses)
        if squeeze is None:
            return None
        short = mass * GRAVITY - float(spring.load(squeeze).mean())
        rate = float(sum(spring.wheel_rate(squeeze)).mean())  # type: ignore[union-attr]
        if rate <= 0.0:
            return None
        step = float(np.clip(short / rate, -60.0, 60.0))
        if abs(step) < 1e-9:
            return Sweep("travel", place, front.results(poses), poses)
        place = np.clip(place + step, -SETTLE_RANGE, SETTLE_RANGE)
    return None


def _cover(front: Front, line: Lines, place: Array) -> Lines:
    """Return the line, or a wider one where a travel lies beyond what was surveyed."""
    if line.holds(np.broadcast_to(place, line.lowest.shape)).all():
        return line
    edge = np.array([SETTLE_RANGE])
    return survey_axle(front.axle, np.zeros(1), -edge, edge)


def _roll_run(front: Front, line: Lines, roll: Array) -> Poses:
    reach = float(np.abs(np.tan(roll)).max(initial=0.0)) * 900.0
    lowest, highest = float(line.lowest.max()), float(line.highest.min())
    short_low = -reach < lowest and not line.ends_low.any()
    short_high = reach > highest and not line.ends_high.any()
    if short_low or short_high:
        line = survey_axle(front.axle, np.zeros(1), np.array([-reach]), np.array([reach]))
    return drive_roll(front.axle, line, np.zeros_like(roll), roll, np.zeros(1))


def _steer_run(front: Front, steer: Array) -> Poses:
    zero = np.zeros_like(steer)
    line = survey_axle(front.axle, steer, zero, zero)
    poses = drive_travel(front.axle, line, zero, steer)
    return _with_reached(poses, poses.reached & _steers(front, steer, poses))


def _steers(front: Front, steer: Array, poses: Poses | None = None) -> Array:
    """Return which steers can be got to from straight ahead at zero travel, without a jump."""
    if poses is None:
        furthest = float(np.abs(steer).max(initial=0.0))
        if furthest == 0.0:
            return np.ones(steer.shape, dtype=bool)
        dense = np.linspace(-furthest, furthest, 2 * int(np.ceil(furthest / 6.0)) + 1)
        path = np.unique(np.concatenate([dense, steer]))
        zero = np.zeros_like(path)
        line = survey_axle(front.axle, path, zero, zero)
        poses = drive_travel(front.axle, line, zero, path)
    else:
        path = steer
    good, sides = poses.reached, np.sign(path)
    broken_right = path[(~good) & (sides >= 0)].min(initial=np.inf)
    broken_left = path[(~good) & (sides <= 0)].max(initial=-np.inf)
    return np.asarray((steer < broken_right) & (steer > broken_left))


def _cut(driver: str, at: Array, values: Results, poses: Poses, part: slice) -> Sweep:
    return Sweep(
        driver,
        at,
        {key: value[..., part] for key, value in values.items()},
        choose(poses, part),
    )


def _single(front: Front, travel: Sweep, edges: Sweep, settled: Sweep | None) -> dict[str, float]:
    """Results read off the travel sweep."""
    found = {"bump_steer_range": _toe_range(travel, edges)}
    if settled is not None:
        found["settled_travel"] = float(settled.at[0])
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
    good = travel.poses.reached
    if key not in travel.values or good.sum() < 2:
        return float("nan")
    lengths, at = travel.values[key][0][good], travel.at[good]
    order = np.argsort(lengths)
    lengths, at = lengths[order], at[order]
    if not lengths[0] <= wanted <= lengths[-1]:
        return float("nan")
    return float(interpolate(lengths, at, np.array([wanted]))[0])


def _toe_range(travel: Sweep, edges: Sweep) -> float:
    """Largest minus least toe inside the window, its turning points included."""
    inside = (np.abs(travel.at) <= edges.at[-1]) & travel.poses.reached
    if not (edges.poses.reached.all() and inside.sum() > 2):
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
    good = steer.poses.reached
    toe, camber = steer.values["toe"][:, good], steer.values["camber_road"][:, good]
    found: dict[str, float] = {}
    caster = caster_from_turn_plates((toe[0], camber[0]), TURN_PLATE_ANGLE)
    if caster is not None:
        found["caster_turn_plates"] = caster
    inner = -toe[0]  # of a left turn
    order = np.argsort(inner)
    if inner.size < 6 or not inner[order[0]] < TURN_PLATE_ANGLE < inner[order[-1]]:
        return found
    outer = float(interpolate(inner[order], toe[1][order], np.array([TURN_PLATE_ANGLE]))[0])
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


def _either(first: Array, one: Poses, other: Poses) -> Poses:
    """Take each pose from one of two sets."""
    count = first.size
    index = np.where(first, np.arange(count), np.arange(count) + count)
    return choose(join(one, other), index)


def _with_reached(poses: Poses, reached: Array) -> Poses:
    return Poses(**{**vars(poses), "reached": reached})


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
