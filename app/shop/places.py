"""Where holes and brackets come, as a fabricator measures it: from the axle, from an eye. No Qt."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Any, Final

from app.document.address import Point, left_of, mirrored
from app.document.keys import KEYS
from app.document.model import Setup, Vec
from app.document.moves import add, is_measured, measured_place, proposed_place, subtract
from app.document.quantities import INCH
from app.shop.orders import orders
from app.systems.answers import Study
from app.systems.points import PointFacts
from app.systems.targets import shop_length
from app.words.lengths import bench_length, ruled_number
from app.words.moves import said_move
from geometry.dataclass import dataclass

WITHIN: Final = {"mm": 1.0, "in": INCH / 32}  # of a hole or a bracket: common practice, no source
AXLE: Final = "the axle's centre line"
SHIM_WITHIN: Final = {"mm": 0.5, "in": INCH / 64}  # of a pack of shims: common practice, no source
SHIMS: Final = "what the pack of shims at this bolt changes by"
SEEN: Final = 0.05  # a smaller distance is none [mm]
MADE: Final = frozenset({"rear.pinion", "rear.gearbox_joint", "rear.rear_eye", "rear.centre_bolt"})
"""Points that come with a part: nobody drills or welds there."""


@dataclass(frozen=True)
class PlaceRow:
    """A hole, a bracket, a part's end or a shaft that is put elsewhere, or is new.

    `step` is the way from the old place, empty for a new one; `distances` are from what can be
    touched under the car. `sides` are those of the car, none for what the car has once.
    """

    key: str
    title: str
    step: str
    distances: str
    within: str
    sides: tuple[str, ...]


def place_rows(study: Study[Any], decimal: str = ".") -> tuple[PlaceRow, ...]:
    """Return what is drilled, welded or set of a system, to be read back."""
    return tuple(_Places(study, decimal).rows())


@dataclass(frozen=True)
class _Places:
    study: Study[Any]
    decimal: str

    @property
    def setup(self) -> Setup:
        return self.study.setup

    @cached_property
    def facts(self) -> PointFacts:
        return self.study.system.points(self.study)

    @cached_property
    def moves(self) -> dict[str, Vec]:
        """What is put elsewhere, without shims."""
        return {key: move for order in orders(self.setup) for key, move in order.moves.items()}

    @cached_property
    def shims(self) -> dict[str, Vec]:
        return {key: move for order in orders(self.setup) for key, move in order.shims.items()}

    def rows(self) -> Iterator[PlaceRow]:
        """Yield what is alike on both sides once, else each side by itself; then the shims."""
        lefts = dict.fromkeys(
            left_of(key) for key in self.facts.titles if key not in self.facts.gone
        )
        for key in (key for key in lefts if key not in MADE):
            mirror = Point.at(key).mirror.key
            if mirror not in KEYS:
                yield from self._row(key, ())
            elif self._is_alike(key, mirror):
                yield from self._row(key, ("left", "right"))
            else:
                yield from self._row(key, ("left",))
                yield from self._row(mirror, ("right",))
        yield from self._shim_rows()

    def _shim_rows(self) -> Iterator[PlaceRow]:
        own = {key: move for key, move in self.shims.items() if self.study.system.is_own(key)}
        for key, move in own.items():
            point = Point.at(key)
            other = own.get(point.mirror.key)
            is_alike = other is not None and _is_near(move, mirrored(other))
            if is_alike and point.is_right:
                continue
            sides = ("left", "right") if is_alike else (point.side,)
            title = f"Shims: {self.facts.titles[left_of(key)].lower()}"
            within = shop_length(SHIM_WITHIN[self.setup.units], self.setup.units, self.decimal, 1)
            step = self._words(move, key)
            yield PlaceRow(f"{key} shims", title, step, SHIMS, f"± {within}", sides)

    def _row(self, key: str, sides: tuple[str, ...]) -> Iterator[PlaceRow]:
        place = self.place(key)
        if place is None:
            return
        title = self.facts.titles[left_of(key)]
        if len(sides) == 1:
            title = f"{title}, {sides[0]}"
        within = shop_length(WITHIN[self.setup.units], self.setup.units, self.decimal, 1)
        distances = self._distances(key, place)
        yield PlaceRow(key, title, self._step(key), distances, f"± {within}", sides)

    def place(self, key: str) -> Vec | None:
        """Return where a point is made, in the measured pose; None where nothing is done [mm]."""
        if self._is_new(key):
            return proposed_place(self.setup, key)
        move = self.moves.get(key)
        return None if move is None else add(measured_place(self.setup, key), move)

    def _is_new(self, key: str) -> bool:
        fitted = left_of(key) in self.facts.new
        return fitted or not is_measured(self.setup, key)

    def _is_alike(self, key: str, mirror: str) -> bool:
        places = self.place(key), self.place(mirror)
        if None in places:
            return False
        left, right = places
        return left is not None and right is not None and _is_near(left, mirrored(right))

    def _step(self, key: str) -> str:
        """Return the way from the old place in words."""
        move = self.moves.get(key)
        if move is None or self._is_new(key):
            return ""
        return self._words(move, key)

    def _words(self, move: Vec, key: str) -> str:
        own = mirrored(move) if Point.at(key).is_right else move

        def length(step: float) -> str:
            return bench_length(abs(step), self.setup.units, self.decimal)

        return said_move(own, length, lambda step: abs(step) >= SEEN)

    def _distances(self, key: str, place: Vec) -> str:
        end, side, _ = Point.at(key)
        across = self._across(place, key)
        on_part = KEYS[left_of(key)].on_part
        if self.facts.datum is not None and not on_part:
            name, words = self.facts.datum
            datum = Point(end, side, name).key
            if self._stays(datum):
                return f"{self._from(place, datum, words)}; {across}"
        wheel = Point(end, side, "wheel_centre").key
        if self.facts.on_axle and on_part:
            return f"{self._from(place, wheel, AXLE)}; {across}"
        along = self._along(subtract(place, measured_place(self.setup, wheel)))
        up = f"{self._length(place[2])} above the ground"
        found = ", both as found" if self.facts.on_axle else " as found"
        return f"{along or 'level with '}{AXLE}; {up}{found}; {across}"

    def _stays(self, datum: str) -> bool:
        """Tell whether a point can be measured from before the work and after it."""
        is_left = datum not in self.moves and left_of(datum) not in self.facts.gone
        return is_left and is_measured(self.setup, datum)

    def _from(self, place: Vec, datum: str, name: str) -> str:
        step = subtract(place, measured_place(self.setup, datum))
        along, up = self._along(step), step[2]
        height = f"{self._length(abs(up))} {'above' if up > 0 else 'below'}"
        if abs(up) < SEEN:
            return f"{along}{name}" if along else f"at {name}"
        return f"{along}{name}, {height} it" if along else f"{height} {name}"

    def _along(self, step: Vec) -> str:
        """Say how far ahead of something a place is, or behind it; nothing where level with it."""
        if abs(step[0]) < SEEN:
            return ""
        return f"{self._length(abs(step[0]))} {'ahead of' if step[0] > 0 else 'behind'} "

    def _across(self, place: Vec, key: str) -> str:
        """Say how far from the middle a place is; which way, where that isn't the point's side."""
        if abs(place[1]) < SEEN:
            return "in the middle"
        size, point = self._length(abs(place[1])), Point.at(key)
        if point.mirror.key not in KEYS:
            return f"{size} {'left' if place[1] > 0 else 'right'} of the middle"
        is_past = (place[1] < 0) != point.is_right
        return f"{size} {'past the middle, on the other side' if is_past else 'from the middle'}"

    def _length(self, length: float) -> str:
        return f"{ruled_number(abs(length), self.setup.units, self.decimal)} {self.setup.units}"


def _is_near(one: Vec, other: Vec) -> bool:
    return max(map(abs, subtract(one, other))) < SEEN
