"""Which point a setup key names: the end of the car, the side, and the point's name there."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Final, Literal, NamedTuple, TypeVar

from app.document.ends import key_in, split_key
from app.document.keys import ALL_KEYS, KEYS
from app.document.model import Vec

Side = Literal["left", "right"]
Item = TypeVar("Item")

AXES: Final = ("x", "y", "z")
SIDES: Final[tuple[Side, Side]] = ("left", "right")
_RIGHT: Final = "right."


class Point(NamedTuple):
    """A point's address: "front.right.tie_outer" is the point tie_outer, front end, right side.

    A left-hand key doesn't name its side. What crosses the car, such as the steering's relay, has
    left-hand addresses only.
    """

    end: str
    side: str
    name: str

    @classmethod
    def at(cls, key: str) -> Point:
        """Return the address that a setup key of a point stands for."""
        try:
            return _BY_KEY[key]
        except KeyError:
            raise ValueError(f"“{key}” isn't the key of a point.") from None

    @property
    def key(self) -> str:
        """The setup key."""
        return key_of(self.end, self.side, self.name)

    @property
    def is_right(self) -> bool:
        """Whether it is a right-hand point."""
        return self.side == "right"

    @property
    def mirror(self) -> Point:
        """The same point on the other side of the car."""
        return Point(self.end, "left" if self.side == "right" else "right", self.name)

    @property
    def title(self) -> str:
        """What the point is called."""
        return KEYS[self.key].title


_BY_KEY: Final[Mapping[str, Point]] = {
    key.name: Point(end, "right" if rest.startswith(_RIGHT) else "left", rest.removeprefix(_RIGHT))
    for key in ALL_KEYS
    if key.kind == "point"
    for end, rest in (split_key(key.name),)
}


@lru_cache(maxsize=512)
def key_of(end: str, side: str, name: str) -> str:
    """Return the setup key of a point; the cache is for drags, which ask for all of a car's."""
    return key_in(end, f"{_RIGHT}{name}" if side == "right" else name)


def is_right(key: str) -> bool:
    """Tell whether a setup key, of a point or of anything else, is that of a right-hand point."""
    point = _BY_KEY.get(key)
    return point is not None and point.side == "right"


def left_of(key: str) -> str:
    """Return the left-hand key of a right-hand point; any other key as it is."""
    point = _BY_KEY.get(key)
    return key if point is None or point.side == "left" else key_of(point.end, "left", point.name)


def coordinate(key: str, axis: int) -> str:
    """Return what one coordinate of a point or a mark is called: "front.tie_outer.z"."""
    return f"{key}.{AXES[axis]}"


def split_coordinate(name: str) -> tuple[str, str]:
    """Return whose coordinate a name says, and along which axis; the axis is "" of other names."""
    key, _, axis = name.rpartition(".")
    return (key, axis) if axis in AXES else (name, "")


def keyed(end: str, side: str, named: Mapping[str, Item]) -> dict[str, Item]:
    """Return one side's values by setup key, from values by point name.

    What the car has once, such as the pinion, has no right-hand key and is left out there.
    """
    keys = ((key_of(end, side, name), item) for name, item in named.items())
    return {key: item for key, item in keys if key in KEYS}


def named(end: str, side: str, keyed: Mapping[str, Item]) -> dict[str, Item]:
    """Return one side's values by point name, from all values by setup key."""
    points = ((_BY_KEY.get(key), item) for key, item in keyed.items())
    return {at.name: it for at, it in points if at and at.side == side and at.end == end}


def mirrored(place: Vec) -> Vec:
    """Return a place or a move mirrored to the other side of the car."""
    return (place[0], 0.0 - place[1], place[2])
