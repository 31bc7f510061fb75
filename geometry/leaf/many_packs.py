"""The packs of many leaf springs side by side, in the stages in which their helpers bear."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from geometry.dataclass import dataclass
from geometry.leaf.load import HAIR, HalfRates, Model, PackStages
from geometry.vectors import Array

Places = NDArray[np.intp]


@dataclass(frozen=True)
class ManyPacks:
    """Packs of m springs; one with fewer stages than another has more that it never comes to.

    Parameters
    ----------
    contacts
        Deflection from free at which each stage starts [mm], first 0, shape (s, m).
    rates
        Rate of each stage, seat free [N/mm], shape (2, s, m), by model.
    front, rear
        Stiffness of the halves in each stage, common curvature [N/mm], shape (s, m).
    front_arm, rear_arm
        Eye to centre bolt [mm], shape (m,).
    last
        Each pack's last stage, shape (m,).
    clamp, thickness
        Length of the straight seat and thickness of the main leaf [mm], shape (m,).
    free_arch
        As given [mm], shape (m,); None where none is.
    """

    contacts: Array
    rates: Array
    front: Array
    rear: Array
    front_arm: Array
    rear_arm: Array
    last: Places
    clamp: Array
    thickness: Array
    free_arch: Array | None

    def halves(self, stage: Places) -> HalfRates:
        """Return every pack's halves in a stage of its own, (m,)."""
        every = np.arange(stage.size)
        front, rear = self.front[stage, every], self.rear[stage, every]
        return HalfRates(front, rear, self.front_arm, self.rear_arm)  # type: ignore[arg-type]

    def loads(self, deflection: Array, model: Model) -> Array:
        """Return loads at deflections from free [mm], (m,): `geometry.leaf.load.load_at`.

        Parameters
        ----------
        deflection
            From free [mm], shape (m,).
        model
            How the leaves share the load.
        """
        past = deflection - self.contacts
        past[1:] = np.maximum(past[1:], 0.0)
        load: Array = (past * np.diff(self.rates[model], axis=0, prepend=0.0)).sum(axis=0)
        return load

    def deflections(self, load: Array, model: Model) -> Array:
        """Return deflections under loads [N], (m,): `geometry.leaf.load.deflection_at`.

        Parameters
        ----------
        load
            On each seat [N], shape (m,).
        model
            How the leaves share the load.
        """
        knots = np.array([self.loads(contact, model) for contact in self.contacts])
        knots = np.where(np.isfinite(self.contacts), knots, np.inf)
        stage, every = _last_of(knots <= load), np.arange(load.size)
        past = (load - knots[stage, every]) / self.rates[model, stage, every]
        return np.asarray(self.contacts[stage, every] + past)

    def stages(self, deflection: Array) -> Places:
        """Return the stage at deflections from free [mm], (m,): `geometry.leaf.load.stage_at`."""
        return _last_of(self.contacts <= deflection + HAIR)

    def rates_at(self, deflection: Array, model: Model) -> Array:
        """Return rates at deflections from free [mm], (m,): `geometry.leaf.load.rate_at`.

        Parameters
        ----------
        deflection
            From free [mm], shape (m,).
        model
            How the leaves share the load.
        """
        rates: Array = self.rates[model, self.stages(deflection), np.arange(deflection.size)]
        return rates


def _last_of(begun: NDArray[np.bool_]) -> Places:
    """Return the last stage that has begun, (m,), of those that have or haven't, (s, m)."""
    return np.maximum(begun.sum(axis=0) - 1, 0)


def many_packs(every: Sequence[PackStages]) -> ManyPacks:
    """Put packs side by side.

    Parameters
    ----------
    every
        The packs in their stages.
    """
    most = max(stages.contacts.size for stages in every)
    kinds = {id(stages): stages for stages in every}  # most cars have the same one
    columns = {key: _columns(stages, most) for key, stages in kinds.items()}
    contacts, rates, front, rear = (
        np.array([columns[id(stages)][place] for stages in every]).T for place in range(4)
    )
    arches = [stages.pack.free_arch for stages in every]
    return ManyPacks(
        contacts=contacts,
        rates=np.swapaxes(rates, 0, 1),
        front=front,
        rear=rear,
        front_arm=np.array([stages.halves[0][0].front_arm for stages in every]),
        rear_arm=np.array([stages.halves[0][0].rear_arm for stages in every]),
        last=np.array([stages.contacts.size - 1 for stages in every]),
        clamp=np.array([stages.pack.clamp for stages in every]),
        thickness=np.array([stages.pack.main.thickness for stages in every]),
        free_arch=None if None in arches else np.array(arches, dtype=float),
    )


def _columns(stages: PackStages, most: int) -> tuple[Array, Array, Array, Array]:
    """Return contacts (s,), rates (2, s) and the halves (s,), filled up to as many stages."""
    missing = most - stages.contacts.size
    halves = [pair[Model.COMMON_CURVATURE] for pair in stages.halves]
    halves += halves[-1:] * missing
    return (
        np.append(stages.contacts, [np.inf] * missing),
        np.pad(stages.rates, ((0, 0), (0, missing)), mode="edge"),
        np.array([half.front for half in halves]),
        np.array([half.rear for half in halves]),
    )
