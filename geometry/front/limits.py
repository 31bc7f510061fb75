"""Why a front can't take a pose, as an error that names the points and the distances."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from geometry.errors import DegenerateGeometry, Flaw, GeometryError, Unreachable
from geometry.front.axle import Front
from geometry.front.parts import Corner
from geometry.front.reach import on_branch
from geometry.front.road import survey_axle
from geometry.front.runs import Lines
from geometry.front.wishbone import Linkage, close_linkage
from geometry.vectors import norm, scale, subtract

FAR: Final = 400.0
"""Travel [mm] that no front comes to the end of: its run is looked over that far."""
STEER_STEPS: Final = 41


def explain(front: Front, line: Lines, travel: float, steer: float = 0.0) -> GeometryError:
    """Say which two points can't be brought together at a travel [mm] beyond the branch.

    Parameters
    ----------
    front
        The front.
    line
        Surveyed at the steer that is asked about.
    travel
        Of the wheel [mm], + in bump, beyond the branch.
    steer
        Travel of the rack or the relay [mm], + to the left, for the error alone.
    """
    corner = front.axle.corners
    off = ~line.holds(np.full_like(line.low, travel))[:, :1]
    side = int(np.argmax(off[:, 0]))
    below = (travel < line.lowest)[:, :1]
    end = np.where(below, line.lowest[:, :1], line.highest[:, :1])
    is_on_branch = bool(line.holds(np.zeros((2, 1)))[:, 0].all())
    angle = np.where(below, line.low[:, :1], line.high[:, :1]) if is_on_branch else np.zeros((2, 1))
    inner = line.inner[0][:, :1], line.inner[1][:, :1], line.inner[2][:, :1]
    fold = close_linkage(corner, angle, inner)
    if (
        not is_on_branch
        and (on_branch(replace(fold, hub_rate=scale(fold.hub_rate, -1.0)))[side]).all()
    ):
        return DegenerateGeometry("front.lower_ball", "front.wheel_centre", Flaw.AGAINST)
    past = (
        np.where(off, travel - end, 0.0) / np.sqrt(corner.lower.radius_2) if is_on_branch else 0.0
    )
    beyond = close_linkage(corner, angle + past, inner)
    tied = fold.tie_sine[side, 0] < fold.upper_sine[side, 0]
    first, second, length, distance = _gap(corner, beyond, tied, side)
    limit = float(end[side, 0]) if is_on_branch else None
    return Unreachable(first, second, length, distance, travel, limit, steer)


def _gap(corner: Corner, link: Linkage, tied: bool, side: int) -> tuple[str, str, float, float]:
    """Which closure is open: the points, distance wanted and nearest there is [mm]."""
    if tied:
        rod = norm(subtract(link.tie_outer, link.tie_inner))
        length = np.broadcast_to(corner.parts.tie_length, rod.shape)
        distances = float(length[side, 0]), float(rod[side, 0])
        return "front.tie_inner", "front.tie_outer", *distances
    upper = norm(link.kingpin)
    length = np.broadcast_to(np.sqrt(corner.parts.kingpin_length_2), upper.shape)
    return "front.lower_ball", "front.upper_ball", float(length[side, 0]), float(upper[side, 0])


def explain_pose(front: Front, travel: float, roll: float, steer: float) -> GeometryError:
    """Say which two points keep a front from a pose that it can't take.

    Parameters
    ----------
    front
        The front.
    travel
        Mean travel of both wheels [mm], + in bump.
    roll
        Roll of the body [rad], + to its right.
    steer
        Travel of the rack or the relay [mm], + to the left; it is applied first, at zero travel.
    """
    racks = steer * np.linspace(0.0, 1.0, STEER_STEPS)
    reach = np.full_like(racks, FAR)
    lines = survey_axle(front.axle, racks, -reach, reach)
    stuck = ~lines.holds(np.zeros((2, STEER_STEPS))).all(axis=0)
    if stuck.any():
        return _stopped(front, 0.0, float(racks[np.argmax(stuck)]))
    lean = float(np.tan(roll) * front.reference.contact_y.max())
    for wheel in (travel, travel - lean, travel + lean):
        if not lines.of(slice(-1, None)).holds(np.full((2, 1), wheel)).all():
            return _stopped(front, wheel, steer)
    return _stopped(front, travel + float(np.copysign(lean, travel)), steer)


def _stopped(front: Front, travel: float, steer: float) -> GeometryError:
    reach = np.array([FAR])
    return explain(front, survey_axle(front.axle, np.array([steer]), -reach, reach), travel, steer)
