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
from functools import lru_cache
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import AxleUnreachable, FreeMotion, LinksLoose
from geometry.links.axle import LinkAxle
from geometry.links.energy import LinkArrays, link_arrays, link_energy
from geometry.numeric import quietly, solved
from geometry.vectors import Array, Point

Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

LARGEST_STRETCH: Final = 20.0
"""Stretch of a link above which a pose counts as out of reach [mm]; bushes give a few mm."""

RIGID_STRETCH: Final = 1e-6
"""The same for four links, which reach a pose unstretched or not at all [mm]."""

STAGE_TRAVEL: Final = 50.0
STAGE_ROLL: Final = 0.09
"""Travel [mm] and roll [rad] of one stage on the way out from the measured pose, so that a solution
follows its own branch."""

FURTHEST_TRAVEL: Final = 2000.0
FURTHEST_ROLL: Final = math.pi / 2
"""Travel [mm] and roll [rad] beyond which no axle is followed."""

ANGLE_LENGTH: Final = 500.0
"""Length that makes an angle comparable to a shift in steps and in stiffness [mm]."""

LAST_STEP: Final = 1e-6
"""Largest last Newton step [mm]; what remains is its square over a link's length: rounding."""

_STAGE_STEP: Final = 1.0  # last Newton step of a stage on the way [mm]
_LARGEST_STEP: Final = 60.0  # a longer Newton step is cut to this [mm]
_DOUBTFUL_TURN: Final = 30.0  # a stage that misses its guess by more is walked again [mm]
_LARGEST_TURN: Final = 15.0  # a short stage that misses it by more has jumped [mm]
_SHORT_STAGE: Final = 0.1  # of a stage
_MOST_STEPS: Final = 15
_LEAST_STIFFNESS: Final = 1e-9  # least over greatest stiffness of an axle that is held at all
LINK_KEYS: Final = {  # how the keys of a link's ends begin, without "rear."
    "lower left link": "lower",
    "lower right link": "right.lower",
    "upper left link": "upper",
    "upper right link": "right.upper",
    "lateral link": "lateral",
}
_SCALES: Final = np.array([1.0, 1.0, 1.0 / ANGLE_LENGTH, 1.0 / ANGLE_LENGTH])


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
    hessian
        Of the links' energy there, by x, y, yaw and pitch [N, mm], shape (n, 4, 4).
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
    hessian: Array


@quietly
def solve_poses(
    axle: LinkAxle, travel: Array | float, roll: Array | float, near: Array | None = None
) -> AxlePoses:
    """Find the poses of least link energy at the travels and rolls given, all in one batch.

    Parameters
    ----------
    axle
        The axle; its measured points are the pose of no travel and no roll.
    travel
        Rise of the axle's centre against the body [mm], + in bump, shape (n,) or a number.
    roll
        Roll of the body against the axle [rad], + to the right, shape (n,) or a number.
    near
        Of axles that each have their own links, the `states` of one that is much like them, shape
        (n, 4): they set out from there. None lets every pose be walked to from the measured one.

    Returns
    -------
    AxlePoses
        Exact to rounding, about 1e-11 mm. A pose that can't be reached is marked, not raised.

    Raises
    ------
    LinksLoose
        When the links leave the axle a free motion beside rise and roll at the measured pose.
    """
    shapes = np.broadcast_arrays(np.atleast_1d(travel), np.atleast_1d(roll))
    heave, lean = (np.array(values, dtype=float) for values in shapes)
    links = link_arrays(axle)
    if axle.centre.ndim == 1:
        _check_held(links, _point(axle.centre))
    if near is None:
        state, alive = _followed(links, axle.centre, heave, -lean)
    else:
        state, alive = _from_near(links, axle.centre, near, (heave, -lean))
    bend = link_energy(links, axle.centre, state, heave, -lean)
    limit = LARGEST_STRETCH if links.rate.shape[-1] > 4 else RIGID_STRETCH
    reachable = alive & (np.abs(bend.stretch).max(axis=1) <= limit) & _is_stable(bend.hessian)
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
        hessian=bend.hessian + lost[:, None, None],
    )


def states(poses: AxlePoses) -> Array:
    """Return the coordinates that poses were solved for: x, y [mm], yaw, pitch [rad], (n, 4)."""
    shift = poses.centre - poses.axle.centre
    return np.stack([shift[:, 0], shift[:, 1], poses.steer, poses.pitch], axis=1)


