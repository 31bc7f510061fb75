"""One pose of one axle in plain floats: at a single pose an array costs five times as much.

The energy, its gradient and its Hessian are those of `geometry.links.energy`, written out link by
link. What isn't plain (a saddle, a link out of its reach, steps that don't settle) is left to the
arrays: None is returned.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, NamedTuple

State = tuple[float, float, float, float]
End = tuple[float, ...]
"""A link: its body end, its axle end from the axle's centre [mm], rate [N/mm], length [mm]."""

_MOST_STEPS: Final = 10


class OnePose(NamedTuple):
    """One pose and the links' energy there, as of `geometry.links.energy.LinkEnergy`.

    Parameters
    ----------
    state
        x and y of the centre [mm] from where it was measured, yaw and pitch [rad].
    centre, rotation
        The axle's centre [mm] and its rotation, row by row.
    stretch
        Of each link [mm].
    gradient, hessian
        By x, y, yaw and pitch [N, mm]; the Hessian's upper triangle, row by row.
    """

    state: State
    centre: tuple[float, float, float]
    rotation: tuple[tuple[float, float, float], ...]
    stretch: list[float]
    gradient: State
    hessian: tuple[float, ...]

    def whole_hessian(self) -> list[list[float]]:
        """Return the Hessian with both triangles, 4 by 4."""
        a, b, c, d, e, f, g, h, i, j = self.hessian
        return [[a, b, c, d], [b, e, f, g], [c, f, h, i], [d, g, i, j]]


def energy_of_one(
    links: Sequence[End], origin: Sequence[float], state: State, heave: float, roll: float
) -> OnePose | None:
    """Differentiate the links' energy at one state; None where a link has no length.

    Parameters
    ----------
    links
        Each link.
    origin
        The axle's centre as measured [mm].
    state
        x and y of the centre [mm], yaw and pitch of the axle [rad].
    heave, roll
        Rise of the centre [mm]; the axle's own roll about X [rad].
    """
    x, y, z = origin[0] + state[0], origin[1] + state[1], origin[2] + heave
    c, s = math.cos(state[2]), math.sin(state[2])
    cr, sr = math.cos(roll), math.sin(roll)
    cp, sp = math.cos(state[3]), math.sin(state[3])
    ax, bx, cx = c * cp - s * sr * sp, -s * cr, c * sp + s * sr * cp
    ay, by, cy = s * cp + c * sr * sp, c * cr, s * sp - c * sr * cp
    az, bz, cz = -cr * sp, sr, cr * cp
    gx = gy = gw = gp = xx = xy = xw = xp = yy = yw = yp = ww = wp = pp = 0.0
    stretches = []
    for body_x, body_y, body_z, u, v, w, rate, unloaded in links:
        px, py, pz = ax * u + bx * v + cx * w, ay * u + by * v + cy * w, az * u + bz * v + cz * w
        # how the end moves with pitch, and how that changes
        qx, qy, qz = ax * w - cx * u, ay * w - cy * u, az * w - cz * u
        tx, ty, tz = ax * u + cx * w, ay * u + cy * w, az * u + cz * w
        dx, dy = x - body_x, y - body_y
        rx, ry, rz = px + dx, py + dy, pz + z - body_z
        length = math.sqrt(rx * rx + ry * ry + rz * rz)
        if not length > 0.0:
            return None
        stretch = length - unloaded
        stretches.append(stretch)
        tension = stretch * rate
        swing = tension / length
        stiff = rate - swing
        ux, uy = rx / length, ry / length
        uw, up = uy * px - ux * py, ux * qx + uy * qy + rz / length * qz
        gx, gy, gw, gp = gx + tension * ux, gy + tension * uy, gw + tension * uw, gp + tension * up
        xx += stiff * ux * ux + swing
        xy += stiff * ux * uy
        xw += stiff * ux * uw - swing * py
        xp += stiff * ux * up + swing * qx
        yy += stiff * uy * uy + swing
        yw += stiff * uy * uw + swing * px
        yp += stiff * uy * up + swing * qy
        ww += stiff * uw * uw - swing * (px * dx + py * dy)
        wp += stiff * uw * up + swing * (dy * qx - dx * qy)
        bend = qx * qx + qy * qy + qz * qz - rx * tx - ry * ty - rz * tz
        pp += stiff * up * up + swing * bend
    return OnePose(
        state,
        (x, y, z),
        ((ax, bx, cx), (ay, by, cy), (az, bz, cz)),
        stretches,
        (gx, gy, gw, gp),
        (xx, xy, xw, xp, yy, yw, yp, ww, wp, pp),
    )


