"""What a pack does on the car, and what it would do with other leaves."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from app.document.model import Change, FrozenMap, Setup
from app.systems.rear.inputs import leaf_car
from app.systems.rear.pack_edits import KEY, Leaves, pack_of
from geometry.dataclass import dataclass
from geometry.errors import GeometryError
from geometry.leaf.build import build_leaf
from geometry.leaf.load import LeafStresses, Model
from geometry.leaf.on_car import stresses_at_ride_and_bump
from geometry.leaf.rear import LeafRear


@dataclass(frozen=True)
class PackState:
    """A pack at the height it carries the car at; None where load or height isn't known.

    `rate` and `rate_tips` are on the car [N/mm] by common curvature and by tip contact; without
    that height they are the pack's own. `lower` is how far the car sits below its measured one
    [mm].
    """

    rate: float
    rate_tips: float
    lower: float | None = None
    static: float | None = None
    ride_load: float | None = None
    ride: LeafStresses | None = None
    bump: LeafStresses | None = None

    @property
    def highest(self) -> float | None:
        """Return the highest stress at full bump [N/mm²]."""
        return None if self.bump is None else float(self.bump.worst.max())


@dataclass(frozen=True)
class WhatIf:
    """A pack beside the one it would replace: rate [N/mm], how much lower [mm], stress ratio."""

    rate: float
    lower: float | None
    stress: float | None


def pack_state(rear: LeafRear) -> PackState:
    """Return what a pack does on the car."""
    rates = rear.stages.rates[:, -1]
    state = PackState(float(rates[0]), float(rates[1]))
    stresses, at_ride = stresses_at_ride_and_bump(rear), rear.ride
    if stresses is None or at_ride is None:
        return state
    state = replace(
        state,
        static=at_ride.static_deflection,
        ride_load=float(at_ride.load[0]),
        ride=stresses.ride,
        bump=stresses.bump,
    )
    settled = rear.settled_travel
    if settled is None:
        return state
    curved, tips = (rear.on_car(np.array([settled]), model) for model in Model)
    if curved is None or tips is None:
        return state
    return replace(
        state,
        rate=float(curved.rate[0]),
        rate_tips=float(tips.rate[0]),
        lower=settled,
    )


def with_leaves(setup: Setup, leaves: Leaves, rear: LeafRear) -> LeafRear | None:
    """Return the proposed rear with other leaves, None where they can't be built."""
    change = Change("what if", sets=FrozenMap({KEY: leaves}))
    changed_setup = setup.having(changes=(*setup.changes, change))
    try:
        return build_leaf(leaf_car(changed_setup, True), rear.reference)
    except GeometryError:
        return None


def compared(now: PackState, other: PackState) -> WhatIf:
    """Return another pack beside this one."""
    lower = None
    if now.lower is not None and other.lower is not None:
        lower = other.lower - now.lower
    stress = None
    if now.highest and other.highest is not None:
        stress = other.highest / now.highest - 1.0
    return WhatIf(other.rate, lower, stress)


def measured_pack(setup: Setup) -> Leaves:
    """Return the leaves as measured."""
    return pack_of(setup.having(changes=()))
