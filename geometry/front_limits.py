"""Why a front can't take a pose, as an error that names the points and the distances."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from geometry.errors import DegenerateGeometry, GeometryError, Unreachable
from geometry.front_axle import AGAINST, Front
from geometry.lines import Lines
from geometry.parts import Corner
from geometry.reach import on_branch
from geometry.vectors import norm, scale, subtract
from geometry.wishbone import Linkage, close_linkage


def explain(front: Front, line: Lines, travel: float, steer: float = 0.0) -> GeometryError:
    """Say which two points can't be brought together at a travel [mm] beyond the branch."""
    corner = front.axle.corners
    off = ~line.holds(np.full_like(line.low, travel))[:, :1]
    side = int(np.argmax(off[:, 0]))
    below = (travel < line.lowest)[:, :1]
    end = np.where(below, line.lowest[:, :1], line.highest[:, :1])
    known = bool(line.holds(np.zeros((2, 1)))[:, 0].all())
    angle = np.where(below, line.low[:, :1], line.high[:, :1]) if known else np.zeros((2, 1))
    inner = line.inner[0][:, :1], line.inner[1][:, :1], line.inner[2][:, :1]
    fold = close_linkage(corner, angle, inner)
    if not known and (on_branch(replace(fold, hub_rate=scale(fold.hub_rate, -1.0)))[side]).all():
        return DegenerateGeometry("lower_ball", "wheel_centre", AGAINST)
    past = np.where(off, travel - end, 0.0) / np.sqrt(corner.lower.radius_2) if known else 0.0
    beyond = close_linkage(corner, angle + past, inner)
    tied = fold.tie_sine[side, 0] < fold.upper_sine[side, 0]
    first, second, wanted, there = _gap(corner, beyond, tied, side)
    limit = float(end[side, 0]) if known else None
    return Unreachable(first, second, wanted, there, travel, limit, steer)


def _gap(corner: Corner, link: Linkage, tied: bool, side: int) -> tuple[str, str, float, float]:
    """Which closure is open: the points, distance wanted and nearest there is [mm]."""
    if tied:
        rod = norm(subtract(link.tie_outer, link.tie_inner))
        wanted = np.broadcast_to(corner.parts.tie_length, rod.shape)
        return "tie_inner", "tie_outer", float(wanted[side, 0]), float(rod[side, 0])
    upper = norm(link.kingpin)
    wanted = np.broadcast_to(np.sqrt(corner.parts.kingpin_length_2), upper.shape)
    return "lower_ball", "upper_ball", float(wanted[side, 0]), float(upper[side, 0])
