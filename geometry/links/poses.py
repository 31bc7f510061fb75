"""Poses of an axle on links: the least link energy with the axle's rise and roll prescribed.

Five rigid links leave an axle one freedom and it needs two, so the bushes must give: every link is
an elastic strut along its own line, and the answer depends on the stiffnesses. With one upper link
left out it does not: four links reach every pose unstretched, or not at all. The energy is the
links' alone; coils and dampers move with the axle without bending its path.

The axle turns by yaw about Z, then roll about X, then pitch about its own line, so that its roll is
the slope of its line whatever its yaw and pitch. How a pose is found is in `geometry.links.walk`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import AxleUnreachable
from geometry.links.axle import LinkAxle
from geometry.links.energy import LinkArrays, link_arrays, link_energy
from geometry.links.one_pose import least_energy
from geometry.links.walk import (
    LARGEST_STRETCH,
    STEPS,
    Mask,
    as_point,
    check_held,
    followed,
    from_near,
    is_plain,
    is_stable,
    marched,
    origin_of,
    plain_rest,
    step_size,
)
from geometry.numeric import quietly
from geometry.vectors import Array, Point

RIGID_STRETCH: Final = 1e-6
"""Stretch of one of four links above which a pose counts as out of reach [mm]: they reach it
unstretched or not at all."""

_ABOUT: Final = 6  # poses about another one that it is interpolated from
_BESIDE: Final = 0.1  # how far from where they put it that may be found [mm]
LINK_KEYS: Final = {  # how the keys of a link's ends begin, without "rear."
    "lower left link": "lower",
    "lower right link": "right.lower",
    "upper left link": "upper",
    "upper right link": "right.upper",
    "lateral link": "lateral",
}


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
    links, origin = link_arrays(axle), origin_of(axle)
    if axle.centre.ndim == 1:
        check_held(links, as_point(axle.centre))
    if near is None:
        state, alive = followed(links, origin, heave, -lean)
    else:
        state, alive = from_near(links, origin, near.T, (heave, -lean))
    return _posed(axle, links, state, alive, (heave, lean))


def _posed(
    axle: LinkAxle, links: LinkArrays, state: Array, alive: Mask, asked: tuple[Array, Array]
) -> AxlePoses:
    """Return the poses of states, those out of reach as NaN; `asked` are travel and body roll."""
    travel, roll = asked
    bend = link_energy(links, origin_of(axle), state, travel, -roll)
    limit = LARGEST_STRETCH if links.count > 4 else RIGID_STRETCH
    hessian = bend.hessian.transpose(2, 0, 1)
    reachable = alive & (np.abs(bend.stretch).max(axis=0) <= limit) & is_stable(hessian)
    if not reachable.all():
        lost = np.where(reachable, 0.0, np.nan)
        for array in (bend.centre, state, bend.columns, bend.stretch, bend.hessian):
            array += lost
    return AxlePoses(
        axle=axle,
        travel=travel,
        roll=roll,
        centre=bend.centre.T,
        steer=state[2],
        pitch=state[3],
        rotation=bend.columns.transpose(2, 1, 0),
        stretch=bend.stretch.T,
        reachable=reachable,
        hessian=hessian,
    )


@quietly
def pose_beside(poses: AxlePoses, travel: float) -> AxlePoses:
    """Return one level pose more, found from those of the same axle about it.

    Their states are interpolated, so that one Newton step confirms it. Where they don't lie about
    it closely it is walked to from the measured pose, as any other.

    Parameters
    ----------
    poses
        n level poses, their travel rising.
    travel
        Rise of the axle's centre against the body [mm], + in bump.
    """
    at = poses.travel
    first = int(np.searchsorted(at, travel)) - _ABOUT // 2
    near = slice(first, first + _ABOUT)
    if first < 0 or near.stop > at.size or not poses.reachable[near].all():
        return solve_poses(poses.axle, travel, 0.0)
    x, y, yaw, pitch = (np.array(_shares(at[near].tolist(), travel)) @ states(poses, near)).tolist()
    links, origin = link_arrays(poses.axle), as_point(poses.axle.centre)
    pose = least_energy(links.plain, origin, (x, y, yaw, pitch), travel, STEPS)
    if pose is None or not is_plain(pose):
        return solve_poses(poses.axle, travel, 0.0)
    apart = (pose.state[0] - x, pose.state[1] - y, pose.state[2] - yaw, pose.state[3] - pitch)
    if step_size(np.array(apart)[:, None])[0] > _BESIDE:  # they lead to it no more
        return solve_poses(poses.axle, travel, 0.0)
    return AxlePoses(
        axle=poses.axle,
        travel=np.array([travel]),
        roll=np.zeros(1),
        centre=np.array([pose.centre]),
        steer=np.array([pose.state[2]]),
        pitch=np.array([pose.state[3]]),
        rotation=np.array([pose.rotation]),
        stretch=np.array([pose.stretch]),
        reachable=np.ones(1, dtype=np.bool_),
        hessian=np.array([pose.whole_hessian()]),
    )


def check_at_rest(axle: LinkAxle) -> None:
    """Raise what keeps one axle from its pose of no travel and no roll.

    Raises
    ------
    LinksLoose
        When the links leave the axle a free motion beside rise and roll.
    AxleUnreachable
        When the links can't be joined there.
    """
    links, origin = link_arrays(axle), as_point(axle.centre)
    check_held(links, origin)
    if plain_rest(links, origin) is None:
        check_reachable(solve_poses(axle, 0.0, 0.0))


def _shares(at: list[float], place: float) -> list[float]:
    """Return the shares of values at some places in the polynomial through them, at another.

    References
    ----------
    Lagrange's form of the interpolating polynomial: any textbook of numerical analysis.
    """
    return [
        math.prod((place - other) / (own - other) for other in at if other != own) for own in at
    ]


def joined(poses: Sequence[AxlePoses]) -> AxlePoses:
    """Return poses of one axle one behind the other.

    Parameters
    ----------
    poses
        Batches of them, all of the same axle.
    """
    columns = zip(*(list(vars(each).values())[1:] for each in poses), strict=True)
    return AxlePoses(poses[0].axle, *(np.concatenate(arrays) for arrays in columns))


def states(poses: AxlePoses, part: slice = slice(None)) -> Array:
    """Return the coordinates that poses were solved for: x, y [mm], yaw, pitch [rad], (n, 4).

    Parameters
    ----------
    poses
        Poses of an axle, or of as many axles.
    part
        Which of them are meant.
    """
    shift = (poses.centre - poses.axle.centre)[part]
    return np.array([shift[:, 0], shift[:, 1], poses.steer[part], poses.pitch[part]]).T


@quietly
def check_reachable(poses: AxlePoses) -> None:
    """Raise AxleUnreachable for the first pose out of reach, naming the link that strains most."""
    lost = np.flatnonzero(~poses.reachable)
    if not lost.size:
        return
    travel, roll = float(poses.travel[lost[0]]), float(poses.roll[lost[0]])
    links, origin = link_arrays(poses.axle), origin_of(poses.axle)
    target = np.array([travel]), np.array([-roll])
    state, _, _ = marched(links, origin, target, 1.0)
    stretch = link_energy(links, origin, state, *target).stretch[:, 0]
    worst = int(np.argmax(np.abs(stretch)))
    name, length = LINK_KEYS[list(poses.axle.links)[worst]], float(links.length[worst, 0])
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
