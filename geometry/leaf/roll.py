"""An axle on two leaf springs in roll: both sides' loops, joined by a housing that can't twist.

Each side on its own would pitch its seat as in bounce, one up and one down. The housing keeps both
seats at one angle, so in roll the seats move without turning; that is also why the springs are
stiffer in roll (`HalfRates.seat_kept`) than in bounce.

Roll is + when the body leans to its right, as in a left turn; steer of the axle is + to the left.
Then steer per roll is + for understeer: the axle turns into the corner.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.dataclass import dataclass
from geometry.errors import ShackleOutOfReach
from geometry.leaf.axle import LeafPath, leaf_path
from geometry.leaf.held import hold_seat
from geometry.leaf.loop import LeafLoop, Point, Scalar, wheel_of
from geometry.leaf.reach import design_wheel, out_of_reach
from geometry.leaf.steer import eyes_line_height
from geometry.vectors import Array

Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class LeafRoll:
    """Poses of the axle in roll; arrays of shape (n,), rows left and right where (2, n).

    Parameters
    ----------
    roll
        Of the body [rad], + leaning to its right; the nearest that closes where `reachable` is
        false.
    reachable
        Whether both sides close there.
    steer
        Of the axle [rad], + to the left.
    pinion
        Pinion angle [rad], + nose up.
    wheel_x
        Axle's line at each spring [mm], shape (2, n).
    travel
        Of the axle's line at each spring [mm], + in bump, shape (2, n).
    wheel_z
        Height of the axle's line at each spring [mm], shape (2, n).
    seat_x, seat_z
        Centre bolts [mm], shape (2, n).
    front_curvature, rear_curvature
        Of the springs' halves [1/mm], shape (2, n).
    eye_x, eye_z
        Rear eyes [mm], shape (2, n).
    roll_centre
        Height above ground, by the line from the front eye to the rear eye [mm].
    roll_centre_leaf
        The same taken at the main leaf over the axle [mm]: the band's other end.
    axle_shift
        Of the axle's middle across the body [mm], + to the left.
    """

    roll: Array
    reachable: Mask
    steer: Array
    pinion: Array
    wheel_x: Array
    travel: Array
    wheel_z: Array
    seat_x: Array
    seat_z: Array
    front_curvature: Array
    rear_curvature: Array
    eye_x: Array
    eye_z: Array
    roll_centre: Array
    roll_centre_leaf: Array
    axle_shift: Array


def leaf_roll(
    loop: LeafLoop,
    roll: ArrayLike,
    spring_base: float,
    tyre_radius: float,
    heave: Scalar = 0.0,
    datum: Point | None = None,
    right: LeafLoop | None = None,
) -> LeafRoll:
    """Roll the body over the axle.

    Parameters
    ----------
    loop
        The left side's loop.
    roll
        Of the body [rad], + leaning to its right, shape (n,).
    spring_base
        Between the springs, left to right [mm].
    tyre_radius
        Loaded [mm].
    heave
        Travel of the axle's middle [mm], + in bump; one, or one of each roll, shape (n,).
    datum
        Wheel centre at zero travel, (x, z) [mm]; None takes each loop's pose at the design
        curvature.
    right
        The right side's loop; None mirrors the left.

    Raises
    ------
    ShackleOutOfReach
        No roll can be reached at that heave; it tells the travel of the spring that stops.
    """
    angles = np.atleast_1d(np.asarray(roll, dtype=float))
    lever = spring_base / 2 * np.sin(angles)
    loops = (loop, loop if right is None else right)
    zeros = [design_wheel(side) if datum is None else datum for side in loops]
    free = _free_sides(loops, heave, lever, zeros)
    reachable = free[0].reachable & free[1].reachable
    if not reachable.any():
        raise _stopped_side(loops, free, heave, lever, zeros)
    sides, held_poses, pinion = _held_sides(loops, free, reachable)
    held = np.array([side.closes for side in sides]).all(axis=0)
    if not held.all():
        reachable[held_poses[~held]] = False
        reachable &= held
        if not reachable.any():
            raise _stopped_side(loops, free, heave, lever, zeros)
        sides, held_poses, pinion = _held_sides(loops, free, reachable)
    forward = [side.wheel_x - zero[0] for side, zero in zip(sides, zeros, strict=True)]
    centre, leaf, shift = centres_and_shift(sides, angles[held_poses], tyre_radius)
    return LeafRoll(
        roll=angles[held_poses],
        reachable=reachable,
        steer=np.arcsin((forward[1] - forward[0]) / spring_base),
        pinion=pinion,
        wheel_x=_rows(sides, "wheel_x"),
        travel=np.array([path.travel[held_poses] for path in free]),
        wheel_z=_rows(sides, "wheel_z"),
        seat_x=_rows(sides, "seat_x"),
        seat_z=_rows(sides, "seat_z"),
        front_curvature=_rows(sides, "front_curvature"),
        rear_curvature=_rows(sides, "rear_curvature"),
        eye_x=_rows(sides, "eye_x"),
        eye_z=_rows(sides, "eye_z"),
        roll_centre=centre,
        roll_centre_leaf=leaf,
        axle_shift=shift,
    )


def centres_and_shift(
    sides: Sequence[HeldSide], roll: Array, tyre_radius: Scalar
) -> tuple[Array, Array, Array]:
    """Return both heights of the roll centre and the axle's shift [mm], (n,), as in `LeafRoll`.

    Parameters
    ----------
    sides
        Left and right side, n poses each.
    roll
        Body roll [rad], right side down positive, shape (n,).
    tyre_radius
        Height of the wheel centre above the road [mm].
    """
    middle, centre, leaf = (_mean(sides, name) for name in ("wheel_z", "eyes_line", "seat_z"))
    return (
        centre - middle + tyre_radius,
        leaf - middle + tyre_radius,
        (middle - centre) * np.sin(roll),
    )


def _free_sides(
    loops: tuple[LeafLoop, LeafLoop], heave: Scalar, lever: Array, zeros: list[Point]
) -> list[LeafPath]:
    """Take each side to its travel as if it were alone; both in one go where they are alike."""
    travels = heave - lever, heave + lever
    if loops[0] == loops[1] and zeros[0] == zeros[1]:
        both_paths = leaf_path(loops[0], np.concatenate(travels), zeros[0])
        count = len(lever)
        return [both_paths.at(slice(0, count)), both_paths.at(slice(count, None))]
    return [leaf_path(*side) for side in zip(loops, travels, zeros, strict=True)]


def _held_sides(
    loops: tuple[LeafLoop, LeafLoop], free: list[LeafPath], reachable: Mask
) -> tuple[list[HeldSide], NDArray[np.intp], Array]:
    """Both sides at the housing's angle, which poses they repeat, and the pinion's angle."""
    held_poses = _nearest(reachable)
    # The housing's angle leaves no couple on the pair: the mean, the springs being linear.
    pinion = (free[0].pinion + free[1].pinion)[held_poses] / 2
    sides = [
        held_side(side, path, held_poses, pinion) for side, path in zip(loops, free, strict=True)
    ]
    return sides, held_poses, pinion


def _stopped_side(
    loops: tuple[LeafLoop, LeafLoop],
    free: list[LeafPath],
    heave: Scalar,
    lever: Array,
    zeros: list[Point],
) -> ShackleOutOfReach:
    """Say how far the side that stops the least roll would have to travel."""
    least = int(np.argmin(np.abs(lever)))
    side = 0 if not free[0].reachable[least] else 1
    middle = float(np.broadcast_to(heave, lever.shape)[least])
    travel = middle + (-1.0, 1.0)[side] * float(lever[least])
    return out_of_reach(loops[side], travel, zeros[side][1])


@dataclass(frozen=True)
class HeldSide:
    """One side with its seat at the housing's angle; arrays of shape (n,), [mm]."""

    wheel_x: Array
    wheel_z: Array
    seat_x: Array
    seat_z: Array
    front_curvature: Array
    rear_curvature: Array
    eye_x: Array
    eye_z: Array
    eyes_line: Array
    closes: Mask


