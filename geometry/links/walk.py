"""The way to a pose of an axle on links: from the measured one, by least link energy.

A solution follows its own branch: poses are walked to in stages, each of Newton's steps. States are
x and y of the centre [mm] from where it was measured, yaw and pitch [rad], and poses are the last
axis of every array, as in `geometry.links.energy`.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np

from geometry.errors import FreeMotion, LinksLoose
from geometry.links.axle import LinkAxle
from geometry.links.energy import LinkArrays, link_energy
from geometry.links.one_pose import (
    OnePose,
    State,
    energy_of_one,
    is_surely_stable,
    least_energy,
)
from geometry.numeric import solved
from geometry.vectors import Array, Point

Mask = np.ndarray[tuple[int, ...], np.dtype[np.bool_]]

LARGEST_STRETCH: Final = 20.0
"""Stretch of a link above which a pose counts as out of reach [mm]; bushes give a few mm."""

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
STEPS: Final = (LAST_STEP, _LARGEST_STEP, ANGLE_LENGTH)
_LEAST_STIFFNESS: Final = 1e-9  # least over greatest stiffness of an axle that is held at all
_LENGTHS: Final = np.array([[1.0], [1.0], [ANGLE_LENGTH], [ANGLE_LENGTH]])
_BY_SCALES: Final = np.outer(1.0 / _LENGTHS, 1.0 / _LENGTHS)


def followed(links: LinkArrays, origin: Array, heave: Array, roll: Array) -> tuple[Array, Mask]:
    """Return the states on the measured pose's own branch, and which poses it reaches.

    Poses that turned more in a stage than links in their ordinary range do are walked again in
    short stages: near a fold a long stage can end in another assembly.

    Parameters
    ----------
    links
        The links of one axle, or each pose's own.
    origin
        The axle's centre as measured [mm], shape (3, 1) or (3, n).
    heave, roll
        Rise of the centre [mm] and the axle's own roll about X [rad], shape (n,).
    """
    state, alive, turn = marched(links, origin, (heave, roll), 1.0)
    doubt = alive & (turn > _DOUBTFUL_TURN)
    if doubt.any():
        some = _of(links, origin, doubt)
        walk = marched(*some, (heave[doubt], roll[doubt]), _SHORT_STAGE)
        state[:, doubt], alive[doubt] = walk[0], walk[1] & (walk[2] < _LARGEST_TURN)
    return state, alive


def from_near(
    links: LinkArrays, origin: Array, near: Array, target: tuple[Array, Array]
) -> tuple[Array, Mask]:
    """Return the states beside those of an axle much like these, and which poses are reached.

    What isn't found close by is walked to from the measured pose.

    Parameters
    ----------
    links
        The links of one axle, or each pose's own.
    origin
        The axle's centre as measured [mm], shape (3, 1) or (3, n).
    near
        Those states, shape (4, n).
    target
        Rise of the centre [mm] and the axle's own roll about X [rad], shape (n,).
    """
    every = np.ones(near.shape[1], dtype=np.bool_)
    state, alive = _newton(links, origin, near, target, LAST_STEP, every)
    beside = alive & (step_size(state - near) < _LARGEST_TURN)
    lost = ~beside
    if lost.any():
        heave, roll = target
        walk = followed(*_of(links, origin, lost), heave[lost], roll[lost])
        state[:, lost], alive[lost] = walk
    return state, alive


def _of(links: LinkArrays, origin: Array, poses: Mask) -> tuple[LinkArrays, Array]:
    """Return the links and centres of some poses: one for all, or each one's own."""
    if links.is_of_one_axle:
        return links, origin
    return LinkArrays(*(array[..., poses] for array in vars(links).values())), origin[:, poses]


