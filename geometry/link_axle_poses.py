"""Poses of an axle on links: the least link energy with the axle's rise and roll prescribed.

Five rigid links leave an axle one freedom and it needs two, so the bushes must give: every link is
an elastic strut along its own line, and the answer depends on the stiffnesses. With one upper link
left out it does not: four links reach every pose unstretched, or not at all. The energy is the
links' alone; coils and dampers move with the axle without bending its path.

The axle turns by yaw about Z, then roll about X, then pitch about its own line, so that its roll is
the slope of its line whatever its yaw and pitch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from geometry.errors import GeometryError, Unreachable
from geometry.link_axle import LinkAxle, Point
from geometry.vectors import Array

Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

LARGEST_STRETCH: Final = 20.0
"""Stretch of a link above which a pose counts as out of reach [mm]; bushes give a few mm."""

RIGID_STRETCH: Final = 1e-6
"""The same for four links, which reach a pose unstretched or not at all [mm]."""

STAGE_TRAVEL: Final = 50.0
STAGE_ROLL: Final = 0.09
"""Travel [mm] and roll [rad] of one stage on the way out from the measured pose, so that a solution
follows its own branch."""

ANGLE_LENGTH: Final = 500.0
"""Length that makes an angle comparable to a shift in steps and in stiffness [mm]."""

LAST_STEP: Final = 1e-6
"""Largest last Newton step [mm]; what remains is its square over a link's length: rounding."""

_STAGE_STEP: Final = 1.0  # last Newton step of a stage on the way [mm]
_LARGEST_STEP: Final = 60.0  # a longer Newton step is cut to this [mm]
_MOST_STEPS: Final = 15
_LEAST_STIFFNESS: Final = 1e-9  # least over greatest stiffness of an axle that is held at all
_SCALES: Final = np.array([1.0, 1.0, 1.0 / ANGLE_LENGTH, 1.0 / ANGLE_LENGTH])

ABOUT_Y: Final = np.array([[0.0, 0.0, 1.0], [0.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])
ABOUT_Z: Final = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 0.0]])


@dataclass
class AxleUnreachable(Unreachable):
    """A pose that the links can't take without being stretched beyond reason.

    Parameters
    ----------
    roll
        Body roll asked for [rad], + to the right.
    """

    roll: float = 0.0

    def __str__(self) -> str:
        return (
            f"The axle can't go to {self.travel:+.1f} mm with {math.degrees(self.roll):+.2f}° of "
            f"roll: {self.first} and {self.second} would be {self.available:.1f} mm apart, and "
            f"the link between them is {self.wanted:.1f} mm long. Move a link's end, or ask for "
            f"less."
        )


@dataclass(frozen=True)
class AxlePoses:
    """A batch of n poses of the axle against the body, with m links.

    Poses out of reach hold NaN in everything but what was asked for.

    Parameters
    ----------
    axle
        What was posed.
    travel
        Rise of the axle's centre against the body [mm], + in bump, shape (n,).
    roll
        Roll of the body against the axle [rad], + to the right as in a left turn, shape (n,).
    centre
        Midpoint of the wheel centres [mm], shape (n, 3).
    steer
        Yaw of the axle [rad], + to the left, shape (n,).
    pitch
        Rotation about the axle's own line [rad], + turns the pinion's nose down, shape (n,).
    rotation
        From axle to body axes, shape (n, 3, 3).
    stretch
        Length of each link less its unloaded length [mm], shape (n, m).
    reachable
        Whether the links take the pose, shape (n,).
    """

    axle: LinkAxle
    travel: Array
    roll: Array
    centre: Array
    steer: Array
    pitch: Array
    rotation: Array
    stretch: Array
    reachable: Mask


