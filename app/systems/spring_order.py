"""What a spring maker is asked for, as rows. No Qt."""

from __future__ import annotations

from geometry.dataclass import dataclass


@dataclass(frozen=True)
class OrderRow:
    """A line of an order: what is asked, as it was found, as it is to be.

    `wanted` is empty where nobody has told: a maker, or whoever orders, fills it in.
    """

    title: str
    found: str = ""
    wanted: str = ""


@dataclass(frozen=True)
class SpringOrder:
    """Springs to be made alike.

    Parameters
    ----------
    title
        What they are.
    count
        How many of them, and whether left and right are alike.
    rows
        What a spring maker asks.
    notes
        What else is to be known, a paragraph each.
    has_leaves
        Whether the list of leaves belongs to it.
    """

    title: str
    count: str
    rows: tuple[OrderRow, ...]
    notes: tuple[str, ...] = ()
    has_leaves: bool = False