def marched(
    links: LinkArrays, origin: Array, target: tuple[Array, Array], stages: float
) -> tuple[Array, Mask, Array]:
    """Walk every pose out from the measured one; each stage starts where the last two point.

    A pose is lost, for good, at a stage that finds no minimum or needs too long a stretch, or when
    it is further than any car's axle goes. The last array is the furthest that a stage ended from
    its guess [mm].

    Parameters
    ----------
    links
        The links of one axle, or each pose's own.
    origin
        The axle's centre as measured [mm], shape (3, 1) or (3, n).
    target
        Rise of the centre [mm] and the axle's own roll about X [rad], shape (n,).
    stages
        Length of a stage, as a share of the ordinary one.
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
        turn = np.maximum(turn, step_size(state - guess))
        if not alive.any():
            break
    return state, alive, turn


def _starts(links: LinkArrays, origin: Array, count: int) -> tuple[Array, Mask]:
    """Return the states at no travel and no roll from which poses set out, (4, n)."""
    if links.is_of_one_axle:
        start, is_solved = _at_rest(links, as_point(origin[:, 0]))
        return np.repeat(start, count, axis=1), is_solved
    target, alive = (np.zeros(count), np.zeros(count)), np.ones(count, dtype=np.bool_)
    return _newton(links, origin, np.zeros((4, count)), target, LAST_STEP, alive)


@lru_cache(maxsize=64)
def _at_rest(links: LinkArrays, origin: Point) -> tuple[Array, Mask]:
    """Return the state at no travel and no roll, (4, 1): not zero where a link was kept."""
    alive = np.ones(1, dtype=np.bool_)
    pose = plain_rest(links, origin)
    if pose is not None:
        return np.array(pose.state)[:, None], alive
    target = np.zeros(1), np.zeros(1)
    return _newton(links, np.array(origin)[:, None], np.zeros((4, 1)), target, LAST_STEP, alive)


@lru_cache(maxsize=64)
def plain_rest(links: LinkArrays, origin: Point) -> OnePose | None:
    """Return the pose at no travel and no roll, None where it isn't surely one in reach.

    Parameters
    ----------
    links
        The links of one axle.
    origin
        The axle's centre as measured [mm].
    """
    pose = least_energy(links.plain, origin, (0.0, 0.0, 0.0, 0.0), 0.0, STEPS)
    return pose if pose is not None and is_plain(pose) else None


def is_plain(pose: OnePose) -> bool:
    """Tell whether five links surely hold a pose, which bushes reach with something to spare."""
    strain = max(map(abs, pose.stretch))
    is_held = is_surely_stable(pose.hessian, ANGLE_LENGTH, _LEAST_STIFFNESS)
    return len(pose.stretch) > 4 and strain < 0.9 * LARGEST_STRETCH and is_held


def origin_of(axle: LinkAxle) -> Array:
    """Return the axle's centre as measured [mm], shape (3, 1), or (3, n) of n axles."""
    centre = axle.centre
    return centre[:, None] if centre.ndim == 1 else centre.T


def as_point(place: Array) -> Point:
    """Return a place as plain numbers."""
    return float(place[0]), float(place[1]), float(place[2])


def step_size(step: Array) -> Array:
    """Return the largest of each pose's four coordinates [mm], (4, n) to (n,)."""
    return np.asarray(np.abs(step * _LENGTHS).max(axis=0))


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
        hessian = bend.hessian.transpose(2, 0, 1)
        step = solved(hessian, bend.gradient.T[:, :, None])[:, :, 0].T
        size = step_size(step)
        state = state - step * np.minimum(1.0, _LARGEST_STEP / np.maximum(size, last))
        if not (size[alive] > last).any():
            break
    strained = np.abs(bend.stretch).max(axis=0) > LARGEST_STRETCH
    return state, (size <= last) & ~strained & (np.linalg.det(hessian) > 0.0)


def is_stable(hessian: Array) -> Mask:
    """Tell where the energy is at a minimum and not at a saddle, that is, past a fold."""
    scaled = hessian * _BY_SCALES
    if not np.isfinite(scaled).all():
        scaled = np.where(np.isfinite(scaled), scaled, 0.0)
    values = np.linalg.eigvalsh(scaled)
    return np.asarray(values[:, 0] > _LEAST_STIFFNESS * values[:, -1])


@lru_cache(maxsize=64)
def check_held(links: LinkArrays, origin: Point) -> None:
    """Raise LinksLoose when some motion beside rise and roll stretches no link.

    Parameters
    ----------
    links
        The links of one axle.
    origin
        The axle's centre as measured [mm].
    """
    zero: State = (0.0, 0.0, 0.0, 0.0)
    measured = energy_of_one(links.plain, origin, zero, 0.0, 0.0)
    if measured and is_surely_stable(measured.hessian, ANGLE_LENGTH, _LEAST_STIFFNESS):
        return
    at_rest = np.zeros(1)
    bend = link_energy(links, np.array(origin)[:, None], np.zeros((4, 1)), at_rest, at_rest)
    hessian = bend.hessian.transpose(2, 0, 1)
    if not is_stable(hessian)[0]:
        scaled = hessian[0] * _BY_SCALES
        vectors = np.linalg.eigh(np.where(np.isfinite(scaled), scaled, 0.0))[1]
        free = list(FreeMotion)[int(np.argmax(np.abs(vectors[:, 0])))]  # in the state's order
        raise LinksLoose(free)
