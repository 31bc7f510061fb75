"""Where helper leaves come to bear: bump travel of the wheel against the pack's bend from free.

A workshop measures a helper's contact as bump from ride height; the pack knows bends from free.
Between them stands the shackle's lever, which changes along the travel.
"""

from __future__ import annotations

import numpy as np

from geometry.dataclass import dataclass
from geometry.leaf.axle import leaf_path, path_at_curvature
from geometry.leaf.fit import with_rates
from geometry.leaf.load import Model, PackStages, deflection_at, stage_at
from geometry.leaf.loop import LeafLoop
from geometry.leaf.reach import design_motion
from geometry.leaf.ride import arch, deflection_per_curvature
from geometry.numeric import quietly
from geometry.vectors import Array


@dataclass(frozen=True)
class BendFromFree:
    """Deflection of a pack from free [mm]: at the height where it was measured, and at travels.

    Parameters
    ----------
    standing
        At the measured height.
    further
        What each travel adds, negative in rebound, shape (n,).
    free_arch
        Arch from which the pack is bent so far [mm].
    """

    standing: float
    further: Array
    free_arch: float


@quietly
def bend_from_free(loop: LeafLoop, stages: PackStages, load: float, travel: Array) -> BendFromFree:
    """Return how far a pack is bent where helpers touch.

    Parameters
    ----------
    loop
        The measured spring.
    stages
        Its pack; helpers come to bear in the order of their travels, later stages of contact first
        beyond all others.
    load
        On one spring at the measured height [N].
    travel
        At which each helper touches, rising [mm], + bump, one for each stage but the first.

    References
    ----------
    k_0·δ + Σ Δk·taken up = the pack's load, which is the load over the lever dδ/dz (derived).
    """
    rates = stages.rates[Model.COMMON_CURVATURE]
    bearing = int(np.count_nonzero(travel <= 0.0))
    loop = with_rates(loop, stages.halves[bearing][Model.COMMON_CURVATURE])
    path = leaf_path(loop, np.append(travel, 0.0))
    change, reached = path.curvature_change[:-1], path.travel[:-1]
    # Beyond the shackle's reach a helper never touches; how far beyond matters to nobody.
    further = -deflection_per_curvature(loop) * change + travel - reached
    taken = np.maximum(-further, 0.0)
    standing = float((pack_load(loop, load) - np.diff(rates) @ taken) / rates[0])
    free_arch = arch(loop, standing / deflection_per_curvature(loop))
    return BendFromFree(standing, further, free_arch)


def pack_load(loop: LeafLoop, load: float) -> float:
    """Return what the leaves bear in the design pose [N].

    Parameters
    ----------
    loop
        The spring.
    load
        At the wheel [N].
    """
    return load * design_motion(loop)[0] / -deflection_per_curvature(loop)


def bearing_stage(stages: PackStages, loop: LeafLoop, load: float) -> int:
    """Return the stage in which a pack carries a load [N] in the loop's design pose.

    Parameters
    ----------
    stages
        The pack.
    loop
        Its spring on the car.
    load
        At the wheel [N].
    """
    deflection = deflection_at(stages, pack_load(loop, load), Model.COMMON_CURVATURE)
    return int(stage_at(stages, deflection))


def height_at_bend(loop: LeafLoop, free: float, deflection: float) -> float:
    """Return the height of the wheel centre at which a pack is bent so far from free [mm].

    Parameters
    ----------
    loop
        The spring.
    free
        Its `geometry.leaf.ride.free_change` [1/mm].
    deflection
        From free [mm].
    """
    change = free - deflection / deflection_per_curvature(loop)
    return float(path_at_curvature(loop, np.array([change])).wheel_z[0])
