"""Many fronts, alike in what they have, through the kernel together.

What the kernel does for the poses of one car it does as well where each pose has a car of its own.
So many cars in many poses are laid out one behind the other, (2, cars · poses), in parts whose
arrays stay in the cache. Level and straight ahead, cars whose sides are alike need one row only.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.front.axle import Front, FrontCar, Reference, build_front
from geometry.front.one_row import on_one_row
from geometry.front.reach import survey
from geometry.front.road import Demand, Poses, drive
from geometry.front.runs import Lines, Table
from geometry.front.standing import to_road
from geometry.front.sweeps import STEER_SURVEY, connected, lean_travel, steer_path
from geometry.numeric import first_of_each, quietly
from geometry.rows import chosen, repeated
from geometry.standing import Stands
from geometry.vectors import Array

COLUMNS: Final = 8192
"""Poses of a wheel that are solved at once: the processor's cache holds their arrays."""

_NUMBERS: Final = (
    "spring",
    "sprung_mass",
    "unsprung_mass",
    "tyre_rate",
    "toe_diameter",
    "brake_share",
    "leverage",
    "wheelbase",
)


@dataclass(frozen=True)
class ManyFronts:
    """Cars bolted up and aligned together.

    Parameters
    ----------
    front
        The s cars that can be built, as one front with arrays of shape (2, s).
    sound
        Which of the m cars they are, shape (m,).
    stands
        Where the s cars stand, shape (s,): from there their travel counts. None at the measured
        height.
    """

    front: Front
    sound: Array
    stands: Stands | None = None

    @property
    def count(self) -> int:
        """How many cars can be built."""
        return int(self.sound.sum())

    @property
    def heights(self) -> Array:
        """Travel at which each of the s cars stands, from the measured height [mm], (s,)."""
        return np.zeros(self.count) if self.stands is None else self.stands.travel

    @property
    def all_heights(self) -> Array:
        """The same of all m cars, shape (m,): 0 for those that can't be built."""
        heights = np.zeros(self.sound.size)
        heights[self.sound] = self.heights
        return heights


@dataclass(frozen=True)
class ManyPoses:
    """Results of m cars in n poses; NaN where a pose isn't reached or a car can't be built.

    Parameters
    ----------
    values
        Results by key: of wheels of shape (m, 2, n), of the axle (m, n).
    reached
        Which poses could be taken, shape (m, n).
    """

    values: dict[str, Array]
    reached: Array


class Solved(NamedTuple):
    """Some of the cars in n poses each, laid out one behind the other.

    Parameters
    ----------
    cars
        Which of the sound cars they are, shape (c,).
    front
        The cars, each as often as it has poses, arrays of shape (1 or 2, c · n).
    poses
        Their poses; one row where both sides are alike.
    """

    cars: Array
    front: Front
    poses: Poses


class Asked(NamedTuple):
    """What is asked of each sound car.

    Parameters
    ----------
    travel, roll
        Mean travel [mm] and roll [rad], shape (cars, n).
    steer
        Steer [mm], shape (n,).
    rack
        Steer at which the wheels' runs are surveyed [mm].
    spare
        Least travel each way that is surveyed [mm].
    """

    travel: Array
    roll: Array
    steer: Array
    rack: float = 0.0
    spare: float = 1.0


@quietly
def build_many(car: FrontCar, measured: ManyFronts | None = None) -> ManyFronts:
    """Bolt many cars up and align them; measured cars make their own references.

    Parameters
    ----------
    car
        The cars as one, arrays of shape (2, m) and numbers of shape (m,).
    measured
        The measured cars, which fix what their proposals are compared with: as many, or one for
        all. None where `car` holds the measured ones.

    Raises
    ------
    GeometryError
        None of the cars can be built: why the first can't.
    """
    count, reference = car.design.camber.shape[-1], None
    places = np.arange(count)
    if measured is not None:
        reference = measured.front.reference
        if measured.sound.size == count:
            places = np.flatnonzero(measured.sound)
            car = _some(car, count, places)
    good = np.arange(places.size)
    try:
        front = build_front(car, reference)
    except GeometryError:
        good = _buildable(car, reference, good)
        front = build_front(*_of_these(car, reference, good if good.size else np.arange(1)))
    return ManyFronts(front, np.isin(np.arange(count), places[good]))


def _buildable(car: FrontCar, reference: Reference | None, cars: Array) -> Array:
    """Return which of cars that can't all be built can be, by halving until a bad one is alone."""
    if cars.size == 1:
        return cars[:0]
    good = []
    for half in np.array_split(cars, 2):
        try:
            build_front(*_of_these(car, reference, half))
            good.append(half)
        except GeometryError:
            good.append(_buildable(car, reference, half))
    return np.concatenate(good)


