"""The ends of the car: how keys name them, and what the document must know of each."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, TypeVar

from geometry.dataclass import dataclass

Item = TypeVar("Item")

BODY: Final = "body"


@dataclass(frozen=True, slots=True)
class End:
    """In what an end of the car differs from the other, beside its keys.

    `kind` is that of its suspension where there is only one, so that it is known untold. `datum`
    is where X of its points counts from, where that isn't at this end. `pivots` are the points at
    which adjusters can be, any point of the body where none is named. `parts` are what an envelope
    given by coordinates can go with, `poses` those in which its clearances are looked for.
    `rightward` is the sign of Y to the right hand of someone who looks at the car from that end.
    """

    key: str
    parts: tuple[str, ...]
    poses: str
    rightward: float
    kind: str = ""
    datum: str = ""
    pivots: tuple[str, ...] = ()

    def share(self, front_share: float) -> float:
        """Return this end's share of what both ends share, such as the car's mass."""
        return front_share if self.key == "front" else 1.0 - front_share


END: Final[Mapping[str, End]] = {
    end.key: end
    for end in (
        End(
            "front",
            parts=(BODY, "wheel", "upper arm", "lower arm", "steering"),
            poses="over all travel between the stops and all steer between the locks",
            rightward=1.0,
            kind="double wishbone",
            pivots=("upper_front", "upper_rear", "lower_front", "lower_rear"),
        ),
        End(
            "rear",
            parts=(BODY, "axle"),
            poses="with either wheel anywhere between its stops",
            rightward=-1.0,
            datum="the front axle line",
        ),
    )
}
ENDS: Final = tuple(END)
"""The tables of a setup that are of one end of the car, from the front rearward."""
ALIGNED_END: Final = "front"
"""The end whose wheels are set by a gauge's reading: with adjusters, rods and shims."""


def end_of(key: str) -> str:
    """Return what part of a setup a key belongs to: "front", "rear", "car" or "sheet"."""
    return key.partition(".")[0]


def name_in_end(key: str) -> str:
    """Return what a key is called within its table: "front.right.tie_outer", "right.tie_outer"."""
    return key.partition(".")[2]


def split_key(key: str) -> tuple[str, str]:
    """Return what part of a setup a key belongs to, and what it is called there."""
    end, _, name = key.partition(".")
    return end, name


def key_in(end: str, name: str) -> str:
    """Return the key of what has this name at an end."""
    return f"{end}.{name}"


def is_in(end: str, key: str) -> bool:
    """Tell whether a key is of this end."""
    return key.startswith(f"{end}.")


def of_end(end: str, by_key: Mapping[str, Item]) -> dict[str, Item]:
    """Return what is of an end, by key."""
    return {key: item for key, item in by_key.items() if is_in(end, key)}


def unsprung_key(end: str) -> str:
    """Return the key of the mass that an end's springs don't carry."""
    return key_in("car", f"{end}_unsprung")


def has_both_ends(systems: Mapping[str, object]) -> bool:
    """Tell whether systems of the car, by key, are those of all its ends."""
    return systems.keys() >= set(ENDS)
