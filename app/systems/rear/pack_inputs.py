"""From a setup to the packs of leaves that the kernel reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import cast

import numpy as np

from app.document.masses import sprung_mass_on
from app.document.model import Leaf as FileLeaf
from app.document.model import Setup, Value
from app.document.moves import (
    Numbers,
)
from geometry.conventions import GRAVITY
from geometry.leaf.build import measured_loop
from geometry.leaf.car import LeafPoints
from geometry.leaf.helper_contact import BendFromFree, bend_from_free
from geometry.leaf.load import pack_stages
from geometry.leaf.pack import Ends, Leaf, LeafPack

Values = Mapping[str, Value]


def leaf_pack(values: Values, contacts: Mapping[int, float] | None = None) -> LeafPack:
    """Return the pack, its helpers' contacts as bends from free [mm], by place."""
    file_leaves = cast("tuple[FileLeaf, ...]", values["rear.pack.leaf"])
    leaves = [_leaf(leaf) for leaf in file_leaves]
    for place, contact in (contacts or {}).items():
        leaves[place] = replace(leaves[place], contact=max(contact, 0.0))
    return _pack(values, tuple(leaves))


def contacts_from_free(setup: Setup, values: Values, points: LeafPoints) -> dict[int, float]:
    """Return bends from free at which helpers touch [mm], given as bump from the measured height.

    `points` are those of the measured car, or of leaves that never stood on it.
    """
    travels = _contact_travels(values)
    now = _standing(values, points)
    if now is None:
        return {}
    standing, further = now.standing, dict(zip(_rising(travels), now.further.tolist(), strict=True))
    before = _standing(setup.evidence, points)
    if before is not None:
        arches = [Numbers(each).get("rear.pack.free_arch") for each in (setup.evidence, values)]
        was = before.free_arch if arches[0] is None else arches[0]
        standing = before.standing + (0.0 if arches[1] is None else arches[1] - was)
    return {place: standing + further[travel] for place, travel in travels.items()}


def _contact_travels(values: Values) -> dict[int, float]:
    """Return the bump at which each helper touches [mm], by place."""
    leaves = cast("tuple[FileLeaf, ...]", values.get("rear.pack.leaf") or ())
    return {place: leaf.contact for place, leaf in enumerate(leaves) if leaf.contact is not None}


def _rising(travels: Mapping[int, float]) -> list[float]:
    return sorted(set(travels.values()))


def _standing(values: Values, points: LeafPoints) -> BendFromFree | None:
    """Return a pack's bend at the measured height and what each contact adds to it [mm].

    None without helpers, or where the load isn't known.
    """
    travels, load = _contact_travels(values), sprung_load(Numbers(values))
    if load is None or not travels:
        return None
    apart = 1.0 - min(travels.values())  # keeps every helper's stage after the first
    pack = leaf_pack(values, {p: at + apart for p, at in travels.items()})
    return _bend_from_free(points, pack, load, tuple(_rising(travels)))


@lru_cache(maxsize=512)
def _bend_from_free(
    points: LeafPoints, pack: LeafPack, load: float, travels: tuple[float, ...]
) -> BendFromFree:
    """Return a pack's bend; kept by value, since nothing that is drawn changes measured points."""
    stages = pack_stages(pack)
    return bend_from_free(measured_loop(points, pack.clamp), stages, load, np.array(travels))


def sprung_load(number: Numbers) -> float | None:
    """Return the sprung weight on one rear wheel [N], None where it isn't known or none."""
    mass = sprung_mass_on("rear", number.get)
    return 0.5 * mass * GRAVITY if mass is not None and mass > 0 else None


def _pack(values: Values, leaves: tuple[Leaf, ...]) -> LeafPack:
    number = Numbers(values)
    return LeafPack(
        leaves=leaves,
        width=number.need("rear.pack.width"),
        clamp=number.get("rear.pack.clamp_length") or 0.0,
        free_arch=number.get("rear.pack.free_arch"),
        modulus=number.need("rear.pack.modulus"),
        limit=number.get("rear.pack.limit_stress") or float("inf"),
        ends=cast("Ends", values.get("rear.pack.ends", "square")),
    )


def _leaf(leaf: FileLeaf) -> Leaf:
    return Leaf(
        thickness=leaf.thickness,
        front=leaf.front,
        rear=leaf.rear,
        clipped=leaf.clipped,
        contact=0.0 if leaf.contact is None else max(leaf.contact, 1e-6),
        parabolic=leaf.taper == "parabolic",
        nip=leaf.nip or 0.0,
        modulus=leaf.modulus,
        limit=leaf.limit_stress,
    )
