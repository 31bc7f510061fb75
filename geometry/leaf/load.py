"""What a pack carries: rate, load against deflection with helper and friction, stress."""

from __future__ import annotations

from dataclasses import replace
from enum import IntEnum
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from geometry.dataclass import dataclass
from geometry.errors import ImpossiblePack, PackFlaw
from geometry.leaf.bending import HalfBending, common_curvature
from geometry.leaf.contact import TipContacts, point_contact
from geometry.leaf.pack import LeafPack
from geometry.numeric import quietly
from geometry.vectors import Array

# Rate of a half above which it is none [N/mm]: a bar of steel a metre thick.
_STIFFEST: Final = 1e12
# Deflection before contact that counts as contact [mm].
HAIR: Final = 1e-6


class Model(IntEnum):
    """How the leaves share the load; index of the leading axis where both are given."""

    COMMON_CURVATURE = 0
    POINT_CONTACT = 1


@dataclass(frozen=True)
class HalfRates:
    """One spring as its two halves.

    Parameters
    ----------
    front, rear
        Stiffness of each half at its eye, against the clamp [N/mm].
    front_arm, rear_arm
        Eye to centre bolt, the lever arms a and b [mm].
    """

    front: float
    rear: float
    front_arm: float
    rear_arm: float

    @property
    def length(self) -> float:
        """Eye to eye [mm]."""
        return self.front_arm + self.rear_arm

    @property
    def seat_free(self) -> float:
        """Rate at the seat when it is free to turn [N/mm]: bounce.

        References
        ----------
        k = k_f·k_r·L²/(k_f·a² + k_r·b²), from the two cantilevers in equilibrium (derived).
        """
        lever = self.front * self.front_arm**2 + self.rear * self.rear_arm**2
        return self.front * self.rear * self.length**2 / lever

    @property
    def seat_kept(self) -> float:
        """Rate at the seat when it is kept from turning [N/mm]: roll of an axle on two springs."""
        return self.front + self.rear

    @property
    def inverse_arm(self) -> float:
        """1/L_arm [1/mm]: the axle pitches as if on an arm of this length, + ahead of it.

        References
        ----------
        L_arm = (k_f·a² + k_r·b²)/(k_f·a - k_r·b), the seat's moment being zero (derived).
        """
        lever = self.front * self.front_arm**2 + self.rear * self.rear_arm**2
        return (self.front * self.front_arm - self.rear * self.rear_arm) / lever

    @property
    def eye_shares(self) -> Array:
        """Share of the seat's load at the front and the rear eye, shape (2,): b/L and a/L."""
        return np.array([self.rear_arm, self.front_arm]) / self.length


@dataclass(frozen=True)
class PackStages:
    """A pack in the stages in which its helpers come to bear.

    Parameters
    ----------
    pack
        The pack.
    contacts
        Deflection from free at which each stage starts [mm], first 0, shape (m,).
    halves
        For each stage the halves by both models: ``halves[stage][model]``.
    rates
        Rate of each stage, seat free [N/mm], shape (2, m), by model.
    stresses
        Stress per N of eye load in each stage [MPa/N], shape (2, m, 2, n): model, stage, half,
        leaf; zero in leaves that don't carry yet.
    tips
        Tip contacts of each stage.
    """

    pack: LeafPack
    contacts: Array
    halves: tuple[tuple[HalfRates, HalfRates], ...]
    rates: Array
    stresses: Array
    tips: tuple[TipContacts, ...]


@lru_cache(maxsize=512)
@quietly
def pack_stages(pack: LeafPack) -> PackStages:
    """Work out a pack by both models, once for each set of leaves that carry together.

    Kept by value: while points are dragged the pack stays the same.
    """
    contacts = sorted({leaf.contact for leaf in pack.leaves})
    stages = [_stage(pack, contact) for contact in contacts]
    halves = tuple((_rates(pack, s[0]), _rates(pack, s[1].bending)) for s in stages)
    return PackStages(
        pack=pack,
        contacts=np.array(contacts),
        halves=halves,
        rates=np.array([[h[model].seat_free for h in halves] for model in Model]),
        stresses=np.array(
            [
                [_spread(pack, c, s[0].stresses) for c, s in zip(contacts, stages, strict=True)],
                [
                    _spread(pack, c, s[1].bending.stresses)
                    for c, s in zip(contacts, stages, strict=True)
                ],
            ]
        ),
        tips=tuple(s[1] for s in stages),
    )


def _stage(pack: LeafPack, contact: float) -> tuple[HalfBending, TipContacts]:
    working = [replace(leaf, contact=0.0) for leaf in pack.leaves if leaf.contact <= contact]
    return _both_models(replace(pack, leaves=tuple(working)))


@lru_cache(maxsize=64)
def _both_models(pack: LeafPack) -> tuple[HalfBending, TipContacts]:
    """Work out leaves that carry together; where a helper touches changes nothing of it."""
    return common_curvature(pack), point_contact(pack)


def _rates(pack: LeafPack, bending: HalfBending) -> HalfRates:
    front, rear = bending.rates.tolist()
    if not (0.0 < front < _STIFFEST and 0.0 < rear < _STIFFEST):
        raise ImpossiblePack(PackFlaw.NO_RATE)
    return HalfRates(front, rear, pack.main.front, pack.main.rear)


