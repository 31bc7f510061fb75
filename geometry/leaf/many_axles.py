"""Many axles on leaf springs put together, and made to stand where their cars stand.

What is odd about one of them (a shackle at its end) is left to that axle by itself, so that it ends
as it does alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.leaf.axle import Design, LeafPath, arrived, curvature_for, path_at_curvature
from geometry.leaf.build import build_leaf, held_leaf
from geometry.leaf.car import LeafCar
from geometry.leaf.load import PackStages
from geometry.leaf.loop import LeafLoop, close_loop, wheel_of
from geometry.leaf.many_build import Springs, changed_springs, measured_springs, start_of
from geometry.leaf.many_packs import ManyPacks, many_packs
from geometry.leaf.reach import SEARCH, ends_of
from geometry.leaf.rear import LeafRear
from geometry.leaf.reference import LeafReference
from geometry.numeric import quietly
from geometry.rows import arrays_in, changed, chosen, stacked
from geometry.standing import Stands
from geometry.vectors import Array


@dataclass(frozen=True)
class ManyLeaves:
    """Axles on leaf springs put together.

    Parameters
    ----------
    car
        The m cars as one, every number an array of shape (m,); its pack is that of one of them.
    stages, packs
        Their packs, one by one and side by side.
    springs
        Their springs where they stand.
    sound
        Which of them can be put together, shape (m,); what is said of others means nothing.
    """

    car: LeafCar
    stages: Sequence[PackStages]
    packs: ManyPacks
    springs: Springs
    sound: NDArray[np.bool_]

    @property
    def settled(self) -> Array | None:
        """Rises of the wheels until the packs carry their load [mm], (m,); None without a load."""
        springs = self.springs
        if springs.free is None:
            return None
        return np.where(self.sound, springs.start.z - springs.datum[1], np.nan)

    def alone(self, place: int) -> LeafRear:
        """Return one of the axles by itself."""

        def number(array: Array) -> Any:
            return array[..., place].item()

        stages, springs = self.stages[place], changed(self.springs, number)
        reference = _reference(springs)
        car = replace(changed(self.car, number), pack=stages.pack)
        return LeafRear(car, stages, springs.loop, reference, springs.stage, springs.right_loop)


def _reference(springs: Any) -> LeafReference:
    """Return what a measured car fixes, of springs with the numbers of one."""
    return LeafReference(
        springs.datum, springs.free, springs.arch, springs.seat_height, springs.seat_angle
    )


@quietly
def build_many(
    car: LeafCar, stages: Sequence[PackStages | None], measured: ManyLeaves | None = None
) -> ManyLeaves:
    """Put many leaf axles together; measured cars make their own references.

    Parameters
    ----------
    car
        The m cars as one, every number an array of shape (m,).
    stages
        Their packs, None of a car whose pack can't be.
    measured
        The measured cars, as many; None where `car` holds them.

    Raises
    ------
    GeometryError
        None can be: why the last can't.
    """
    known_stages = [each for each in stages if each is not None]
    had = np.array([each is not None for each in stages])
    filled = [known_stages[0] if each is None else each for each in stages]
    packs = many_packs(filled)
    if measured is None:
        springs, sound = measured_springs(car, packs)
    else:
        springs, sound = changed_springs(car, packs, measured.springs)
        had = had & measured.sound
    axles = ManyLeaves(car, filled, packs, springs, sound & had)
    reason: GeometryError | None = None
    for place in np.flatnonzero(~sound & had).tolist():
        try:
            axles = _with_one(axles, place, measured is None)
        except GeometryError as error:
            reason = error
    if reason is not None and not axles.sound.any():
        raise reason
    return axles


def _with_one(axles: ManyLeaves, place: int, is_measured: bool) -> ManyLeaves:
    """Return the axles with one that is put together by itself."""
    odd = axles.alone(place)
    return _put(axles, place, build_leaf(odd.car, None if is_measured else odd.reference))


def _put(axles: ManyLeaves, place: int, rear: LeafRear) -> ManyLeaves:
    """Return the axles with one that is as worked out by itself."""
    reference = rear.reference
    loop: LeafLoop = stacked([rear.loop], 1)
    own = Springs(
        loop=loop,
        start=start_of(loop),
        stage=np.array([rear.stage]),
        rates=stacked([rear.rates], 1),
        datum=stacked([reference.datum], 1),
        free=stacked([reference.free], 1),
        arch=stacked([reference.arch], 1),
        seat_height=np.array([reference.seat_height]),
        seat_angle=np.array([reference.seat_angle]),
        right_loop=stacked([rear.right_loop], 1),
    )
    numbers = arrays_in(own)

    def put(array: Array) -> Array:
        whole = array.copy()
        whole[place] = next(numbers)[0]
        return whole

    sound = axles.sound.copy()
    sound[place] = True
    return replace(axles, springs=changed(axles.springs, put), sound=sound)


@quietly
def stand_many(axles: ManyLeaves, stands: Stands) -> ManyLeaves:
    """Return axles of cars that stand there, on springs that hold them there if they must.

    Parameters
    ----------
    axles
        The m axles on the springs that they have.
    stands
        Where the m cars stand.
    """
    if stands.has_drop and axles.car.cg_height is not None:
        lower: Any = axles.car.cg_height - stands.drop
        axles = replace(axles, car=replace(axles.car, cg_height=lower))
    springs = axles.springs
    if not stands.is_held or springs.free is None:
        return axles
    path, there = path_to(
        springs.loop, design_beyond(springs, stands.travel), springs.datum, stands.travel
    )
    sag: Any = springs.loop.sag + path.curvature_change
    loop = replace(springs.loop, sag=sag)
    held = replace(springs, loop=loop, start=start_of(loop))
    stood = replace(axles, springs=held, sound=axles.sound & there)
    for place in np.flatnonzero(axles.sound & ~there).tolist():
        try:
            rear = held_leaf(axles.alone(place), float(stands.travel[place]))
        except GeometryError:
            continue
        stood = _put(stood, place, rear)
    return stood


def design_beyond(springs: Springs, *travels: Array) -> Design:
    """Return where loops start from and how far they reach.

    Parameters
    ----------
    springs
        Of m axles.
    travels
        How far they must [mm], shape (m,) or (m, n) each.
    """
    loop, start = springs.loop, springs.start
    rows = [travel.reshape(start.z.size, -1) for travel in travels]
    heights = springs.datum[1][:, None] + np.hstack(rows)
    wide = changed(loop, lambda array: array[:, None])
    ends = _ends(loop, 1)
    seat = close_loop(wide, ends)
    height = wheel_of(wide, seat.x, seat.z, seat.angle)[1]
    near = ~((height[:, :1] <= heights) & (heights <= height[:, 1:])).all(axis=1)
    if near.any():
        ends[near] = _ends(chosen(loop, start.z.size, near))
    return Design(start.z, start.slope, start.second, ends[:, 0], ends[:, 1])


def _ends(loop: LeafLoop, *passes: int) -> Array:
    """Return changes of curvature up to which loops close [1/mm], (m, 2): `reach.ends_of`."""
    wide = changed(loop, lambda array: array[:, None, None])
    last = np.array([1.0, -1.0]) * SEARCH / loop.length[:, None]  # type: ignore[index]
    return ends_of(wide, np.zeros_like(last), last, *passes)


def path_to(
    loop: LeafLoop, design: Design, zero: tuple[Array, Array], travel: Array
) -> tuple[LeafPath, Array]:
    """Return poses of as many loops at travels, (n,), and which of them are reached.

    Parameters
    ----------
    loop, design
        The loops, one a pose, and where they start from.
    zero
        Wheel centres at zero travel, (x, z) [mm].
    travel
        [mm], + in bump, shape (n,).
    """
    change = curvature_for(loop, zero[1] + travel, design)
    path = path_at_curvature(loop, change, zero)  # type: ignore[arg-type]
    return path, arrived(path, travel)