def held_side(
    loop: LeafLoop, path: LeafPath, held_poses: NDArray[np.intp], pinion: Array
) -> HeldSide:
    """Turn the seat of the kept poses to the housing's angle, the wheel's height unchanged.

    Parameters
    ----------
    loop
        The loop of one side.
    path
        What the side reached by itself.
    held_poses
        Places of the n kept poses in `path`.
    pinion
        Angle of the housing [rad], nose up positive, shape (n,).
    """
    angle = pinion - loop.pinion
    offset_x, offset_z = wheel_of(loop, np.zeros(1), np.zeros(1), angle)
    seat_z = path.wheel_z[held_poses] - offset_z
    held = hold_seat(loop, seat_z, angle, path.curvature_change[held_poses])
    return HeldSide(
        wheel_x=held.x + offset_x,
        wheel_z=path.wheel_z[held_poses],
        seat_x=held.x,
        seat_z=seat_z,
        front_curvature=held.front_curvature,
        rear_curvature=held.rear_curvature,
        eye_x=held.eye_x,
        eye_z=held.eye_z,
        eyes_line=eyes_line_height(loop, held.x, held.eye_x, held.eye_z),
        closes=held.closes,
    )


def _rows(sides: list[HeldSide], name: str) -> Array:
    return np.array([getattr(side, name) for side in sides])


def _mean(sides: Sequence[HeldSide], name: str) -> Array:
    """Mean of both sides, read in the middle of the car."""
    mean: Array = (getattr(sides[0], name) + getattr(sides[1], name)) / 2
    return mean


def _nearest(reachable: Mask) -> NDArray[np.intp]:
    """Index of the nearest pose that closes, for every pose; at least one does."""
    places = np.flatnonzero(reachable)
    every = np.arange(len(reachable))
    if len(places) == len(every):
        return every
    nearest: NDArray[np.intp] = places[np.argmin(np.abs(every[:, None] - places), axis=1)]
    return nearest
