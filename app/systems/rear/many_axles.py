"""Rear axles of many setups, read and put together at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from typing import Any, Final

import numpy as np

from app.document.columns import in_arrays, stacked
from app.document.model import Setup, Value
from app.document.moves import proposed_settings, touches
from app.systems.rear.inputs import (
    LEAF_POINTS,
    gives_leaves,
    leaf_car,
    link_car,
    rear_kind,
    rear_points,
)
from app.systems.rear.pack_inputs import contacts_from_free, leaf_pack
from app.systems.rear.system import FRONT_WHEELS
from geometry.errors import GeometryError
from geometry.leaf.car import LeafCar, LeafPoints
from geometry.leaf.load import PackStages, pack_stages
from geometry.leaf.many_axles import ManyLeaves, build_many
from geometry.links import many as many_links
from geometry.links.car import LinkReference, build_links

READ: Final = ("rear.", "car.")
"""Beginnings of the keys that a rear reads."""

_PACK: Final = "rear.pack."
_OF_PACK: Final = tuple(
    _PACK + name
    for name in ("leaf", "width", "clamp_length", "free_arch", "modulus", "limit_stress", "ends")
)
"""What a pack is made of, which is read car by car: its leaves are no numbers."""


def leaf_axles(setups: Sequence[Setup]) -> ManyLeaves:
    """Return the leaf axles of setups as proposed.

    Raises
    ------
    GeometryError
        None can be put together: why the last can't.
    """
    evidence, proposed = setups[0].evidence, touches(setups[0], READ)
    whole = stacked(setups, _of_leaves_or_car)
    if not proposed:
        return _put_together(setups, whole, False)
    # leaf springs that never stood on the car: the points given for them are the measured ones
    measured = _put_together(setups, whole, not gives_leaves(evidence))
    return _put_together(setups, whole, True, measured)


def _put_together(
    setups: Sequence[Setup],
    whole: Setup,
    proposed: bool,
    measured: ManyLeaves | None = None,
) -> ManyLeaves:
    stages = _stages(setups, whole, proposed)
    one = next(each for each in stages if each is not None)
    car = leaf_car(whole, proposed, one.pack)
    numbers: dict[str, Any] = {
        field.name: in_arrays(getattr(car, field.name), len(setups))
        for field in fields(car)
        if field.name != "pack"
    }
    return build_many(LeafCar(pack=car.pack, **numbers), stages, measured)


def _stages(setups: Sequence[Setup], whole: Setup, proposed: bool) -> list[PackStages | None]:
    """Return every car's pack, None for one that can't be; the same numbers give the same one."""
    known: dict[tuple[Value | None, ...], PackStages] = {}
    points = _measured_points(setups, whole, proposed)
    stages: list[PackStages | None] = []
    reason: GeometryError | None = None
    for setup, stood in zip(setups, points, strict=True):
        values = proposed_settings(setup) if proposed else setup.evidence
        try:
            contacts = contacts_from_free(setup, values, stood)
            of_pack = *(values.get(key) for key in _OF_PACK), *contacts.values()
            if of_pack not in known:
                known[of_pack] = pack_stages(leaf_pack(values, contacts))
            stages.append(known[of_pack])
        except GeometryError as error:
            reason = error
            stages.append(None)
    if reason is not None and not known:
        raise reason
    return stages


def _measured_points(setups: Sequence[Setup], whole: Setup, proposed: bool) -> list[LeafPoints]:
    """Return the points on which each car's spring was measured."""
    stood = gives_leaves(setups[0].evidence)
    made = rear_points(whole, proposed and not stood, "left").made
    columns = [np.array([*map(np.asarray, made[name])]).T.tolist() for name in LEAF_POINTS]
    return [LeafPoints(*map(tuple, places)) for places in zip(*columns, strict=True)]


def _of_leaves_or_car(key: str) -> bool:
    return key.startswith((*READ, *FRONT_WHEELS)) and key not in _OF_PACK


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
    return key.startswith((*READ, *FRONT_WHEELS)) and not key.startswith(_PACK)
