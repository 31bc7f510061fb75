"""Why an axle on links can't take a pose, as an error with keys and distances."""

from __future__ import annotations

from geometry.errors import AxlePoseRefused, GeometryError
from geometry.links.axle import LinkAxle
from geometry.links.poses import check_reachable, solve_poses


def link_limit(axle: LinkAxle, travel: float, roll: float) -> GeometryError:
    """Say which link a pose of the axle [mm, rad] asks too much of.

    Parameters
    ----------
    axle
        The axle on links.
    travel
        Wheel travel [mm], bump positive.
    roll
        Body roll [rad], right side down positive.
    """
    try:
        check_reachable(solve_poses(axle, travel, roll))
    except GeometryError as error:
        return error
    return AxlePoseRefused(travel, roll)
