"""The three-link equivalent of a leaf spring: a check on the loop of two arcs.

Each half is a rigid link from its eye to a hinge on a rigid seat; the shackle is the third. Link
0.75 of the free half-length, from the path of a tip that bends to an arc.

References
----------
The spring handbooks' equivalent; Blundell & Harty, The Multibody Systems Approach to Vehicle
Dynamics, p. 341, for its existence. The lengths are derived.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, pi, remainder, sin

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.leaf.loop import LeafLoop, Point, arc_tip, close_loop

Array = NDArray[np.float64]


@dataclass(frozen=True)
class ThreeLink:
    """Hinges on the seat from the centre bolt, forward and up, and the links' lengths [mm]."""

    front_hinge: Point
    rear_hinge: Point
    front_link: float
    rear_link: float


@dataclass(frozen=True)
class ThreeLinkPoses:
    """Seats of the equivalent; arrays of shape (n,): centre bolt [mm], angle [rad], + nose up."""

    x: Array
    z: Array
    angle: Array


def three_link(loop: LeafLoop) -> ThreeLink:
    """Build the equivalent at the loop's design curvature."""
    links = []
    for curvature, length in zip(loop.curvatures, (loop.front, loop.rear), strict=True):
        along, up = arc_tip(np.array(curvature), length)
        # The tip's circle has its centre a quarter of the half from the clamp, on its tangent.
        reach = float(along) - 0.25 * length
        links.append((0.25 * length + loop.clamp / 2, float(np.hypot(reach, up))))
    (front_hinge, front_link), (rear_hinge, rear_link) = links
    return ThreeLink((front_hinge, 0.0), (-rear_hinge, 0.0), front_link, rear_link)


def three_link_path(loop: LeafLoop, height: ArrayLike) -> ThreeLinkPoses:
    """Follow the equivalent's seat through given heights, each half turning as much as the other.

    Parameters
    ----------
    loop
        The loop that it stands for.
    height
        Of the centre bolt [mm], shape (n,).

    Notes
    -----
    Three links and a seat leave two freedoms; the springs at the hinges settle one: both links turn
    against the seat in proportion to the halves' lengths times their share of the curvature.
    """
    poses = [_at_height(loop, three_link(loop), float(z)) for z in np.atleast_1d(height)]
    x, z, angle = np.array(poses).T
    return ThreeLinkPoses(x, z, angle)


def _at_height(loop: LeafLoop, links: ThreeLink, height: float) -> tuple[float, float, float]:
    """Bisect the front link's turn until the seat is at the height."""
    low, high = -0.6, 0.6
    for _ in range(60):
        middle = (low + high) / 2
        if _pose(loop, links, middle)[1] > height:
            low = middle
        else:
            high = middle
    return _pose(loop, links, middle)


def _pose(loop: LeafLoop, links: ThreeLink, turn: float) -> tuple[float, float, float]:
    """Seat for a turn of the front link against it, from design [rad], + arching the spring."""
    share = loop.rear * loop.split[1] / (loop.front * loop.split[0])
    bend_front, bend_rear = loop.curvatures
    front = _eye(links.front_hinge[0], links.front_link, loop.front, bend_front, turn)
    rear = _eye(-links.rear_hinge[0], links.rear_link, loop.rear, bend_rear, turn * share)
    along, up = -rear[0] - front[0], rear[1] - front[1]
    chord = float(np.hypot(along, up))
    base_x = loop.shackle_pivot[0] - loop.front_eye[0]
    base_z = loop.shackle_pivot[1] - loop.front_eye[1]
    base = float(np.hypot(base_x, base_z))
    cosine = (chord**2 + base**2 - loop.shackle**2) / (2 * chord * base)
    direction = atan2(base_z, base_x) + loop.side * float(np.arccos(np.clip(cosine, -1, 1)))
    angle = remainder(direction - atan2(up, along), 2 * pi)
    x = loop.front_eye[0] - front[0] * cos(angle) + front[1] * sin(angle)
    z = loop.front_eye[1] - front[0] * sin(angle) - front[1] * cos(angle)
    return x, z, angle


def _eye(
    hinge: float, link: float, length: float, curvature: float, turn: float
) -> tuple[float, float]:
    """Eye from the centre bolt in the seat's frame, outward and up [mm]."""
    along, up = arc_tip(np.array(curvature), length)
    rest = atan2(float(up), float(along) - 0.25 * length)
    return hinge + link * cos(rest + turn), link * sin(rest + turn)


def design_height(loop: LeafLoop) -> float:
    """Height of the centre bolt at the design curvature [mm]."""
    return float(close_loop(loop, np.zeros(1)).z[0])
