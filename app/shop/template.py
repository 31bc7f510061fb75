"""Drill templates: old and new holes in the plane of their metal, one a mount and side. No Qt.

Holes are where the measurements and all changes that are on put them in the body, whatever the
height at which the car stands.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from math import dist, hypot
from typing import Any, Final, Literal, cast

from app.document.address import SIDES, Point, Side, left_of, mirrored
from app.document.clearances import EDGE as METAL_EDGE
from app.document.clearances import Envelope
from app.document.keys import KEYS
from app.document.model import Setup, Vec
from app.document.moves import (
    REST,
    add,
    is_measured,
    is_there,
    measured_place,
    proposed_place,
    proposed_settings,
    subtract,
    total_moves,
)
from app.drawing.space import dot
from app.judge.aligning_work import without_alignment
from app.shop.plane import FLAT, Place, Plane, plane_of, usual_plane
from app.systems.answers import Study
from app.systems.every import given_systems
from app.systems.holes import BOLT, Drilled
from app.systems.shims import is_across, is_shim
from geometry.dataclass import dataclass

Shows = Literal["both", "old", "new"]

AXLE_NEAR: Final = 130.0  # from a new mount to the axle's centre line, seen from the side [mm]
EDGE: Final = 2.0  # from a hole's centre to an edge, in diameters (common practice, no source)


@dataclass(frozen=True)
class Hole:
    """A hole of a template: where it is and where it shall be, in car axes and on paper [mm].

    `name` tells it from the other of its pair; `off` is the part of its move that is out of the
    plane, in car axes. A hole that `stays` only bolts up its pair. A new one has no old place.
    """

    key: str
    name: str
    old: Vec | None
    new: Vec
    old_at: Place | None
    new_at: Place
    off: Vec
    stays: bool

    @property
    def first(self) -> Vec:
        """Where it is as found, or comes where there was none, in car axes [mm]."""
        return self.new if self.old is None else self.old

    @property
    def first_at(self) -> Place:
        """The same on paper [mm]."""
        return self.new_at if self.old_at is None else self.old_at

    @property
    def step(self) -> float:
        """How far the new centre is from the old one, in the plane [mm]."""
        return dist(self.first_at, self.new_at)

    @property
    def straight(self) -> float:
        """How far the new centre is from the old one on the car [mm]."""
        return dist(self.first, self.new)


@dataclass(frozen=True)
class Template:
    """What is drilled from one sheet: one hole or a pair, on one side of the car.

    `side` is empty where the car has the mount once. `diameter` is None where it isn't given.
    `within` is how far holes may be off, 0 where no drilling is near enough, None where nothing
    limits it [mm].
    `axle` is the wheel centre of its end and side as found, `far_end` the other end of a new link
    as proposed, in car axes [mm]. `edges` are where the metal ends, as stated.
    `shows` tells which centres are drawn; old and new are apart where one sheet can't hold both.
    """

    title: str
    end: str
    side: Side | None
    plane: Plane
    holes: tuple[Hole, ...]
    is_hole: bool
    diameter: float | None
    axle: Vec
    far_end: Vec | None = None
    within: float | None = None
    edges: tuple[Envelope, ...] = ()
    shows: Shows = "both"

    @property
    def shown(self) -> tuple[Hole, ...]:
        """Its holes of which something is drawn."""
        if self.shows != "new":
            return self.holes
        return tuple(hole for hole in self.holes if not hole.stays)

    @property
    def centres(self) -> tuple[Place, ...]:
        """Where the centres are that are drawn, on paper [mm]."""
        olds = () if self.shows == "new" else tuple(hole.first_at for hole in self.shown)
        news = () if self.shows == "old" else tuple(hole.new_at for hole in self.shown)
        return tuple(dict.fromkeys((*olds, *news)))

    @property
    def datum(self) -> Vec:
        """The centre through which its chain lines run, in car axes [mm]."""
        return self.shown[0].new if self.shows == "new" else self.shown[0].first

    @property
    def datum_at(self) -> Place:
        """The same on paper [mm]."""
        return self.centres[0]

    @property
    def is_new(self) -> bool:
        """Whether the car as found hasn't got the mount."""
        return self.holes[0].old is None

    @property
    def is_near_axle(self) -> bool:
        """Whether a new mount is so near to the axle's centre line that one measures from that."""
        step = subtract(self.holes[0].new, self.axle)
        return self.is_new and hypot(step[0], step[2]) <= AXLE_NEAR

    @property
    def is_left(self) -> bool:
        """Whether it is on the car's left."""
        return self.holes[0].first[1] >= 0.0

    @property
    def name(self) -> str:
        """What it is called, with its side."""
        return ", ".join([self.thing, *([] if self.side is None else [f"{self.side} side"])])

    @property
    def thing(self) -> str:
        """What it is called on either side."""
        if self.shows == "both":
            return self.title
        noun = "hole" if self.is_hole else "place"
        return f"{self.title}, {self.shows} {noun}{'s' if len(self.shown) > 1 else ''}"

    @property
    def parted(self) -> tuple[Template, Template]:
        """Old and new centres, each by themselves."""
        return replace(self, shows="old"), replace(self, shows="new")

    @property
    def edge(self) -> float | None:
        """The distance to keep from a new hole's centre to any edge or other hole [mm]."""
        return None if self.diameter is None else EDGE * self.diameter