def _of_these(
    car: FrontCar, reference: Reference | None, cars: Array
) -> tuple[FrontCar, Reference | None]:
    count = car.design.camber.shape[-1]
    return _some(car, count, cars), chosen(reference, count, cars)


def _some(car: FrontCar, count: int, cars: Array) -> FrontCar:
    """Choose some cars; where parts are bolted where they were made, they stay so."""
    if cars.size == count:
        return car
    some = chosen(car, count, cars)
    return replace(some, body=some.design) if car.body is car.design else some


@quietly
def pose_many(
    fronts: ManyFronts,
    travel: Array,
    roll: Array,
    steer: Array,
    keys: Collection[str] | None = None,
) -> ManyPoses:
    """Solve every car in the same poses, as `pose_front` does one.

    Parameters
    ----------
    fronts
        The m cars.
    travel
        Mean travel from where a car stands [mm], + bump, shape (n,), or (m, n) of each car's own.
    roll
        Roll of the body [rad], + to its right, shape (n,) or (m, n).
    steer
        Travel of the rack or relay [mm], + to the left, shape (n,).
    keys
        Results that are needed; None gives all. What these cars haven't is left out.
    """
    shape = fronts.sound.size, np.broadcast_shapes(travel.shape, roll.shape, steer.shape)[-1]
    steer = np.broadcast_to(steer, shape[1:])
    whole = ManyPoses({}, np.zeros(shape, dtype=bool))
    for columns, rack in _rack_groups(travel, roll, steer):
        poses = Asked(
            np.broadcast_to(travel, shape)[fronts.sound][:, columns] + fronts.heights[:, None],
            np.broadcast_to(roll, shape)[fronts.sound][:, columns],
            steer[columns],
            rack,
        )
        _add(whole, columns, _results(fronts, poses, keys))
    return _steered(fronts, steer, whole) if steer.any() else whole


def _rack_groups(travel: Array, roll: Array, steer: Array) -> list[tuple[Array | slice, float]]:
    """Group poses by the steer at which their runs are surveyed [mm].

    Poses that are only steered start from straight ahead; others need a run at their steer.
    """
    is_moved = (travel != 0.0) | (roll != 0.0)
    racks = steer[first_of_each(steer)]
    if racks.size == 1 or not (is_moved & (steer != 0.0)).any():
        return [(slice(None), float(racks[0]) if racks.size == 1 else 0.0)]
    return [(np.flatnonzero(steer == rack), float(rack)) for rack in racks]


def _results(fronts: ManyFronts, poses_asked: Asked, keys: Collection[str] | None) -> ManyPoses:
    """Solve poses and put their results where their cars are."""
    shape, places = (fronts.sound.size, poses_asked.steer.size), np.flatnonzero(fronts.sound)
    values: dict[str, Array] = {}
    reached = np.zeros(shape, dtype=bool)
    for cars, front, poses in solved(fronts, poses_asked):
        rows, block = places[cars], (cars.size, shape[1])
        good = reached[rows] = poses.reached.reshape(block)
        for key, value in _at_stand(fronts, cars, front, poses, keys).items():
            if keys is None or key in keys:
                _put(values, key, rows, value.reshape(*value.shape[:-1], *block), shape[0])
        if not good.all():
            for value in values.values():
                value[rows] = np.where(
                    good if value.ndim == 2 else good[:, None], value[rows], np.nan
                )
    for key, value in values.items():
        value[~fronts.sound] = np.nan
        if value.ndim == 3:
            values[key] = np.broadcast_to(value, (shape[0], 2, shape[1]))
    return ManyPoses(values, reached)


def _at_stand(
    fronts: ManyFronts, cars: Array, front: Front, poses: Poses, keys: Collection[str] | None
) -> Mapping[str, Array]:
    """Return results of some cars' poses, of cars that stand elsewhere to the road."""
    values = front.results(poses, keys)
    if fronts.stands is None:
        return values
    some = chosen(fronts.stands, fronts.count, cars)
    times = poses.travel.shape[-1] // cars.size
    return to_road(front, values, poses, repeated(some, cars.size, times))


def _put(values: dict[str, Array], key: str, rows: Array, value: Array, count: int) -> None:
    """Put some cars' results of a wheel, (1 or 2, c, n), or of the axle, (c, n), among all."""
    sides = value.shape[:-2]
    if key not in values:
        values[key] = np.empty((count, *sides, value.shape[-1]))
    values[key][rows] = value.swapaxes(0, 1) if sides else value


def _add(whole: ManyPoses, columns: Array | slice, part: ManyPoses) -> None:
    """Put the results of some poses among those of all."""
    whole.reached[:, columns] = part.reached
    if isinstance(columns, slice):  # these are all
        whole.values.update(part.values)
        return
    for key, value in part.values.items():
        if key not in whole.values:
            shape = *value.shape[:-1], whole.reached.shape[1]
            whole.values[key] = np.full(shape, np.nan)
        whole.values[key][..., columns] = value


