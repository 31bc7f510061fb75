"""Many rears at once: setups that differ in numbers alone, as a list of results.

Links are read, put together and solved together. Leaf springs are read and put together one by one,
since every pack is worked out leaf by leaf; their poses are solved together. What a leaf spring has
once per car (wind-up, hop, stresses) is worked out car by car as well.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from functools import partial
from typing import cast

import numpy as np
from numpy.typing import ArrayLike

from app.document.columns import in_arrays, stacked
from app.document.model import Setup
from app.document.moves import proposed_settings, touches
from app.systems.many import ManyAnswers, ManyStanding, poses_asked
from app.systems.rear.answers import RearSweep
from app.systems.rear.dampers import CLOSED, OPEN, RESULTS, damper_singles
from app.systems.rear.inputs import (
    gives_leaves,
    leaf_car,
    link_car,
    rear_kind,
)
from app.systems.rear.leaf import leaf_at
from app.systems.rear.study import rear_ranges
from app.systems.rear.system import FRONT_WHEELS
from geometry.catalogue.rear import LEAF_RESULTS, LINK_RESULTS
from geometry.errors import GeometryError
from geometry.full_loads import full_load_results
from geometry.leaf import many as many_leaves
from geometry.leaf.build import build_leaf
from geometry.leaf.rear import LeafRear, LeafReference
from geometry.leaf.single import hop_modes, single_results, torque_curve
from geometry.links import many as many_links
from geometry.links.car import LinkReference, build_links
from geometry.standing import Stand, Stands
from geometry.vectors import Array

PoseMany = Callable[..., tuple[dict[str, Array], Array]]
READ = ("rear.", "car.")  # beginnings of the keys that a rear reads


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
    rears = leaf_rears(setups)
    stands = None
    if stand_at is not None:
        settled = [None if rear is None else rear.settled_travel for rear in rears]
        rises = np.array([np.nan if rise is None else rise for rise in settled])
        stands = stand_at(rises if np.isfinite(rises).any() else None)
        rears = [_stood(rear, stands.of(place)) for place, rear in enumerate(rears)]
    pose_many = partial(many_leaves.pose_many, rears, stands=stands)
    values, reached = pose_many(travel, roll, set(keys) - once)
    ends = _damper_ends(setups, once, pose_many, stands)
    return ManyAnswers(values | _singles(rears, once, stands) | ends, reached)


def _stood(rear: LeafRear | None, stand: Stand) -> LeafRear | None:
    """Return an axle of a car that stands there, None where it can't."""
    try:
        return None if rear is None else leaf_at(rear, stand)
    except GeometryError:
        return None


def leaf_rears(setups: Sequence[Setup]) -> list[LeafRear | None]:
    """Return the leaf axles of setups as proposed, None for what can't be put together.

    Raises
    ------
    GeometryError
        None can: why the last can't.
    """
    rears: list[LeafRear | None] = []
    reasons: list[GeometryError] = []
    measured: dict[int, LeafReference] = {}  # by evidence, which setups may share
    for setup in setups:
        try:
            rears.append(_leaf_rear(setup, measured))
        except GeometryError as reason:
            reasons.append(reason)
            rears.append(None)
    if len(reasons) == len(setups):
        raise reasons[-1]
    return rears


def _leaf_rear(setup: Setup, measured: dict[int, LeafReference]) -> LeafRear:
    if not touches(setup, READ):
        return build_leaf(leaf_car(setup, False))
    car, evidence_id = leaf_car(setup, True), id(setup.evidence)
    stood = gives_leaves(setup.evidence) and rear_kind(setup.evidence) == "leaf axle"
    if not stood:  # leaf springs that never stood on the car: its own points are the measured
        measured_car = leaf_car(setup, False) if gives_leaves(setup.evidence) else car
        return build_leaf(car, build_leaf(measured_car).reference)
    if evidence_id not in measured:
        measured[evidence_id] = build_leaf(leaf_car(setup, False)).reference
    return build_leaf(car, measured[evidence_id])


def _singles(
    rears: Sequence[LeafRear | None], keys: Collection[str], stands: Stands | None
) -> dict[str, Array]:
    """Return results that a car has once, (m,), NaN where one hasn't; car by car."""
    values: dict[str, Array] = {}
    for place, rear in enumerate(rears if keys else ()):
        if rear is None:
            continue
        if set(keys) == {"settled_travel"}:
            settled = rear.settled_travel
            single_values = {} if settled is None else {"settled_travel": settled}
        else:
            pitch = 0.0 if stands is None else float(stands.pitch[place])
            single_values = single_results(rear, torque_curve(rear), hop_modes(rear), pitch)
            single_values |= full_load_results(rear.car)
        for key in single_values.keys() & set(keys):
            values.setdefault(key, np.full(len(rears), np.nan))[place] = single_values[key]
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
    asked, values = RESULTS & set(keys), [proposed_settings(setup) for setup in setups]
    ends = [end for end in (CLOSED, OPEN) if end.length_key in values[0]]
    if not asked or not ends:
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


def link_axles(setups: Sequence[Setup]) -> many_links.ManyLinks:
    """Return the link axles of setups as proposed.

    Raises
    ------
    GeometryError
        None can be put together: why the first can't.
    """
    evidence, count = setups[0].evidence, len(setups)
    alone = all(setup.evidence is evidence for setup in setups)
    whole = stacked(setups, _of_links_or_car)
    car = in_arrays(link_car(whole, touches(whole, READ)), count)
    measured: many_links.ManyLinks | LinkReference | None = None
    if touches(whole, READ) and rear_kind(evidence) == "five-link axle":
        first = setups[:1] if alone else setups
        evidence_setup = stacked(
            [Setup(title="", evidence=source.evidence) for source in first], _of_links_or_car
        )
        measured = many_links.build_many(in_arrays(link_car(evidence_setup, False), len(first)))
    elif touches(whole, READ) and car.has_coils and car.free_given is not None:
        # coils that never stood on the car are as long as the file says
        measured = LinkReference(car.free_given, car.free_given)
    axles = many_links.build_many(car, measured)
    if not axles.sound.any():
        build_links(link_car(setups[0], touches(setups[0], READ)))
    return axles


def _of_links_or_car(key: str) -> bool:
    return key.startswith((*READ, *FRONT_WHEELS)) and not key.startswith("rear.pack.")