def templates(setup: Setup, sides: Sequence[Side] = SIDES) -> tuple[Template, ...]:
    """Return a template for each mount with a hole that moves or is new, left before right."""
    setup = without_alignment(setup)  # nothing is drilled for shims and eccentrics
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
    keys = [key for key in (_key_of(setup, key, side) for key in drilled.keys) if key is not None]
    if len(keys) < len(drilled.keys):
        return
    if drilled.is_new or not is_measured(setup, keys[0]):
        yield _template(setup, drilled, side, *_new_hole(setup, drilled, keys[0]))
        return
    moves = [total_moves(setup).get(key, REST) for key in keys]
    if not any(
        any(move) and not is_across(setup, key, move) for key, move in zip(keys, moves, strict=True)
    ):
        return
    olds = [measured_place(setup, key) for key in keys]
    plane = _plane(setup, drilled, keys, olds, moves)
    holes = tuple(
        _hole(setup, key, name, old, move, plane)
        for key, name, old, move in zip(keys, drilled.names, olds, moves, strict=True)
    )
    yield _template(setup, drilled, side, plane, holes)


def _template(
    setup: Setup, drilled: Drilled, side: Side, plane: Plane, holes: tuple[Hole, ...]
) -> Template:
    address = Point.at(holes[0].key)
    size_key = "sheet.hole_diameter" if drilled.has_size else ""
    if drilled.has_bolt and holes[0].old is None:
        size_key = BOLT
    size = proposed_settings(setup).get(size_key)
    has_sides = Point.at(drilled.keys[0]).mirror.key in KEYS
    own_side: Side = "left" if holes[0].first[1] >= 0.0 else "right"
    wheel = Point(address.end, side if has_sides else own_side, "wheel_centre").key
    far_end = _key_of(setup, drilled.far_end, side) or drilled.far_end
    return Template(
        drilled.title,
        address.end,
        side if has_sides else None,
        plane,
        holes,
        drilled.is_hole,
        None if size is None else cast(float, size),
        measured_place(setup, wheel),
        proposed_place(setup, far_end) if far_end and holes[0].old is None else None,
        edges=tuple(e for e in setup.envelopes if e.kind == METAL_EDGE and e.end == address.end),
    )


def _new_hole(setup: Setup, drilled: Drilled, key: str) -> tuple[Plane, tuple[Hole, ...]]:
    """Return the plane and the hole of a mount that the car hasn't got: where it comes."""
    new = proposed_place(setup, key)
    plane = _plane(setup, drilled, [key], [new], [REST])
    at = plane.place(new)
    return plane, (Hole(key, drilled.names[0], None, new, None, at, REST, stays=False),)


def _key_of(setup: Setup, key: str, side: Side) -> str | None:
    """Return a point's key on a side if it is there; what the car has once is on one side only."""
    if not key or not is_there(setup, key):
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
