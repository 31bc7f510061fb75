"""Why a rear can't take a pose, as an error that names the points and the distances."""

from __future__ import annotations

from math import sin

from geometry.errors import GeometryError
from geometry.leaf_reach import out_of_reach, travel_limits
from geometry.leaf_rear import LeafRear
from geometry.link_axle import LinkAxle
from geometry.link_axle_poses import check_reachable, solve_poses
from geometry.rear_errors import ShackleOutOfReach


def leaf_limit(leaf: LeafRear, travel: float, roll: float) -> ShackleOutOfReach:
    """Say which travel of one side's shackle a pose of the axle asks too much of.

    Parameters
    ----------
    leaf
        The axle on leaf springs.
    travel
        Travel of the axle's middle [mm], + in bump.
    roll
        Roll of the body [rad], + to its right.
    """
    loop, datum = leaf.loop, leaf.reference.datum[1]
    low, high = travel_limits(loop, datum)
    lever = leaf.spring_base / 2 * sin(roll)
    sides = (travel, travel - lever, travel + lever)
    beyond = [max(side - high, low - side) for side in sides]
    return out_of_reach(loop, sides[beyond.index(max(beyond))], datum)


def link_limit(axle: LinkAxle, travel: float, roll: float) -> GeometryError:
    """Say which link a pose of the axle [mm, rad] asks too much of."""
    try:
        check_reachable(solve_poses(axle, travel, roll))
    except GeometryError as error:
        return error
    return GeometryError("The axle can take this pose.")