def _spread(pack: LeafPack, contact: float, stresses: Array) -> Array:
    """Put the stresses of the leaves that carry back in their places, zeros elsewhere."""
    placed = np.zeros((2, len(pack.leaves)))
    placed[:, [leaf.contact <= contact for leaf in pack.leaves]] = stresses
    return placed


# --- load and deflection ------------------------------------------------------------------------


def load_at(stages: PackStages, deflection: ArrayLike, model: Model) -> Array:
    """Load on the seat of one spring, seat free, shackle effect left out.

    Parameters
    ----------
    stages
        The pack.
    deflection
        From free [mm], any shape.
    model
        How the leaves share the load.

    Returns
    -------
    Array
        [N], the shape of `deflection`. F = k_1·δ up to contact, k_2·(δ - contact) more beyond it.
    """
    if stages.contacts.size == 1:
        return np.asarray(deflection, dtype=float) * stages.rates[model, 0]
    past = np.asarray(deflection, dtype=float)[..., None] - stages.contacts
    past[..., 1:] = np.maximum(past[..., 1:], 0.0)
    steps = np.diff(stages.rates[model], prepend=0.0)
    load: Array = past @ steps
    return load


def deflection_at(stages: PackStages, load: ArrayLike, model: Model) -> Array:
    """Deflection from free under a load on the seat [mm]: the inverse of `load_at`.

    Parameters
    ----------
    stages
        The pack.
    load
        On the seat of one spring [N], any shape.
    model
        How the leaves share the load.
    """
    loads = np.asarray(load, dtype=float)
    if stages.contacts.size == 1:
        return loads / stages.rates[model, 0]
    knots = load_at(stages, stages.contacts, model)
    stage = np.maximum(np.searchsorted(knots, loads, side="right") - 1, 0)
    deflection: Array = stages.contacts[stage] + (loads - knots[stage]) / stages.rates[model, stage]
    return deflection


def stage_at(stages: PackStages, deflection: ArrayLike) -> NDArray[np.intp]:
    """Stage that a pack is in at deflections from free [mm], any shape.

    A helper bears from contact on, and already a hair before, so that rounding doesn't decide where
    it just touches.

    Parameters
    ----------
    stages
        The pack.
    deflection
        From free [mm], any shape.
    """
    past = np.asarray(deflection, dtype=float) + HAIR
    return np.maximum(np.searchsorted(stages.contacts, past, side="right") - 1, 0)


def rate_at(stages: PackStages, deflection: ArrayLike, model: Model) -> Array:
    """Rate of the pack at a deflection from free, seat free [N/mm].

    Parameters
    ----------
    stages
        The pack.
    deflection
        From free [mm], any shape.
    model
        How the leaves share the load.
    """
    rate: Array = stages.rates[model, stage_at(stages, deflection)]
    return rate


# --- stress -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class LeafStresses:
    """Stress of each leaf under one load.

    Parameters
    ----------
    halves
        Largest bending stress [MPa], shape (2, 2, n): model, half, leaf.
    worst
        The larger of both models and halves [MPa], shape (n,).
    margin
        What is left of the limit, 1 - stress/limit, shape (n,); 1 where no limit is stated.
    """

    halves: Array
    worst: Array
    margin: Array

    @property
    def by_model(self) -> Array:
        """The larger of both halves [MPa], shape (2, n): model, leaf."""
        larger: Array = np.abs(self.halves).max(axis=1)
        return larger


def leaf_stresses(stages: PackStages, load: float) -> LeafStresses:
    """Bending stress of each leaf under a load on the seat of one spring.

    Parameters
    ----------
    stages
        The pack.
    load
        [N]; its eyes carry W·b/L at the front, W·a/L at the rear.

    References
    ----------
    Common curvature: σ_i = M·t_i/(2·ΣI), M = eye load·(a - c) (textbook beam theory), taken at the
    worst section, the tips of the shorter leaves included.
    """
    shares = stages.halves[0][0].eye_shares
    return stresses_from_eyes(stages, load * shares, load)


def stresses_from_eyes(stages: PackStages, eye_loads: Array, load: float) -> LeafStresses:
    """Bending stress of each leaf from the load at each eye, wind-up included.

    Parameters
    ----------
    stages
        The pack.
    eye_loads
        [N], front and rear, shape (2,).
    load
        On the seat [N]: says which helpers bear.
    """
    parts = np.array([_stage_shares(stages, load, model) for model in Model])
    loads = parts[:, :, None] * np.asarray(eye_loads)
    halves = np.einsum("msh,mshn->mhn", loads, stages.stresses)
    halves[Model.POINT_CONTACT] += stages.tips[-1].nip_stresses
    worst = np.abs(halves).max(axis=(0, 1))
    return LeafStresses(halves, worst, 1 - worst / stages.pack.limits)


def _stage_shares(stages: PackStages, load: float, model: Model) -> Array:
    """Share of a load that was added in each stage, shape (m,)."""
    if stages.contacts.size == 1:
        return np.ones(1)
    knots = load_at(stages, stages.contacts, model)
    added = np.diff(np.append(np.minimum(knots, load), load))
    return added / load if load else np.eye(len(knots))[0]


# --- the curve ----------------------------------------------------------------------------------


@dataclass(frozen=True)
class LoadCurve:
    """Load on the seat of one spring against deflection from free.

    Parameters
    ----------
    deflection
        [mm], shape (n,).
    load
        Without friction, by both models [N], shape (2, n).
    half_width
        Half the height of the friction band [N], shape (2, n).
    """

    deflection: Array
    load: Array
    half_width: Array