def pivots(hessian: tuple[float, ...]) -> tuple[float, ...] | None:
    """Return pivots and multipliers of LDLᵀ, rows one behind the other; None at no minimum.

    Parameters
    ----------
    hessian
        Upper triangle, row by row.

    References
    ----------
    Cholesky's factors without roots: any textbook of numerical analysis.
    """
    xx, xy, xw, xp, yy, yw, yp, ww, wp, pp = hessian
    if not xx > 0.0:
        return None
    a, b, c = xy / xx, xw / xx, xp / xx
    yy, yw, yp = yy - a * xy, yw - a * xw, yp - a * xp
    if not yy > 0.0:
        return None
    d, e = yw / yy, yp / yy
    ww, wp = ww - b * xw - d * yw, wp - b * xp - d * yp
    if not ww > 0.0:
        return None
    f = wp / ww
    pp = pp - c * xp - e * yp - f * wp
    return (xx, yy, ww, pp, a, b, c, d, e, f) if pp > 0.0 else None


def is_surely_stable(hessian: tuple[float, ...], length: float, least: float) -> bool:
    """Tell whether the least stiffness is surely more than a share of the greatest.

    The least eigenvalue of a positive matrix of four rows is at least its determinant times the
    cube of three over its trace, and the greatest at most its trace.

    Parameters
    ----------
    hessian
        Upper triangle, row by row.
    length
        That makes an angle comparable to a shift [mm].
    least
        The share.
    """
    found = pivots(hessian)
    if found is None:
        return False
    square = length * length
    trace = hessian[0] + hessian[4] + (hessian[7] + hessian[9]) / square
    determinant = found[0] * found[1] * found[2] * found[3] / (square * square)
    mean = trace / 3.0
    return bool(determinant > least * trace * mean * mean * mean)


def least_energy(
    links: Sequence[End],
    origin: Sequence[float],
    guess: State,
    heave: float,
    largest: tuple[float, float, float],
) -> OnePose | None:
    """Step to the energy's minimum of a level axle; None where that isn't plain sailing.

    Parameters
    ----------
    links
        Each link.
    origin
        The axle's centre as measured [mm].
    guess
        Where to begin.
    heave
        Rise of the centre [mm].
    largest
        Largest last step and largest step of all [mm], and the length that makes an angle
        comparable to a shift [mm].
    """
    last, most, arm = largest
    state = guess
    for _ in range(_MOST_STEPS):
        here = energy_of_one(links, origin, state, heave, 0.0)
        found = None if here is None else pivots(here.hessian)
        if here is None or found is None:
            return None
        xx, yy, ww, pp, a, b, c, d, e, f = found
        gx, gy, gw, gp = here.gradient
        gy -= a * gx
        gw -= b * gx + d * gy
        gp -= c * gx + e * gy + f * gw
        p = gp / pp
        w = gw / ww - f * p
        y = gy / yy - d * w - e * p
        x = gx / xx - a * y - b * w - c * p
        size = max(abs(x), abs(y), arm * abs(w), arm * abs(p))
        if not math.isfinite(size):
            return None
        share = min(1.0, most / max(size, last))
        state = (
            state[0] - share * x,
            state[1] - share * y,
            state[2] - share * w,
            state[3] - share * p,
        )
        if size <= last:
            return energy_of_one(links, origin, state, heave, 0.0)
    return None