@quietly
def check_reachable(poses: AxlePoses) -> None:
    """Raise AxleUnreachable for the first pose out of reach, naming the link that strains most."""
    lost = np.flatnonzero(~poses.reachable)
    if not lost.size:
        return
    travel, roll = float(poses.travel[lost[0]]), float(poses.roll[lost[0]])
    links = link_arrays(poses.axle)
    target = np.array([travel]), np.array([-roll])
    state, _, _ = _marched(links, poses.axle.centre, target, 1.0)
    stretch = link_energy(links, poses.axle.centre, state, *target).stretch[0]
    worst = int(np.argmax(np.abs(stretch)))
    name, length = LINK_KEYS[list(poses.axle.links)[worst]], float(links.length[worst])
    raise AxleUnreachable(
        first=f"rear.{name}_body",
        second=f"rear.{name}_axle",
        wanted=length,
        available=length + float(stretch[worst]),
        travel=travel,
        roll=roll,
    )


def placed(poses: AxlePoses, point: Point) -> Array:
    """Return a point of the axle, given as measured [mm], in every pose, shape (n, 3).

    Parameters
    ----------
    poses
        n poses of the axle.
    point
        A point of the axle as measured in the datum pose [mm], shape (3,).
    """
    return np.asarray(poses.centre + turned_by(poses.rotation, from_centre(poses, point)))


def turned_by(rotation: Array, place: Array) -> Array:
    """Return a place, (3,) or (n, 3), turned by each of n rotations, shape (n, 3).

    Parameters
    ----------
    rotation
        Rotation matrices, shape (n, 3, 3).
    place
        One place for all [mm], shape (3,), or one for each, shape (n, 3).
    """
    return rotation @ place if place.ndim == 1 else (rotation @ place[..., None])[..., 0]


def from_centre(poses: AxlePoses, point: Point) -> Array:
    """Return a point of the axle, as measured, from its centre [mm], shape (3,) or (n, 3).

    Parameters
    ----------
    poses
        Poses of the axle, which know its centre.
    point
        A point of the axle as measured in the datum pose [mm], or n of them by axis.
    """
    return np.asarray(np.array(point).T - poses.axle.centre, dtype=float)


def _followed(links: LinkArrays, origin: Array, heave: Array, roll: Array) -> tuple[Array, Mask]:
    """Return the states on the measured pose's own branch, and which poses it reaches.

    Poses that turned more in a stage than links in their ordinary range do are walked again in
    short stages: near a fold a long stage can end in another assembly.
    """
    state, alive, turn = _marched(links, origin, (heave, roll), 1.0)
    doubt = alive & (turn > _DOUBTFUL_TURN)
    if doubt.any():
        some = (links, origin) if origin.ndim == 1 else (_of(links, doubt), origin[doubt])
        walk = _marched(*some, (heave[doubt], roll[doubt]), _SHORT_STAGE)
        state[doubt], alive[doubt] = walk[0], walk[1] & (walk[2] < _LARGEST_TURN)
    return state, alive


def _from_near(
    links: LinkArrays, origin: Array, near: Array, target: tuple[Array, Array]
) -> tuple[Array, Mask]:
    """Return the states beside those of an axle much like these, and which poses are reached.

    What isn't found close by is walked to from the measured pose.
    """
    every = np.ones(len(near), dtype=np.bool_)
    state, alive = _newton(links, origin, near, target, LAST_STEP, every)
    beside = alive & (np.abs((state - near) / _SCALES).max(axis=1) < _LARGEST_TURN)
    lost = ~beside
    if lost.any():
        heave, roll = target
        walk = _followed(_of(links, lost), origin[lost], heave[lost], roll[lost])
        state[lost], alive[lost] = walk
    return state, alive


def _of(links: LinkArrays, poses: Mask) -> LinkArrays:
    """Return the links of some poses, each of which has its own."""
    return LinkArrays(*(array[poses] for array in vars(links).values()))


