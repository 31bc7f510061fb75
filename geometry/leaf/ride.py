"""What a leaf spring carries on the car: load and rate over travel with the shackle's effect.

A pack is bent from its free curvature. Measured under a known load, the car gives that free
curvature (`free_change`); a proposed pack with the same free arch then settles where it carries the
load again (`settled`).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from geometry.dataclass import dataclass
from geometry.errors import DegenerateGeometry, Flaw, GeometryError
from geometry.leaf.axle import LeafPath
from geometry.leaf.load import HalfRates, Model, PackStages, deflection_at, load_at, rate_at
from geometry.leaf.loop import LeafLoop, Scalar, arc_tip, close_loop
from geometry.leaf.motion import loop_motion
from geometry.leaf.reach import (
    check_stands,
    design_motion,
    design_wheel,
    out_of_reach,
    stands,
    travel_limits,
)
from geometry.vectors import Array

# Newton steps to the ride height; three or four do in ordinary cases.
MOST_STEPS: Final = 12
# Step whose correction is rounding: curvature times length squared [mm].
SETTLED: Final = 1e-6
# Dimensionless change of curvature that is searched either way, places looked at, and passes.
_FURTHEST: Final = 3.0
_PLACES: Final = np.linspace(0.0, 1.0, 401)
_NARROWINGS: Final = 6
# Slope below which Newton's steps would run away.
LEAST_SLOPE: Final = 0.05


@dataclass(frozen=True)
class SpringOnCar:
    """One spring over a path; arrays of shape (n,).

    Parameters
    ----------
    deflection
        Of the pack from free [mm].
    load
        At the wheel [N].
    pack_load
        That the leaves bear: the load before the shackle's lever [N].
    rate
        At the wheel, both wheels moving together [N/mm]: pack and shackle.
    pack_rate, shackle_rate
        The two parts of it: the pack's rate through its lever, and the load times the change of
        that lever [N/mm].
    static_deflection
        Of the pack from free at design [mm].
    """

    deflection: Array
    load: Array
    pack_load: Array
    rate: Array
    pack_rate: Array
    shackle_rate: Array
    static_deflection: Scalar


def spring_on_car(
    stages: PackStages, loop: LeafLoop, path: LeafPath, load: float, model: Model
) -> SpringOnCar:
    """Follow load and rate along a path.

    Parameters
    ----------
    stages
        The pack.
    loop
        The loop that the path was solved on.
    path
        Poses in bounce.
    load
        That one spring carries in the loop's design pose [N].
    model
        How the leaves share the load.

    References
    ----------
    Virtual work on the loop (derived): F = F_pack(δ)·dδ/dz, δ = (b·δ_f + a·δ_r)/L of two arcs.
    To first order a leaning shackle changes the rate by 1 + (8/3)·((δ_s - 2·arch)/L)·tan ψ.
    """
    lever = deflection_per_curvature(loop)
    free = free_change(stages, loop, load, model)
    deflection = lever * (free - path.curvature_change)
    carried = load_at(stages, deflection, model), rate_at(stages, deflection, model)
    return along_path(path, lever, free, *carried)


def along_path(
    path: LeafPath, lever: Scalar, free: Scalar, pack_load: Array, rate: Array
) -> SpringOnCar:
    """Return load and rate at the wheel from the pack's own.

    Parameters
    ----------
    path
        Poses in bounce, (n,).
    lever
        Of `deflection_per_curvature` [mm²], a number or (n,).
    free
        Of `free_change` [1/mm], a number or (n,).
    pack_load, rate
        Of the pack at its deflections there [N] and [N/mm], (n,).
    """
    deflection = lever * (free - path.curvature_change)
    ratio, ratio_change = -lever * path.flattening, -lever * path.flattening_change
    pack_rate = rate * ratio**2
    shackle_rate = pack_load * ratio_change
    return SpringOnCar(
        deflection=deflection,
        load=pack_load * ratio,
        pack_load=pack_load,
        rate=pack_rate + shackle_rate,
        pack_rate=pack_rate,
        shackle_rate=shackle_rate,
        static_deflection=lever * free,
    )


def deflection_per_curvature(loop: LeafLoop) -> float:
    """Flat-spring deflection at the seat per unit of curvature taken away [mm²]."""
    front = loop.rear_arm * loop.split[0] * loop.front**2
    rear = loop.front_arm * loop.split[1] * loop.rear**2
    return (front + rear) / (2 * loop.length)


# --- ride height --------------------------------------------------------------------------------


def free_change(stages: PackStages, loop: LeafLoop, load: float, model: Model) -> float:
    """Change of curvature from design at which the spring is free [1/mm].

    Parameters
    ----------
    stages
        The pack on the car.
    loop
        Its loop.
    load
        That one spring carries in the loop's design pose [N].
    model
        How the leaves share the load.
    """
    lever = deflection_per_curvature(loop)
    ratio = -lever / design_motion(loop)[0]
    return float(deflection_at(stages, load / ratio, model)) / lever


def settled(
    stages: PackStages,
    loop: LeafLoop,
    free: float,
    load: float,
    model: Model,
    datum_z: float | None = None,
) -> LeafLoop:
    """Return the loop with the pose in which a pack carries a load as its design pose.

    Parameters
    ----------
    stages
        The pack, measured or proposed.
    loop
        The measured loop, with body points, shackle and blocks as proposed.
    free
        `free_change` of the measured car [1/mm]; a pack of the same free arch keeps it.
    load
        On one spring [N].
    model
        How the leaves share the load.
    datum_z
        Height of the wheel centre at zero travel, for errors [mm]; None takes the loop's own.

    Returns
    -------
    LeafLoop
        Its `geometry.leaf.reach.design_wheel` is the new ride height.

    Raises
    ------
    GeometryError
        The shackle doesn't reach on the way there, or no height carries the load.
    """
    at = loop
    for _ in range(MOST_STEPS):
        if not stands(at):
            break
        step = _settling_step(stages, at, free - (at.sag - loop.sag), load, model)
        at = replace(at, sag=at.sag + step)
        if abs(step) * loop.length**2 < SETTLED:
            return at
    change = _carrying_change(stages, loop, free, load, model)
    if change is not None:
        return replace(loop, sag=loop.sag + change)
    check_stands(loop, datum_z)
    raise _never_settles(stages, loop, free, load, model, datum_z)


def _carrying_change(
    stages: PackStages, loop: LeafLoop, free: float, load: float, model: Model
) -> float | None:
    """Change of curvature at which the spring carries a load, by search: the one nearest to none.

    Steps miss it near the end of the shackle's reach, and where the loop closes only further on.
    """
    lever = deflection_per_curvature(loop)
    low, high = np.array([_FURTHEST, -_FURTHEST]) / loop.length
    for narrowing in range(_NARROWINGS):
        change = low + (high - low) * _PLACES
        seat = close_loop(loop, change)
        slope = loop_motion(loop, change, seat).wheel.imag
        moves = (slope < 0.0) & (np.abs(seat.reach) < 1.0)
        carried = load_at(stages, lever * (free - change), model) * (-lever / slope)
        # The load rises as the spring flattens.
        passes = (carried[:-1] <= load) & (carried[1:] > load) & moves[:-1] & moves[1:]
        places = np.flatnonzero(passes)
        if not places.size:
            return float(low + high) / 2 if narrowing else None
        place = places[np.argmin(np.abs(change[places]))]
        low, high = change[place], change[place + 1]
    return float(low + high) / 2


def _never_settles(
    stages: PackStages,
    loop: LeafLoop,
    free: float,
    load: float,
    model: Model,
    datum_z: float | None,
) -> GeometryError:
    """Say why a spring carries its load nowhere: the shackle ends first, or there is no height."""
    zero = design_wheel(loop)[1] if datum_z is None else datum_z
    step = _settling_step(stages, loop, free, load, model)
    travel = design_wheel(loop)[1] + step * design_motion(loop)[0] - zero
    low, high = travel_limits(loop, zero)
    if travel < low or high < travel < np.inf:
        return out_of_reach(loop, travel, zero)
    return DegenerateGeometry("rear.rear_eye", "rear.shackle_body", Flaw.NEVER_CARRIES)


def _settling_step(
    stages: PackStages, loop: LeafLoop, free: float, load: float, model: Model
) -> float:
    """Newton's step of curvature towards the pose in which the spring carries a load [1/mm]."""
    slope, second = design_motion(loop)
    lever = deflection_per_curvature(loop)
    deflection = deflection_at(stages, -load * slope / lever, model)
    # 1 less the share that the lever's change has in the deflection.
    closer = 1.0 - load * second / (lever**2 * float(rate_at(stages, deflection, model)))
    step = free - float(deflection) / lever
    return step / closer if closer > LEAST_SLOPE else step


