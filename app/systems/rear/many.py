"""Many rears at once: setups that differ in numbers alone, as a list of results.

All of them are read, put together and solved together (`app.systems.rear.many_axles`). What a leaf
spring has once per car (wind-up, hop, stresses) is worked out car by car.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from functools import partial
from typing import cast

import numpy as np
from numpy.typing import ArrayLike

from app.document.model import Setup
from app.document.moves import proposed_settings
from app.systems.many import ManyAnswers, ManyStanding, poses_asked
from app.systems.rear.answers import RearSweep
from app.systems.rear.dampers import CLOSED, OPEN, RESULTS, damper_singles
from app.systems.rear.inputs import rear_kind
from app.systems.rear.many_axles import leaf_axles, link_axles
from app.systems.rear.study import rear_ranges
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.full_loads import full_load_results
from geometry.leaf import many as many_leaves
from geometry.leaf.many_axles import ManyLeaves, stand_many
from geometry.leaf.single import hop_modes, single_results, torque_curve
from geometry.links import many as many_links
from geometry.standing import Stands
from geometry.vectors import Array

PoseMany = Callable[..., tuple[dict[str, Array], Array]]


def values_of_many(
    setups: Sequence[Setup],
    keys: Collection[str],
    *,
    travel: ArrayLike = 0.0,
    roll: ArrayLike = 0.0,
    steer: ArrayLike = 0.0,
) -> ManyAnswers:
    """Return results of the rears of many setups, with the changes that are on.

    Each car is measured anew and settles by itself.

    Parameters
    ----------
    setups
        The m setups. They differ in numbers alone: measured ones, and what changes move and set.
    keys
        Of results as in the catalogue: those of poses, and those that a car has once.
    travel
        Travel of the axle's middle [mm], + bump, (n,), or (m, n) where each car has its own.
    roll
        Body roll [rad], + to the right, (n,) or (m, n).
    steer
        Counts poses alone: a rear isn't steered.

    Raises
    ------
    ValueError
        The setups differ in more than numbers.
    GeometryError
        None of the cars can be put together.
    """
    return _answers(setups, keys, None, poses_asked(travel, roll, steer)[:2])


def values_of_built(
    setups: Sequence[Setup],
    keys: Collection[str],
    stand_at: ManyStanding,
    *,
    travel: ArrayLike = 0.0,
    roll: ArrayLike = 0.0,
    steer: ArrayLike = 0.0,
) -> ManyAnswers:
    """Return results of the same cars on their wheels.

    Travel counts from where each stands; `stand_at` tells where that is by the travels at which
    the springs carry the load. The rest is as in `values_of_many`.
    """
    return _answers(setups, keys, stand_at, poses_asked(travel, roll, steer)[:2])


def _answers(
    setups: Sequence[Setup],
    keys: Collection[str],
    stand_at: ManyStanding | None,
    poses: Sequence[Array],
) -> ManyAnswers:
    kinds = {rear_kind(proposed_settings(setup)) for setup in setups}
    if len(kinds) > 1:
        raise ValueError("The setups don't have the same kind of rear.")
    if kinds == {"leaf axle"}:
        return _of_leaves(setups, keys, stand_at, *poses)
    return _of_links(setups, keys, stand_at, *poses)


def _of_leaves(
    setups: Sequence[Setup],
    keys: Collection[str],
    stand_at: ManyStanding | None,
    travel: Array,
    roll: Array,
) -> ManyAnswers:
    once = {result.key for result in LEAF_RESULTS if result.scope == "car"} & set(keys)
    axles = leaf_axles(setups)
    stands = None
    if stand_at is not None:
        settled = axles.settled
        is_known = settled is not None and bool(np.isfinite(settled).any())
        stands = stand_at(settled if is_known else None)
        axles = stand_many(axles, stands)
    pose_many = partial(many_leaves.pose_many, axles, stands=stands)
    values, reached = pose_many(travel, roll, set(keys) - once)
    ends = _damper_ends(setups, once, pose_many, stands)
    return ManyAnswers(values | _singles(axles, once, stands) | ends, reached)


def _singles(axles: ManyLeaves, keys: Collection[str], stands: Stands | None) -> dict[str, Array]:
    """Return results that a car has once, (m,), NaN where one hasn't; car by car."""
    settled = axles.settled
    if set(keys) <= {"settled_travel"}:
        return {} if settled is None or not keys else {"settled_travel": settled}
    values: dict[str, Array] = {}
    for place in np.flatnonzero(axles.sound).tolist():
        rear = axles.alone(place)
        pitch = 0.0 if stands is None else float(stands.pitch[place])
        single_values = single_results(rear, torque_curve(rear), hop_modes(rear), pitch)
        single_values |= full_load_results(rear.car)
        for key in single_values.keys() & set(keys):
            values.setdefault(key, np.full(axles.sound.shape, np.nan))[place] = single_values[key]
    return values


def _of_links(
    setups: Sequence[Setup],
    keys: Collection[str],
    stand_at: ManyStanding | None,
    travel: Array,
    roll: Array,
) -> ManyAnswers:
    once = {result.key for result in LINK_RESULTS if result.scope == "car"} & set(keys)
    axles = link_axles(setups)
    needs_settled = stand_at is not None or "settled_travel" in once
    settled = many_links.settle_many(axles) if needs_settled else np.full(1, np.nan)
    stands = None
    if stand_at is not None:
        stands = stand_at(settled if np.isfinite(settled).any() else None)
        axles = many_links.stand_many(axles, stands)
        settled = stands.travel if stands.is_held else settled
    pose_many = partial(many_links.pose_many, axles, stands=stands)
    values, reached = pose_many(travel, roll, set(keys) - once)
    is_told = "settled_travel" in once and np.isfinite(settled).any()
    singles = {"settled_travel": settled} if is_told else {}
    singles |= many_links.hop_many(axles, once, None if stands is None else stands.travel)
    singles |= many_links.full_loads_many(axles, once)
    ends = _damper_ends(setups, once, pose_many, stands)
    return ManyAnswers(values | singles | ends, reached)


def _damper_ends(
    setups: Sequence[Setup], keys: Collection[str], pose_many: PoseMany, stands: Stands | None
) -> dict[str, Array]:
    """Return travels [mm] and rolls [rad] at which the first damper is at its ends, (m,)."""
    asked = RESULTS & set(keys)
    values = [proposed_settings(setup) for setup in (setups if asked else ())]
    ends = [end for end in (CLOSED, OPEN) if values and end.length_key in values[0]]
    if not ends:
        return {}
    ranges = [rear_ranges(setup) for setup in setups]
    travel, roll = (
        np.array([np.linspace(*getattr(each, driver)) for each in ranges])
        for driver in ("travel", "roll")
    )
    if stands is not None:
        travel = travel - stands.travel[:, None]
    level, leant = (
        pose_many(*poses, ("damper_length",))
        for poses in ((travel, np.zeros(1)), (np.zeros(1), roll))
    )
    if "damper_length" not in level[0]:
        return {}
    singles: dict[str, Array] = {}
    for place in range(len(setups)):
        sweeps = [
            RearSweep(
                driver, at[place], {"damper_length": lengths["damper_length"][place]}, good[place]
            )
            for driver, at, (lengths, good) in (("travel", travel, level), ("roll", roll, leant))
        ]
        lengths_of_car = {end: cast(float, values[place][end.length_key]) for end in ends}
        for key, at in damper_singles(lengths_of_car, sweeps[0], sweeps[1]).items():
            if key in asked:
                singles.setdefault(key, np.full(len(setups), np.nan))[place] = at
    return singles
