"""Drill templates: old and new holes in the plane of their metal, one a mount and side. No Qt.

Holes are where the measurements and all changes that are on put them in the body, whatever the
height at which the car stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import dist
from typing import Any, Final, cast

from app.document.address import SIDES, Point, Side, left_of, mirrored
from app.document.keys import KEYS
from app.document.model import Setup, Vec
from app.document.moves import REST, add, is_measured, measured_place, total_moves
from app.drawing.space import dot
from app.shop.plane import FLAT, Place, Plane, plane_of, usual_plane
from app.systems.answers import Study
from app.systems.every import given_systems
from app.systems.holes import Drilled
from app.systems.shims import is_across, is_shim
from geometry.dataclass import dataclass

EDGE: Final = 2.0  # from a hole's centre to an edge, in diameters (common practice, no source)


@dataclass(frozen=True)
class Hole:
    """A hole of a template: where it is and where it shall be, in car axes and on paper [mm].

    `name` tells it from the other of its pair; `off` is the part of its move that is out of the
    plane, in car axes. A hole that `stays` only bolts up its pair.
    """

    key: str
    name: str
    old: Vec
    new: Vec
    old_at: Place
    new_at: Place
    off: Vec
    stays: bool

    @property
    def step(self) -> float:
        """How far the new centre is from the old one, in the plane [mm]."""
        return dist(self.old_at, self.new_at)


@dataclass(frozen=True)
class Template:
    """What is drilled from one sheet: one hole or a pair, on one side of the car.

    `side` is empty where the car has the mount once. `diameter` is None where it isn't given.
    `within` is how far holes may be off, 0 where no drilling is near enough, None where nothing
    limits it [mm].
    """

    title: str
    end: str
    side: Side | None
    plane: Plane
    holes: tuple[Hole, ...]
    is_hole: bool
    diameter: float | None
    within: float | None = None

    @property
    def name(self) -> str:
        """What it is called, with its side."""
        return self.title if self.side is None else f"{self.title}, {self.side} side"

    @property
    def edge(self) -> float | None:
        """The distance to keep from a new hole's centre to any edge or other hole [mm]."""
        return None if self.diameter is None else EDGE * self.diameter


def templates(setup: Setup, sides: Sequence[Side] = SIDES) -> tuple[Template, ...]:
    """Return a template for each mount with a hole that moves, left before right."""
    return tuple(
        template
        for system in given_systems(setup)
        for drilled in system.holes(setup)
        for side in sides
        for template in _templates_of(setup, drilled, side)
    )


def within_told(drilled: Iterable[Template], studies: Iterable[Study[Any]]) -> list[Template]:
    """Return templates with how far their holes may be off, as far as the studies tell."""
    bands = {study.system.key: study.bands for study in studies if study.bands is not None}
    return [
        replace(template, within=bands[template.end].drill_within)
        if template.end in bands
        else template
        for template in drilled
    ]


def _templates_of(setup: Setup, drilled: Drilled, side: Side) -> Iterator[Template]:
    known_keys = [
        key for key in (_key_of(setup, key, side) for key in drilled.keys) if key is not None
    ]
    if len(known_keys) < len(drilled.keys):
        return
    moves = [total_moves(setup).get(key, REST) for key in known_keys]
    is_drilled = (
        any(move) and not is_across(setup, key, move)
        for key, move in zip(known_keys, moves, strict=True)
    )
    if not any(is_drilled):
        return
    olds = [measured_place(setup, key) for key in known_keys]
    address = Point.at(drilled.keys[0])
    plane = _plane(setup, drilled, known_keys, olds, moves)
    holes = tuple(
        _hole(setup, key, name, old, move, plane)
        for key, name, old, move in zip(known_keys, drilled.names, olds, moves, strict=True)
    )
    size = setup.evidence.get("sheet.hole_diameter") if drilled.has_size else None
    yield Template(
        drilled.title,
        address.end,
        side if address.mirror.key in KEYS else None,
        plane,
        holes,
        drilled.is_hole,
        None if size is None else cast(float, size),
    )


def _key_of(setup: Setup, key: str, side: Side) -> str | None:
    """Return a measured point's key on a side; what the car has once is on one side only."""
    if not is_measured(setup, key):
        return None
    mirror = Point.at(key).mirror.key
    if mirror in KEYS:
        return key if side == "left" else mirror
    own_side = "left" if measured_place(setup, key)[1] >= 0.0 else "right"
    return key if side == own_side else None


def _plane(
    setup: Setup,
    drilled: Drilled,
    keys: Sequence[str],
    olds: Sequence[Vec],
    moves: Sequence[Vec],
) -> Plane:
    """Return the plane of a mount, the right one's as the mirror of a left one's.

    What shims do is no matter of holes: a face that all lies in but for shims is the plane.
    """
    if olds[0][1] < 0.0:
        left = [left_of(key) for key in keys]
        return _plane(setup, drilled, left, _all_mirrored(olds), _all_mirrored(moves)).mirrored
    end = Point.at(keys[0]).end
    if all(is_shim(setup, key, (0.0, move[1], 0.0)) for key, move in zip(keys, moves, strict=True)):
        return usual_plane(olds, drilled.face, end)
    news = [
        old if is_across(setup, key, move) else add(old, move)
        for key, old, move in zip(keys, olds, moves, strict=True)
    ]
    return plane_of(olds, news, drilled.face, end)


def _all_mirrored(steps: Sequence[Vec]) -> list[Vec]:
    return [mirrored(step) for step in steps]


def _hole(setup: Setup, key: str, name: str, old: Vec, move: Vec, plane: Plane) -> Hole:
    new = add(old, move)
    old_at, new_at = plane.place(old), plane.place(new)
    off = plane.part_across(move)
    is_off = dot(off, off) > FLAT**2
    stays = dist(old_at, new_at) <= FLAT or is_across(setup, key, move)
    return Hole(
        key, name, old, new, old_at, old_at if stays else new_at, off if is_off else REST, stays
    )