def _steered(fronts: ManyFronts, steer: Array, whole: ManyPoses) -> ManyPoses:
    """Take poses away whose steer can't be got to from straight ahead at zero travel."""
    path = steer_path(steer)
    heights = np.repeat(fronts.heights[:, None], path.size, axis=1)
    poses = Asked(heights, np.zeros_like(heights), path, 0.0, STEER_SURVEY)
    good = _results(fronts, poses, ()).reached
    in_reach = connected(path, good)[:, np.searchsorted(path, steer)]
    values = {
        key: np.where(in_reach if value.ndim == 2 else in_reach[:, None], value, np.nan)
        for key, value in whole.values.items()
    }
    return ManyPoses(values, whole.reached & in_reach)


def solved(fronts: ManyFronts, poses_asked: Asked) -> Iterator[Solved]:
    """Solve the sound cars in n poses each, part by part.

    Parameters
    ----------
    fronts
        The cars; only the sound ones are solved.
    poses_asked
        Travel [mm], roll [rad] and steer, each of shape (n,), the same for every car.
    """
    front, count, times = fronts.front, fronts.count, poses_asked.steer.size
    if not (poses_asked.roll.any() or poses_asked.steer.any()):
        front = on_one_row(front)
    size = max(1, COLUMNS // (max(times, 1) * len(front.axle.corners.parts.height)))
    waiting = [np.arange(count)[start : start + size] for start in range(0, count, size)]
    while waiting:
        cars = waiting.pop()
        in_order = cars[-1] - cars[0] == cars.size - 1  # a slice copies nothing
        some = chosen(front, count, slice(cars[0], cars[-1] + 1) if in_order else cars)
        part = poses_asked._replace(travel=poses_asked.travel[cars], roll=poses_asked.roll[cars])
        lines = _survey(some, part)
        cut = _cut_off(lines)
        if cut.any() and not cut.all():  # runs that end in folds are told apart by other means
            waiting += [cars[cut], cars[~cut]]
        else:
            yield Solved(cars, *_driven(some, lines, part))


def _survey(front: Front, poses_asked: Asked) -> Lines:
    """Survey one run of each wheel, (rows, cars), over all that is asked for."""
    cars = poses_asked.travel.shape[0]
    half_track = np.broadcast_to(front.reference.contact_y.max(axis=0), (cars,))
    lean = lean_travel(poses_asked.roll, half_track[:, None])
    low = np.minimum((poses_asked.travel - lean).min(axis=1), -poses_asked.spare)
    high = np.maximum((poses_asked.travel + lean).max(axis=1), poses_asked.spare)
    corners = front.axle.corners
    inner = front.axle.steering.inner_ends(np.full(cars, poses_asked.rack))
    zero = np.zeros((len(corners.parts.height), 1))
    return survey(corners, inner, low + zero, high + zero)


def _cut_off(lines: Lines) -> Array:
    """Return which cars have a run that ends in a fold, or is none."""
    if not isinstance(lines.guess, Table):
        return np.zeros(lines.low.shape[-1], dtype=bool)
    return np.asarray((lines.ends_low | lines.ends_high | ~(lines.lowest < np.inf)).any(axis=0))


def _driven(front: Front, lines: Lines, poses_asked: Asked) -> tuple[Front, Poses]:
    """Solve poses of cars, each with its own run."""
    cars, times = poses_asked.travel.shape
    wide = _each_pose(front, cars, times)
    roll, half_track = poses_asked.roll.ravel(), wide.reference.contact_y
    demand = Demand(poses_asked.travel.ravel(), roll, np.tile(poses_asked.steer, cars), roll != 0.0)
    if isinstance(lines.guess, Table):
        every = lines.of(np.repeat(np.arange(cars), times))
    else:
        every = repeated(lines, cars, times)
    return wide, drive(wide.axle, every, demand, half_track)


def _each_pose(front: Front, cars: int, times: int) -> Front:
    """Repeat of each car what results are worked out from, once a pose."""
    car = front.car
    numbers = {name: repeated(getattr(car, name), cars, times) for name in _NUMBERS}
    bar = car.spring is not None and car.spring.kind == "torsion bar"
    return Front(
        car=replace(
            car, **numbers, design=repeated(car.design, cars, times) if bar else car.design
        ),
        axle=repeated(front.axle, cars, times),
        joints=repeated(front.joints, cars, times),
        spring=repeated(front.spring, cars, times),
        damper=repeated(front.damper, cars, times),
        reference=repeated(front.reference, cars, times),
    )
