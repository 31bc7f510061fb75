"""Numbers that may have room: what each is now, and which a car has."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist
from typing import Final

from app.document.leaf_parts import LeafPart, leaf_number, leaf_part, leaves_in
from app.document.model import Leaf, Setup
from app.document.moves import is_there, measured_place, proposed_number, proposed_settings

BLOCK: Final = "rear.block"
WEDGE: Final = "rear.wedge"
SHACKLE: Final = "rear.shackle_length"
_PINS: Final = ("rear.rear_eye", "rear.shackle_body")


def number_now(setup: Setup, key: str) -> float | None:
    """Return what a number is with the changes that are on, None where nothing says.

    Of an axle on leaves a block or a wedge that isn't given isn't there, and a shackle that isn't
    is as long as its pins were measured apart.
    """
    part = leaf_part(key)
    if part is not None:
        return leaf_number(proposed_settings(setup), part)
    number = proposed_number(setup, key)
    if number is None and has_leaves(setup):
        if key in (BLOCK, WEDGE):
            return 0.0
        if key == SHACKLE and all(is_there(setup, pin) for pin in _PINS):
            return dist(*(measured_place(setup, pin) for pin in _PINS))
    return number


def leaves_now(setup: Setup) -> tuple[Leaf, ...]:
    """Return the leaves of the pack with the changes that are on; none without a pack."""
    return leaves_in(proposed_settings(setup))


def has_leaves(setup: Setup) -> bool:
    """Tell whether the axle is on leaves, as proposed."""
    return proposed_settings(setup).get("rear.kind") == "leaf axle"


def untold_keys(setup: Setup) -> Iterator[str]:
    """Yield the numbers that may have room and that no value of the file tells by itself."""
    if not has_leaves(setup):
        return
    given = proposed_settings(setup)
    yield from (
        k for k in (BLOCK, WEDGE, SHACKLE) if k not in given and number_now(setup, k) is not None
    )
    yield from (LeafPart(place, "thickness").key for place in range(len(leaves_now(setup))))
