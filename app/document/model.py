"""The setup as an immutable value: the measured car, and the changes proposed for it."""

from __future__ import annotations

from collections.abc import (
    ItemsView,
    Iterable,
    Iterator,
    KeysView,
    Mapping,
    Sequence,
    ValuesView,
)
from dataclasses import field, replace
from typing import Any, Final, Generic, Literal, Self, TypeVar, overload

from app.document.clearances import Clearance, Envelope
from app.document.plans import Adjuster, Aim, Gauge, Room, Together, Want
from geometry.dataclass import dataclass

Vec = tuple[float, float, float]
Units = Literal["mm", "in"]
Within = float | Vec  # expanded uncertainty, k = 2: a point's may differ in x, y and z
Parts = Literal["kept", "made to fit"]
Toe = Literal["reset", "left"]
Taper = Literal["none", "parabolic"]
HeightChoice = str | float  # SETTLES, AS_MEASURED, or mm from wheel centre to arch lip

SETTLES: Final = "settles"
AS_MEASURED: Final = "as measured"
MARK: Final = "mark."

Item = TypeVar("Item", covariant=True)
Other = TypeVar("Other")


class FrozenMap(Mapping[str, Item], Generic[Item]):
    """A mapping that can't change, compares by value and has a hash; keeps the order given."""

    __slots__ = ("_hash", "_items")

    def __init__(self, items: Mapping[str, Item] | Iterable[tuple[str, Item]] = ()) -> None:
        self._items: dict[str, Item] = dict(items)
        self._hash: int | None = None

    def __getitem__(self, key: str) -> Item:
        return self._items[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __contains__(self, key: object) -> bool:
        return key in self._items

    # Mapping's own ask `__getitem__` for each item, at ten times the price.

    @overload
    def get(self, key: str, /) -> Item | None: ...

    @overload
    def get(self, key: str, /, default: Other) -> Item | Other: ...

    def get(self, key: str, /, default: Any = None) -> Any:
        """Return what a key stands for, or the default."""
        return self._items.get(key, default)

    def keys(self) -> KeysView[str]:
        """Return the keys."""
        return self._items.keys()

    def values(self) -> ValuesView[Item]:
        """Return the values."""
        return self._items.values()

    def items(self) -> ItemsView[str, Item]:
        """Return the pairs of key and value."""
        return self._items.items()

    def __eq__(self, other: object) -> bool:
        if isinstance(other, FrozenMap):
            return self._items == other._items
        return self._items == other

    def __hash__(self) -> int:
        if self._hash is None:
            self._hash = hash(frozenset(self._items.items()))
        return self._hash

    def __repr__(self) -> str:
        return f"FrozenMap({self._items!r})"

    def values_of(self, keys: Sequence[str]) -> list[Item]:
        """Return what several keys stand for, quicker than one by one.

        Raises
        ------
        KeyError
            One of them isn't there.
        """
        return [*map(self._items.__getitem__, keys)]

    def __reduce__(self) -> tuple[type[Self], tuple[dict[str, Item]]]:
        return type(self), (self._items,)

    def having(self, key: str, value: Any) -> FrozenMap[Item]:
        """Return a copy with one value put in."""
        return FrozenMap({**self._items, key: value})

    def updated(self, values: Mapping[str, Any]) -> FrozenMap[Item]:
        """Return a copy with values put in; it takes a tenth of the time of a dict of both."""
        return FrozenMap({**self._items, **frozen(values)._items})

    def without(self, *keys: str) -> FrozenMap[Item]:
        """Return a copy that lacks these keys."""
        return FrozenMap({k: v for k, v in self._items.items() if k not in keys})


NONE_GIVEN: Final[FrozenMap[Any]] = FrozenMap()


@dataclass(frozen=True, slots=True)
class Leaf:
    """One leaf of a pack: thickness and the length of each half from the centre bolt, in mm."""

    thickness: float
    front: float
    rear: float
    clipped: bool = False
    contact: float | None = None  # a helper: the bump from ride height at which it touches
    nip: float | None = None  # gap to the leaf above before the centre bolt draws it up
    taper: Taper = "none"
    modulus: float | None = None  # N/mm², when it differs from the pack's
    limit_stress: float | None = None  # N/mm², when it differs from the pack's
    note: str = ""


Value = str | float | bool | Vec | tuple[Leaf, ...]


@dataclass(frozen=True, slots=True)
class Limit:
    """What a result may reach: inside units, with the kind of quantity and who set it."""

    minimum: float | None = None
    maximum: float | None = None
    kind: str = "plain"
    by: str = ""

    @classmethod
    def within(cls, most: float, kind: str = "plain", by: str = "") -> Limit:
        """Return the limit that keeps a result's magnitude under `most`."""
        return cls(-most, most, kind, by)

    def allows(self, value: float) -> bool:
        """Tell whether the value lies inside the limit."""
        low = self.minimum is None or value >= self.minimum
        return low and (self.maximum is None or value <= self.maximum)


LOOSEST: Final = 50.0  # mm; a tape that is known no better is misread or mistyped, not evidence


@dataclass(frozen=True, slots=True)
class Tape:
    """A distance read between two points or marks by tape or trammel, with k = 2, in mm.

    `between` holds setup keys of points, right-hand ones too, and "mark.A" for a mark.
    """

    between: tuple[str, str]
    length: float
    within: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Plane:
    """A plane of one's own that an axis of points was measured from: a name, and where it is.

    `at` counts from the axis line, the centreline (outwards) or the floor, in mm; `points` are the
    keys of those that were measured from it, and follow when it is measured again.
    """

    name: str
    axis: str
    at: float
    points: tuple[str, ...] = ()


@dataclass(frozen=True)
class Change:
    """A job for the shop: moves added to measured points, and values set.

    One that `aligns` is what an alignment came to: the next one begins without it.
    """

    name: str
    on: bool = True
    parts: Parts = "kept"
    toe: Toe = "reset"
    note: str = ""
    moves: Mapping[str, Vec] = NONE_GIVEN
    sets: Mapping[str, Value] = NONE_GIVEN
    aligns: bool = False

    def __post_init__(self) -> None:
        _freeze(self, "moves", "sets")


@dataclass(frozen=True)
class Setup:
    """A car as measured (`evidence`, never touched by a change) and the changes proposed.

    Where tapes tie points together, `evidence` is what agrees best with all readings and
    `readings` is what was read, which is all that is saved; else both are the same. A setup is
    made, and made anew by `having`, from readings alone.
    """

    title: str
    units: Units = "mm"
    notes: str = ""
    evidence: Mapping[str, Value] = NONE_GIVEN
    within: Mapping[str, Within] = NONE_GIVEN  # of readings, k = 2
    point_notes: Mapping[str, str] = NONE_GIVEN
    limits: Mapping[str, Limit] = NONE_GIVEN  # "front.camber" -> Limit
    changes: tuple[Change, ...] = ()
    heights: Mapping[str, HeightChoice] = NONE_GIVEN  # by end; else settles
    marks: Mapping[str, Vec] = NONE_GIVEN  # scratches on the floor, by name
    tapes: tuple[Tape, ...] = ()
    wants: tuple[Want, ...] = ()
    rooms: Mapping[str, Room] = NONE_GIVEN  # by key of point or value
    adjusters: Mapping[str, Adjuster] = NONE_GIVEN  # "front.tie_rod"
    aims: Mapping[str, Aim] = NONE_GIVEN  # "front.camber"
    gauge: Mapping[str, Gauge] = NONE_GIVEN  # "front.left"
    together: tuple[Together, ...] = ()
    envelopes: tuple[Envelope, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    planes: tuple[Plane, ...] = ()
    readings: Mapping[str, Value] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        _freeze(self, "evidence", "within", "point_notes", "limits", "heights", "marks")
        _freeze(self, "rooms", "adjusters", "aims", "gauge")
        object.__setattr__(self, "readings", self.evidence)
        if self.tapes:
            object.__setattr__(self, "evidence", _adjusted(self))
        if any(key not in self.readings for plane in self.planes for key in plane.points):
            object.__setattr__(self, "planes", tuple(map(self._of_points, self.planes)))
        if SETTLES in self.heights.values():  # said or not, it is the same
            held = {end: choice for end, choice in self.heights.items() if choice != SETTLES}
            object.__setattr__(self, "heights", FrozenMap(held))

    def _of_points(self, plane: Plane) -> Plane:
        points = tuple(key for key in plane.points if key in self.readings)
        return replace(plane, points=points)

    def having(self, **fields: Any) -> Setup:
        """Return a copy with some fields replaced; `evidence` gives what was read.

        A proposal goes on without changes that are gone; one of no other change goes with them.
        """
        if self.together and "changes" in fields and "together" not in fields:
            names = {change.name for change in fields["changes"]}
            fields["together"] = tuple(filter(None, (p.only(names) for p in self.together)))
        return replace(self, **{"evidence": self.readings, **fields})


def mark_key(name: str) -> str:
    """Return what a mark on the floor is called where a point's key could stand."""
    return f"{MARK}{name}"


def widest(within: Within) -> float:
    """Return the greatest of an uncertainty's directions."""
    return max(within) if isinstance(within, tuple) else within


def frozen(items: Mapping[str, Item]) -> FrozenMap[Item]:
    """Return the mapping as an immutable one."""
    return items if isinstance(items, FrozenMap) else FrozenMap(items)


def _adjusted(setup: Setup) -> FrozenMap[Value]:
    from app.document.adjusting import adjusted_evidence  # a car without tapes needs no solver

    return adjusted_evidence(setup)


def _freeze(owner: object, *names: str) -> None:
    for name in names:
        given = getattr(owner, name)
        if not isinstance(given, FrozenMap):
            object.__setattr__(owner, name, FrozenMap(given))
