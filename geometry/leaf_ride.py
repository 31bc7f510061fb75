"""What a leaf spring carries on the car: load and rate over travel with the shackle's effect."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from geometry.leaf_axle import LeafPath, leaf_path
from geometry.leaf_load import HalfRates, Model, PackStages, deflection_at, load_at, rate_at
from geometry.leaf_loop import LeafLoop

Array = NDArray[np.float64]


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
        That one spring carries at the loop's design curvature [N].
    model
        How the leaves share the load.

    References
    ----------
    Virtual work on the loop (derived): F = F_pack(δ)·dδ/dz, δ = (b·δ_f + a·δ_r)/L of two arcs.
    To first order it is the shackle factor of `geometry.leaf_load.shackle_factor`.
    """
    lever = _deflection_per_curvature(loop)
    at_design = leaf_path(loop, 0.0)
    static = deflection_at(stages, load / (lever * -at_design.flattening[0]), model)
    deflection = static - lever * path.curvature_change
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
        static_deflection=float(static),
    )


def _deflection_per_curvature(loop: LeafLoop) -> float:
    """Flat-spring deflection at the seat per unit of curvature taken away [mm²]."""
    front = loop.rear_arm * loop.split[0] * loop.front**2
    rear = loop.front_arm * loop.split[1] * loop.rear**2
    return (front + rear) / (2 * loop.length)


def roll_wheel_rate(rates: HalfRates, spring_base: float, track: float) -> float:
    """Rate at one wheel in roll [N/mm]: the seats don't turn, and stand inboard of the wheels.

    References
    ----------
    (k_f + k_r)·(spring base/track)², from virtual work (derived). The leaves' twist adds to it as
    far as the eyes' bushes resist, so this is the least that it can be.
    """
    return rates.seat_kept * (spring_base / track) ** 2
