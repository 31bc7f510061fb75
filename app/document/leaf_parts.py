"""What is measured of a leaf, by keys: "rear.pack.leaf.3.thickness", leaves counted from 1."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final, NamedTuple, cast

from app.document.model import FrozenMap, Leaf, Setup, Value, Within, frozen
from app.document.quantities import QUANTITIES
from app.document.schema import LEAF_KINDS

LEAVES: Final = "rear.pack.leaf"
MEASURED: Final = tuple(part for part, kind in LEAF_KINDS.items() if kind in QUANTITIES)
_TITLES: Final = {
    "thickness": "thickness",
    "front": "front half",
    "rear": "rear half",
    "contact": "helper's contact",
    "nip": "nip",
    "modulus": "modulus",
    "limit_stress": "stress limit",
}


class LeafPart(NamedTuple):
    """A number of one leaf: the leaf's place, 0 the main leaf, and the part as in the model."""

    place: int
    name: str

    @property
    def key(self) -> str:
        """What the reading of it is called in a setup."""
        return f"{LEAVES}.{self.place + 1}.{self.name}"

    @property
    def kind(self) -> str:
        """Its kind of quantity."""
        return LEAF_KINDS[self.name]

    @property
    def words(self) -> str:
        """What such a number is called: "thickness"."""
        return _TITLES[self.name]

    @property
    def title(self) -> str:
        """What it is called: "Main leaf, thickness", "Leaf 3, rear half"."""
        leaf = "Main leaf" if self.place == 0 else f"Leaf {self.place + 1}"
        return f"{leaf}, {self.words}"

    @property
    def in_sentence(self) -> str:
        """The same inside a sentence: "thickness of leaf 3"."""
        leaf = "the main leaf" if self.place == 0 else f"leaf {self.place + 1}"
        return f"{self.words} of {leaf}"


def leaf_part(key: str) -> LeafPart | None:
    """Return the number of a leaf that a key names, None of any other key."""
    if not key.startswith(f"{LEAVES}."):
        return None
    number, _, name = key.removeprefix(f"{LEAVES}.").partition(".")
    if name not in MEASURED or not number.isdecimal() or number.startswith("0"):
        return None
    return LeafPart(int(number) - 1, name)


def leaves_in(values: Mapping[str, Value]) -> tuple[Leaf, ...]:
    """Return the leaves among values, none where there are none."""
    return cast("tuple[Leaf, ...]", values.get(LEAVES, ()))


def leaf_number(values: Mapping[str, Value], part: LeafPart) -> float | None:
    """Return a leaf's number, inside; None where it isn't given."""
    leaves = leaves_in(values)
    number = getattr(leaves[part.place], part.name) if part.place < len(leaves) else None
    return cast("float | None", number)


def with_leaf_number(leaves: tuple[Leaf, ...], part: LeafPart, number: float) -> tuple[Leaf, ...]:
    """Return the leaves with another number of one of them."""
    leaf = replace(leaves[part.place], **{part.name: number})  # type: ignore[arg-type]
    return (*leaves[: part.place], leaf, *leaves[part.place + 1 :])


def within_main(leaves: tuple[Leaf, ...]) -> tuple[Leaf, ...]:
    """Return leaves none longer than the main leaf: past its end nothing bears on them."""
    front, rear = leaves[0].front, leaves[0].rear
    return tuple(
        leaf
        if leaf.front <= front and leaf.rear <= rear
        else replace(leaf, front=min(leaf.front, front), rear=min(leaf.rear, rear))
        for leaf in leaves
    )


def leaf_keys(within: Mapping[str, Within]) -> tuple[str, ...]:
    """Return the keys among those of uncertainties that name numbers of leaves."""
    return tuple(key for key in within if leaf_part(key) is not None)


def within_without(within: Mapping[str, Within], *keys: str) -> FrozenMap[Within]:
    """Return uncertainties without those of keys that go; those of leaves go with the pack."""
    gone = (*keys, *leaf_keys(within)) if LEAVES in keys else keys
    return frozen(within).without(*gone)


def exact_leaves(setup: Setup) -> tuple[int, ...]:
    """Return the measured leaves, by place, of which nothing says how well they are known."""
    places = range(len(leaves_in(setup.readings)))
    return tuple(n for n in places if LeafPart(n, "thickness").key not in setup.within)


def measured_number(setup: Setup, key: str) -> float | None:
    """Return a measured number, a leaf's too; None where it isn't one."""
    part = leaf_part(key)
    value = setup.readings.get(key) if part is None else leaf_number(setup.readings, part)
    return float(value) if isinstance(value, int | float) else None
