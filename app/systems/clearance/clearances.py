"""The least distance of each pair of envelopes over all poses between stops and locks.

Poses are looked over in a grid first, then twice more closely about the nearest of each side: what
is between two poses of the last grid is less than anybody can measure. Where the envelopes touch,
the pose is told that is nearest to where the car stands.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from functools import lru_cache
from typing import Any, Final, Literal, cast

import numpy as np

from app.document.address import SIDES, Side
from app.document.clearances import Clearance, envelopes_by_name
from app.document.model import FrozenMap, Setup, Vec
from app.systems.answers import CarAnswers, Ranges, Study
from app.systems.clearance.placing import Placing
from app.systems.clearance.shapes import shape_of
from geometry.clearance.nearest import Nearest, nearest
from geometry.clearance.shapes import joined
from geometry.dataclass import dataclass
from geometry.numeric import quietly
from geometry.vectors import Array

_GRID: Final = (13, 7)  # of travel, or of the left wheel's; of steer, or of the right wheel's
_REAR_GRID: Final = (9, 9)
_CLOSER: Final = 7  # poses each way about the nearest one
_ROUNDS: Final = 2

_HELD: Final = 24  # cars whose readings are kept: both ends of all that lie side by side

By = Literal["steer", "roll"]
Shares = tuple[float, float]


@dataclass(frozen=True)
class Reading:
    """How near a pair comes on one side, in which pose, and where on each, car axes [mm].

    `travel` [mm] counts from where the car stands; `driven` is the steer [mm] of a front, the
    body's roll [rad] of a rear; `in_body` is the travel from the measured height [mm]; `at` is the
    pose as shares of both drivers.
    """

    gap: float
    side: Side
    travel: float
    driven: float
    in_body: float
    at: Shares
    on_first: Vec
    on_second: Vec

    @property
    def touches(self) -> bool:
        """Tell whether the pair touches."""
        return self.gap <= 0.0


@dataclass(frozen=True)
class ClearanceCheck:
    """A clearance, with what each car leaves of it on each side; None where nothing is known."""

    clearance: Clearance
    measured: tuple[Reading, ...] | None
    proposed: tuple[Reading, ...] | None

    @property
    def found(self) -> Reading | None:
        """The nearer side's reading of the car as found."""
        return nearer(self.measured)

    @property
    def built(self) -> Reading | None:
        """The nearer side's reading of the car as built."""
        return nearer(self.proposed)

    @property
    def held(self) -> bool | None:
        """Tell whether the car as built keeps it; None without a limit, or where untold."""
        return self._is_held(self.built)

    @property
    def held_before(self) -> bool | None:
        """Tell whether the car as found keeps it."""
        return self._is_held(self.found)

    def _is_held(self, reading: Reading | None) -> bool | None:
        least = self.clearance.at_least
        return None if reading is None or least is None else reading.gap >= least


def driver_of(study: Study[Any]) -> By:
    """Return what an end is driven over beside travel."""
    return "steer" if "steer" in study.system.drivers else "roll"


def clearances(study: Study[Any]) -> tuple[ClearanceCheck, ...]:
    """Return every clearance of a study's end, in the order of the file.

    Of a study that is short, as during a drag, the car as built isn't told.
    """
    asked = tuple(each for each in study.setup.clearances if each.end == study.system.key)
    if not asked:
        return ()
    before = of_one_car(study, "found")
    after: tuple[tuple[Reading, ...], ...] | None = before
    if study.changed:
        after = None if study.short else of_one_car(study, "built")
    none = (None,) * len(asked)
    return tuple(map(ClearanceCheck, asked, before or none, after or none))


def of_one_car(
    study: Study[Any], car: Literal["found", "built"]
) -> tuple[tuple[Reading, ...], ...]:
    """Return what one car of a study leaves of each clearance of its end, on each side."""
    system = cast(Hashable, study.system)
    setup = study.setup.having(wants=(), rooms=FrozenMap({}))  # of which no car knows
    if car == "found":
        return _kept(_Told(study.measured), system, setup.having(changes=()), False)
    return _kept(_Told(study.proposed), system, setup, True)