@dataclass(frozen=True)
class LinkArrays:
    """The links as arrays, m of them.

    Parameters
    ----------
    body
        Body ends [mm], shape (3, m).
    local
        Axle ends from the axle's centre, s; then the first and second derivative of a turn about
        Y, y x s and y x (y x s) [mm], shape (3, 3m).
    rate, length
        Axial rates [N/mm] and unloaded lengths [mm], shape (m,).
    """

    body: Array
    local: Array
    rate: Array
    length: Array


def link_arrays(axle: LinkAxle) -> LinkArrays:
    """Return the axle's links as arrays."""
    links = list(axle.links.values())
    body = np.array([link.body for link in links]).T
    ends = np.array([link.axle for link in links]).T
    measured = np.sqrt(((ends - body) ** 2).sum(axis=0))
    given = [link.length for link in links]
    length = [a if b is None else b for a, b in zip(measured, given, strict=True)]
    local = ends - axle.centre[:, None]
    turned = ABOUT_Y @ local
    stack = np.concatenate([local, turned, ABOUT_Y @ turned], axis=1)
    return LinkArrays(body, stack, np.array([link.rate for link in links]), np.array(length))


def solve_poses(axle: LinkAxle, travel: Array | float, roll: Array | float) -> AxlePoses:
    """Find the poses of least link energy at the travels and rolls given, all in one batch.

    Parameters
    ----------
    axle
        The axle; its measured points are the pose of no travel and no roll.
    travel
        Rise of the axle's centre against the body [mm], + in bump, shape (n,) or a number.
    roll
        Roll of the body against the axle [rad], + to the right, shape (n,) or a number.

    Returns
    -------
    AxlePoses
        Exact to rounding, about 1e-11 mm. A pose that can't be reached is marked, not raised.

    Raises
    ------
    GeometryError
        When the links leave the axle a free motion beside rise and roll at the measured pose.
    """
    shapes = np.broadcast_arrays(np.atleast_1d(travel), np.atleast_1d(roll))
    heave, lean = (np.array(values, dtype=float) for values in shapes)
    links = link_arrays(axle)
    _check_held(axle, links)
    state, converged = _marched(links, axle.centre, heave, -lean)
    bend = link_energy(links, axle.centre, state, heave, -lean)
    limit = LARGEST_STRETCH if len(links.rate) > 4 else RIGID_STRETCH
    reachable = converged & (np.abs(bend.stretch).max(axis=1) <= limit) & _is_stable(bend.hessian)
    lost = np.where(reachable, 0.0, np.nan)
    return AxlePoses(
        axle=axle,
        travel=heave,
        roll=lean,
        centre=bend.centre + lost[:, None],
        steer=state[:, 2] + lost,
        pitch=state[:, 3] + lost,
        rotation=bend.rotation + lost[:, None, None],
        stretch=bend.stretch + lost[:, None],
        reachable=reachable,
    )


def check_reachable(poses: AxlePoses) -> None:
    """Raise AxleUnreachable for the first pose out of reach, naming the link that strains most."""
    lost = np.flatnonzero(~poses.reachable)
    if not lost.size:
        return
    travel, roll = float(poses.travel[lost[0]]), float(poses.roll[lost[0]])
    links = link_arrays(poses.axle)
    target = np.array([travel]), np.array([-roll])
    state, _ = _marched(links, poses.axle.centre, *target)
    stretch = link_energy(links, poses.axle.centre, state, *target).stretch[0]
    worst = int(np.argmax(np.abs(stretch)))
    name, length = list(poses.axle.links)[worst], float(links.length[worst])
    raise AxleUnreachable(
        first=f"{name}, body end",
        second=f"{name}, axle end",
        wanted=length,
        available=length + float(stretch[worst]),
        travel=travel,
        roll=roll,
    )


def placed(poses: AxlePoses, point: Point) -> Array:
    """Return a point of the axle, given as measured [mm], in every pose, shape (n, 3)."""
    return np.asarray(poses.centre + poses.rotation @ from_centre(poses, point))