def _marched(
    links: LinkArrays, origin: Array, target: tuple[Array, Array], stages: float
) -> tuple[Array, Mask, Array]:
    """Walk every pose out from the measured one; each stage starts where the last two point.

    A pose is lost, for good, at a stage that finds no minimum or needs too long a stretch, or when
    it is further than any car's axle goes. The last
    array is the furthest that a stage ended from its guess [mm].
    """
    heave, roll = target
    tried = (np.abs(heave) <= FURTHEST_TRAVEL) & (np.abs(roll) <= FURTHEST_ROLL)
    heave, roll = np.where(tried, heave, 0.0), np.where(tried, roll, 0.0)
    reach = max(np.abs(heave).max() / STAGE_TRAVEL, np.abs(roll).max() / STAGE_ROLL)
    count = max(1, math.ceil(reach / stages))
    start, is_solved = _starts(links, origin, len(heave))
    state = before = start
    alive, turn = is_solved & tried, np.zeros(len(heave))
    if reach == 0.0:  # where they set out
        return state, alive, turn
    for stage in range(1, count + 1):
        share, last = stage / count, LAST_STEP if stage == count else _STAGE_STEP
        guess = 2.0 * state - before
        before = state
        state, is_solved = _newton(links, origin, guess, (heave * share, roll * share), last, alive)
        alive &= is_solved
        turn = np.maximum(turn, np.abs((state - guess) / _SCALES).max(axis=1))
        if not alive.any():
            break
    return state, alive, turn


def _starts(links: LinkArrays, origin: Array, count: int) -> tuple[Array, Mask]:
    """Return the states at no travel and no roll from which poses set out, (n, 4)."""
    if origin.ndim == 1:
        start, is_solved = _at_rest(links, _point(origin))
        return np.repeat(start, count, axis=0), is_solved
    target, alive = (np.zeros(count), np.zeros(count)), np.ones(count, dtype=np.bool_)
    return _newton(links, origin, np.zeros((count, 4)), target, LAST_STEP, alive)


@lru_cache(maxsize=64)
def _at_rest(links: LinkArrays, origin: Point) -> tuple[Array, Mask]:
    """Return the state at no travel and no roll, (1, 4): not zero where a link was kept."""
    target = np.zeros(1), np.zeros(1)
    alive = np.ones(1, dtype=np.bool_)
    return _newton(links, np.array(origin), np.zeros((1, 4)), target, LAST_STEP, alive)


def _point(place: Array) -> Point:
    return float(place[0]), float(place[1]), float(place[2])


def _newton(
    links: LinkArrays,
    origin: Array,
    state: Array,
    target: tuple[Array, Array],
    last: float,
    alive: Mask,
) -> tuple[Array, Mask]:
    """Step to the energy's minimum until no step of a pose still alive is over ``last`` [mm]."""
    for _ in range(_MOST_STEPS):
        bend = link_energy(links, origin, state, *target)
        step = solved(bend.hessian, bend.gradient[:, :, None])[:, :, 0]
        size = np.abs(step / _SCALES).max(axis=1)
        state = state - step * np.minimum(1.0, _LARGEST_STEP / np.maximum(size, last))[:, None]
        if not (size[alive] > last).any():
            break
    strained = np.abs(bend.stretch).max(axis=1) > LARGEST_STRETCH
    return state, (size <= last) & ~strained & (np.linalg.det(bend.hessian) > 0.0)


def _is_stable(hessian: Array) -> Mask:
    """Tell where the energy is at a minimum and not at a saddle, that is, past a fold."""
    scaled = hessian * np.outer(_SCALES, _SCALES)
    values = np.linalg.eigvalsh(np.where(np.isfinite(scaled), scaled, 0.0))
    return np.asarray(values[:, 0] > _LEAST_STIFFNESS * values[:, -1])


@lru_cache(maxsize=64)
def _check_held(links: LinkArrays, origin: Point) -> None:
    """Raise LinksLoose when some motion beside rise and roll stretches no link."""
    at_rest = np.zeros(1)
    bend = link_energy(links, np.array(origin), np.zeros((1, 4)), at_rest, at_rest)
    if not _is_stable(bend.hessian)[0]:
        scaled = bend.hessian[0] * np.outer(_SCALES, _SCALES)
        vectors = np.linalg.eigh(np.where(np.isfinite(scaled), scaled, 0.0))[1]
        free = list(FreeMotion)[int(np.argmax(np.abs(vectors[:, 0])))]  # in the state's order
        raise LinksLoose(free)
