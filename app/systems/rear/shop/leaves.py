"""The leaf packs as rows: what a spring maker cuts, and what each leaf bears. No Qt."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Literal, cast

import numpy as np

from app.document.leaf_pairs import Leaves, is_same_piece, paired
from app.document.model import Leaf, Value
from app.document.moves import proposed_settings
from app.systems.answers import Study
from app.systems.rear.answers import RearAnswers
from app.systems.rear.shop.leaf_steps import KEY
from geometry.dataclass import dataclass
from geometry.leaf.load import LeafStresses, Model
from geometry.leaf.on_car import stresses_at_ride_and_bump
from geometry.leaf.pack import LeafPack, cutting_list

Kind = Literal["as it is", "left as it is", "to fit", "as found", "comes off", "to build up"]
Fate = Literal["stays", "new", "altered", "moves"]
Values = Mapping[str, Value]


@dataclass(frozen=True)
class LeafRow:
    """A leaf of a pack by its place, 0 the main leaf.

    `mass` is that of one such leaf [kg]. `was` is its place in the pack as found, where it had one.
    """

    place: int
    leaf: Leaf
    mass: float
    fate: Fate = "stays"
    was: int | None = None

    @property
    def whole(self) -> float:
        """Its length from end to end [mm]."""
        return self.leaf.front + self.leaf.rear


@dataclass(frozen=True)
class PackRows:
    """A pack leaf by leaf.

    `common` holds the setup's values of all leaves, where they are to be told.
    """

    kind: Kind
    leaves: tuple[LeafRow, ...]
    common: Values | None = None


@dataclass(frozen=True)
class StressRow:
    """What one leaf bears [N/mm²], by both models: one curvature, and touching at the tips.

    `bump` is None where it isn't known how far the car settles, or full bump isn't reached; `left`
    is the share of the limit that is left at full bump by the worse of both.
    """

    place: int
    ride: tuple[float, float]
    bump: tuple[float, float] | None
    limit: float | None
    left: float | None


def pack_rows(study: Study[RearAnswers]) -> tuple[PackRows, ...]:
    """Return the pack as found and, where it is altered, as it is to be built up."""
    return tuple(_packs(study))


def _packs(study: Study[RearAnswers]) -> Iterator[PackRows]:
    was, now = dict(study.setup.evidence), proposed_settings(study.setup)
    measured_leaf, made = study.measured.leaf, study.proposed.leaf
    if made is not None and (measured_leaf is None or _facts(was) == _facts(now)):
        stays: Kind = "left as it is" if study.changed else "as it is"
        yield PackRows(
            "to fit" if measured_leaf is None else stays, _leaves(now, made.car.pack), now
        )
        return
    if measured_leaf is not None:
        kind: Kind = "comes off" if made is None else "as found"
        yield PackRows(kind, _leaves(was, measured_leaf.car.pack), was)
    if made is not None:
        same_facts = _facts(was, but=KEY) == _facts(now, but=KEY)
        leaves = _leaves(now, made.car.pack, cast(Leaves, was.get(KEY, ())))
        yield PackRows("to build up", leaves, None if same_facts else now)


def _facts(values: Values, but: str = "") -> dict[str, Value]:
    return {k: value for k, value in values.items() if k.startswith("rear.pack.") and k != but}


def _leaves(values: Values, pack: LeafPack, before: Leaves | None = None) -> tuple[LeafRow, ...]:
    """Return a row a leaf; against those that the pack is made from, where they are given."""
    leaves = cast(Leaves, values[KEY])
    rows = [
        LeafRow(place, leaf, cut.mass)
        for place, (leaf, cut) in enumerate(zip(leaves, cutting_list(pack), strict=True))
    ]
    for pair in () if before is None else paired(before, leaves):
        if pair.now is not None:
            was = None if pair.was is None or before is None else before[pair.was]
            fate = _fate(was, leaves[pair.now], pair.was == pair.now)
            rows[pair.now] = replace(rows[pair.now], fate=fate, was=pair.was)
    return tuple(rows)


def _fate(was: Leaf | None, now: Leaf, in_place: bool) -> Fate:
    if was is None:
        return "new"
    if replace(was, note="") != replace(now, note=""):
        return "altered" if is_same_piece(was, now) else "new"
    return "stays" if in_place else "moves"


def stress_rows(car: RearAnswers) -> tuple[StressRow, ...]:
    """Return what each leaf bears; nothing without leaves, or where the load isn't known."""
    stresses = None if car.leaf is None else stresses_at_ride_and_bump(car.leaf)
    if car.leaf is None or stresses is None:
        return ()
    ride, bump = stresses.ride, stresses.bump
    limits = [float(value) if np.isfinite(value) else None for value in car.leaf.stages.pack.limits]
    return tuple(
        StressRow(
            place,
            _by_model(ride, place),
            None if bump is None else _by_model(bump, place),
            limit,
            None if bump is None or limit is None else float(bump.margin[place]),
        )
        for place, limit in enumerate(limits)
    )


def _by_model(stresses: LeafStresses, place: int) -> tuple[float, float]:
    by_model = stresses.by_model
    return (
        float(by_model[Model.COMMON_CURVATURE, place]),
        float(by_model[Model.POINT_CONTACT, place]),
    )


def stands_unknown(car: RearAnswers) -> bool:
    """Tell whether leaves carry a known load at a height that isn't known."""
    return car.leaf is not None and car.leaf.ride is not None and car.leaf.settled_travel is None
