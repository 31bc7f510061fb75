"""How well leaves are measured, as typed: of one leaf's number, or of that number of every leaf.

A ± stands under its number's field with `.within`; that of every leaf in a row of its own, -1. What
is said of one leaf says more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from app.document.entries import EntryError
from app.document.leaf_parts import LEAVES, MEASURED, LeafPart, leaf_keys, leaves_in
from app.document.model import Leaf, Setup, Units, Within
from app.document.schema import HALVES
from app.document.usual_within import parse_within, usual_within
from app.entry.leaf_rows import field_name, row_and_part
from app.entry.number_text import field_text
from app.entry.typed_text import TypedText

EVERY: Final = -1  # the row of what is said of every leaf
ASKED: Final = ("thickness", *HALVES, "contact", "nip")
_END: Final = ".within"


def is_within(name: str) -> bool:
    """Tell whether a field says how well a leaf is measured."""
    return name.startswith(f"{LEAVES}.") and name.endswith(_END)


def within_name(row: int, part: str) -> str:
    """Return the name of a ± field."""
    return f"{field_name(LEAVES, row, part)}{_END}"


def text_before(before: Setup, name: str, units: Units, decimal: str) -> str:
    """Return what a ± field begins with."""
    row, part = row_and_part(name.removesuffix(_END))
    said = _every_before(before, part) if row == EVERY else _own_before(before, row, part)
    return "" if said is None else field_text(said, "length", units, decimal)


def usual_text(key: str, units: Units, decimal: str) -> str:
    """Return how well a number of leaves is usually measured, for its ± field."""
    usual = usual_within(LeafPart(0, row_and_part(key)[1]).key, 1.0, "length", units)
    return "" if usual is None else field_text(usual, "length", units, decimal)


def read_within(
    before: Setup,
    typed: Mapping[str, TypedText],
    rows: Mapping[int, Leaf],
    within: dict[str, Within],
    decimal: str,
) -> dict[str, str]:
    """Put what is said of leaves, by the rows they stand in; return what can't be read, by field.

    Leaves are counted anew: one that was taken out has no number any more.
    """
    for key in leaf_keys(within):
        del within[key]
    errors: dict[str, str] = {}
    for place, (row, leaf) in enumerate(rows.items()):
        for part in MEASURED:
            number = getattr(leaf, part)
            said = None
            for at in (row, EVERY) if number is not None else ():
                said = _said(before, typed, at, part, number, errors, decimal)
                if said is not None:
                    break
            if said is not None:
                within[LeafPart(place, part).key] = said
    return errors


def _said(
    before: Setup,
    typed: Mapping[str, TypedText],
    row: int,
    part: str,
    number: float,
    errors: dict[str, str],
    decimal: str,
) -> float | None:
    """Return what one field says of a number, as typed or as before; None where it says nothing."""
    name = within_name(row, part)
    reading = typed.get(name)
    if reading is None:
        return _every_before(before, part) if row == EVERY else _own_before(before, row, part)
    if not reading.text.strip():
        return None
    try:
        key = LeafPart(max(row, 0), part).key
        return parse_within(reading.text, key, "length", number, reading.units, decimal=decimal)
    except EntryError as error:
        errors[name] = str(error)
        return None


def _every_before(before: Setup, part: str) -> float | None:
    """Return what is known of a number of every leaf that has it, None where that is unlike."""
    said = set(_known(before, part)) if part in ASKED else {None}
    return said.pop() if len(said) == 1 else None


def _own_before(before: Setup, row: int, part: str) -> float | None:
    if _every_before(before, part) is not None:
        return None
    known = before.within.get(LeafPart(row, part).key)
    return known if isinstance(known, float) else None


def _known(before: Setup, part: str) -> Sequence[float | None]:
    keys = (
        LeafPart(place, part).key
        for place, leaf in enumerate(leaves_in(before.readings))
        if getattr(leaf, part) is not None
    )
    said = (before.within.get(key) for key in keys)
    return [known if isinstance(known, float) else None for known in said]