def nearer(readings: Sequence[Reading] | None) -> Reading | None:
    """Return the reading of the nearer side, None where there is none."""
    return min(readings or (), key=lambda reading: reading.gap, default=None)


def gaps_at(study: Study[Any], poses: Sequence[tuple[int, Side, Shares]]) -> Array:
    """Return what the car as built leaves of clearances, each on a side in one pose [mm], (n,).

    A clearance is told by its place among its end's; NaN where the car can't take the pose. A study
    that is short will do.
    """
    looked = _Looked(study.proposed, study.system, study.setup, study.changed)
    return looked.gaps([(place, SIDES.index(side), at) for place, side, at in poses])


class _Told:
    """A car of which the setup beside it tells all: its arrays are too many to compare."""

    def __init__(self, car: CarAnswers) -> None:
        self.car = car

    def __hash__(self) -> int:
        return 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Told)


@lru_cache(maxsize=_HELD)
def _kept(
    told: _Told, system: Any, setup: Setup, proposed: bool
) -> tuple[tuple[Reading, ...], ...]:
    return _Looked(told.car, system, setup, proposed).readings()


@dataclass(frozen=True)
class _Spot:
    """The nearest pose so far of one clearance on one side."""

    clearance: int
    side: int
    reading: Reading


class _Looked:
    """One car looked over for all clearances of an end."""

    def __init__(self, car: CarAnswers, system: Any, setup: Setup, proposed: bool) -> None:
        self.car, self.system, self.setup, self.proposed = car, system, setup, proposed
        self.ranges: Ranges = system.ranges(setup)
        self.asked = [each for each in setup.clearances if each.end == system.key]
        self.envelopes = envelopes_by_name(system.key, setup.envelopes, setup.evidence)

    @quietly
    def readings(self) -> tuple[tuple[Reading, ...], ...]:
        """Return of each clearance what each side leaves of it."""
        is_front = "steer" in self.system.drivers
        counts = _GRID if is_front else _REAR_GRID
        axes = [np.linspace(0.0, 1.0, count) for count in counts]
        shares = tuple(axis.ravel() for axis in np.meshgrid(*axes, indexing="ij"))
        wanted = [
            (place, side) for place, each in enumerate(self.asked) for side in self._sides(each)
        ]
        spots = self._spots(shares, [(pair, slice(None)) for pair in wanted])
        steps = np.array([1.0 / (count - 1) for count in counts])
        for _ in range(_ROUNDS):
            spots, steps = self._closer(spots, steps), 2.0 * steps / (_CLOSER - 1)
        by_clearance: list[list[Reading]] = [[] for _ in self.asked]
        for spot in spots:
            by_clearance[spot.clearance].append(spot.reading)
        return tuple(map(tuple, by_clearance))

    @quietly
    def gaps(self, poses: Sequence[tuple[int, int, Shares]]) -> Array:
        """Return what is left of clearances, each on a side in one pose, NaN where out of reach."""
        shares = tuple(np.array([at[axis] for _, _, at in poses]) for axis in (0, 1))
        parts = [((place, side), slice(n, n + 1)) for n, (place, side, _) in enumerate(poses)]
        spots = self._spots(shares, parts)
        left = {(spot.clearance, spot.side, spot.reading.at): spot.reading.gap for spot in spots}
        return np.array([left.get(pose, np.nan) for pose in poses])

    def _sides(self, clearance: Clearance) -> list[int]:
        """Return the sides on which both envelopes are: 0 left, 1 right."""
        sides = {self.envelopes[name].side for name in clearance.between}
        return [place for place, side in enumerate(SIDES) if sides <= {"both", side}]

    def _closer(self, spots: Sequence[_Spot], steps: Array) -> list[_Spot]:
        """Look more closely about each spot, in one batch of poses."""
        if not spots:
            return []
        about = np.linspace(-1.0, 1.0, _CLOSER)
        grids = [
            np.meshgrid(
                *(
                    np.clip(a + s * about, 0.0, 1.0)
                    for a, s in zip(spot.reading.at, steps, strict=True)
                )
            )
            for spot in spots
        ]
        shares = tuple(np.concatenate([grid[axis].ravel() for grid in grids]) for axis in (0, 1))
        size = _CLOSER * _CLOSER
        parts = [
            ((spot.clearance, spot.side), slice(place * size, (place + 1) * size))
            for place, spot in enumerate(spots)
        ]
        closer = {(spot.clearance, spot.side): spot for spot in self._spots(shares, parts)}
        return [closer.get((spot.clearance, spot.side), spot) for spot in spots]

    def _spots(
        self,
        shares: tuple[Array, ...],
        parts: Sequence[tuple[tuple[int, int], slice]],
    ) -> list[_Spot]:
        """Return the nearest pose of each clearance and side among its part of these poses."""
        placing = self.system.placing(
            self.setup, self.car, self.ranges, (shares[0], shares[1]), self.proposed
        )
        count = placing.reached.size
        shapes = {
            name: shape_of(self.envelopes[name], placing, self.setup, self.proposed)
            for name in {name for each in self.asked for name in each.between}
        }
        runs = [(pair, self._taken(placing, np.arange(count)[part])) for pair, part in parts]
        runs = [(pair, poses) for pair, poses in runs if poses.size]
        if not runs:
            return []
        first, second = (
            joined(
                [
                    shapes[self.asked[clearance].between[place]].of(poses + side * count)
                    for (clearance, side), poses in runs
                ]
            )
            for place in (0, 1)
        )
        sizes = [poses.size for _, poses in runs]
        near = nearest(first, second, np.repeat(np.arange(len(runs)), sizes))
        ends = np.cumsum([0, *sizes])
        return [
            self._spot(pair, poses, placing, shares, near.of(slice(start, end)))
            for (pair, poses), start, end in zip(runs, ends[:-1], ends[1:], strict=True)
        ]

    def _spot(
        self,
        pair: tuple[int, int],
        poses: Array,
        placing: Placing,
        shares: tuple[Array, ...],
        near: Nearest,
    ) -> _Spot:
        """Return the nearest of some poses of one clearance on one side."""
        clearance, side = pair
        best = self._nearest(near.gap, placing, poses, side)
        pose = int(poses[best])
        reading = Reading(
            float(near.gap[best]),
            SIDES[side],
            float(placing.travel[pose]) - self.car.stand.travel,
            float(placing.driven[pose]),
            float(placing.travel[pose]),
            (float(shares[0][pose]), float(shares[1][pose])),
            _vec(near.on_first[best]),
            _vec(near.on_second[best]),
        )
        return _Spot(clearance, side, reading)

    def _taken(self, placing: Placing, poses: Array) -> Array:
        """Return which of some poses the car can take."""
        return poses[placing.reached[poses] & np.isfinite(placing.travel[poses])]

    def _nearest(self, gaps: Array, placing: Placing, poses: Array, side: int) -> int:
        """Return the nearest pose; of those that touch the one nearest to where the car stands."""
        least = gaps.min()
        if least > 0.0:
            return int(gaps.argmin())
        low, high, _ = self.ranges.travel
        spread = max(np.abs(placing.driven).max(), 1e-9)
        away = np.hypot(
            (placing.travel[poses] - self.car.stand.travel) / (high - low),
            0.5 * placing.driven[poses] / spread,
        )
        # of poses as far away the mirrored one for the right, so that a mirrored car reads alike
        away -= 1e-9 * placing.driven[poses] * (1.0 if side else -1.0) / spread
        return int(np.where(gaps == least, away, np.inf).argmin())


def _vec(row: Array) -> Vec:
    x, y, z = row.tolist()
    return (x, y, z)
