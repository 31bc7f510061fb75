"""What a leaf spring carries on the car: load and rate over travel with the shackle's effect.

A pack is bent from its free curvature. Measured under a known load, the car gives that free
curvature (`free_change`); a proposed pack with the same free arch then settles where it carries the
load again (`settled`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from geometry.leaf_axle import LeafPath
from geometry.leaf_load import HalfRates, Model, PackStages, deflection_at, load_at, rate_at
from geometry.leaf_loop import LeafLoop, arc_tip
from geometry.leaf_reach import (
    check_stands,
    curvature_ends,
    design_motion,
    design_wheel,
    out_of_reach,
    stands,
)
from geometry.rear_errors import ImpossiblePack

Array = NDArray[np.float64]

# Newton steps to the ride height; three or four do in ordinary cases.
_MOST_STEPS: Final = 30
# Step whose correction is rounding: curvature times length squared [mm].
_SETTLED: Final = 1e-6
# Share of the way to the end of reach that a step beyond it goes.
_CUT: Final = 0.9
# Slope below which Newton's steps would run away.
_LEAST_SLOPE: Final = 0.05


@dataclass(frozen=True)
class SpringOnCar:
    """One spring over a path; arrays of shape (n,).

    Parameters
    ----------
    deflection
        Of the pack from free [mm].
    load
        At the wheel [N].
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
    rate: Array
    pack_rate: Array
    shackle_rate: Array
    static_deflection: float


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
    To first order it is the shackle factor of `geometry.leaf_load.shackle_factor`.
    """
    lever = deflection_per_curvature(loop)
    free = free_change(stages, loop, load, model)
    deflection = lever * (free - path.curvature_change)
    ratio, ratio_change = -lever * path.flattening, -lever * path.flattening_change
    pack_load = load_at(stages, deflection, model)
    pack_rate = rate_at(stages, deflection, model) * ratio**2
    shackle_rate = pack_load * ratio_change
    return SpringOnCar(
        deflection=deflection,
        load=pack_load * ratio,
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
        Its `geometry.leaf_reach.design_wheel` is the new ride height.

    Raises
    ------
    GeometryError
        The shackle doesn't reach on the way there, or no height carries the load.
    """
    check_stands(loop, datum_z)
    at = loop
    for _ in range(_MOST_STEPS):
        more = free - (at.sag - loop.sag) - free_change(stages, at, load, model)
        asked = more / _settling_slope(stages, at, load, model)
        before, step = at, _step_in_reach(at, asked)
        at = replace(at, sag=at.sag + step)
        if abs(asked) * loop.length**2 < _SETTLED:
            return at
    if step != asked and np.isfinite(asked):
        zero = design_wheel(loop)[1] if datum_z is None else datum_z
        wanted = design_wheel(before)[1] + asked * design_motion(before)[0]
        raise out_of_reach(before, wanted - zero, zero)
    raise ImpossiblePack(
        0, "finds no height at which it carries its load: check its leaves and its free arch"
    )


def _step_in_reach(loop: LeafLoop, step: float) -> float:
    """Cut a step of the curvature that would take the shackle beyond its reach."""
    if stands(replace(loop, sag=loop.sag + step)):
        return step
    more, less = curvature_ends(loop).tolist()
    return _CUT * (more if step > 0 else less)


def _settling_slope(stages: PackStages, loop: LeafLoop, load: float, model: Model) -> float:
    """How far a step of curvature takes the spring towards the one that carries a load.

    1 where the lever doesn't change with it: one less that change's share in the deflection.
    """
    slope, second = design_motion(loop)
    lever = deflection_per_curvature(loop)
    pack_load = -load * slope / lever
    rate = float(rate_at(stages, deflection_at(stages, pack_load, model), model))
    closer = 1.0 - load * second / (lever**2 * rate)
    return closer if closer > _LEAST_SLOPE else 1.0


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


def roll_wheel_rate(rates: HalfRates, spring_base: float, track: float) -> float:
    """Rate at one wheel in roll [N/mm]: the seats don't turn, and stand inboard of the wheels.

    References
    ----------
    (k_f + k_r)·(spring base/track)², from virtual work (derived). The leaves' twist adds to it as
    far as the eyes' bushes resist, so this is the least that it can be.
    """
    return float(rates.seat_kept * np.divide(spring_base, track) ** 2)
