"""Many fronts at once: setups that differ in numbers alone, as a list of results."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import ArrayLike

from app.document.columns import in_arrays, stacked
from app.document.model import FrozenMap, Setup, Value, frozen
from app.document.moves import toe_is_reset, touches
from app.systems.front.inputs import measured_car, proposed_car
from app.systems.front.study import STOPS, ask, front_ranges, proposed_values
from app.systems.many import ManyAnswers, ManyStanding, poses_asked
from geometry.catalogue.front import BY_KEY
from geometry.front.many import ManyFronts, build_many, pose_many
from geometry.front.many_settling import settle_many
from geometry.front.many_singles import curves_of, singles_of_many
from geometry.front.many_standing import stand_many
from geometry.front.singles import travels_at_length, worst_of
from geometry.front.sweeps import Ask
from geometry.vectors import Array

_READ: Final = ("front.", "car.")  # beginnings of the keys that a front reads


def values_of_many(
    setups: Sequence[Setup],
    keys: Collection[str],
    *,
    travel: ArrayLike = 0.0,
    roll: ArrayLike = 0.0,
    steer: ArrayLike = 0.0,
) -> ManyAnswers:
    """Return results of the cars of many setups, with the changes that are on.

    Each car is measured anew, settles by itself and is aligned as its changes say.

    Parameters
    ----------
    setups
        The m setups. They differ in numbers alone: measured ones, and what changes move and set.
    keys
        Of results as in the catalogue: those of poses, and those that a car has once.
    travel
        Mean travel [mm], + bump, (n,), or (m, n) where each car has its own.
    roll
        Body roll [rad], + to the right, (n,) or (m, n).
    steer
        Travel of the rack or relay [mm], + to the left, (n,).

    Raises
    ------
    ValueError
        The setups differ in more than numbers.
    GeometryError
        None of the cars can be built.
    """
    fronts, values = read_fronts(setups)
    poses = poses_asked(travel, roll, steer)
    return _answers(fronts, ask(front_ranges(setups[0])), values, keys, poses)


def values_of_built(
    setups: Sequence[Setup],
    keys: Collection[str],
    stand_at: ManyStanding,
    *,
    travel: ArrayLike = 0.0,
    roll: ArrayLike = 0.0,
    steer: ArrayLike = 0.0,
) -> ManyAnswers:
    """Return results of the same cars on their wheels, each aligned where it stands.

    Travel counts from there; `stand_at` tells where that is by the travels at which the springs
    carry the load. The rest is as in `values_of_many`.
    """
    fronts, values = read_fronts(setups)
    runs = ask(front_ranges(setups[0]))
    if not touches(setups[0], _READ):  # a measured car isn't aligned anew until held elsewhere
        car = replace(fronts.front.car, reset_toe=toe_is_reset(setups[0]))
        fronts = replace(fronts, front=replace(fronts.front, car=car))
    settled = settle_many(fronts, runs)
    stands = stand_at(settled if np.isfinite(settled).any() else None)
    stood = stand_many(fronts, stands)
    return _answers(stood, runs, values, keys, poses_asked(travel, roll, steer))


def _answers(
    fronts: ManyFronts,
    runs: Ask,
    values: dict[str, Any],
    keys: Collection[str],
    poses: Sequence[Array],
) -> ManyAnswers:
    once = {key for key in keys if BY_KEY[key].scope == "car"}
    posed = pose_many(fronts, poses[0], poses[1], poses[2], set(keys) - once)
    singles: dict[str, Array] = {}
    if once:
        singles = singles_of_many(fronts, runs, once) | _stops(fronts, runs, values, once)
    return ManyAnswers(posed.values | singles, posed.reached)


def read_fronts(setups: Sequence[Setup]) -> tuple[ManyFronts, dict[str, Any]]:
    """Return the fronts of many setups as proposed, and their values as columns."""
    whole = stacked(setups, _of_front)
    evidence = setups[0].evidence
    alone = all(setup.evidence is evidence for setup in setups)
    values = proposed_values(whole)
    if not touches(whole, _READ):
        return build_many(in_arrays(measured_car(whole), len(setups))), values
    if alone:
        before = _measured_once(frozen(evidence))
    else:
        before = build_many(in_arrays(measured_car(whole), len(setups)))
    return build_many(in_arrays(proposed_car(whole), len(setups)), before), values


@lru_cache(maxsize=4)
def _measured_once(evidence: FrozenMap[Value]) -> ManyFronts:
    """Return the measured front that proposals share: a search asks for it again and again."""
    measured = stacked([Setup(title="", evidence=evidence)], _of_front)
    return build_many(in_arrays(measured_car(measured), 1))


def _of_front(key: str) -> bool:
    return key.startswith(_READ)


def _stops(
    fronts: ManyFronts, ask: Ask, values: dict[str, Any], keys: Collection[str]
) -> dict[str, Array]:
    """Return the travels at which the dampers are at their ends [mm], (m,), NaN where they aren't.

    The sweeps are solved together, then read car by car.
    """
    lengths = {name: values[key] for name, key in STOPS if name in keys and key in values}
    if not lengths:
        return {}
    zero = np.zeros_like(ask.travel)
    at = ask.travel - fronts.all_heights[:, None]
    swept = pose_many(fronts, at, zero, zero, ("damper_length",))
    stops = {name: np.full(fronts.sound.size, np.nan) for name in lengths}
    for place in np.flatnonzero(fronts.sound).tolist():
        car = curves_of(swept, place, at, slice(None))
        wheels = {
            name: travels_at_length(car, "damper_length", float(length.numbers[place]))
            for name, length in lengths.items()
        }
        for name, travel in worst_of(wheels).items():
            stops[name][place] = travel
    return stops
