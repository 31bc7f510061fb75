"""What a search must bring about and keep: wants, limits, each as numbers of many cars at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import copysign, inf, isfinite, nan
from typing import Any, Final, NamedTuple

import numpy as np

from app.document.address import SIDES
from app.document.ends import end_of, key_in, split_key
from app.document.model import Limit, Setup
from app.document.plans import Span
from app.judge.freedoms import FindError, Freedom, is_alike, with_moves
from app.judge.wanted import Ends, asked_of_wheels, usual_within, within_of
from app.systems.answers import Study
from app.systems.limits import readings, worst
from app.systems.standing import standings
from app.systems.study_results import value_of
from geometry.catalogue.front import JOINTS
from geometry.catalogue.result import Result
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.standing import Stands
from geometry.vectors import Array


class Pose(NamedTuple):
    """A pose: travel from where a car stands and steer [mm].

    No wheel goes beyond the `stops`, which are in the body: of each car they leave what they leave.
    """

    travel: float = 0.0
    steer: float = 0.0
    stops: Span = (-inf, inf)

    def travels(self, heights: Array) -> Array:
        """Return the travel of each car from where it stands, (m,)."""
        rebound, bump = (stop - heights for stop in self.stops)
        least, most = np.minimum(rebound, 0.0), np.maximum(bump, 0.0)
        return np.asarray(np.clip(self.travel, least, most))


AT_REST: Final = Pose()
RANGE: Final = "bump_steer_range"
_FAR: Final = 3.0  # times what all moves together change


@dataclass(frozen=True)
class Condition:
    """One thing to bring about or to keep: a number of a car, between `low` and `high`.

    `quantity` tells where to read it; `scale` is how near counts as met; a wall may not be passed.
    """

    name: str  # of the want or limit
    quantity: Quantity
    low: float
    high: float
    scale: float
    weight: float = 1.0
    is_wall: bool = False


@dataclass(frozen=True)
class Quantity:
    """A number of a car as it will stand.

    A result of one wheel in a pose, travel and steer [mm] from where it stands; less itself in
    another where `less_in` says so; or the most in several.
    """

    system: str
    key: str
    side: int = 0
    pose: Pose = AT_REST
    less_in: Pose | None = None
    most_in: tuple[Pose, ...] = ()

    @property
    def poses(self) -> tuple[Pose, ...]:
        """The poses that it is read in."""
        if self.most_in:
            return self.most_in
        return (self.pose,) if self.less_in is None else (self.pose, self.less_in)


class Conditions:
    """The wants and limits of a setup, over the cars that a search makes of it."""

    def __init__(
        self, setup: Setup, studies: Sequence[Study[Any]], freedoms: Sequence[Freedom]
    ) -> None:
        self.setup = setup
        self.studies = {study.system.key: study for study in studies}
        self.sides = (0,) if is_alike(setup, freedoms) else (0, 1)
        self.batches = 0
        self.all = (*self._of_wants(), *self._of_limits())
        self.all = tuple(self._without_far(freedoms))

    def values(self, setups: Sequence[Setup]) -> Array:
        """Return each condition's number of each car, NaN where it can't be built, (m, k).

        The cars of each end are solved once, in all poses that any condition asks for.
        """
        self.batches += 1
        columns: list[Array | None] = [None] * len(self.all)
        for end in dict.fromkeys(condition.quantity.system for condition in self.all):
            own_conditions = [
                (n, c.quantity) for n, c in enumerate(self.all) if c.quantity.system == end
            ]
            poses = sorted({pose for _, quantity in own_conditions for pose in quantity.poses})
            values = self._built(
                end, setups, {quantity.key for _, quantity in own_conditions}, poses
            )
            for number, quantity in own_conditions:
                columns[number] = _read(quantity, values, poses)
        return np.column_stack([c for c in columns if c is not None] or [np.zeros(len(setups))])

    def _built(
        self, end: str, setups: Sequence[Setup], keys: set[str], poses: Sequence[Pose]
    ) -> dict[str, Array]:
        system = self.studies[end].system
        steer = np.array([pose.steer for pose in poses])
        try:
            driven = {
                "travel": self._travels(end, setups, poses),
                **({"steer": steer} if steer.any() else {}),
            }
            return system.built_many(setups, keys, standings(system, setups), **driven).values
        except GeometryError:
            return {key: np.full(len(setups), np.nan) for key in keys}

    def _travels(self, end: str, setups: Sequence[Setup], poses: Sequence[Pose]) -> Array:
        """Return the travels of these poses, (n,), or of each car its own, (m, n)."""
        if not any(isfinite(stop) for pose in poses for stop in pose.stops):
            return np.array([pose.travel for pose in poses])
        system = self.studies[end].system
        stand_at, stood = standings(system, setups), []

        def stand(settled: Array | None) -> Stands:
            stood.append(stand_at(settled))
            return stood[-1]

        system.built_many(setups, (), stand)
        heights = np.nan_to_num(stood[-1].travel)
        return np.stack([pose.travels(heights) for pose in poses], axis=1)

    def _without_far(self, freedoms: Sequence[Freedom]) -> Iterator[Condition]:
        """Yield the conditions without limits of an end that only leans with the other one.

        That is little: those that the whole room takes nowhere near are left to the answer's check.
        """
        moved_ends = {end_of(freedom.key) for freedom in freedoms}
        if "car" in moved_ends or all(
            c.quantity.system in moved_ends for c in self.all if c.is_wall
        ):
            yield from self.all
            return
        stays = np.zeros(len(freedoms))
        ends = [
            np.where(np.arange(stays.size) == n, bound, stays)
            for n, freedom in enumerate(freedoms)
            for bound in (freedom.low, freedom.high)
        ]
        rows = [stays, *ends]
        values = self.values([with_moves(self.setup, freedoms, row.tolist()) for row in rows])
        change = np.abs(values[1:] - values[0])
        for condition, now, changes in zip(self.all, values[0], change.T, strict=True):
            room_left = min(now - condition.low, condition.high - now)
            is_far = room_left > _FAR * np.nansum(changes) and np.isfinite(changes).all()
            if condition.quantity.system in moved_ends or not condition.is_wall or not is_far:
                yield condition

    # --- wants ---

    def _of_wants(self) -> Iterator[Condition]:
        for want in self.setup.wants:
            end, key = split_key(want.result)
            study, result = self._result(end, key)
            asked = asked_of_wheels(want, study, result)
            if not asked:
                words, needs = _why(study, key)
                raise FindError(f"{{}} isn't known of this car: {words}.", want.result, *needs)
            if key == RANGE and len(self.sides) > 1 and not _only_at_most(*asked.values()):
                words = "both wheels have one range, and are unlike here: want it to be at most"
                raise FindError(f"{{}}: {words}.", want.result)
            left_value = next(iter(asked.values()))
            ends = [asked.get(side, left_value) for side in SIDES]
            near = within_of(want, asked, self.setup.units)
            yield from self._spread(study, result, want.result, ends, near, want.weight)

    def _result(self, end: str, key: str) -> tuple[Study[Any], Result]:
        study = self.studies.get(end)
        if study is None:
            raise FindError(f"this car has no {end}.")
        result = next((each for each in study.results if each.key == key), None)
        if result is None:
            raise FindError("{} isn't a result of this car.", key_in(end, key))
        return study, result

    # --- limits ---

    def _of_limits(self) -> Iterator[Condition]:
        """Yield the limits: walls, but for those that the car breaks as it stands."""
        for name, limit in self.setup.limits.items():
            end, key = split_key(name)
            study = self.studies.get(end)
            result = next((r for r in study.results if r.key == key), None) if study else None
            if study is None or result is None or value_of(study.proposed, result) is None:
                continue
            low = -inf if limit.minimum is None else limit.minimum
            high = inf if limit.maximum is None else limit.maximum
            near = usual_within(result.kind, (low, high), self.setup.units)
            is_wall = _keeps(study, result, limit)
            ends = [Ends(nan, low, high)] * 2
            yield from self._spread(study, result, name, ends, near, 1.0, is_wall)

    def _spread(
        self,
        study: Study[Any],
        result: Result,
        name: str,
        ends: Sequence[Ends],
        near: float,
        weight: float,
        is_wall: bool = False,
    ) -> Iterator[Condition]:
        """Yield a want or limit as conditions: of each wheel, and both ends of a range apart."""
        end, sides = study.system.key, self.sides
        if result.key == RANGE:
            high = ends[0].high
            for side in sides if _only_at_most(ends[0]) else ():
                for quantity in _toe_ends(study, side):
                    yield Condition(name, quantity, -high, high, near, weight, is_wall)
            if (
                high > 0.0
            ):  # between the ends, toe may go further; from nought, a slope says nothing
                whole = Quantity(end, RANGE)
                yield Condition(name, whole, ends[0].low, high, near, weight, is_wall)
            return
        if result.group == JOINTS and _only_at_most(ends[0]):
            quantities: Iterator[Quantity] = _swing_ends(study, result.key, sides)
        elif result.group == JOINTS:
            most_in = (*_stops_of(study), *_locks_of(study))
            quantities = (Quantity(end, result.key, side, most_in=most_in) for side in sides)
        else:
            each = sides if result.scope == "wheel" else (0,)
            quantities = (Quantity(end, result.key, side) for side in each)
        for quantity in quantities:
            low, high = ends[quantity.side].low, ends[quantity.side].high
            yield Condition(name, quantity, low, high, near, weight, is_wall)


def _read(quantity: Quantity, values: dict[str, Array], poses: Sequence[Pose]) -> Array:
    """Return one quantity of all cars, shape (m,)."""
    found = values.get(quantity.key)
    if found is None:
        name = f"{quantity.system}.{quantity.key}"
        raise FindError("{} isn't known of this car.", name)

    def at(pose: Pose) -> Array:
        if found.ndim == 1:
            return found
        here = found[..., poses.index(pose)]
        return here[:, quantity.side] if here.ndim == 2 else here

    if quantity.most_in:
        return np.asarray(np.max([at(pose) for pose in quantity.most_in], axis=0))
    value = at(quantity.pose)
    return value if quantity.less_in is None else value - at(quantity.less_in)


def _only_at_most(*ends: Ends) -> bool:
    """Tell whether all that is asked of what is never below nought is to be at most something."""
    return all(each.low == -inf or each.high == 0.0 for each in ends)


def _toe_ends(study: Study[Any], side: int) -> Iterator[Quantity]:
    """Yield the toe at both ends of the window, each less that at rest, and one less the other."""
    window, stops = study.ranges.window, study.ranges.stops
    low, high = Pose(-window, stops=stops), Pose(window, stops=stops)
    for at, less_at in ((low, AT_REST), (high, AT_REST), (high, low)):
        yield Quantity(study.system.key, "toe", side, at, less_at)


def _swing_ends(study: Study[Any], key: str, sides: Sequence[int]) -> Iterator[Quantity]:
    """Yield a joint's swing at both ends of travel and of steer."""
    for at in _stops_of(study):
        yield from (Quantity(study.system.key, key, side, at) for side in sides)
    for at in _locks_of(study):
        yield from (Quantity(study.system.key, key, side, at) for side in (0, 1))


def _stops_of(study: Study[Any]) -> Iterator[Pose]:
    stops = study.ranges.travel[:2]
    return (Pose(copysign(inf, stop), stops=stops) for stop in stops)


def _locks_of(study: Study[Any]) -> Iterator[Pose]:
    return (Pose(steer=steer) for steer in study.ranges.steer[:2])


def _keeps(study: Study[Any], result: Result, limit: Limit) -> bool:
    reading = worst(limit, readings(study.proposed, result))
    return reading is None or limit.allows(reading.value)


def _why(study: Study[Any], key: str) -> tuple[str, tuple[str, ...]]:
    """Return why a result isn't known, with {} for the keys that it needs, and these."""
    needs = tuple(study.missing.get(key, ()))
    words = f"{', '.join('{}' for _ in needs)} isn't given" if needs else "it doesn't exist here"
    return words, needs