def from_centre(poses: AxlePoses, point: Point) -> Array:
    """Return a point of the axle, given as measured, from the axle's centre [mm], shape (3,)."""
    return np.asarray(np.array(point) - poses.axle.centre, dtype=float)


def turned(yaw: Array, roll: Array, pitch: Array) -> Array:
    """Return yaw about Z, then roll about X, then pitch about Y as matrices, shape (n, 3, 3)."""
    (c, s), (cr, sr), (cp, sp) = ((np.cos(a), np.sin(a)) for a in (yaw, roll, pitch))
    matrix = np.empty((len(yaw), 3, 3))
    matrix[:, 0, 0], matrix[:, 1, 0] = c * cp - s * sr * sp, s * cp + c * sr * sp
    matrix[:, 0, 1], matrix[:, 1, 1], matrix[:, 2, 1] = -s * cr, c * cr, sr
    matrix[:, 0, 2], matrix[:, 1, 2] = c * sp + s * sr * cp, s * sp - c * sr * cp
    matrix[:, 2, 0], matrix[:, 2, 2] = -cr * sp, cr * cp
    return matrix


def end_dot(a: Array, b: Array) -> Array:
    """Return the scalar products of vectors at link ends, (n, 3, m) by (n, 3, m) to (n, m)."""
    return np.asarray(np.einsum("nij,nij->nj", a, b))  # twice as fast as a product and a sum


def split_ends(stack: Array) -> tuple[Array, Array, Array]:
    """Split (n, 3, 3m) into the ends and their two derivatives by pitch, each (n, 3, m)."""
    count = stack.shape[2] // 3
    return stack[:, :, :count], stack[:, :, count : 2 * count], stack[:, :, 2 * count :]


def moments(vectors: Array, placed: Array, spun: Array, shift: float) -> Array:
    """Return vectors at points · how the points move by the four free coordinates.

    Parameters
    ----------
    vectors
        One a point, shape (n, 3, m).
    placed, spun
        Points from the axle's centre and their derivative by pitch [mm], shape (n, 3, m).
    shift
        1 for the derivative itself, 0 for its derivatives along a motion.

    Returns
    -------
    Array
        By (x, y, yaw, pitch), shape (n, 4, m).
    """
    found = np.empty((len(vectors), 4, vectors.shape[2]))
    found[:, :2] = vectors[:, :2] * shift
    found[:, 2] = vectors[:, 1] * placed[:, 0] - vectors[:, 0] * placed[:, 1]
    found[:, 3] = end_dot(vectors, spun)
    return found


@dataclass(frozen=True)
class LinkEnergy:
    """The links' energy around n states: gradient and Hessian by (x, y, yaw, pitch), N and mm.

    Parameters
    ----------
    centre, rotation
        The axle's pose, shapes (n, 3) and (n, 3, 3).
    stretch
        Of each link [mm], shape (n, m).
    gradient, hessian
        Shapes (n, 4) and (n, 4, 4).
    """

    centre: Array
    rotation: Array
    stretch: Array
    gradient: Array
    hessian: Array


def link_energy(
    links: LinkArrays, origin: Array, state: Array, heave: Array, roll: Array
) -> LinkEnergy:
    """Differentiate the links' energy Σ k·stretch²/2 at states (x, y, yaw, pitch), shape (n, 4).

    ``roll`` is the axle's own, about X [rad]; ``origin`` its centre as measured [mm], shape (3,).
    """
    centre = origin + np.stack([state[:, 0], state[:, 1], heave], axis=1)
    rotation = turned(state[:, 2], roll, state[:, 3])
    placed, spun, spun_twice = split_ends(rotation @ links.local)
    reach = placed + centre[:, :, None] - links.body
    length = np.sqrt(end_dot(reach, reach))
    along = reach / length[:, None]
    stretch = length - links.length
    tension = stretch * links.rate
    drawn = moments(along, placed, spun, 1.0)
    gradient = (drawn @ tension[:, :, None])[:, :, 0]
    swing = tension / length
    hessian = (drawn * (links.rate - swing)[:, None]) @ drawn.transpose(0, 2, 1)
    hessian += _swing_stiffness(swing, placed, spun)
    pull = along * tension[:, None]
    hessian[:, 2, 2] -= end_dot(pull[:, :2], placed[:, :2]).sum(axis=1)
    twist = (pull[:, 1] * spun[:, 0] - pull[:, 0] * spun[:, 1]).sum(axis=1)
    hessian[:, 2, 3] += twist
    hessian[:, 3, 2] += twist
    hessian[:, 3, 3] += end_dot(pull, spun_twice).sum(axis=1)
    return LinkEnergy(centre, rotation, stretch, gradient, hessian)


