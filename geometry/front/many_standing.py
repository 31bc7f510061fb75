"""Many fronts where each stands: aligned there, on springs that hold it there if they must."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from geometry.front.many import Asked, ManyFronts, solved
from geometry.front.standing import held, stood
from geometry.numeric import quietly
from geometry.rows import chosen
from geometry.standing import Stands


@quietly
def stand_many(fronts: ManyFronts, stands: Stands) -> ManyFronts:
    """Return cars aligned where each stands, on springs that hold it there if they must.

    Parameters
    ----------
    fronts
        The cars as bolted up and aligned at the measured height.
    stands
        Where the m cars stand; of those that can't be built whatever is said counts for nothing.
        One that stands nowhere, NaN, is of no more use than one that can't be built.

    Raises
    ------
    GeometryError
        A wheel of some car can't stand there with its toe.
    """
    fronts = _that_stand(fronts, stands)
    own_stands = chosen(stands, fronts.sound.size, fronts.sound)
    if own_stands.is_as_measured:
        return fronts
    risen = ManyFronts(stood(fronts.front, own_stands), fronts.sound, own_stands)
    return _held(risen) if own_stands.is_held else risen


def _that_stand(fronts: ManyFronts, stands: Stands) -> ManyFronts:
    """Leave out the cars that stand nowhere, unless none stands anywhere."""
    standing = fronts.sound & np.isfinite(stands.travel + stands.pitch + stands.drop)
    if not standing.any() or (standing == fronts.sound).all():
        return fronts
    standing_fronts = chosen(fronts.front, fronts.count, standing[fronts.sound])
    return replace(fronts, front=standing_fronts, sound=standing)


def _held(fronts: ManyFronts) -> ManyFronts:
    """Give each car springs that carry its load where it stands."""
    reference, count = fronts.front.reference, fronts.count
    free, force = np.full((2, 2, count), np.nan)
    zero = np.zeros((count, 1))
    spring = fronts.front.car.spring
    for cars, front, poses in solved(fronts, Asked(fronts.heights[:, None], zero, zero[0])):
        own = held(front, poses).reference
        for rows, part in ((free, own.free), (force, own.force)):
            if part is not None:
                rows[:, cars] = part
    reference = replace(
        reference,
        spring=spring,
        free=None if reference.free is None else free,
        force=None if reference.force is None else force,
    )
    return replace(fronts, front=replace(fronts.front, reference=reference))