def arch(loop: LeafLoop, change: float) -> float:
    """Height of the line of the eyes above the main leaf at the centre bolt, at the seat [mm].

    Parameters
    ----------
    loop
        The loop.
    change
        Of the curvature from design [1/mm]; that of `free_change` gives the free arch.
    """
    bends = np.array(loop.curvatures) + np.array(loop.split) * change
    front, front_up = arc_tip(bends[0], loop.front, loop.eye_offsets[0])
    rear, rear_up = arc_tip(bends[1], loop.rear, loop.eye_offsets[1])
    front, rear = front + loop.clamp / 2, rear + loop.clamp / 2
    return float((front_up * rear + rear_up * front) / (front + rear))


def roll_wheel_rate(rates: HalfRates, spring_base: Scalar, track: Scalar) -> Scalar:
    """Rate at one wheel in roll [N/mm]: the seats don't turn, and stand inboard of the wheels.

    Parameters
    ----------
    rates
        Of the spring's halves.
    spring_base
        Between the seats [mm].
    track
        Between the wheels [mm].

    References
    ----------
    (k_f + k_r)·(spring base/track)², from virtual work (derived). The leaves' twist adds to it as
    far as the eyes' bushes resist, so this is the least that it can be.
    """
    return rates.seat_kept * np.divide(spring_base, track) ** 2
