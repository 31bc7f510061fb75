"""Balance of forces at a left-hand corner, as one linear system: no velocities, no virtual work.

Unknowns: the forces of both ball joints on the upright (3 + 3), the tie rod's pull, and a vertical
force on the upright. Equations: the upright's six, and each arm's moment about its pivot line.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from geometry.front.axle import Front
from geometry.front.road import Poses

Array = npt.NDArray[np.float64]


def place(value: tuple[object, object, object], index: int = 0) -> Array:
    """A left-hand vector of one pose; constants have one column."""
    return np.array(
        [np.broadcast_to(part, (2, max(index + 1, np.shape(part)[-1])))[0, index] for part in value]
    )


def vertical_force(
    front: Front,
    poses: Poses,
    index: int,
    *,
    at: Array,
    known: tuple[Array, Array] | None = None,
    spring: tuple[str, Array, Array] | None = None,
    torque: float = 0.0,
) -> float:
    """Return the vertical force at a point of the upright that balances the others [N].

    ``known`` is a force on the upright and its point; ``spring`` the arm it bears on, the force on
    that arm and its point; ``torque`` a couple on the lower arm about front to rear pivot [N·mm].
    """
    link, corner = poses.linkage, front.axle.corners
    upper, lower = place(link.upper_ball, index), place(link.lower_ball, index)
    outer, inner = place(link.tie_outer, index), place(link.tie_inner, index)
    rod = (inner - outer) / np.linalg.norm(inner - outer)
    matrix, right = np.zeros((8, 8)), np.zeros(8)
    for column, (direction, point) in enumerate(
        [(axis, upper) for axis in np.eye(3)]
        + [(axis, lower) for axis in np.eye(3)]
        + [(rod, outer), (np.array([0.0, 0.0, 1.0]), at)]
    ):
        matrix[:3, column], matrix[3:6, column] = direction, np.cross(point, direction)
    if known is not None:
        force, point = known
        right[:3], right[3:6] = -force, -np.cross(point, force)
    for row, (arm, ball, columns, name) in enumerate(
        (
            (corner.upper, upper, slice(0, 3), "upper arm"),
            (corner.lower, lower, slice(3, 6), "lower arm"),
        ),
        6,
    ):
        axis, centre = place(arm.axis), place(arm.centre)
        # the arm gets the joint's force reversed
        matrix[row, columns] = -np.cross(axis, ball - centre)
        if spring is not None and spring[0] == name:
            right[row] = -float(axis @ np.cross(spring[2] - centre, spring[1]))
    right[7] -= torque
    return float(np.linalg.solve(matrix, right)[7])