def _swing_stiffness(swing: Array, placed: Array, spun: Array) -> Array:
    """Return Σ swing·(how ends move)·(how ends move), shape (n, 4, 4); swing is tension/length."""
    count, _, links = placed.shape
    moved = np.zeros((count, 4, 3, links))
    moved[:, 0, 0] = moved[:, 1, 1] = 1.0
    moved[:, 2, 0], moved[:, 2, 1] = -placed[:, 1], placed[:, 0]
    moved[:, 3] = spun
    flat = moved.reshape(count, 4, 3 * links)
    return np.asarray((flat * np.tile(swing, 3)[:, None]) @ flat.transpose(0, 2, 1))


def _marched(links: LinkArrays, origin: Array, heave: Array, roll: Array) -> tuple[Array, Mask]:
    """Walk every pose out from the measured one in stages; each starts where the last two point."""
    reach = max(np.abs(heave).max() / STAGE_TRAVEL, np.abs(roll).max() / STAGE_ROLL)
    count = max(1, math.ceil(reach))
    state = before = np.zeros((len(heave), 4))
    for stage in range(1, count + 1):
        share, last = stage / count, LAST_STEP if stage == count else _STAGE_STEP
        guess = 2.0 * state - before
        before = state
        state, converged = _newton(links, origin, guess, heave * share, roll * share, last)
    return state, converged


def _newton(
    links: LinkArrays, origin: Array, state: Array, heave: Array, roll: Array, last: float
) -> tuple[Array, Mask]:
    """Step to the energy's minimum until no step is longer than ``last`` [mm]."""
    for _ in range(_MOST_STEPS):
        bend = link_energy(links, origin, state, heave, roll)
        step = np.linalg.solve(bend.hessian, bend.gradient[:, :, None])[:, :, 0]
        size = np.abs(step / _SCALES).max(axis=1)
        state = state - step * np.minimum(1.0, _LARGEST_STEP / np.maximum(size, last))[:, None]
        if not (size > last).any():
            break
    return state, size <= last


def _is_stable(hessian: Array) -> Mask:
    """Tell where the energy is at a minimum and not at a saddle, that is, past a fold."""
    scaled = hessian * np.outer(_SCALES, _SCALES)
    values = np.linalg.eigvalsh(np.where(np.isfinite(scaled), scaled, 0.0))
    return np.asarray(values[:, 0] > _LEAST_STIFFNESS * values[:, -1])


def _check_held(axle: LinkAxle, links: LinkArrays) -> None:
    """Raise GeometryError when some motion beside rise and roll stretches no link."""
    at_rest = np.zeros(1)
    bend = link_energy(links, axle.centre, np.zeros((1, 4)), at_rest, at_rest)
    if not _is_stable(bend.hessian)[0]:
        motions = ("fore and aft", "sideways", "in steer", "in pinion angle")
        vectors = np.linalg.eigh(bend.hessian[0] * np.outer(_SCALES, _SCALES))[1]
        free = motions[int(np.argmax(np.abs(vectors[:, 0])))]
        raise GeometryError(
            f"The links leave the axle free to move {free}. Check that the upper links stand away "
            f"from the lower ones and that the lateral link lies across the car."
        )
