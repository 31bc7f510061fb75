"""Poses at a roll that Newton steps alone don't find: a search over how far the wheels part.

Near the end of a wheel's reach its camber changes so fast that steps from afar run in circles. The
search goes outwards from equal travel and takes the first place where both contacts are on one
road, which is the one that leads back to the upright car.
"""

from __future__ import annotations

import numpy as np

from geometry.front.contact import contact_height
from geometry.front.parts import Corner
from geometry.front.reach import follow
from geometry.front.runs import Lines, Start
from geometry.front.steering import SIDES
from geometry.rows import chosen
from geometry.vectors import Array, Vector, pick

SHARES = (1.0 - np.linspace(1.0, 0.0, 40) ** 2) * (1.0 - 1e-9)
"""Of the furthest that the wheels can part, closer together towards the end."""

STEPS = 6
"""Newton steps that the search takes: it only leads to where others start."""


def find_roll(
    corner: Corner, lines: Lines, pose_asked: tuple[Array, Vector], lost: Array, angle: Array
) -> Start:
    """Return angles to start from, and brackets about them, (2, n), for poses that were lost.

    Parameters
    ----------
    corner
        Both corners, arrays of shape (2, 1), or (2, n) with one a pose.
    lines
        Surveyed runs: one, or one a pose.
    pose_asked
        Mean travel [mm], shape (n,), and the road's normal.
    lost
        Which poses are looked for, shape (n,).
    angle
        What the other poses have, which is returned for them, as is what isn't found [rad], (2, n).
    """
    travel, normal = pose_asked[0][lost], pick(pose_asked[1], np.s_[:, lost])
    same_travel = lines.low.shape[-1] == 1 and bool((travel == travel[0]).all())
    apart = _apart(lines if lines.low.shape[-1] == 1 else lines.of(lost), travel, same_travel)
    # (side, pose, way, share): one search of both ways serves all poses that differ in roll alone
    runs, ways, shares = apart.shape
    mean = travel[:runs, None, None]
    places = (mean - SIDES[:, :, None, None] * apart).reshape(2, -1)
    if lines.low.shape[-1] > 1:
        tries = np.repeat(np.flatnonzero(lost), 2 * shares)
        lines, corner = lines.of(tries), chosen(corner, lost.size, tries)
    link = follow(corner, lines, places, STEPS)
    way = (normal[1][0] < 0.0).astype(int)
    run = np.zeros(way.size, dtype=int) if same_travel else np.arange(way.size)

    def of_runs(value: Array) -> Array:
        return np.broadcast_to(value, places.shape).reshape(2, runs, ways, shares)[:, run, way]

    height = contact_height(
        (of_runs(link.axle[0]), of_runs(link.axle[1]), of_runs(link.axle[2])),
        (
            of_runs(link.wheel_centre[0]),
            of_runs(link.wheel_centre[1]),
            of_runs(link.wheel_centre[2]),
        ),
        (normal[0][..., None], normal[1][..., None], normal[2][..., None]),
        of_runs(corner.parts.tyre_radius),
    )
    return _between(height[0] - height[1], of_runs(link.angle), lost, angle)


def _apart(lines: Lines, travel: Array, same_travel: bool) -> Array:
    """Return how far the left wheel falls and the right one rises, (runs, 2 ways, shares) [mm]."""
    travel = travel[:1] if same_travel else travel
    down, up = travel - lines.lowest, lines.highest - travel
    room = np.stack([np.minimum(down[0], up[1]), np.minimum(up[0], down[1])], axis=-1)
    return np.maximum(room, 0.0)[..., None] * np.array([[1.0], [-1.0]]) * SHARES


def _between(gap: Array, angles: Array, lost: Array, angle: Array) -> Start:
    """Put lost poses between the two neighbours where the gap first changes sign."""
    crossed = gap[:, :-1] * gap[:, 1:] <= 0.0
    first = crossed.argmax(axis=1)
    pose = np.arange(first.size)
    is_crossed = crossed[pose, first]
    near, far = angles[:, pose, first], angles[:, pose, first + 1]
    ends = gap[pose, first], gap[pose, first + 1]
    share = ends[0] / np.where(is_crossed, ends[0] - ends[1], 1.0)
    places = np.flatnonzero(lost)[is_crossed]
    start, low, high = angle.copy(), angle.copy(), angle.copy()
    start[:, places] = (near + share * (far - near))[:, is_crossed]
    low[:, places] = np.minimum(near, far)[:, is_crossed]
    high[:, places] = np.maximum(near, far)[:, is_crossed]
    return Start(start, low, high)
