"""Why a rear can't take a pose, as an error that names the points and the distances."""

from __future__ import annotations

from geometry.errors import GeometryError
from geometry.leaf.reach import out_of_reach
from geometry.leaf.rear import LeafRear
from geometry.links.axle import LinkAxle
from geometry.links.poses import check_reachable, solve_poses
from geometry.rear_errors import ShackleOutOfReach


def leaf_limit(leaf: LeafRear, travel: float) -> ShackleOutOfReach:
    """Say what a travel [mm] of a level axle asks of the shackle; leaning, the solver says it."""
    return out_of_reach(leaf.loop, travel, leaf.reference.datum[1])


def link_limit(axle: LinkAxle, travel: float, roll: float) -> GeometryError:
    """Say which link a pose of the axle [mm, rad] asks too much of."""
    try:
        check_reachable(solve_poses(axle, travel, roll))
    except GeometryError as error:
        return error
    return GeometryError("The links can't take this pose.")
